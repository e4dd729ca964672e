"""Solve one brief for one cap: highest score, then lowest price, then first in SKU order."""

from __future__ import annotations

import math
from dataclasses import dataclass

from budgetbuild.build import Status, System
from budgetbuild.faults import SolverError
from budgetbuild.program.exact import PRICE_STEP, optimise
from budgetbuild.program.program import Program, budget_cap, price_at_most, score_at_least
from budgetbuild.program.solver import Answer, Clock, Solution, Solver
from budgetbuild.program.system import system_of
from budgetbuild.program.ties import first_in_order


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


def best(program: Program, cap: int, solver: Solver, clock: Clock) -> Proposal:
    """The best build of a brief within a cap (cents).

    Raises:
        SolverError: The solver failed, or contradicts itself between the steps.
    """
    rows = [*program.rows, budget_cap(program, cap)]
    top = optimise(solver, rows, [-points for points in program.points], clock)
    bound = _bound(top.solution)
    match top.solution.answer:
        case Answer.IMPOSSIBLE:
            return Proposal(Status.INFEASIBLE)
        case Answer.UNKNOWN:
            return Proposal(Status.TIME_LIMIT, bound=bound)
        case Answer.FEASIBLE:
            return _proposal(program, Status.TIME_LIMIT, top.solution, bound)
        case Answer.PROVEN:
            pass
    score = -round(top.solution.value)
    rows.append(score_at_least(program, score))
    cheap = optimise(solver, rows, program.prices, clock, among=top.useful, first_step=PRICE_STEP)
    if cheap.solution.answer is Answer.IMPOSSIBLE:
        raise SolverError(f"the solver finds a system of {score} thousandths, then says that there is none")
    if cheap.solution.answer is not Answer.PROVEN:
        return _proposal(program, Status.TIME_LIMIT, cheap.solution if cheap.solution.chosen else top.solution, score)
    rows.append(price_at_most(program, round(cheap.solution.value)))
    first = first_in_order(solver, program, rows, cheap.solution, cheap.useful, clock)
    status = Status.OPTIMAL if first.answer is Answer.PROVEN else Status.TIME_LIMIT
    proposal = _proposal(program, status, first, score)
    if proposal.score is not None and proposal.score > score:
        raise SolverError(f"the solver calls {score} thousandths the best, then finds {proposal.score}")
    return proposal


def _bound(found: Solution) -> int | None:
    """Points are whole thousandths, so a bound may be rounded down; a little is left for the solver's rounding."""
    return None if math.isinf(found.bound) else math.floor(-found.bound + 1e-3)


def _proposal(program: Program, status: Status, found: Solution, bound: int | None) -> Proposal:
    chosen = [program.columns[i] for i in found.chosen]
    return Proposal(
        status,
        system_of([column.option for column in chosen if column.option], program.layout.candidates.mode),
        sum(column.points for column in chosen),
        sum(column.price for column in chosen),
        bound,
    )
