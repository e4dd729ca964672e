"""From a table to parsed rows: every cell read, every fault kept with its row until it is known whether it matters."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.cells import RawValue, shown
from budgetbuild.catalogue.numbers import shown_mark
from budgetbuild.catalogue.parse import parse_cell
from budgetbuild.catalogue.parse_numbers import Hints
from budgetbuild.catalogue.problems import Problem, wanted
from budgetbuild.catalogue.schema import NUMERIC, Column, key
from budgetbuild.faults import Cell, Fault, Severity

if TYPE_CHECKING:
    from budgetbuild.catalogue.tables import Table


FEW_FILLED = 2
"""Filled cells of a row that is no row of the table at all, where even more required ones are blank."""


@dataclass(slots=True, eq=False)
class Row:
    """One row of a table.

    Attributes:
        values: The value of every filled and sound cell, by field.
        faults: What is wrong with the row.
        spoilt: Fields whose cell cannot be used; nothing more is said about them.
        told: Where fields were told that do not stand in the sheet.
        unrated: Whether its rating is blank and cannot be reckoned, so that it is never offered.
    """

    table: Table
    number: int
    values: dict[str, Any] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    spoilt: set[str] = field(default_factory=set)
    told: dict[str, Cell] = field(default_factory=dict)
    unrated: bool = False

    def get(self, name: str) -> Any:  # noqa: ANN401 - the type follows from the column's kind
        """The value of a field; `None` where it is blank or spoilt."""
        return self.values.get(name)

    def filled(self, *names: str) -> bool:
        """Whether every one of the cells holds something, sound or not."""
        return all(name in self.values or name in self.spoilt for name in names)

    def at(self, name: str) -> Cell:
        """Where a field stands."""
        return self.told.get(name) or self.table.at(self.number, name)

    def tell(self, name: str, value: object, where: Cell) -> None:
        """Put a value in the place of what stands in the sheet, faults of the cell included."""
        cell = self.table.at(self.number, name)
        self.faults = [fault for fault in self.faults if fault.at != cell]
        self.spoilt.discard(name)
        self.values[name] = value
        self.told[name] = where

    def spoil(self, name: str, where: Cell, faults: list[Fault]) -> None:
        """Put a cell that cannot be used in the place of what stands in the sheet."""
        self.tell(name, None, where)
        del self.values[name]
        self.spoilt.add(name)
        self.faults += faults

    def field_at(self, at: Cell) -> str | None:
        """The field that a cell fills, if any, be it in the sheet or in another file."""
        if at.file:
            return next((name for name, cell in self.told.items() if cell == at), None)
        return self.table.field_at(at.column)

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong that takes the row away."""
        return not any(fault.severity is Severity.FAULT for fault in self.faults)

    def fault(self, name: str, code: str, expected: str, mend: str, severity: Severity = Severity.FAULT) -> Fault:
        """What is wrong with a field, as a fault at its cell."""
        return Fault(self.at(name), code, said(self.values.get(name)), expected, mend, severity)


def said(value: object) -> str:
    """A parsed value in a message."""
    if value is None:
        return "nothing"
    if isinstance(value, tuple):
        return f'"{"; ".join(value)}"'
    if isinstance(value, float):
        return f"{value:g}"
    return f'"{value}"' if isinstance(value, str) else str(value)


def parse_rows(table: Table, currency: str) -> list[Row]:
    """Read every row of a table; rows without anything in a known column are blank."""
    readers = [_Reader(column, table, currency) for column in table.sheet.columns if column.field in table.columns]
    names = {number - 1: table.sheet.column(field).keys for field, number in table.columns.items()}
    rows = []
    for number, cells in table.body:
        row = Row(table, number)
        if _repeats_headers(names, cells):
            continue
        for reader in readers:
            reader.read(cells, row)
        if row.values or row.faults:
            _check_required(row)
            _assume(row)
            rows.append(row)
    return rows


def _repeats_headers(names: dict[int, tuple[str, ...]], cells: list[RawValue]) -> bool:
    """Whether a row only repeats the column names, as lists made for printing do on each page."""
    filled = [(index, value) for index, value in enumerate(cells) if value is not None and index in names]
    return len(filled) > 1 and all(isinstance(value, str) and key(value) in names[index] for index, value in filled)


class _Reader:
    """Reads one column, once for every different content."""

    def __init__(self, column: Column, table: Table, currency: str) -> None:
        self.column = column
        self.index = table.columns[column.field] - 1
        self.known: dict[tuple[type, RawValue], object] = {}
        mark = None
        if column.kind in NUMERIC:
            cells = (row[self.index] for _, row in table.body if len(row) > self.index)
            mark = shown_mark({cell for cell in cells if isinstance(cell, str)})
        self.hints = Hints(mark, currency)

    def read(self, cells: list[RawValue], row: Row) -> None:
        """Read the column's cell of one row."""
        value = cells[self.index] if self.index < len(cells) else None
        if value is None:
            return
        same = (type(value), value)
        if same not in self.known:
            self.known[same] = parse_cell(value, self.column, self.hints)
        result = self.known[same]
        if isinstance(result, Problem):
            if result.severity is Severity.FAULT:
                row.spoilt.add(self.column.field)
            row.faults.append(problem_fault(result, row.at(self.column.field), value, self.column))
        else:
            row.values[self.column.field] = result


def problem_fault(problem: Problem, at: Cell, value: RawValue, column: Column) -> Fault:
    """A cell's problem as a located fault."""
    return Fault(at, problem.code, shown(value), f"{column.header}: {problem.expected}", problem.mend, problem.severity)


def _check_required(row: Row) -> None:
    """Every required cell of a row is filled; a heading or a total among the rows is one fault, not one a column."""
    columns = [column for column in row.table.sheet.columns if column.field in row.table.columns]
    blank = [column for column in columns if column.required and not row.filled(column.field)]
    filled = [column for column in columns if row.filled(column.field)]
    if len(filled) <= FEW_FILLED and not row.spoilt and len(blank) > len(filled):
        row.faults.append(_no_row(row, filled[0], blank))
        row.spoilt.update(column.field for column in columns if column not in filled)
        return
    row.faults.extend(
        Fault(
            row.at(column.field),
            "missing-value",
            "nothing",
            f"{column.header}: {wanted(column)}",
            "fill it in, or delete the row",
        )
        for column in blank
    )


def _no_row(row: Row, first: Column, blank: list[Column]) -> Fault:
    """A row with hardly a filled cell, such as the heading of a group of products, a total or a remark."""
    return Fault(
        row.at(first.field),
        "not-a-row",
        said(row.get(first.field)),
        f"a whole row, with {', '.join(column.header for column in blank)}",
        "fill the row in, or delete it; headings, totals and remarks have no place under the column names",
    )


def _assume(row: Row) -> None:
    """Blank cells that are read as a choice, with a notice each."""
    for column in row.table.sheet.columns:
        if column.assumed is None or column.field not in row.table.columns or row.filled(column.field):
            continue
        row.faults.append(
            row.fault(
                column.field,
                "blank-assumed",
                f"{column.header}: {wanted(column)}",
                f"read as {column.assumed}; write the word to be sure",
                Severity.NOTICE,
            )
        )
        row.values[column.field] = column.assumed
