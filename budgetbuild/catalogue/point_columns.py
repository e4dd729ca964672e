"""Which column of which product sheet a row of the `Points` sheet is about, and how that column's cells are read."""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

from budgetbuild.catalogue.numbers import shown_mark
from budgetbuild.catalogue.parse import parse_cell
from budgetbuild.catalogue.parse_numbers import Hints
from budgetbuild.catalogue.problems import did_you_mean
from budgetbuild.catalogue.product_sheets import PRODUCT_SHEETS
from budgetbuild.catalogue.schema import NUMERIC, Column, Kind, Sheet, key
from budgetbuild.catalogue.units import SPELLINGS, is_unit
from budgetbuild.faults import Cell, Fault, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.catalogue.cells import RawValue
    from budgetbuild.catalogue.parse import Value
    from budgetbuild.catalogue.problems import Problem
    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.tables import Table

RATED = {sheet.field: sheet for sheet in PRODUCT_SHEETS if sheet.column("rating").required}
"""Sheets whose ratings earn points, by the field that each fills."""
_BY_NAME = {name: sheet for sheet in PRODUCT_SHEETS for name in sheet.keys}
SHARED = frozenset.intersection(*(frozenset(c.field for c in sheet.columns) for sheet in PRODUCT_SHEETS)) - {"brand"}
"""Columns of every product sheet that are no criterion: what the shop does with a product, not what the product is."""
READ = NUMERIC | {Kind.YES_NO, Kind.CHOICE, Kind.TEXT}
"""Kinds of columns whose cells can earn points."""
MONEY_WORDS = frozenset({"price", "prices", "cost", "costs", "rrp", "msrp", "margin", "discount"})
"""Words in the header of a shop's own column that say that it holds money."""
COUNTED_TWICE = "the budget weighs the price already, so a rating that counts it would weigh it twice; take the row out"
NO_QUALITY = "it does not say how good a product is, or changes from day to day; take the row out"
ANSWERS = frozenset({"yes", "no", "y", "n", "true", "false", "\u2713", "\u2714", "\u2717", "\u2718"})


@dataclass(frozen=True, slots=True)
class Source:
    """A column of a product sheet that earns points.

    Attributes:
        table: The sheet, as it stands in the workbook.
        number: The column's number, from 1.
        column: How its cells are read; its `field` is empty where the column is the shop's own.
    """

    table: Table
    number: int
    column: Column

    @property
    def header(self) -> str:
        """The column's name as it stands in the sheet."""
        return self.table.headers[self.number]

    def at(self, row: int) -> Cell:
        """The column's cell in a row."""
        return Cell(self.table.title, row, self.number)

    def cells(self) -> list[RawValue]:
        """What stands in the column, row by row."""
        return [cell_in(cells, self.number) for _, cells in self.table.body]


def cell_in(cells: list[RawValue], number: int) -> RawValue:
    """One cell of a row that may be shorter."""
    return cells[number - 1] if 0 < number <= len(cells) else None


def raw_cell(row: Row, field: str) -> RawValue:
    """What stands in a cell before it was read."""
    column = row.table.columns[field]
    return next((cell_in(cells, column) for number, cells in row.table.body if number == row.number), None)


def find_sheet(row: Row) -> Sheet | None:
    """The product sheet that a row is about; where it is about none whose ratings count, the row says so."""
    name = row.get("sheet")
    if name is None:
        return None
    sheet, rated = _BY_NAME.get(key(name)), [one.name for one in RATED.values()]
    if sheet is None:
        expected = "Sheet: a product sheet whose ratings earn points"
        row.faults.append(Fault(row.at("sheet"), "unknown-name", f'"{name}"', expected, did_you_mean(name, rated)))
    elif sheet.field not in RATED:
        expected, mend = f"Sheet: one of {', '.join(rated)}", f"not used, for no rating counts on {sheet.name}"
        row.faults.append(row.fault("sheet", "earns-nothing", expected, mend, Severity.WARNING))
    return sheet


def nearly_named(name: str) -> frozenset[str]:
    """Fields of the sheets that a misspelt name may mean."""
    near = get_close_matches(name.casefold(), [sheet.name.casefold() for sheet in RATED.values()], 3, 0.6)
    return frozenset(field for field, sheet in RATED.items() if sheet.name.casefold() in near)


