"""Solve one brief for one cap: highest score, then lowest price, then first in SKU order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.program.goals import Choice, achieve, highest_score, lowest_price
from budgetbuild.program.program import Program, budget_cap
from budgetbuild.program.system import system_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.build import Status, System
    from budgetbuild.program.solver import Clock, Solver


@dataclass(frozen=True, slots=True)
class Proposal:
    """What the program proposes; the audit has not seen it yet.

    Attributes:
        score: Whole thousandths of a point by the program's own sum; `None` where there is no system.
        total: Whole cents by the program's own sum.
        bound: No system scores more than this, proven.
    """

    status: Status
    system: System | None = None
    score: int | None = None
    total: int | None = None
    bound: int | None = None


class Worth(NamedTuple):
    """What a build is worth: whole thousandths of a point, and what it costs in whole cents."""

    score: int
    total: int


def best(program: Program, cap: int, solver: Solver, clock: Clock, claimed: Worth | None = None) -> Proposal:
    """The best build of a brief within a cap (cents).

    Args:
        program: Of the brief.
        cap: Cents.
        solver: Which solver.
        clock: Time for all of it.
        claimed: What the best build is said to be worth by someone else. It only says where to look first: whatever is
            claimed, the answer is the same, and is proven without it.

    Raises:
        SolverError: The solver failed, or contradicts itself between the steps.
    """
    score, total = claimed or (None, None)
    goals = (highest_score(program, score), lowest_price(program, total))
    return proposed(program, achieve(program, [budget_cap(program, cap)], goals, solver, clock))


def proposed(program: Program, choice: Choice) -> Proposal:
    """What a choice of columns proposes, where the first goal was the score."""
    bound = None if choice.bound is None else -choice.bound
    if not choice.found:
        return Proposal(choice.status, bound=bound)
    system, score, total = read_off(program, choice.chosen)
    return Proposal(choice.status, system, score, total, bound)


def read_off(program: Program, chosen: Iterable[int]) -> tuple[System, int, int]:
    """The system that chosen columns make, its score in whole thousandths and its price in cents."""
    columns = [program.columns[i] for i in chosen]
    options = [column.option for column in columns if column.option]
    system = system_of(options, program.layout.candidates.mode)
    return system, sum(column.points for column in columns), sum(column.price for column in columns)
