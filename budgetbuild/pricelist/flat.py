"""The flat list: one table of a workbook or a text file, whatever its columns are called."""

from __future__ import annotations

import codecs
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.cells import RawValue, plain
from budgetbuild.catalogue.package import is_package, package_of, read_bytes
from budgetbuild.catalogue.problems import did_you_mean
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.catalogue.schema import Column, Sheet, SheetKind, key
from budgetbuild.catalogue.tables import HEADER_WITHIN, note_beyond
from budgetbuild.catalogue.text_table import LONGEST_LINE, MARKS, read_text_table
from budgetbuild.faults import Cell, Collector, Fault, Severity, UserInputError
from budgetbuild.given import name_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable
    from pathlib import Path

    from budgetbuild.catalogue.read import RawSheet

WANTED = "a price list: a text table (CSV) or an Excel workbook (.xlsx)"
FEW_LISTED = 12
UTF_16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


@dataclass(frozen=True, slots=True)
class Flat:
    """A flat list that is read.

    Attributes:
        file: Its name.
        title: Of the sheet; empty for a text file.
        header_row: Number of the row with the column names.
        headers: Column names by column number, counted from 1.
        rows: Row number and cells of every filled row below; rows that repeat the column names are left out.
        notices: How it was read where that has to be said.
        other_sheets: Titles of the sheets that are not read.
    """

    file: str
    title: str
    header_row: int
    headers: dict[int, str]
    rows: tuple[tuple[int, list[RawValue]], ...]
    notices: tuple[Fault, ...] = ()
    other_sheets: tuple[str, ...] = ()

    def at(self, row: int, column: int = 0) -> Cell:
        """Where something stands in the list."""
        return Cell(self.title, row, column, self.file)

    def columns_named(self, name: str) -> list[int]:
        """Numbers of the columns of that name, as names are matched."""
        return [number for number, header in self.headers.items() if key(header) == key(name)]


def cell_of(cells: list[RawValue], column: int) -> RawValue:
    """What stands in a column (from 1) of a row that may be shorter."""
    return cells[column - 1] if column <= len(cells) else None


def read_flat(path: Path, names: Collection[str], sheet: str = "") -> Flat:
    """Read a flat list.

    Args:
        path: The file, of either kind, whatever its name says.
        names: What its columns may be called, by which the header row (and what separates the cells of a text file)
            is known; without a match it is the first row with the most texts.
        sheet: Which sheet of a workbook; may be left out where only one is filled.

    Raises:
        UserInputError: The file or the sheet cannot be read; everything that is wrong with it.
    """
    data, name = read_bytes(path, WANTED), name_of(path)
    if is_package(data):
        raw = read_sheets(package_of(name, data))
        one = _chosen(name, [one for one in raw if one.rows], sheet)
        return _flat(name, one, names, (), tuple(other.title for other in raw if other is not one))
    table = read_text_table(name, data, _declared(names or _likely_names(data)))
    if any(fault.severity is Severity.FAULT for fault in table.faults):
        raise UserInputError(list(table.faults))
    return _flat(name, table.raw, names, table.faults)


def _declared(names: Iterable[str]) -> Sheet:
    """Column names as the declaration of a sheet, which the reader of text tables asks for."""
    columns = tuple(Column(header=name, field=name, help="") for name in names)
    return Sheet(name="List", field="list", kind=SheetKind.TABLE, help="", columns=columns)


def _likely_names(data: bytes) -> list[str]:
    """The line, and the separator, that give most different names, where no names are known; the first among equals."""
    text = data.decode("utf-16" if data.startswith(UTF_16) else "utf-8-sig", "replace")
    first = [line for line in text.splitlines()[:HEADER_WITHIN] if len(line) <= LONGEST_LINE]
    lines = [line.split(mark) for line in first for mark in MARKS]
    names = [list(dict.fromkeys(name for part in parts if key(name := part.strip(' "')))) for parts in lines]
    return max(names, key=len, default=[])


def _chosen(file: str, filled: list[RawSheet], sheet: str) -> RawSheet:
    """The sheet that is read.

    Raises:
        UserInputError: It is not there, or it is not said which of several is meant.
    """
    titles = [one.title for one in filled]
    if not filled:
        raise UserInputError([Fault(Cell(file=file), "empty-file", "nothing", WANTED, "take a copy that holds rows")])
    if not sheet and len(filled) == 1:
        return filled[0]
    found = next((one for one in filled if sheet and key(one.title) == key(sheet)), None)
    if found:
        return found
    listed = ", ".join(titles[:FEW_LISTED])
    at, code = Cell(file=file), "unknown-sheet" if sheet else "which-sheet"
    mend = did_you_mean(sheet, titles) if sheet else "name the sheet in the mapping, under [list], or with --sheet"
    raise UserInputError([Fault(at, code, f'"{sheet}"' if sheet else listed, f"one of {listed}", mend)])


def _flat(
    file: str, raw: RawSheet, names: Collection[str], notices: tuple[Fault, ...], others: tuple[str, ...] = ()
) -> Flat:
    """The list under its header row."""
    known = {key(name) for name in names}
    index = _header_index(raw, known)
    number, cells = raw.rows[index]
    headers = {at: text for at, cell in enumerate(cells, start=1) if (text := _header(cell))}
    rows = tuple(row for row in raw.rows[index + 1 :] if not _repeats(headers, row[1]))
    told = (*notices, *_hidden(file, raw), *_beyond(file, raw))
    return Flat(file, raw.title, number, headers, rows, told, others)


def _hidden(file: str, raw: RawSheet) -> list[Fault]:
    """Hidden rows are read like any other, and said so."""
    if not raw.hidden_rows:
        return []
    at, found = Cell(raw.title, raw.hidden_rows[0], 0, file), f"{len(raw.hidden_rows)} hidden rows"
    mend = "they are read like the others; show them to check them"
    return [Fault(at, "hidden-rows", found, "rows that can be seen", mend, Severity.NOTICE)]


def _beyond(file: str, raw: RawSheet) -> list[Fault]:
    """What stands farther right than is read is left out, and said so."""
    notes = Collector()
    note_beyond(raw, notes)
    return [replace(fault, at=replace(fault.at, file=file)) for fault in notes.faults]


def _header_index(raw: RawSheet, known: set[str]) -> int:
    """Which of the first rows has most of the known names; without any, the first with the most texts."""
    first = raw.rows[:HEADER_WITHIN]
    named = [len({key(_header(cell)) for cell in cells} & known) for _, cells in first]
    texts = [len({cell for cell in cells if isinstance(cell, str)}) for _, cells in first]
    best = named if any(named) else texts
    return best.index(max(best))


def _header(value: RawValue) -> str:
    """The text of a header cell."""
    if isinstance(value, float):
        return plain(value)
    return value if isinstance(value, str) else ""


def _repeats(headers: dict[int, str], cells: list[RawValue]) -> bool:
    """Whether a row only repeats the column names, as lists made for printing do on each page."""
    filled = [(at, cell) for at, cell in enumerate(cells, start=1) if cell is not None]
    return len(filled) > 1 and all(_header(cell) == headers.get(at) for at, cell in filled)
