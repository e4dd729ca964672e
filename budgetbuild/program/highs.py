"""HiGHS through PuLP, handed a whole model at once; and large linear relaxations solved over few of their columns.

PuLP states a program column by column and row by row, which here takes several times as long as to solve it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import highspy
import numpy as np
import pulp

from budgetbuild.program.model import Returned

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from budgetbuild.program.matrix import Floats, Positions
    from budgetbuild.program.model import Model

FEW = 3000
"""Columns up to which a linear relaxation is solved over all of them at once."""

CHEAPEST = 3
"""Of so many columns in each row, of either sign, a larger one starts. Invented catalogues of 20,000 products: with 3
to 6 it takes a quarter of the time that it takes over all columns."""

AT_ONCE = 1500
"""At most so many columns join in each round; of more than that, those that the prices speak for most."""

FEASIBLE_POINT = 2
"""HiGHS' `kSolutionStatusFeasible`."""

TELLING = 1e-7
"""Less than so much below 0 a reduced cost says nothing: solvers work to this."""


_Status = highspy.HighsModelStatus
_IMPOSSIBLE = pulp.LpStatusInfeasible, pulp.LpSolutionInfeasible
_STOPPED = pulp.LpStatusOptimal, pulp.LpSolutionIntegerFeasible
ENDS = {
    _Status.kOptimal: (pulp.LpStatusOptimal, pulp.LpSolutionOptimal),
    _Status.kInfeasible: _IMPOSSIBLE,
    _Status.kUnboundedOrInfeasible: _IMPOSSIBLE,  # no column is without an upper bound
    _Status.kTimeLimit: _STOPPED,
}
"""What each way to end means, in PuLP's two statuses; any other is none that an answer comes from."""


def solved(model: Model, *, mip: bool, **options: Any) -> Returned:  # noqa: ANN401 - options of HiGHS
    """What HiGHS makes of a model.

    Args:
        model: Columns and rows.
        mip: Whether columns are whole, or this is the linear relaxation.
        options: Those of PuLP's `HiGHS`.

    Raises:
        PulpSolverError: HiGHS does not take the model.
    """
    problem = pulp.LpProblem("build", pulp.LpMinimize)
    solver = (Stated if mip else Sifted)(model, mip=mip, **options)
    solver.actualSolve(problem)
    highs = problem.solverModel
    info, solution = highs.getInfo(), highs.getSolution()
    return Returned(
        problem.status,
        problem.sol_status,
        values=solver.spread(np.array(solution.col_value)),
        prices=np.array(solution.row_dual),
        bound=info.mip_dual_bound,
        # At the time limit HiGHS says "feasible" even where it has found nothing.
        found=info.primal_solution_status == FEASIBLE_POINT,
        worth=info.objective_function_value,
    )


class Stated(pulp.HiGHS):  # type: ignore[misc]  # PuLP is untyped
    """PuLP's HiGHS for one model, stated whole.

    Attributes:
        model: What is to be solved.
        taking: Columns that take part, in the order in which HiGHS has them.
    """

    def __init__(self, model: Model, *, mip: bool, **options: Any) -> None:  # noqa: ANN401 - options of HiGHS
        """A solver of one model; the options are those of PuLP's `HiGHS`."""
        super().__init__(mip=mip, **options)
        self.model = model
        self.taking = np.arange(len(model.costs))

    def callSolver(self, lp: Any) -> None:  # noqa: ANN401, N802 - PuLP's own name
        """Solve."""
        _run(lp.solverModel)

    def findSolutionValues(self, lp: Any) -> tuple[int, int]:  # noqa: ANN401, N802 - PuLP's own name
        """PuLP's two statuses; PuLP itself knows fewer of the ways to end than HiGHS has."""
        status = lp.solverModel.getModelStatus()
        if status == highspy.HighsModelStatus.kMemoryLimit:
            raise MemoryError
        return ENDS.get(status, (pulp.LpStatusNotSolved, pulp.LpSolutionNoSolutionFound))

    def spread(self, values: Floats) -> Floats:
        """Values of the columns that take part as values of all."""
        found = np.zeros(len(self.model.costs))
        found[self.taking] = values
        return found

    def buildSolverModel(self, lp: Any) -> None:  # noqa: ANN401, N802 - PuLP's own name
        """Hand over the columns that take part, and all rows."""
        model = self.model
        rows = model.rows.renumbered(self.taking, len(model.costs))
        stated = highspy.HighsLp()
        stated.num_col_, stated.num_row_ = len(self.taking), len(rows.low)
        stated.col_cost_, stated.col_upper_ = model.costs[self.taking], model.most[self.taking]
        stated.col_lower_ = np.zeros(len(self.taking))
        stated.row_lower_, stated.row_upper_ = rows.low, rows.high
        stated.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        stated.a_matrix_.start_, stated.a_matrix_.index_ = _int32(rows.start), _int32(rows.column)
        stated.a_matrix_.value_ = rows.coefficient
        # All are declared whole, also those that follow from the others: the presolve goes wrong over the difference,
        # calling possible programs impossible and parts of products proven (`tests/data/highs_*.mps`).
        if self.mip:
            stated.integrality_ = [highspy.HighsVarType.kInteger] * len(self.taking)
        _taken(lp.solverModel.passModel(stated))