def find_source(row: Row, sheet: Sheet, table: Table) -> Source | None:
    """The column that a row is about; where it is about none that can earn points, the row says so."""
    name = row.get("column")
    if name is None:
        return None
    numbers = _numbers(key(name), sheet, table)
    declared = next((one for one in sheet.columns if key(name) in one.keys), None)
    field = table.field_at(numbers[0]) if numbers else declared.field if declared else None
    refused = _refused(field, name, sheet)
    if refused:
        expected = f"Column: Brand or one of the sheet's own, such as {_own_columns(sheet)}"
        row.faults.append(row.fault("column", "not-a-criterion", expected, refused))
    elif not numbers:
        known = [one for at, one in table.headers.items() if not _refused(table.field_at(at), one, sheet)]
        mend = f"add the column to {table.title}, or take the row out" if declared else did_you_mean(name, known)
        expected = f"Column: a column of the sheet {table.title}"
        row.faults.append(row.fault("column", "unknown-name", expected, mend))
    elif len(numbers) > 1:
        expected = f"Column: a name that stands once in {table.title}"
        mend = f"rename {Cell(table.title, table.header_row, numbers[1])} or the other of the two"
        row.faults.append(row.fault("column", "doubled-header", expected, mend))
    else:
        column = sheet.column(field) if field else Column(header=table.headers[numbers[0]], field="", help="")
        return Source(table, numbers[0], column)
    return None


def _numbers(name: str, sheet: Sheet, table: Table) -> list[int]:
    """Numbers of the columns that bear a name; another name of a column counts where none bears it itself."""
    borne = [number for number, header in table.headers.items() if key(header) == name]
    meant = [table.columns[one.field] for one in sheet.columns if name in one.keys and one.field in table.columns]
    return borne or meant


def _refused(field: str | None, header: str, sheet: Sheet) -> str:
    """Why a column is no criterion; empty where it is one."""
    if field in {"price", "cost"} or (field is None and MONEY_WORDS & set(header.casefold().split())):
        return COUNTED_TWICE
    if field is None:
        return ""
    column = sheet.column(field)
    if column.kind is Kind.MONEY:
        return COUNTED_TWICE
    return NO_QUALITY if field in SHARED or column.kind not in READ else ""


def _own_columns(sheet: Sheet) -> str:
    """A few columns that can earn points."""
    named = [column.header for column in sheet.columns if column.field not in SHARED | {"brand"}]
    return ", ".join(named[:3])


def with_kind(source: Source, *, numbers: bool, words: Iterable[RawValue]) -> Source:
    """A column of the shop's own, read as what the `Points` rows make of it: numbers, yes and no, or words."""
    if source.column.field:
        return source
    if numbers:
        last = source.header.split()[-1]
        unit = next((unit for unit in SPELLINGS if unit and is_unit(last, unit)), "")
        return replace(source, column=replace(source.column, kind=Kind.NUMBER, unit=unit))
    answers = all(isinstance(word, bool) or (isinstance(word, str) and word.casefold() in ANSWERS) for word in words)
    return replace(source, column=replace(source.column, kind=Kind.YES_NO if answers else Kind.TEXT))


def hints_of(source: Source, currency: str, beside: Iterable[RawValue] = ()) -> Hints:
    """The decimal mark that a column's texts show, those of the `Points` sheet about it among them."""
    texts = {value for value in (*source.cells(), *beside) if isinstance(value, str)}
    return Hints(shown_mark(texts) if source.column.kind in NUMERIC else None, currency)


def read_bound(value: RawValue, header: str, source: Source, hints: Hints) -> Value | Problem | None:
    """A worst or best number: read like the column's own cells, but free of the column's range."""
    free = {"kind": Kind.NUMBER, "positive": False, "low": None, "high": None, "required": True, "rounded": False}
    return parse_cell(value, replace(source.column, header=header, **free), hints)  # type: ignore[arg-type]


def read_word(value: RawValue, source: Source, hints: Hints) -> Value | Problem | None:
    """A word, yes or no, or certain number, read like the column's own cells."""
    return parse_cell(value, replace(source.column, header="Value"), hints)


def table_of(sheet: Sheet, tables: Mapping[str, Table]) -> Table | None:
    """The sheet as it stands in the workbook, where its header row is found."""
    table = tables.get(sheet.field)
    return table if table and table.headers else None
