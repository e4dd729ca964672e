"""The integer program of one brief: columns and rows as plain numbers, free of any solver; the cap comes later."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.program.constraints import CONSTRAINTS, Row
from budgetbuild.program.layout import Column, Layout, lay_out
from budgetbuild.program.matrix import Matrix, matrix_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from budgetbuild.program.candidates import Candidates

Terms = list[tuple[int, float]]
"""Columns with their coefficients."""


@dataclass(frozen=True)
class Decisions:
    """Columns and the rows that bind them.

    Attributes:
        columns: What is decided.
        rows: Every constraint but those that the question at hand adds, such as the budget.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    @cached_property
    def prices(self) -> list[float]:
        """Price of each column in cents."""
        return [float(column.price) for column in self.columns]

    @cached_property
    def points(self) -> list[float]:
        """Points of each column in whole thousandths."""
        return [float(column.points) for column in self.columns]

    @cached_property
    def matrix(self) -> Matrix:
        """The rows as arrays."""
        return matrix_of(self.rows)

    @cached_property
    def most(self) -> dict[int, int]:
        """Columns that may be more than 1, with the most that each may be."""
        return {i: column.most for i, column in enumerate(self.columns) if column.most > 1}


@dataclass(frozen=True)
class Program(Decisions):
    """The decisions of one brief; beside the layout's own columns it may have some that follow from them."""

    layout: Layout


D = TypeVar("D", bound=Decisions)


def formulate(candidates: Candidates) -> Program:
    """Write the constraints of a brief's candidates."""
    layout = lay_out(candidates)
    rows = tuple(row for constraint in CONSTRAINTS for row in constraint(layout))
    return Program(tuple(layout.columns), rows, layout)


def extended(decisions: D, columns: Iterable[Column], rows: Iterable[Row]) -> D:
    """The same with further columns, after those that there are, and further rows over all of them."""
    return replace(decisions, columns=(*decisions.columns, *columns), rows=(*decisions.rows, *rows))


def budget_cap(program: Decisions, cap: int) -> Row:
    """Everything bought stays within the tier's cap.

    sum of price x column <= cap    [whole cents]
    """
    return Row("budget_cap", terms_of(program.prices), None, cap)


def at_most(name: str, costs: Sequence[float], value: float, among: Iterable[int] | None = None) -> Row:
    """What was minimised is not above the least value, once that is proven; `among` are columns that can be used then.

    sum of cost x column <= value    [whole numbers; half of one is the solver's room for rounding]
    """
    terms = terms_of(costs) if among is None else [(i, costs[i]) for i in among if costs[i]]
    return Row(name, terms, None, value + 0.5)


def terms_of(figures: Sequence[float]) -> Terms:
    """Every column that has such a figure, with the figure."""
    return [(i, figure) for i, figure in enumerate(figures) if figure]
