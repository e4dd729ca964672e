"""A small price list with six vehicles, and `budgetbuild fleet` run on it."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import TYPE_CHECKING, Any

import pyarrow.parquet as pq

from budgetbuild.cli import main
from tests.sample.scaled import scaled_catalogue, write_workbook

if TYPE_CHECKING:
    from collections.abc import Sequence

VEHICLES = 6
HERE = ("--workers", "1")


@cache
def small_list() -> Path:
    """The workbook: 100 products, 6 vehicles, 2 briefs, 3 tiers."""
    path = Path(mkdtemp(prefix="fleet-"), "small.xlsx")
    catalogue = scaled_catalogue(100, vehicles=VEHICLES)
    write_workbook(replace(catalogue, briefs=catalogue.briefs[::2]), path)
    return path


@cache
def whole() -> dict[str, bytes]:
    """Every file of a run that nothing disturbed, in one process."""
    out = Path(mkdtemp(prefix="fleet-"))
    assert main(["fleet", str(small_list()), "--out", str(out), "--quiet", *HERE]) == 3
    return contents(out)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder and what it holds, by its name within it."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def rows_of(folder: Path) -> list[dict[str, Any]]:
    """The rows of the table."""
    found: list[dict[str, Any]] = pq.read_table(folder / "fleet.parquet").to_pylist()
    return found


def started(*words: str) -> subprocess.Popen[str]:
    """A command of this checkout in a process of its own."""
    return process([sys.executable, "-m", "budgetbuild", *words])


def process(words: Sequence[str]) -> subprocess.Popen[str]:
    """A process that finds this checkout."""
    return subprocess.Popen(  # noqa: S603 - our own code
        words,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )


def answered(out: Path) -> int:
    """How many vehicles are answered so far."""
    return len(list((out / "fleet-unfinished" / "answers").glob("*.json")))
