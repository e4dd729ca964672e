"""Large figures written in two digits, so that a solver can tell cents apart beside a fortune.

Solvers reckon to a millionth of a column: times 99,999.99 that is ten cents, and beside 9,999,999.99 the presolve of
HiGHS loses the best choice. So a row of large whole figures becomes two of smaller ones, with a column that carries.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from budgetbuild.program.constraints import Row

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.program.matrix import Floats, Positions
    from budgetbuild.program.model import Model

LARGE = 10_000_00
"""From so large a figure on a row is split; smaller ones a solver tells apart."""

DIGIT = 1_000_00
"""What the upper digit counts."""


def split(model: Model) -> Model:
    """The same choices with smaller figures: further columns stand behind the model's own.

    Let a row be sum of f x <= F, with whole f >= 0, and f = D h + l, F = D H + L, each l and L below D. Then it is kept
    just where some whole carry c from 0 to H keeps

        sum of h x + c <= H    and    sum of l x - D c <= L

    for from both follows sum of f x <= D (H - c) + L + D c; and where the row is kept, c = H - sum of h x will do. A
    column whose figure alone is more than F is ruled out.
    """
    rows = model.rows
    large = [number for number in range(len(rows.sizes)) if _is_large(model, number)]
    if not large:
        return model
    most, count = model.most.copy(), len(model.costs)
    written: list[Row] = []
    carries: list[float] = []
    for number in large:
        columns, figures = _terms(model, number)
        most[columns[figures > rows.high[number]]] = 0.0
        bound = int(rows.high[number])
        carry = count + len(carries)
        carries.append(float(bound // DIGIT))
        written += _digits(columns, figures, bound, carry)
    kept = rows.without_terms_of(np.array(large, dtype=np.intp)).and_also(written)
    nothing = np.zeros(len(carries))
    costs = np.concatenate([model.costs, nothing])
    return replace(model, rows=kept, costs=costs, most=np.concatenate([most, np.array(carries)]))


def _digits(columns: Positions, figures: Floats, bound: int, carry: int) -> Iterator[Row]:
    upper, lower = np.divmod(figures, DIGIT)
    for name, digits, more, most in (("upper", upper, 1.0, bound // DIGIT), ("lower", lower, -DIGIT, bound % DIGIT)):
        terms = [(i, digit) for i, digit in zip(columns.tolist(), digits.tolist(), strict=True) if digit]
        yield Row(name, [*terms, (carry, float(more))], None, most)


def _is_large(model: Model, number: int) -> bool:
    """Whether a row has whole figures of one sign, some of them large, and an upper bound alone."""
    low, high = model.rows.low[number], model.rows.high[number]
    _, figures = _terms(model, number)
    if low > -np.inf or not 0 <= high < np.inf or not len(figures):
        return False
    return bool(figures.max() >= LARGE and figures.min() >= 0 and (figures == figures.round()).all())


def _terms(model: Model, number: int) -> tuple[Positions, Floats]:
    terms = slice(model.rows.start[number], model.rows.start[number + 1])
    return model.rows.column[terms], model.rows.coefficient[terms]
