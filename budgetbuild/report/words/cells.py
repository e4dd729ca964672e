"""Cells of a chapter's tables as the shop writes them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.chapter import CellValue, Kind
from budgetbuild.report.pictures.tables import TextTable

if TYPE_CHECKING:
    from budgetbuild.report.chapter import Table
    from budgetbuild.report.words.notation import Notation

NOTHING = "\u2013"
"""Stands where there is nothing to show."""


def cell_text(value: CellValue, kind: Kind, notation: Notation) -> str:
    r"""A cell in words.

    >>> from budgetbuild.report.words.notation import Notation
    >>> say = lambda value, kind: cell_text(value, kind, Notation())
    >>> say(129850, Kind.MONEY), say(500, Kind.MONEY_CHANGE), say(-1250, Kind.POINTS_CHANGE), say(0, Kind.POINTS_CHANGE)
    ('€1,298.50', '+€5.00', '-1.25', '0.00')
    >>> say(0.25, Kind.PERCENT), say(3, Kind.COUNT), say("front", Kind.TEXT)
    ('25\xa0%', '3', 'front')
    """
    if value is None:
        return NOTHING
    if isinstance(value, str):
        return value
    match kind:
        case Kind.MONEY | Kind.MONEY_CHANGE:
            return _signed(kind is Kind.MONEY_CHANGE and value > 0, notation.money(int(value)))
        case Kind.POINTS | Kind.POINTS_CHANGE:
            return _signed(kind is Kind.POINTS_CHANGE and value > 0, notation.points(int(value)))
        case Kind.PERCENT:
            return notation.measure(value * 100, "%", 1)
        case Kind.COUNT | Kind.TEXT:
            return notation.number(value)


def _signed(plus: bool, text: str) -> str:  # noqa: FBT001 - one flag, said by its name
    return f"+{text}" if plus else text


def text_table(table: Table, notation: Notation) -> TextTable:
    """A table in words."""
    rows = tuple(
        tuple(cell_text(value, column.kind, notation) for value, column in zip(row, table.columns, strict=True))
        for row in table.rows
    )
    figures = frozenset(i for i, column in enumerate(table.columns) if column.kind is not Kind.TEXT)
    return TextTable(table.caption, tuple(column.head for column in table.columns), rows, figures)
