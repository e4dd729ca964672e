"""The integer program of one brief: columns and rows as plain numbers, free of any solver; the cap comes later."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.program.constraints import CONSTRAINTS, Row
from budgetbuild.program.layout import Column, Layout, lay_out

if TYPE_CHECKING:
    from budgetbuild.program.candidates import Candidates


@dataclass(frozen=True, slots=True)
class Program:
    """Columns and rows of one brief.

    Attributes:
        rows: Every constraint but the budget, which is the only one that differs between tiers.
    """

    layout: Layout
    rows: tuple[Row, ...]

    @property
    def columns(self) -> list[Column]:
        """The decisions."""
        return self.layout.columns

    @property
    def prices(self) -> list[float]:
        """Price of each column in cents."""
        return [float(column.price) for column in self.columns]

    @property
    def points(self) -> list[float]:
        """Points of each column in whole thousandths."""
        return [float(column.points) for column in self.columns]


def formulate(candidates: Candidates) -> Program:
    """Write the constraints of a brief's candidates."""
    layout = lay_out(candidates)
    return Program(layout, tuple(row for constraint in CONSTRAINTS for row in constraint(layout)))


def budget_cap(program: Program, cap: int) -> Row:
    """Everything bought stays within the tier's cap.

    sum of price x column <= cap    [whole cents]
    """
    return Row("budget_cap", _terms(program.prices), None, cap)


def score_at_least(program: Program, score: int) -> Row:
    """The score is not below one already proven.

    sum of points x column >= score    [whole thousandths; half of one is the solver's room for rounding]
    """
    return Row("score_at_least", _terms(program.points), score - 0.5, None)


def price_at_most(program: Program, price: int) -> Row:
    """The price is not above one already proven.

    sum of price x column <= price    [whole cents; half of one is the solver's room for rounding]
    """
    return Row("price_at_most", _terms(program.prices), None, price + 0.5)


def _terms(figures: list[float]) -> list[tuple[int, float]]:
    """Every column that has such a figure, with the figure."""
    return [(i, figure) for i, figure in enumerate(figures) if figure]
