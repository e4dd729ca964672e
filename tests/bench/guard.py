"""Ratios that a change must not spoil: `python -m tests.bench.guard` prints them, tests hold them against the history.

Seconds of the processor's, the best of several, so that a busy machine hardly shows.
"""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.garbage import collect_seldom
from budgetbuild.program.solve import Proposal
from tests.bench.flat import flat_program, solve_flat
from tests.bench.stages import STAGES, timed
from tests.bench.work import Work, price_list, workbook_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

PRODUCTS, FEWER, MORE = 2_000, 300, 8_000
TIMES = 3
READINGS = 10
"""Merely reading is so quick that it is measured more often."""
GROWING = ("prune", "curve", "one")
Ratios = dict[str, float]
TIMES_WORSE = 5.0
"""A ratio may be so many times what the last published run had: another machine, a busy one, but no tenfold loss."""
MOST = {
    **{f"{name}, {MORE:,} / {PRODUCTS:,} products": 9.0 for name in GROWING},
    f"curve, {PRODUCTS:,} / {FEWER:,} products": 12.0,
}
"""Growth is held against what it may be at all: for four times the products 4 where linear, 16 where quadratic."""


def spoilt(found: Mapping[str, float], published: Mapping[str, float]) -> list[str]:
    """Ratios that are worse than they may be, in words."""
    limits = {name: MOST.get(name, TIMES_WORSE * published.get(name, 0.0)) for name in found}
    return [f"{name}: {found[name]:.3g}, at most {most:.3g}" for name, most in limits.items() if found[name] > most]


def ratios() -> Ratios:
    """Every ratio; less is better.

    Raises:
        AssertionError: The flat program has another optimum.
    """
    collect_seldom()
    with tempfile.TemporaryDirectory() as folder:
        workbook = workbook_of(PRODUCTS, Path(folder))
        mere = min(timed(STAGES["mere"], Work(workbook)).cpu for _ in range(READINGS))
        spent = least([dict(every_stage(workbook)) for _ in range(TIMES)])
        flat = against_flat(Work(workbook), spent["one"])
    found = {f"{name} / merely reading": seconds / mere for name, seconds in spent.items() if name != "mere"}
    return found | {"one build / flat program": flat} | growth(spent)


def every_stage(workbook: Path) -> Iterator[tuple[str, float]]:
    """What each stage takes, one after the other."""
    work = Work(workbook)
    for name, stage in STAGES.items():
        # One build starts from the catalogue: nothing of what came before it shall be left there.
        yield name, timed(stage, work if name != "one" else Work(workbook, work.catalogue)).cpu


def against_flat(work: Work, seconds: float) -> float:
    """What one build takes, in units of its flat program.

    Raises:
        AssertionError: The flat program has another optimum.
    """
    brief, tier = work.catalogue.briefs[0], work.catalogue.tiers[1]
    flat = solve_flat(flat_program(work.catalogue, brief), tier.cap, limit_s=120.0)
    ours = timed(STAGES["one"], work).result
    if not isinstance(ours, Proposal) or flat["score"] != ours.score or not flat["cpu"]:
        raise AssertionError(f"the flat program says {flat}, ours {ours}")
    return seconds / flat["cpu"]


def growth(spent: Ratios) -> Ratios:
    """How many times longer stages take with four times the products; the curve also from few products on."""
    more, fewer = _stages_of(MORE, GROWING, TIMES - 1), _stages_of(FEWER, ("curve",), TIMES)
    found = {f"{name}, {MORE:,} / {PRODUCTS:,} products": more[name] / spent[name] for name in GROWING}
    return found | {f"curve, {PRODUCTS:,} / {FEWER:,} products": spent["curve"] / fewer["curve"]}


def _stages_of(products: int, names: tuple[str, ...], times: int) -> Ratios:
    """The least that stages take of a catalogue that need not be read."""
    catalogue, nowhere = price_list(products), Path()
    return least([{name: timed(STAGES[name], Work(nowhere, catalogue)).cpu for name in names} for _ in range(times)])


def least(passes: list[Ratios]) -> Ratios:
    """The least of every stage."""
    return {name: min(one[name] for one in passes) for name in passes[0]}


if __name__ == "__main__":
    print(json.dumps(ratios()))
