"""What a run of the command came to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from budgetbuild.faults import SolverError

if TYPE_CHECKING:
    from pathlib import Path


class Ran(NamedTuple):
    """A command that ended.

    Attributes:
        told: Standard error on one line.
        data: `results.json`, empty where none was written.
    """

    status: int
    printed: str
    told: str
    data: dict[str, Any]
    out: Path


def assert_refused(ran: Ran, *words: str) -> None:
    """It ends with 1, says so in plain words, and has written nothing."""
    assert ran.status == 1, ran.told
    assert not ran.out.exists()
    assert "Nothing was written." in ran.told
    assert "Traceback" not in ran.told
    assert "defect" not in ran.told
    for word in words:
        assert word in ran.told


def out_of_memory(shared: str, item: int) -> int:
    """Work for a process of its own that fails in one of its items."""
    if item == 1:
        raise MemoryError if shared == "memory" else SolverError("the solver HiGHS crashed (item 1)")
    return item
