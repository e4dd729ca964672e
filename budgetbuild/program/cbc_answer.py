"""What CBC answers, believed only where it is whole: PuLP itself reads a file that broke off as if zeros followed."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pulp

from budgetbuild.faults import SolverError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

FIGURES = 1e-6
"""CBC writes eight figures of a value; what they come to together agrees to this share with what it says."""

WORTH = re.compile(r"objective value +(\S+)")
STOPPED = re.compile(r"Stopped on \S+ - objective")
"""What CBC says where it was stopped and has a choice; without one there are words in brackets before the dash."""


def take_over(lp: Any, columns: Sequence[Any], names: Sequence[Mapping[str, str]], text: str) -> None:  # noqa: ANN401
    """Take the answer over into PuLP's problem.

    Raises:
        SolverError: It broke off, or is none.
    """
    first, *lines = text.split("\n")
    status, sol_status = _status(first)
    lp.assignStatus(status, sol_status)
    if sol_status not in (pulp.LpSolutionOptimal, pulp.LpSolutionIntegerFeasible):
        return
    of_columns, of_rows = names
    try:
        figures = _figures(lines)
        lp.assignVarsVals({column.name: figures[of_columns[column.name]][0] for column in columns})
        lp.assignConsPi({row: figures[name][1] for row, name in of_rows.items()})
        worth = float(WORTH.search(first)[1])  # type: ignore[index]  # none is caught
    except (KeyError, TypeError, ValueError) as error:
        raise SolverError("the answer of the solver CBC broke off or is spoilt") from error
    terms = [cost * column.varValue for column, cost in lp.objective.items()]
    if not abs(worth - sum(terms)) <= FIGURES * max(1.0, sum(map(abs, terms))):
        raise SolverError("the solver CBC contradicts itself: its choice is not worth what it says")
    lp.worth = worth


def _status(first: str) -> tuple[int, int]:
    """PuLP's two statuses for the first line of an answer.

    Raises:
        SolverError: It is no such line.
    """
    if first.startswith("Optimal"):
        return pulp.LpStatusOptimal, pulp.LpSolutionOptimal
    if first.startswith(("Infeasible", "Integer infeasible")):
        return pulp.LpStatusInfeasible, pulp.LpSolutionInfeasible
    if first.startswith("Unbounded"):
        return pulp.LpStatusUnbounded, pulp.LpSolutionUnbounded
    if STOPPED.match(first):
        return pulp.LpStatusOptimal, pulp.LpSolutionIntegerFeasible
    if first.startswith("Stopped"):
        return pulp.LpStatusNotSolved, pulp.LpSolutionNoSolutionFound
    raise SolverError("the solver CBC gives no answer that can be read")


def _figures(lines: Sequence[str]) -> dict[str, tuple[float, float]]:
    """Value and price of every row and column by its name; a last line without its end is left out."""
    found = {}
    for line in lines[:-1]:
        words = line.split()[-4:]  # two stars stand before what breaks a bound
        if len(words) == 4:  # noqa: PLR2004 - number, name, value, price
            found[words[1]] = float(words[2]), float(words[3])
    return found
