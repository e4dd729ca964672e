"""What one call to a solver is about, and what comes back, as arrays; and what prices of the rows prove."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from budgetbuild.program.matrix import Floats, Matrix


BY_A_HAIR = 1e-6
"""How far whole columns may seem to break a row. Solvers allow as much; cents are whole, so it is never one of them."""


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """Minimise the cost of whole columns from 0 up to the most that each may be.

    Attributes:
        rows: Over these columns alone.
        costs: Of each column.
        most: Of each column.
    """

    rows: Matrix
    costs: Floats
    most: Floats

    @property
    def hopeless(self) -> bool:
        """Whether some row asks for something of no column at all."""
        rows = self.rows
        return bool(((rows.sizes == 0) & ((rows.low > 0) | (rows.high < 0))).any())

    def keeps(self, values: Floats) -> bool:
        """Whether whole values of the columns keep every row and are no more than they may be."""
        rows = self.rows
        sums = np.bincount(rows.row, rows.coefficient * values[rows.column], minlength=len(rows.sizes))
        met = (sums >= rows.low - BY_A_HAIR) & (sums <= rows.high + BY_A_HAIR)
        return bool(met.all() and (values >= 0).all() and (values <= self.most).all())

    def bound(self, prices: Floats) -> tuple[float, Floats]:
        """What every choice costs at least, and by how much more at least with each column, by prices of the rows.

        Let p be a price of each row, at least 0 where the row has no upper bound and at most 0 where it has no lower
        one (a price of the wrong sign counts as 0), and b the bound of the row that its sign goes with. For every
        choice x, even of parts of columns, cost x >= cost x - p (A x - b) = p b + sum over columns of reduced x, with

            reduced = cost - sum over rows of price x coefficient

        and each reduced x is at least min(0, reduced x most). So whatever prices a solver comes up with, however it has
        rounded them, the bound holds; it is the highest where the prices are the best.
        """
        rows = self.rows
        sound = np.where(np.isinf(np.where(prices > 0, rows.low, rows.high)), 0.0, prices)
        held = np.where(sound > 0, rows.low, np.where(sound < 0, rows.high, 0.0))
        worth = np.bincount(rows.column, rows.coefficient * sound[rows.row], minlength=len(self.costs))
        reduced = self.costs - worth
        return float(sound @ held + np.minimum(reduced * self.most, 0.0).sum()), reduced


@dataclass(frozen=True, slots=True, eq=False)
class Returned:
    """What a solver came back with.

    Attributes:
        status: PuLP's `LpStatus...`.
        sol_status: PuLP's `LpSolution...`.
        values: How much of each column; meaningless unless there is a solution.
        prices: Of each row, where a linear relaxation was solved: by how much the least cost changes with its bound.
        bound: Where the solver was stopped: no choice costs less.
        found: Where the solver was stopped: whether it had a choice by then.
        worth: What the solver says that its choice costs; `None` where it does not.
    """

    status: int
    sol_status: int
    values: Floats
    prices: Floats
    bound: float = float("-inf")
    found: bool = True
    worth: float | None = None
