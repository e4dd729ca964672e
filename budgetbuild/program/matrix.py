"""The rows of a program as arrays."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import ArrayLike, NDArray

    from budgetbuild.program.constraints import Row

    Floats = NDArray[np.float64]
    Positions = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Matrix:
    """Rows `low <= sum of coefficient x column <= high`, the terms of one row after those of the row before.

    Attributes:
        sizes: How many terms each row has.
        column: Column of each term; no row names a column twice.
        coefficient: Of each term, never 0.
        low: Lower bound of each row, `-inf` where there is none.
        high: Upper bound of each row, `inf` where there is none.
    """

    sizes: Positions
    column: Positions
    coefficient: Floats
    low: Floats
    high: Floats

    @property
    def row(self) -> Positions:
        """Row of each term."""
        return np.repeat(np.arange(len(self.sizes)), self.sizes)

    @property
    def start(self) -> Positions:
        """Where the terms of each row begin; one more than there are rows, the last where all end."""
        return np.concatenate([[0], np.cumsum(self.sizes)])

    def and_also(self, rows: Iterable[Row]) -> Matrix:
        """These rows, then some more."""
        more = matrix_of(rows)
        return Matrix(*(np.concatenate([getattr(self, name), getattr(more, name)]) for name in self.__slots__))

    def among(self, columns: ArrayLike) -> Matrix:
        """The same rows without what other columns contribute; columns keep their numbers."""
        return self._where(np.isin(self.column, columns))

    def renumbered(self, columns: Positions, count: int) -> Matrix:
        """The same rows over some of `count` columns, which are numbered as they stand in `columns`."""
        place = np.full(count, -1)
        place[columns] = np.arange(len(columns))
        found = self._where(place[self.column] >= 0)
        return Matrix(found.sizes, place[found.column], found.coefficient, found.low, found.high)

    def without_terms_of(self, rows: Positions) -> Matrix:
        """The same with some rows empty, which keep their numbers."""
        return self._where(~np.isin(self.row, rows))

    def _where(self, there: NDArray[np.bool_]) -> Matrix:
        sizes = np.bincount(self.row[there], minlength=len(self.sizes))
        return Matrix(sizes, self.column[there], self.coefficient[there], self.low, self.high)


def matrix_of(rows: Iterable[Row] | Matrix) -> Matrix:
    """Rows as arrays; what is a matrix already stays as it is."""
    if isinstance(rows, Matrix):
        return rows
    some = list(rows)
    flat = np.fromiter(chain.from_iterable(chain.from_iterable(row.terms for row in some)), np.float64)
    column, coefficient = flat[::2].astype(np.intp), flat[1::2].copy()
    low = np.array([-np.inf if row.low is None else row.low for row in some], dtype=np.float64)
    high = np.array([np.inf if row.high is None else row.high for row in some], dtype=np.float64)
    found = Matrix(np.array([len(row.terms) for row in some], dtype=np.intp), column, coefficient, low, high)
    return found if coefficient.all() else found._where(coefficient != 0)  # noqa: SLF001 - its own kind
