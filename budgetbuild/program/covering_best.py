"""The best system for several vehicles: first the points, then how many it covers, then what it costs.

Order of systems: highest score; among those the greatest weight of vehicles covered; among those the lowest of the
highest price; then the lowest sum of prices over the vehicles covered; then SKU order, as of one vehicle (see `ties`),
each speaker cable counted once.

Which vehicles are covered is what a linear relaxation knows least of. So the sets of vehicles that come with the
highest score and the greatest weight are found one after the other (mostly there is one alone), and each is priced by
itself: once the vehicles are given, the program is as tight as that of one vehicle.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Status
from budgetbuild.program.constraints import Row
from budgetbuild.program.covering_rows import enough_covered, every_cap, paid_where_covered
from budgetbuild.program.goals import Choice, achieve, highest_score, pursue
from budgetbuild.program.matrix import matrix_of
from budgetbuild.program.program import at_most
from budgetbuild.program.solver import Answer, minimise
from budgetbuild.program.ties import order_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.program.covering import Covering
    from budgetbuild.program.goals import Pursuit
    from budgetbuild.program.solver import Clock, Solver


def best_covering(program: Covering, asked: int, cap: int, solver: Solver, clock: Clock) -> Choice:
    """The best system that covers vehicles of so much weight (at least 1), in each of them within the cap in cents.

    Raises:
        SolverError: The solver failed, or contradicts itself between the steps.
    """
    rows = [enough_covered(program, asked), every_cap(program, cap)]
    first = (highest_score(program), program.most_covered())
    found = pursue(program, rows, first, solver, clock)
    if found.choice.status is not Status.OPTIMAL:
        return found.choice
    held = [
        at_most(f"{goal.name}_held", goal.costs, least) for goal, least in zip(first, found.choice.values, strict=True)
    ]
    priced: list[Choice] = []
    for covered in _sets_covered(program, found, solver, clock):
        if covered is None:
            return _stopped(found, priced)
        of_these = [*rows, *held, *_exactly(program, covered), *paid_where_covered(program, cap)]
        goals = (highest_score(program), program.lowest_highest(), program.lowest_sum())
        priced.append(achieve(program, of_these, goals, solver, clock))
        if priced[-1].status is not Status.OPTIMAL:
            return _stopped(found, priced)
    return min(priced, key=lambda choice: (choice.values, order_of(program, choice.chosen)))


def greatest_covering(program: Covering, cap: int, solver: Solver, clock: Clock) -> Choice:
    """A system that covers vehicles of as much weight as any does, in each of them within the cap in cents.

    Raises:
        SolverError: The solver failed, or contradicts itself.
    """
    return pursue(program, [every_cap(program, cap)], (program.most_covered(),), solver, clock).choice


def cheapest_covering(program: Covering, asked: int, solver: Solver, clock: Clock) -> Choice:
    """A system whose highest price is as low as of any that covers vehicles of so much weight.

    Raises:
        SolverError: The solver failed, or contradicts itself.
    """
    return pursue(program, [enough_covered(program, asked)], (program.lowest_highest(),), solver, clock).choice


def _sets_covered(program: Covering, found: Pursuit, solver: Solver, clock: Clock) -> Iterator[frozenset[int] | None]:
    """Every set of vehicles that a choice as good as what was found covers, by number; `None` where time ran out."""
    rows, chosen = matrix_of(found.held or ()), found.choice.chosen
    free = [0.0] * len(program.columns)
    while True:
        covered = frozenset(vehicle for vehicle, column in enumerate(program.covered) if column in chosen)
        yield covered
        if len(covered) == len(program.covered):
            return
        # No other set of the same weight has all of these.
        terms = [(program.covered[vehicle], 1.0) for vehicle in sorted(covered)]
        rows = rows.and_also([Row("another_set", terms, None, len(covered) - 1)])
        another = minimise(solver, rows, free, clock, keep=found.useful, most=program.most)
        if another.answer is Answer.IMPOSSIBLE:
            return
        if another.answer is not Answer.PROVEN:
            yield None
            return
        chosen = another.chosen


def _exactly(program: Covering, covered: frozenset[int]) -> list[Row]:
    """These vehicles are covered and no others.

    for each v: c_v = 1 or c_v = 0
    """
    return [
        Row(f"exactly_{vehicle}", [(column, 1.0)], float(vehicle in covered), float(vehicle in covered))
        for vehicle, column in enumerate(program.covered)
    ]


def _stopped(found: Pursuit, priced: Sequence[Choice]) -> Choice:
    """What there is when time runs out: a choice of the highest score, not proven to cost least."""
    known = [choice for choice in priced if choice.found]
    best = min(known, key=lambda choice: choice.values[1:], default=found.choice)
    return Choice(Status.TIME_LIMIT, best.chosen, found=True, bound=found.choice.bound)
