"""Four ways to one answer: with and without dominance, with and without fixing columns by their reduced cost.

The *flat* program has neither: every candidate is a column, and each goal is one solver call over all of them.
"""

from __future__ import annotations

from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from unittest.mock import patch

from budgetbuild.build import Status
from budgetbuild.program import accessories, arrangements, candidates, exact, layout, sources, speakers
from budgetbuild.program.goals import highest_score, lowest_price
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import at_most, budget_cap, formulate
from budgetbuild.program.solve import Proposal, best, read_off
from budgetbuild.program.solver import Answer, Clock, Solver, minimise
from budgetbuild.program.ties import first_in_order

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.program.program import Program
    from budgetbuild.program.solver import Solution

PRUNING = (accessories, arrangements, candidates, layout, sources, speakers)
"""Modules that leave out candidates which others make superfluous."""
SORTING = (accessories, arrangements, sources, speakers)
"""Modules that leave out products which others make superfluous."""


@contextmanager
def nothing_superfluous() -> Iterator[None]:
    """Every product and every candidate stays."""
    with ExitStack() as stack:
        for module in PRUNING:
            stack.enter_context(patch.object(module, "undominated", lambda options, **_: list(options)))
        for module in SORTING:
            stack.enter_context(patch.object(module, "useful", Offer.offered))
        stack.enter_context(
            patch.object(candidates, "undominated_by_row", lambda options, *_, **__: list(range(len(options))))
        )
        yield


def all_columns(program: Program, cap: int) -> Proposal:
    """The best build within a cap in cents, every column in every solver call."""
    solver, clock, every = Solver(), Clock(), range(len(program.columns))
    held = program.matrix.and_also([budget_cap(program, cap)])
    found: Solution | None = None
    for goal in (highest_score(program), lowest_price(program)):
        top = minimise(solver, held, goal.costs, clock, most=program.most)
        if top.answer is Answer.IMPOSSIBLE:
            assert found is None, "the same rows had a choice before"
            return Proposal(Status.INFEASIBLE)
        assert top.answer is Answer.PROVEN
        found = top
        held = held.and_also([at_most(f"{goal.name}_held", goal.costs, round(top.value))])
    assert found is not None
    first = first_in_order(solver, program, held, found, every, clock)
    assert first.answer is Answer.PROVEN
    system, score, total = read_off(program, first.chosen)
    return Proposal(Status.OPTIMAL, system, score, total, score)


@dataclass(slots=True)
class Counted:
    """How many columns a program has, and how many of them took part in its whole-number solves, call by call."""

    columns: int = 0
    took_part: list[int] = field(default_factory=list)

    @property
    def fixed(self) -> int:
        """Columns that were left out of the solve with the most of them."""
        return self.columns - max(self.took_part, default=self.columns)


@contextmanager
def counting(program: Program) -> Iterator[Counted]:
    """Counts the columns that fixing leaves."""
    counted, within = Counted(len(program.columns)), exact.within

    def watched(relaxed: Solution, distance: float) -> tuple[int, ...]:
        near = within(relaxed, distance)
        counted.took_part.append(len(near))
        return near

    with patch.object(exact, "within", watched):
        yield counted


@dataclass(frozen=True, slots=True)
class Roads:
    """What the four ways come to.

    Attributes:
        answers: By what was done: dominance, fixing.
        dropped: Columns that dominance saved.
        fixed: Columns of the pruned program that fixing left out of every whole-number solve.
        columns: Of the flat program.
    """

    answers: dict[tuple[bool, bool], Proposal]
    dropped: int
    fixed: int
    columns: int

    @property
    def tool(self) -> Proposal:
        """With both."""
        return self.answers[True, True]

    @property
    def flat(self) -> Proposal:
        """With neither."""
        return self.answers[False, False]


EVERY = ((True, True), (True, False), (False, True), (False, False))


def by_all_roads(
    catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int, ways: Sequence[tuple[bool, bool]] = EVERY
) -> Roads:
    """The best build by the ways asked for."""
    pruned = formulate(candidates.candidates(Offer(catalogue, brief, vehicle)))
    with nothing_superfluous():
        whole = formulate(candidates.candidates(Offer(catalogue, brief, vehicle)))
    answers: dict[tuple[bool, bool], Proposal] = {}
    fixed = 0
    for way in ways:
        program = pruned if way[0] else whole
        if way[1]:
            with counting(program) as counted:
                answers[way] = best(program, cap, Solver(), Clock())
            fixed = max(fixed, counted.fixed) if way[0] else fixed
        else:
            answers[way] = all_columns(program, cap)
    return Roads(answers, len(whole.columns) - len(pruned.columns), fixed, len(whole.columns))
