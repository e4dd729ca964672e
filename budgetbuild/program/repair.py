"""The build that meets a brief with the fewest parts changed against an earlier list; of these the best.

First the sum of changes over all roles (see `changes`) is minimised, then the score is maximised, then the price
minimised; among equals the first in SKU order.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.program.candidates import candidates
from budgetbuild.program.changes import Counted
from budgetbuild.program.constraints import Row
from budgetbuild.program.exact import within
from budgetbuild.program.goals import Goal, achieve, highest_score, lowest_price
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import budget_cap, formulate, terms_of
from budgetbuild.program.solve import Proposal, read_off
from budgetbuild.program.solver import Answer, minimise

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from budgetbuild.build import Part
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.program.matrix import Matrix
    from budgetbuild.program.program import Program
    from budgetbuild.program.solver import Clock, Solver

CHANGE = 1_000_000
"""What one change weighs against points in thousandths, where both are looked at together; a score is below it."""
NEAR = (200, 1000, 5000)
"""How far from the linear bound, in thousandths of a point, columns take part in the search for few changes."""
ROUNDING = 1e-6
CHANGES_STEP = 0.2
"""First guess of how far the fewest changes lie from their linear bound, as a share of the bound."""


@dataclass(frozen=True, slots=True)
class Mended:
    """What the program proposes in an earlier list's place.

    Attributes:
        proposal: Its `bound` is of the score and says nothing here.
        changes: How many parts it changes; `None` where there is none.
        fewest: No build changes fewer, proven; `None` where nothing is known.
    """

    proposal: Proposal
    changes: int | None = None
    fewest: int | None = None


def program_beside(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, before: Iterable[Part]) -> Program:
    """The program of a brief in which every product of earlier lists that is still on offer stays a candidate."""
    watched = frozenset(part.sku for part in before)
    return formulate(candidates(Offer(catalogue, brief, vehicle, watched=watched, lines_count=True)))


def fewest_changes(program: Program, before: Sequence[Part], cap: int, solver: Solver, clock: Clock) -> Mended:
    """The build within a cap (cents) that changes the fewest parts; of these the best.

    Args:
        program: As `program_beside` makes it, of these parts at least.
        before: The earlier list.
        cap: Cents.
        solver: Which solver.
        clock: Time for all of it.

    Raises:
        SolverError: The solver failed, or contradicts itself between the goals.
    """
    counted = Counted(program, before)
    counting, costs = counted.program(), counted.costs()
    within_cap = budget_cap(counting, cap)
    reached = _reached(counting, counting.matrix.and_also([within_cap]), costs, solver, clock)
    if reached is None:
        rows, goals = [within_cap], [Goal("changes", costs, CHANGES_STEP)]
    else:
        rows, goals = [within_cap, Row("changes_held", terms_of(costs), reached, reached)], []
    choice = achieve(counting, rows, [*goals, highest_score(counting), lowest_price(counting)], solver, clock)
    bound = reached if reached is not None else choice.bound
    fewest = None if bound is None else bound + counted.at_first
    if not choice.found:
        return Mended(Proposal(choice.status), fewest=fewest)
    proposal = Proposal(choice.status, *read_off(counting, choice.chosen))
    return Mended(proposal, round(sum(costs[i] for i in choice.chosen)) + counted.at_first, fewest)


def _reached(counting: Program, rows: Matrix, costs: Sequence[float], solver: Solver, clock: Clock) -> int | None:
    """The fewest changes, where a choice among few columns has as few as the linear relaxation of all allows.

    Which columns: those that a good score at few changes needs, by the relaxation of both together. Changes alone tell
    few columns from the others, and to search all of them takes ten times as long (2,000 products).

    Returns:
        The least cost, proven; `None` where this does not find it, and the whole search has to.
    """
    least = minimise(solver, rows, costs, clock, relaxed=True)
    both = [CHANGE * cost - points for cost, points in zip(costs, counting.points, strict=True)]
    guide = minimise(solver, rows, both, clock, relaxed=True) if least.answer is Answer.PROVEN else least
    if guide.answer is not Answer.PROVEN:
        return None
    for distance in NEAR:
        found = minimise(solver, rows, costs, clock, keep=within(guide, distance))
        if found.answer is Answer.PROVEN and found.value <= math.ceil(least.value - ROUNDING) + ROUNDING:
            return round(found.value)
    return None
