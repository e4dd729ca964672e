"""From a table to parsed rows: every cell read, every fault kept with its row until it is known whether it matters."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import zip_longest
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.cells import RawValue, shown
from budgetbuild.catalogue.numbers import shown_mark
from budgetbuild.catalogue.parse_numbers import Hints
from budgetbuild.catalogue.problems import Problem, wanted
from budgetbuild.catalogue.schema import NUMERIC, Column, key
from budgetbuild.catalogue.whole_columns import parse_column
from budgetbuild.faults import Cell, Fault, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

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
    spoilt: frozenset[str] = frozenset()
    told: dict[str, Cell] = field(default_factory=dict)
    unrated: bool = False

    def get(self, name: str) -> Any:  # noqa: ANN401 - the type follows from the column's kind
        """The value of a field; `None` where it is blank or spoilt."""
        return self.values.get(name)

    def filled(self, *names: str) -> bool:
        """Whether every one of the cells holds something, sound or not."""
        for name in names:  # noqa: SIM110 - asked of every row, and `all` takes twice as long
            if name not in self.values and name not in self.spoilt:
                return False
        return True

    def at(self, name: str) -> Cell:
        """Where a field stands."""
        return self.told.get(name) or self.table.at(self.number, name)

    def tell(self, name: str, value: object, where: Cell) -> None:
        """Put a value in the place of what stands in the sheet, faults of the cell included."""
        cell = self.table.at(self.number, name)
        self.faults = [fault for fault in self.faults if fault.at != cell]
        self.spoilt -= {name}
        self.values[name] = value
        self.told[name] = where

    def spoil(self, name: str, where: Cell, faults: list[Fault]) -> None:
        """Put a cell that cannot be used in the place of what stands in the sheet."""
        self.tell(name, None, where)
        del self.values[name]
        self.spoilt |= {name}
        self.faults += faults

    def field_at(self, at: Cell) -> str | None:
        """The field that a cell fills, if any, be it in the sheet or in another file."""
        if at.file:
            return next((name for name, cell in self.told.items() if cell == at), None)
        return self.table.field_at(at.column)

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong that takes the row away."""
        return not self.faults or not any(fault.severity is Severity.FAULT for fault in self.faults)

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
    """Read a table column by column; rows without anything in a known column are blank."""
    known = [column for column in table.sheet.columns if column.field in table.columns]
    cells = _across(table, table.body, known)
    hints = [_hints(column, some, currency) for column, some in zip(known, cells, strict=True)]
    body = _without_repeated_headers(table, cells)
    if len(body) < len(table.body):
        cells = _across(table, body, known)
    read = [parse_column(some, column, hint) for some, column, hint in zip(cells, known, hints, strict=True)]
    fields = [column.field for column in known]
    rows = [
        Row(table, number, {name: value for name, value in zip(fields, values, strict=True) if value is not None})
        for (number, _), values in zip(body, zip(*(parsed.values for parsed in read), strict=True), strict=bool(known))
    ]
    for column, some, parsed in zip(known, cells, read, strict=True):
        for place, problem in parsed.problems.items():
            _note_problem(rows[place], column, some[place], problem)
    called_for = [parsed.values for column, parsed in zip(known, read, strict=True) if column.needs_header]
    for place in sorted({place for values in called_for if None in values for place in _blanks(values)}):
        if rows[place].values or rows[place].faults:
            _check_required(rows[place], known)
            _assume(rows[place])
    return [row for row in rows if row.values or row.faults]


def _across(table: Table, body: Sequence[tuple[int, list[RawValue]]], known: list[Column]) -> list[Sequence[RawValue]]:
    """The cells of each known column, as many as there are rows."""
    columns = list(zip_longest(*(cells for _, cells in body)))
    blank = (None,) * len(body)
    numbers = (table.columns[column.field] for column in known)
    return [columns[number - 1] if number <= len(columns) else blank for number in numbers]


def _hints(column: Column, cells: Sequence[RawValue], currency: str) -> Hints:
    """What the texts of a column say about its numbers."""
    telling = column.kind in NUMERIC and str in set(map(type, cells))
    return Hints(shown_mark({cell for cell in cells if isinstance(cell, str)}) if telling else None, currency)


def _blanks(values: Sequence[object]) -> Iterator[int]:
    """Where a column has no value."""
    return (place for place, value in enumerate(values) if value is None)


def _without_repeated_headers(table: Table, columns: list[Sequence[RawValue]]) -> Sequence[tuple[int, list[RawValue]]]:
    """The rows, but for those that only repeat the column names; a number anywhere in a row says that it does not."""
    of_texts: Sequence[int] = range(len(table.body))
    # A full column of numbers, where there is one, settles it at once.
    for cells in sorted(columns, key=lambda cells: isinstance(cells[0], str) if cells else False):
        of_texts = [place for place in of_texts if cells[place] is None or isinstance(cells[place], str)]
    names = {number - 1: table.sheet.column(field).keys for field, number in table.columns.items()}
    repeated = {place for place in of_texts if _repeats_headers(names, table.body[place][1])}
    if not repeated:
        return table.body
    return [row for place, row in enumerate(table.body) if place not in repeated]


def _repeats_headers(names: dict[int, tuple[str, ...]], cells: list[RawValue]) -> bool:
    """Whether a row only repeats the column names, as lists made for printing do on each page."""
    filled = [(index, value) for index, value in enumerate(cells) if value is not None and index in names]
    return len(filled) > 1 and all(isinstance(value, str) and key(value) in names[index] for index, value in filled)


def _note_problem(row: Row, column: Column, value: RawValue, problem: Problem) -> None:
    """Note what is wrong with a cell."""
    if problem.severity is Severity.FAULT:
        row.spoilt |= {column.field}
    row.faults.append(problem_fault(problem, row.at(column.field), value, column))


def problem_fault(problem: Problem, at: Cell, value: RawValue, column: Column) -> Fault:
    """A cell's problem as a located fault."""
    return Fault(at, problem.code, shown(value), f"{column.header}: {problem.expected}", problem.mend, problem.severity)


def _check_required(row: Row, columns: list[Column]) -> None:
    """Every required cell of a row is filled; a heading or a total among the rows is one fault, not one a column."""
    blank = [column for column in columns if column.required and not row.filled(column.field)]
    if 0 < len(row.values) <= FEW_FILLED and not row.spoilt and len(blank) > len(row.values):
        filled = [column for column in columns if column.field in row.values]
        row.faults.append(_no_row(row, filled[0], blank))
        row.spoilt |= {column.field for column in columns if column not in filled}
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
