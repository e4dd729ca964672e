"""From raw sheets to tables: which sheet is which, where its header row is, which column is which."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.catalogue.cells import RawValue, plain
from budgetbuild.catalogue.columns import FOR_PEOPLE, SHEETS
from budgetbuild.catalogue.problems import did_you_mean
from budgetbuild.catalogue.read import MOST_COLUMNS
from budgetbuild.catalogue.schema import Column, Sheet, key
from budgetbuild.catalogue.units import PEAK
from budgetbuild.faults import Cell, Collector, Severity, column_letters

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.catalogue.read import RawSheet

HEADER_WITHIN = 100
"""Filled rows among which the header row must be."""
LEAST_HEADERS = 2
POWER_WORDS = frozenset({"w", "watt", "watts", "power", "rms"})
EITHER_OF = (("mm2", "awg"),)
"""Pairs of columns of which a sheet needs at least one."""


@dataclass(frozen=True, slots=True)
class Table:
    """A sheet whose header row is found.

    Attributes:
        sheet: Its declaration.
        title: Its name in the workbook.
        header_row: Number of the header row.
        columns: Column number (from 1) of each field that has a header.
        body: Rows under the header row.
        sound: Whether its header row has no fault; otherwise its rows cannot be trusted.
        file: Name of the file that it stands in, where that is another than the catalogue.
        headers: What stands in the header row, by column number, columns of the shop's own among it.
    """

    sheet: Sheet
    title: str
    header_row: int
    columns: dict[str, int]
    body: tuple[tuple[int, list[RawValue]], ...]
    sound: bool = True
    file: str = ""
    headers: dict[int, str] = field(default_factory=dict)

    def at(self, row: int, field: str) -> Cell:
        """Where a field of a row stands."""
        return Cell(self.title, row, self.columns.get(field, 0), self.file)

    def field_at(self, column: int) -> str | None:
        """The field that a column fills, if any."""
        return next((field for field, number in self.columns.items() if number == column), None)


@dataclass(slots=True)
class SheetFaults:
    """Faults of one sheet's headers, so that those of a sheet that no brief needs can be told as warnings."""

    sheet: Sheet
    collector: Collector


def find_tables(raw: list[RawSheet], notes: Collector) -> tuple[dict[str, Table], list[SheetFaults]]:
    """Match the workbook's sheets with the declarations.

    Args:
        raw: The workbook's sheets.
        notes: Takes what concerns no declared sheet.

    Returns:
        The tables by the field that each fills, and the faults in their headers, sheet by sheet.
    """
    tables: dict[str, Table] = {}
    faults: list[SheetFaults] = []
    meant = _meant_sheets([one.title for one in raw])
    absent = [sheet.name for sheet in SHEETS if sheet not in meant.values()]
    for one in raw:
        if key(one.title) in map(key, FOR_PEOPLE):
            continue
        sheet = meant.get(one.title)
        if sheet is None:
            _note_unknown_sheet(one, absent, notes)
        elif sheet.field in tables:
            notes.add(
                Cell(one.title),
                "doubled-sheet",
                one.title,
                f"one sheet {sheet.name} only",
                f"put its rows into {tables[sheet.field].title}, or rename it",
            )
        else:
            collector = Collector()
            faults.append(SheetFaults(sheet, collector))
            tables[sheet.field] = read_table(sheet, one, collector)
    return tables, faults


def _meant_sheets(titles: list[str]) -> dict[str, Sheet]:
    """Which sheet is which; one that only resembles a name gives way to one that bears it."""
    by_name = {key(sheet.name): sheet for sheet in SHEETS}
    by_alias = {name: sheet for sheet in SHEETS for name in sheet.keys}
    borne = {title: by_name[key(title)] for title in titles if key(title) in by_name}
    alike = {title: by_alias[key(title)] for title in titles if title not in borne and key(title) in by_alias}
    return borne | {title: sheet for title, sheet in alike.items() if sheet not in borne.values()}


def _note_unknown_sheet(one: RawSheet, absent: list[str], notes: Collector) -> None:
    """A sheet that is not ours is left alone; one that resembles a name of ours is worth a warning."""
    hint = _only_near(one.title, absent)
    read_instead = next((sheet.name for sheet in SHEETS if key(one.title) in sheet.keys), "")
    if read_instead:
        hint = f"; {read_instead} is read, put its rows there"
    severity = Severity.WARNING if hint else Severity.NOTICE
    notes.add(Cell(one.title), "unknown-sheet", one.title, "a sheet that is read", f"ignored{hint}", severity)


