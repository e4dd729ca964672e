"""Several goals in a row: the first as far as it goes, then the second without giving up the first, and so on."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.build import Status
from budgetbuild.faults import SolverError
from budgetbuild.program.exact import PRICE_STEP, SCORE_STEP, optimise
from budgetbuild.program.program import at_most
from budgetbuild.program.solver import NOTHING, Answer, Clock, Solution, Solver
from budgetbuild.program.ties import first_in_order

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.program.constraints import Row
    from budgetbuild.program.matrix import Matrix
    from budgetbuild.program.program import Decisions


@dataclass(frozen=True, slots=True)
class Goal:
    """Something to minimise.

    Attributes:
        name: What it is, for messages.
        costs: A whole number for each column, 0 for those that may be more than 1; what is to be maximised has a
            minus sign.
        first_step: First guess of how far the optimum lies from its linear bound, as a share of the bound.
        claimed: What the least is said to be; where to look first, and no more than that, see `optimise`.
    """

    name: str
    costs: Sequence[float]
    first_step: float = SCORE_STEP
    claimed: int | None = None


def highest_score(program: Decisions, claimed: int | None = None) -> Goal:
    """As many points as possible; `claimed` is what the most is said to be, in thousandths."""
    return Goal("score", [-points for points in program.points], claimed=None if claimed is None else -claimed)


def lowest_price(program: Decisions, claimed: int | None = None) -> Goal:
    """As little money as possible; `claimed` is what the least is said to be, in cents."""
    return Goal("price", program.prices, PRICE_STEP, claimed)


@dataclass(frozen=True, slots=True)
class Choice:
    """What the goals came to.

    Attributes:
        status: `OPTIMAL` where every goal is proven and ties are settled.
        chosen: Columns at 1 or more; empty where there is no choice, or none was found in time.
        found: Whether there is a choice at all.
        bound: No choice makes the first goal less than this, proven; `None` where nothing is known.
        values: The least of each goal that is proven, in their order.
    """

    status: Status
    chosen: tuple[int, ...] = ()
    found: bool = False
    bound: int | None = None
    values: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Pursuit:
    """What the goals came to before ties are settled.

    Attributes:
        choice: One of the equally good choices.
        held: All rows, among them one for each goal that is proven, so that nothing of it is given up; without what
            columns that are not useful contribute.
        useful: Columns that such a choice can use.
        best: The same choice as the solver found it; `None` where it has none.
    """

    choice: Choice
    held: Matrix | None = None
    useful: tuple[int, ...] = ()
    best: Solution | None = None


def achieve(
    decisions: Decisions,
    rows: Sequence[Row],
    goals: Sequence[Goal],
    solver: Solver,
    clock: Clock,
    known: Solution = NOTHING,
) -> Choice:
    """The choice that meets the goals in their order; among equals the first in SKU order, see `ties`.

    Args:
        decisions: Columns, and the rows that always hold.
        rows: What the question at hand adds, such as the budget.
        goals: At least one.
        solver: Which solver.
        clock: Time for all of it.
        known: A choice that is there already, to be beaten in the first goal.

    Raises:
        SolverError: The solver failed, or contradicts itself between the goals.
    """
    found = pursue(decisions, rows, goals, solver, clock, known)
    choice = found.choice
    if choice.status is not Status.OPTIMAL or found.best is None or found.held is None:
        return choice
    first = first_in_order(solver, decisions, found.held, found.best, found.useful, clock)
    if not any(goals[0].costs[i] for i in decisions.most):  # what is chosen does not say how much of those there is
        _keeps(first, goals, best_first=choice.bound)
    status = Status.OPTIMAL if first.answer is Answer.PROVEN else Status.TIME_LIMIT
    return replace(choice, status=status, chosen=first.chosen)


def pursue(
    decisions: Decisions,
    rows: Sequence[Row],
    goals: Sequence[Goal],
    solver: Solver,
    clock: Clock,
    known: Solution = NOTHING,
) -> Pursuit:
    """Meet the goals in their order, whichever of equally good choices comes out; for the arguments see `achieve`.

    Raises:
        SolverError: The solver failed, or contradicts itself between the goals.
    """
    held = decisions.matrix.and_also(rows)
    useful: tuple[int, ...] | None = None
    best: Solution | None = None
    bound: int | None = None
    values: list[int] = []
    for goal in goals:
        top = optimise(
            solver,
            held,
            goal.costs,
            clock,
            among=useful,
            first_step=goal.first_step,
            most=decisions.most,
            known=known if best is None else NOTHING,
            claimed=goal.claimed,
        )
        answer = top.solution.answer
        if best is None:
            bound = _bound(top.solution)
            if answer is Answer.IMPOSSIBLE:
                return _none(known)
            if answer is Answer.UNKNOWN:
                return Pursuit(Choice(Status.TIME_LIMIT, bound=bound))
        elif answer is Answer.IMPOSSIBLE:
            raise SolverError(f"the solver finds a choice, then says that there is none of the same ({goal.name})")
        found = top.solution if answer in (Answer.PROVEN, Answer.FEASIBLE) else best
        if found is None or answer is not Answer.PROVEN:
            chosen = found.chosen if found else ()
            return Pursuit(Choice(Status.TIME_LIMIT, chosen, bool(found), bound, tuple(values)))
        best, useful = found, top.useful
        values.append(round(found.value))
        held = held.among(useful).and_also([at_most(f"{goal.name}_held", goal.costs, values[-1], useful)])
    if best is None:
        raise ValueError("no goal to achieve")
    choice = Choice(Status.OPTIMAL, best.chosen, found=True, bound=bound, values=tuple(values))
    return Pursuit(choice, held, useful or (), best)


def _none(known: Solution) -> Pursuit:
    if known is not NOTHING:
        raise SolverError("the solver says that there is no choice, and one is known")
    return Pursuit(Choice(Status.INFEASIBLE))


def _keeps(first: Solution, goals: Sequence[Goal], *, best_first: int | None) -> None:
    """The choice is no better in the first goal than what was proven the best."""
    costs = goals[0].costs
    value = round(sum(costs[i] for i in first.chosen))
    if best_first is not None and value < best_first:
        raise SolverError(f"the solver calls {best_first} the least ({goals[0].name}), then finds {value}")


def _bound(found: Solution) -> int | None:
    """Costs are whole, so a bound may be rounded up; what is left is for decisions that are a millionth off."""
    if found.answer is Answer.PROVEN:
        return round(found.value)
    return None if math.isinf(found.bound) else math.ceil(found.bound - 0.1)
