"""CBC through PuLP, which writes the program into a file for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pulp

from budgetbuild.program.model import Returned

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.program.model import Model


def solved(model: Model, solver: Any) -> Returned:  # noqa: ANN401 - PuLP is untyped
    """What a solver of PuLP's makes of a model, stated column by column and row by row.

    Raises:
        PulpSolverError: It is missing or crashed.
    """
    problem = pulp.LpProblem("build", pulp.LpMinimize)
    columns = [problem.add_variable(f"c{i}", 0, most, pulp.LpInteger) for i, most in enumerate(model.most.tolist())]
    costs = zip(columns, model.costs.tolist(), strict=True)
    problem.setObjective(pulp.LpAffineExpression([(column, cost) for column, cost in costs if cost]))
    constraints = list(_rows(model, columns))
    for number, (_, constraint) in enumerate(constraints):
        problem.addConstraint(constraint, f"r{number}")
    problem.solve(solver)
    prices = np.zeros(len(model.rows.low))
    for row, constraint in constraints:
        prices[row] += constraint.pi or 0.0
    values = np.array([column.varValue or 0.0 for column in columns])
    return Returned(problem.status, problem.sol_status, values, prices)


def _rows(model: Model, columns: Sequence[Any]) -> Iterator[tuple[int, Any]]:
    """Each row that has terms, with its number; a lower and an upper bound apart."""
    rows = model.rows
    bounds = zip(rows.start.tolist(), rows.sizes.tolist(), rows.low.tolist(), rows.high.tolist(), strict=False)
    for number, (first, size, low, high) in enumerate(bounds):
        terms = [(columns[rows.column[i]], float(rows.coefficient[i])) for i in range(first, first + size)]
        if terms and low == high:
            yield number, pulp.LpAffineExpression(terms) == low
            continue
        if terms and low > -np.inf:
            yield number, pulp.LpAffineExpression(terms) >= low
        if terms and high < np.inf:
            yield number, pulp.LpAffineExpression(terms) <= high
