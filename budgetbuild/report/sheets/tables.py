"""Tables of the workbook as spreadsheets know them, with their names in formulas.

Formulas name columns (`_tbl_prices[Unit price]`) rather than cells: they can be read, and a row that the shop adds is
counted. LibreOffice recalculates such names and keeps them when it saves.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.report.sheets.book import Page


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Attributes:
        formula: What every row holds, a number; empty where cells hold values of their own.
        total: Formula of the total row.
        total_label: Words in the total row.
        right: Whether it holds numbers of its own.
    """

    header: str
    formula: str = ""
    total: str = ""
    total_label: str = ""
    right: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table on a sheet.

    Attributes:
        name: As formulas name it; the underscore at its start keeps it from being a cell address.
        row: Of the headers, from 0; the table begins in the first column.
        rows: Rows of values, at least 1.
        totalled: Whether a row of totals stands below them.
        filtered: Whether its headers carry filter buttons.
    """

    page: Page
    name: str
    row: int
    columns: tuple[Column, ...]
    rows: int
    totalled: bool = False
    filtered: bool = True

    def make(self) -> None:
        """Declare it and write its headers; before any of its cells."""
        area = (self.row, 0, self.row + self.rows + self.totalled, len(self.columns) - 1)
        settings = {
            "name": self.name,
            "style": None,
            "autofilter": self.filtered,
            "total_row": self.totalled,
            "columns": [self._settings(column) for column in self.columns],
        }
        self.page.sheet.add_table(*area, settings)
        for place, column in enumerate(self.columns):
            self.page.text(self.row, place, column.header, "head_right" if column.right or column.formula else "head")

    def _settings(self, column: Column) -> dict[str, object]:
        known = {
            "formula": column.formula,
            "total_function": column.total,
            "total_string": column.total_label,
        }
        return {"header": column.header, **{name: words for name, words in known.items() if words}}

    @property
    def first(self) -> int:
        """The first row of values."""
        return self.row + 1

    @property
    def total_row(self) -> int:
        """The row of totals."""
        return self.first + self.rows

    def cell(self, row: int, column: int, value: float | str, look: str = "money") -> None:
        """Write a column's formula into a row, with the value that it has now."""
        self.page.formula(row, column, self.columns[column].formula, value, look)

    def money(self, row: int, column: int, cents: int, look: str = "money") -> None:
        """The same for an amount."""
        self.page.money_formula(row, column, self.columns[column].formula, cents, look)

    def total(self, column: int, cents: int, look: str = "total") -> None:
        """Write a column's total, an amount, with the value that it has now."""
        self.page.money_formula(self.total_row, column, self.columns[column].total, cents, look)


def plain_columns(headers: Iterable[str], right: frozenset[str] = frozenset()) -> tuple[Column, ...]:
    """Columns without formulas; the headers in `right` stand over numbers."""
    return tuple(Column(header, right=header in right) for header in headers)


def whole(table: str, header: str) -> str:
    """All values of a column.

    >>> whole("_tbl_prices", "Ref")
    '_tbl_prices[Ref]'
    """
    return f"{table}[{header}]"


def here(table: str, header: str) -> str:
    """The value of a column in the row of the formula.

    >>> here("_tbl_prices", "Ref")
    '_tbl_prices[[#This Row],[Ref]]'
    """
    return f"{table}[[#This Row],[{header}]]"


def totalled(table: str, header: str) -> str:
    """The total of a column.

    >>> totalled("_tbl_build_1", "Line total")
    '_tbl_build_1[[#Totals],[Line total]]'
    """
    return f"{table}[[#Totals],[{header}]]"