def _only_near(name: str, absent: list[str]) -> str:
    """A did-you-mean among the names that are not there, where there is one."""
    hint = did_you_mean(name, absent) if absent else ""
    return f"; {hint}" if hint.startswith("did") else ""


def read_table(sheet: Sheet, raw: RawSheet, faults: Collector) -> Table:
    """Find the header row of a sheet and what stands in it.

    Args:
        sheet: Its declaration.
        raw: Its rows.
        faults: Takes what is wrong with its headers.
    """
    _note_hidden(raw, faults)
    note_beyond(raw, faults)
    at = header_index(sheet, raw)
    if at is None:
        if raw.rows:
            faults.add(
                Cell(raw.title),
                "no-header-row",
                raw.title,
                _headers_in_words(sheet),
                "write the column names in one row above the table",
            )
        return Table(sheet, raw.title, 0, {}, (), sound=not raw.rows)
    number, cells = raw.rows[at]
    headers = {column: header for column, value in enumerate(cells, start=1) if (header := _header(value))}
    columns = _columns(sheet, raw.title, number, headers, faults)
    _note_above(raw, at, columns, faults)
    _check_merges(raw, number, columns, faults)
    if not any(fault.code == "merged-header" for fault in faults.faults):
        _check_present(sheet, Cell(raw.title, number), columns, headers, faults)
    body, sound = raw.rows[at + 1 :], not faults.stopping
    return Table(sheet, raw.title, number, columns, body, sound=sound, headers=headers)


def _note_hidden(raw: RawSheet, faults: Collector) -> None:
    """Hidden sheets and rows are read like any other, and said so."""
    if raw.hidden:
        faults.add(
            Cell(raw.title),
            "hidden-sheet",
            raw.title,
            "a sheet that can be seen",
            "it is read like the others; show it to check it",
            Severity.NOTICE,
        )
    if raw.hidden_rows:
        faults.add(
            Cell(raw.title, raw.hidden_rows[0]),
            "hidden-rows",
            f"{len(raw.hidden_rows)} hidden row{'' if len(raw.hidden_rows) == 1 else 's'}",
            "rows that can be seen",
            "they are read like the others; show them to check them",
            Severity.NOTICE,
        )


def note_beyond(raw: RawSheet, faults: Collector) -> None:
    """What stands farther right than is read is left out, and said so."""
    if raw.beyond:
        faults.add(
            Cell(raw.title),
            "too-many-columns",
            f"cells beyond column {column_letters(MOST_COLUMNS)}",
            f"a table within the first {MOST_COLUMNS} columns",
            "left out; move what belongs to the table to the left",
            Severity.WARNING,
        )


def _note_above(raw: RawSheet, header: int, columns: dict[str, int], faults: Collector) -> None:
    """Rows above the column names are titles and remarks; one that is filled like a row of the table is told."""
    for number, cells in raw.rows[:header]:
        filled = sum(column <= len(cells) and cells[column - 1] is not None for column in columns.values())
        if filled > max(len(columns) / 2, LEAST_HEADERS):
            faults.add(
                Cell(raw.title, number),
                "row-above-header",
                "a filled row",
                "titles and remarks alone above the column names",
                "left out; move it below the column names if it belongs to the table",
                Severity.WARNING,
            )


def _headers_in_words(sheet: Sheet) -> str:
    """The column names that a sheet needs."""
    return "a row with the column names " + ", ".join(column.header for column in sheet.columns if column.needs_header)


def _header(value: RawValue) -> str:
    """The text of a header cell."""
    if isinstance(value, float):
        return plain(value)
    return value if isinstance(value, str) else ""


def header_index(sheet: Sheet, raw: RawSheet) -> int | None:
    """Which of the first rows looks most like the header row of a sheet; the first among equals, `None` where none."""
    known = known_names(sheet)
    best, most = None, LEAST_HEADERS - 1
    for index, (_, cells) in enumerate(raw.rows[:HEADER_WITHIN]):
        matched = len(named_fields(known, cells))
        if matched > most:
            best, most = index, matched
    return best


