"""One run of the benchmarks: every stage of every size, each in a fresh process."""

from __future__ import annotations

import statistics
import subprocess
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.bench.machine import machine
from tests.bench.process import KILL_AFTER_S, printed, run
from tests.bench.quoting import quote
from tests.bench.stages import STAGES
from tests.bench.work import workbook_of

if TYPE_CHECKING:
    from collections.abc import Callable

LARGE = 20_000
"""From so many products on everything is measured once."""
TOO_LARGE = 100_000
"""From so many products on the flat program is left out."""

Measured = dict[str, Any]
"""One size: of each stage its seconds; of the flat program also whether it was stopped; of the total also memory."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What to measure.

    Attributes:
        runs: Of each stage of the smaller sizes; their median counts.
        limit_s: Seconds after which the flat program is stopped.
        counter: What the command is told about the counter page.
        folder: Where workbooks are kept from run to run; `None` = nowhere.
    """

    sizes: tuple[int, ...]
    runs: int = 3
    limit_s: float = 120.0
    counter: str = "briefs"
    folder: Path | None = None


def measure(plan: Plan, tell: Callable[[str], None]) -> dict[str, Any]:
    """Measure everything of a plan."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = plan.folder or Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        sizes = {str(size): _size(size, plan, folder, tell) for size in plan.sizes}
    tell("quote, guard")
    return {
        "when": datetime.now(UTC).isoformat(timespec="minutes"),
        "machine": machine(),
        "runs": plan.runs,
        "limit": plan.limit_s,
        "counter": plan.counter,
        "sizes": sizes,
        "quote": _rounded(quote(max(plan.runs, 3))),
        "guard": _rounded(printed("tests.bench.guard")),
    }


def _size(products: int, plan: Plan, folder: Path, tell: Callable[[str], None]) -> Measured:
    tell(f"{products:,} products: workbook")
    workbook = str(workbook_of(products, folder))
    runs = 1 if products >= LARGE else plan.runs
    found: Measured = {}
    for name in STAGES:
        found[name] = _middle([printed("tests.bench.stages", name, workbook) for _ in range(runs)])
        tell(f"{products:,} products: {name} {found[name]['seconds']:.3f} s")
    found["total"] = _middle([_total(workbook, plan.counter) for _ in range(runs)])
    tell(f"{products:,} products: total {found['total']['seconds']:.3f} s")
    if products < TOO_LARGE:
        found |= _flat(workbook, plan.limit_s, folder, found["one"]["score"], lambda what: tell(f"{products:,} {what}"))
    return {name: _rounded(one) for name, one in found.items()}


def _middle(runs: list[dict[str, Any]]) -> dict[str, Any]:
    """The run of median time; the most memory of all."""
    seconds = statistics.median_low(one["seconds"] for one in runs)
    middle = next(one for one in runs if one["seconds"] == seconds)
    return middle | {"megabytes": max(one["megabytes"] for one in runs)} if "megabytes" in middle else middle


def _total(workbook: str, counter: str) -> dict[str, Any]:
    """The command as a user runs it."""
    with tempfile.TemporaryDirectory() as out:
        ran = run("-m", "budgetbuild", "build", workbook, "--out", out, "--counter", counter, "--quiet")
    return {"seconds": ran.seconds, "megabytes": ran.megabytes}


def _flat(workbook: str, limit_s: float, folder: Path, score: int, tell: Callable[[str], None]) -> Measured:
    """The flat program by both solvers.

    Raises:
        AssertionError: It has another optimum than ours.
    """
    file = folder / "flat.pickle"
    tell("products: the flat program, HiGHS")
    ours = _stopped_after(limit_s, "tests.bench.flat", workbook, str(limit_s), str(file))
    tell("products: the flat program, CP-SAT")
    other = _stopped_after(limit_s, "tests.bench.flat_cpsat", str(limit_s), str(file))
    file.unlink(missing_ok=True)
    for one in (ours, other):
        if one["score"] not in (None, score):
            raise AssertionError(f"the flat program has {one['score']} thousandths, ours {score}")
    return {"flat": ours, "other": other}


def _stopped_after(limit_s: float, *arguments: str) -> dict[str, Any]:
    """What a solver prints; one that looks at its clock too late is killed, and has found nothing."""
    try:
        return printed(*arguments, within_s=limit_s + KILL_AFTER_S)
    except subprocess.TimeoutExpired:
        return {"seconds": limit_s, "stopped": True, "score": None}


def _rounded(figures: dict[str, Any]) -> dict[str, Any]:
    """Four digits after the point are more than a time is worth."""
    return {name: round(value, 4) if isinstance(value, float) else value for name, value in figures.items()}
