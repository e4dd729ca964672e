"""A disk that refuses, or an end, at every file operation of a fleet's work folder: the next run finishes it."""

from __future__ import annotations

import os
from itertools import count
from typing import TYPE_CHECKING

import pytest

from budgetbuild.fleet import work_folder
from budgetbuild.fleet.work_folder import NAME
from budgetbuild.report import staging
from tests.fleet.keeping import KEY, finished
from tests.writing.scenes import everything
from tests.writing.trouble import WRONG, Disk, at, fails, interrupts, troubled

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from typing import Any

STEP = 3
"""Every so many operations: a save, which most of them belong to, is struck at each by tests of its own."""


@pytest.fixture(autouse=True)
def _in_a_hurry(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing here loses its power, and nobody else holds anything."""
    monkeypatch.setattr(os, "fsync", lambda _: None)
    monkeypatch.setattr(staging, "PATIENCE_S", 0.1)
    monkeypatch.setattr(work_folder, "PATIENCE_S", 0.1)


@pytest.mark.parametrize("how", [fails(WRONG[0]), interrupts], ids=["fails", "interrupts"])
def test_whatever_stops_a_fleet_is_told_plainly_and_the_next_run_finishes_it(
    how: Callable[[str, Callable[[], Any]], Any], fast_path: Path
) -> None:
    for n in count(1, STEP):
        out = fast_path / str(n)
        disk = Disk(out, at(n), how)
        with troubled(disk):
            try:
                code = finished(out, KEY)
            except KeyboardInterrupt:
                code = "interrupted"
        if len(disk.met) < n:
            break
        assert code in {"", "interrupted", "cannot-write", "cannot-use", "not-put-back", "in-use"}
        assert finished(out, KEY) == "", (n, disk.met[n - 1])
        assert everything(out) == {}, (n, disk.met[n - 1])
        assert not (out / NAME).exists()
    assert n > 100
