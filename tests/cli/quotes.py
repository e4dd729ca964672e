"""Quotes as data, each asked for once."""

from __future__ import annotations

import io
import json
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from typing import TYPE_CHECKING, Any

from budgetbuild.cli import main

if TYPE_CHECKING:
    from pathlib import Path

QUICK = ("--brief", "Closed dash, bass wanted")
"""The brief that is answered soonest."""


@cache
def answered(catalogue: Path, *options: str) -> tuple[int, dict[str, Any]]:
    """Exit status and the one build of a quote."""
    printed = io.StringIO()
    with redirect_stdout(printed), redirect_stderr(io.StringIO()):
        status = main(["quote", str(catalogue), *options, "--json"])
    (build,) = json.loads(printed.getvalue())["builds"]
    return status, build
