"""Runs of the benchmarks that are kept: one line of JSON each, the last one shown in README.md."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.bench.process import ROOT
from tests.bench.tables import as_markdown
from tests.readme import with_section

if TYPE_CHECKING:
    from collections.abc import Mapping

HISTORY = Path(__file__).parent / "history.jsonl"
README = ROOT / "README.md"
SECTION = "bench"


def keep(run: Mapping[str, Any], path: Path = HISTORY) -> None:
    """Append a run."""
    with path.open("a", encoding="utf-8") as file:
        file.write(json.dumps(run) + "\n")


def runs(path: Path = HISTORY) -> list[dict[str, Any]]:
    """Every run that was kept, oldest first."""
    return [json.loads(line) for line in path.read_text("utf-8").splitlines()]


def show(run: Mapping[str, Any], readme: Path = README) -> None:
    """Write a run's tables into the README."""
    text = with_section(readme.read_text("utf-8"), SECTION, as_markdown(run))
    readme.write_text(text, "utf-8", newline="\n")
