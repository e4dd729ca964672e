"""Exact optimisation with few columns: linear bound first, then only the columns that a better choice could use."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from budgetbuild.program.matrix import matrix_of
from budgetbuild.program.solver import AT_MOST_ONE, NOTHING, Answer, Clock, Solution, Solver, minimise

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.program.constraints import Row
    from budgetbuild.program.matrix import Matrix

SCORE_STEP, PRICE_STEP = 0.004, 0.05
"""First guess of the distance between bound and optimum, as a share of the bound, where the score or the price is
optimised (measured: smaller ones cost more calls, larger ones much larger programs)."""

WIDEN = 3.0
"""How much further to look where that guess was too small."""

ROUNDING = 1e-6
"""A distance taken from a value and added again may come short by the last binary digit; `ROOM` covers so much."""

ROOM = 0.5
"""Costs are whole numbers; half of one is left for the solver's rounding when columns are ruled out."""


@dataclass(frozen=True, slots=True)
class Optimum:
    """A proven optimum, or how far the proof got.

    Attributes:
        solution: The best choice found; its `bound` is proven over all columns.
        useful: Columns that can stand in any choice as good as the solution.
    """

    solution: Solution
    useful: tuple[int, ...]


def optimise(  # noqa: PLR0913 - one argument per part of the question
    solver: Solver,
    rows: Sequence[Row] | Matrix,
    costs: Sequence[float],
    clock: Clock,
    *,
    among: Sequence[int] | None = None,
    first_step: float = SCORE_STEP,
    most: Mapping[int, int] = AT_MOST_ONE,
    known: Solution = NOTHING,
    claimed: int | None = None,
) -> Optimum:
    """Minimise whole-number costs exactly.

    The linear relaxation bounds every choice from below, and a column's reduced cost says by how much that bound
    rises if the column is used. So a choice that costs `bound + distance` uses only columns of reduced cost up to
    `distance`: solve with those alone, and what comes out is proven best of all if it costs no more than 1 above that
    (costs are whole, so a better one costs at least 1 less). If it costs more, its own distance says which columns
    could still do better; if nothing comes out, look further.

    Args:
        solver: Which solver.
        rows: The constraints.
        costs: Whole-number cost of each column.
        clock: Time left.
        among: Columns that take part, `None` = all.
        first_step: First guess of the distance, as a share of the bound.
        most: Columns that may be more than 1, with the most that each may be.
        known: A choice that is there already, to be beaten.
        claimed: What some choice is said to cost. It says how far to look first, and proves nothing: a wrong claim
            makes the search longer, never its answer another one.
    """
    rows = matrix_of(rows)
    everything = tuple(range(len(costs)) if among is None else among)
    relaxed = minimise(solver, rows, costs, clock, keep=everything, relaxed=True, most=most)
    if relaxed.answer is not Answer.PROVEN:
        stopped = relaxed.answer is Answer.UNKNOWN and known is not NOTHING
        return Optimum(replace(known, answer=Answer.FEASIBLE, bound=relaxed.bound) if stopped else relaxed, everything)
    guess = 1 + abs(relaxed.value) * first_step
    if claimed is not None and claimed >= relaxed.value - ROOM:
        guess = max(1.0, claimed - relaxed.value)
    distance = min(guess, max(0.0, known.value - 1 - relaxed.value))
    farthest = relaxed.reduced[list(everything)].max(initial=0.0)
    best = known
    near: tuple[int, ...] | None = None
    while True:
        wider = within(relaxed, distance)
        if wider != near:
            near = wider
            found = minimise(solver, rows, costs, clock, keep=near, most=most)
            if found.answer in (Answer.FEASIBLE, Answer.UNKNOWN):
                return Optimum(_stopped(best, found, relaxed, distance), everything)
            best = found if found.answer is Answer.PROVEN and found.value <= best.value else best
        if best.value - 1 <= relaxed.value + distance + ROUNDING:
            return Optimum(best, within(relaxed, best.value - relaxed.value))
        if distance >= farthest:  # every column took part
            return Optimum(best, everything)
        distance = min(distance * WIDEN, best.value - 1 - relaxed.value)


def within(relaxed: Solution, distance: float) -> tuple[int, ...]:
    """Columns that a choice within `distance` of the bound can use."""
    return tuple(np.flatnonzero(relaxed.reduced <= distance + ROOM).tolist())


def _stopped(best: Solution, found: Solution, relaxed: Solution, distance: float) -> Solution:
    """The better of two choices when time ran out, with the bound over all columns.

    Of the columns that took part the solver knows a bound; with any other a choice lies further than the distance.
    """
    bound = max(relaxed.value, min(found.bound, relaxed.value + distance))
    known = [s for s in (best, found) if s.answer in (Answer.PROVEN, Answer.FEASIBLE)]
    if not known:
        return Solution(Answer.UNKNOWN, bound=bound)
    better = min(known, key=lambda s: s.value)
    return replace(better, answer=Answer.FEASIBLE, bound=min(bound, better.value))