def known_names(sheet: Sheet) -> dict[str, str]:
    """The field that each name of a column means, by the name as names are matched."""
    return {name: column.field for column in sheet.columns for name in column.keys}


def named_fields(known: Mapping[str, str], cells: Iterable[RawValue]) -> set[str]:
    """The fields that the cells of a row name; `known` is that of `known_names`."""
    return {known[name] for name in (key(_header(value)) for value in cells) if name in known}


def _columns(sheet: Sheet, title: str, row: int, headers: dict[int, str], faults: Collector) -> dict[str, int]:
    """Which column holds which field; doubled headers are faults, unknown ones notices."""
    meant = _meant_columns(sheet, headers)
    columns: dict[str, int] = {}
    for number, name in meant.items():
        if name in columns:
            faults.add(
                Cell(title, row, number),
                "doubled-header",
                f'"{headers[number]}"',
                "each column name once",
                f"{Cell(title, row, columns[name])} has the same name; rename or delete one of the two",
            )
        columns.setdefault(name, number)
    absent = [column.header for column in sheet.columns if column.field not in columns]
    for number, header in headers.items():
        if number not in meant:
            _note_unknown_column(Cell(title, row, number), header, absent, faults)
    return columns


def _meant_columns(sheet: Sheet, headers: dict[int, str]) -> dict[int, str]:
    """Which header names which field; another name counts only where the column's own name is not there."""
    own = {key(column.header): column.field for column in sheet.columns}
    other = {name: column.field for column in sheet.columns for name in column.keys}
    there = {own[key(header)] for header in headers.values() if key(header) in own}
    meant = {}
    for number, header in headers.items():
        name = key(header)
        if name in own or other.get(name, "") not in {*there, ""}:
            meant[number] = other[name]
    return meant


def _note_unknown_column(at: Cell, header: str, absent: list[str], faults: Collector) -> None:
    """A column that is not ours is left alone; one of peak powers, or near a name of ours, is worth a warning."""
    if PEAK.search(header) and POWER_WORDS & set(header.casefold().split()):
        faults.add(
            at,
            "peak-power",
            f'"{header}"',
            "columns of continuous RMS power",
            "ignored; maximum and peak power are never used",
            Severity.WARNING,
        )
        return
    hint = _only_near(header, absent)
    severity = Severity.WARNING if hint else Severity.NOTICE
    faults.add(at, "unknown-column", f'"{header}"', "a column that is read", f"ignored{hint}", severity)


def _check_merges(raw: RawSheet, header_row: int, columns: dict[str, int], faults: Collector) -> None:
    """Merged headers are faults; merged cells below give their value to the first row only."""
    for merge in raw.merges:
        if not any(merge.left <= number <= merge.right for number in columns.values()):
            continue
        at = Cell(raw.title, merge.top, merge.left)
        if merge.top <= header_row <= merge.bottom:
            faults.add(
                at,
                "merged-header",
                "merged cells",
                "one cell for each column name",
                "take the merging off, and give each column its own name",
            )
        elif merge.top > header_row:
            faults.add(
                at,
                "merged-cells",
                "merged cells",
                "one cell for each value",
                "take the merging off; only the first cell has the value",
                Severity.WARNING,
            )


def _check_present(sheet: Sheet, at: Cell, columns: dict[str, int], headers: dict[int, str], faults: Collector) -> None:
    """Every column that must be there has a header."""
    taken = set(columns.values())
    others = [header for number, header in headers.items() if number not in taken]
    for column in sheet.columns:
        if column.needs_header and column.field not in columns:
            _missing(column, column.header, at, others, faults)
    for pair in EITHER_OF:
        either = [column for column in sheet.columns if column.field in pair]
        if either and not any(column.field in columns for column in either):
            _missing(either[0], " or ".join(column.header for column in either), at, others, faults)


def _missing(column: Column, name: str, at: Cell, others: list[str], faults: Collector) -> None:
    """A required column is not there."""
    hint = did_you_mean(column.header, others) if others else ""
    near = hint.replace("did you mean", "or is it").rstrip("?") if hint.startswith("did") else ""
    faults.add(at, "missing-column", "no such column", f"a column {name}", f"add it{f'; {near}?' if near else ''}")