class Sifted(Stated):
    """The linear relaxation of a model, over few columns at first.

    The cheapest columns of each row start. Their solution puts prices on the rows; every column that these prices speak
    for (a negative reduced cost) joins, and HiGHS goes on from where it was, until they speak for none. That is then
    the solution over all columns: no column that is left out could better it. Where there is no solution, all the
    others join.
    """

    def __init__(self, model: Model, **options: Any) -> None:  # noqa: ANN401 - options of HiGHS
        """As `Stated`."""
        super().__init__(model, **options)
        if len(model.costs) > FEW:
            self.taking = cheapest(model, CHEAPEST)

    def callSolver(self, lp: Any) -> None:  # noqa: ANN401, N802 - PuLP's own name
        """Solve, let columns join, and solve again."""
        highs = lp.solverModel
        _run(highs)
        while len(joining := self._joining(highs)):
            self._join(highs, joining)
            _run(highs)

    def _joining(self, highs: Any) -> Positions:  # noqa: ANN401 - PuLP is untyped
        outside = np.ones(len(self.model.costs), dtype=bool)
        outside[self.taking] = False
        left = np.flatnonzero(outside)
        status = highs.getModelStatus()
        if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
            return left
        if status != highspy.HighsModelStatus.kOptimal:  # stopped
            return left[:0]
        _, reduced = self.model.bound(np.array(highs.getSolution().row_dual))
        spoken_for = left[reduced[left] < -TELLING]
        return spoken_for[np.argsort(reduced[spoken_for], kind="stable")[:AT_ONCE]]

    def _join(self, highs: Any, columns: Positions) -> None:  # noqa: ANN401 - PuLP is untyped
        model = self.model
        rows = model.rows.renumbered(columns, len(model.costs))
        by_column = np.argsort(rows.column, kind="stable")
        start = np.searchsorted(rows.column[by_column], np.arange(len(columns)))
        index, value = rows.row[by_column], rows.coefficient[by_column]
        costs, least, most = model.costs[columns], np.zeros(len(columns)), model.most[columns]
        _taken(highs.addCols(len(columns), costs, least, most, len(value), _int32(start), _int32(index), value))
        self.taking = np.concatenate([self.taking, columns])


def cheapest(model: Model, count: int) -> Positions:
    """Columns that are among the cheapest so many of some row, of those that add to it or of those that take away."""
    found = np.zeros(len(model.costs), dtype=bool)
    rows = model.rows
    for first, size in zip(rows.start[:-1], rows.sizes, strict=True):
        columns, coefficients = rows.column[first : first + size], rows.coefficient[first : first + size]
        for some in (columns[coefficients > 0], columns[coefficients < 0]):
            found[some if len(some) <= count else some[np.argpartition(model.costs[some], count)[:count]]] = True
    return np.flatnonzero(found)


def _int32(positions: Positions) -> NDArray[np.int32]:
    return positions.astype(np.int32)


def _run(highs: Any) -> None:  # noqa: ANN401 - PuLP is untyped
    try:
        highs.run()
    except MemoryError:
        raise
    except Exception as error:
        raise pulp.PulpSolverError(f"the solver HiGHS crashed ({error})") from error


def _taken(status: Any) -> None:  # noqa: ANN401 - PuLP is untyped
    if status == highspy.HighsStatus.kError:
        raise pulp.PulpSolverError("HiGHS does not take the program")
