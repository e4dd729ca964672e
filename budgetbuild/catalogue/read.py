"""From a safe package to the raw rows of every sheet, on one of two roads that give the same rows.

The fast road (calamine) reads what a sheet says; the raw look adds what it loses. Sheets that are written unusually,
or spread so wide that the fast road would run out of memory, take the careful road (openpyxl).
"""

from __future__ import annotations

import datetime as dt
import io
import warnings
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from types import NoneType
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.cells import DateValue, ErrorValue, Formatted, NoStoredValue, RawValue, telling, tidy
from budgetbuild.catalogue.look import Look, Merge, look, telling_styles
from budgetbuild.catalogue.package import Package, damaged, refuse
from budgetbuild.catalogue.vast import refuse_vast_ranges, refuse_vast_texts
from budgetbuild.faults import UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from openpyxl.cell.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

    from budgetbuild.catalogue.package import SheetPart

MOST_ROWS = 200_000
MOST_COLUMNS = 400
MOST_CELLS = 5_000_000
MOST_CAREFUL_CELLS = 2_000_000
"""In sheets that are read with care, which takes some ten times the time and the memory."""


@dataclass(frozen=True, slots=True)
class RawSheet:
    """The filled rows of one sheet, as they stand.

    Attributes:
        rows: Row number (from 1) and the cells of the row from column 1; blank rows are left out.
        beyond: Whether anything stands in columns farther right than are read.
    """

    title: str
    rows: tuple[tuple[int, list[RawValue]], ...]
    hidden: bool = False
    hidden_rows: tuple[int, ...] = ()
    merges: tuple[Merge, ...] = ()
    beyond: bool = False


def read_sheets(package: Package, *, careful: bool = False) -> list[RawSheet]:
    """Read every sheet; `careful` takes the careful road for all of them.

    Raises:
        UserInputError: A sheet is larger than any price list, or no reader understands the workbook.
    """
    with _understood(package.name):
        return _read(package, careful=careful)


@contextmanager
def _understood(name: str, sheet: str = "") -> Iterator[None]:
    """Whatever a damaged part makes a reader stumble over becomes a fault, at the sheet where it is known.

    What stops a reader that is written in Rust is no `Exception` at all.

    Raises:
        UserInputError: No reader understands it.
    """
    try:
        yield
    except (UserInputError, MemoryError):
        raise
    except BaseException as error:
        if not isinstance(error, Exception) and type(error).__name__ != "PanicException":
            raise
        raise UserInputError([damaged(name, sheet)]) from error


def _read(package: Package, *, careful: bool) -> list[RawSheet]:
    """Look at every sheet, then read it on the road that the look allows."""
    styles = telling_styles(package.read("xl/styles.xml"))
    looks = [look(package.read(sheet.part), styles) for sheet in package.sheets]
    _refuse_too_large(package, looks, careful=careful)
    refuse_vast_texts(package, dict(zip(package.sheets, looks, strict=True)))
    fast = [sheet for sheet, seen in zip(package.sheets, looks, strict=True) if seen.plain and not careful]
    read = _fast(package, fast, looks)
    if len(fast) < len(package.sheets):
        read |= _careful(package, [sheet for sheet in package.sheets if sheet not in fast])
    return [read[sheet.title] for sheet in package.sheets]


def _refuse_too_large(package: Package, looks: list[Look], *, careful: bool) -> None:
    """Sheets larger than any price list, or than can be read with care."""
    for sheet, seen in zip(package.sheets, looks, strict=True):
        if seen.rows > MOST_ROWS:
            refuse(
                package.name,
                "too-many-rows",
                f"at most {MOST_ROWS} rows in a sheet",
                f"delete the empty formatted rows of {sheet.title}",
            )
    if sum(seen.cells for seen in looks) > MOST_CELLS:
        refuse(package.name, "too-many-cells", f"at most {MOST_CELLS} cells", "delete sheets that are no price list")
    if sum(seen.cells for seen in looks if careful or not seen.plain) > MOST_CAREFUL_CELLS:
        expected = f"at most {MOST_CAREFUL_CELLS} cells in sheets with a cell far from the others, or written unusually"
        refuse(package.name, "too-many-cells", expected, "copy the price list into a new workbook")


def _fast(package: Package, sheets: list[SheetPart], looks: list[Look]) -> dict[str, RawSheet]:
    """Sheets by the fast road."""
    if not sheets:
        return {}
    from python_calamine import CalamineWorkbook  # noqa: PLC0415 - only commands that read a workbook pay for it

    book = CalamineWorkbook.from_filelike(io.BytesIO(package.data))
    seen_of = {sheet.title: seen for sheet, seen in zip(package.sheets, looks, strict=True)}
    read = {}
    for sheet in sheets:
        with _understood(package.name, sheet.title):
            grid = book.get_sheet_by_name(sheet.title).to_python(skip_empty_area=False)
        read[sheet.title] = _patched(sheet, seen_of[sheet.title], grid)
    return read


def _patched(sheet: SheetPart, seen: Look, grid: list[list[Any]]) -> RawSheet:
    """What the fast reader says, with what it loses put back."""
    columns = list(map(values_of, islice(zip(*grid, strict=True), MOST_COLUMNS)))
    cells: list[list[RawValue]] = [list(row) for row in zip(*columns, strict=True)]
    lost: dict[tuple[int, int], RawValue] = {place: ErrorValue(text) for place, text in seen.errors.items()}
    lost |= dict.fromkeys(seen.hollow, NoStoredValue())
    for (row, column), value in lost.items():
        _put(cells, row, column, value)
    for (row, column), code in seen.formatted.items():
        if row <= len(cells) and column <= len(cells[row - 1]):
            number = cells[row - 1][column - 1]
            if isinstance(number, float):
                cells[row - 1][column - 1] = Formatted(number, code)
    beyond = any(column > MOST_COLUMNS for _, column in seen.errors) or _any_beyond(grid)
    filled = _filled(enumerate(cells, start=1))
    return RawSheet(sheet.title, filled, sheet.hidden, seen.hidden_rows, seen.merges, beyond)


def _any_beyond(grid: list[list[Any]]) -> bool:
    """Whether anything stands farther right than is read; all rows of a reader's grid are as long as the first."""
    if not grid or len(grid[0]) <= MOST_COLUMNS:
        return False
    return any(cell not in {"", None} for row in grid for cell in row[MOST_COLUMNS:])


def _put(cells: list[list[RawValue]], row: int, column: int, value: RawValue) -> None:
    """Set one cell, where the grid ends before it too."""
    if column > MOST_COLUMNS:
        return
    cells.extend([] for _ in range(row - len(cells)))
    line = cells[row - 1]
    line.extend(None for _ in range(column - len(line)))
    line[column - 1] = value


def _filled(rows: Any) -> tuple[tuple[int, list[RawValue]], ...]:  # noqa: ANN401 - any iterable of numbered rows
    """The rows that hold anything, each up to its last filled cell."""
    filled = []
    for number, row in rows:
        end = len(row)
        while end and row[end - 1] is None:
            end -= 1
        if end:
            del row[end:]
            filled.append((number, row))
    return tuple(filled)


def _careful(package: Package, sheets: list[SheetPart]) -> dict[str, RawSheet]:
    """Sheets by the careful road: once for values, once for formulas."""
    from openpyxl import load_workbook  # noqa: PLC0415 - only commands that read a workbook pay for it

    for sheet in sheets:
        refuse_vast_ranges(package.name, sheet, package.read(sheet.part))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # They tell of charts, drop-downs and the like, which are not read here.
        values = load_workbook(io.BytesIO(package.data), data_only=True, keep_links=False)
        formulas = load_workbook(io.BytesIO(package.data), keep_links=False)
    return {sheet.title: _careful_sheet(sheet, values[sheet.title], formulas[sheet.title]) for sheet in sheets}


def _careful_sheet(sheet: SheetPart, values: Worksheet, formulas: Worksheet) -> RawSheet:
    """One sheet by the careful road, cell by stored cell: a stray cell far away costs nothing."""
    stored = values._cells  # noqa: SLF001 - the stored cells only
    places = sorted(place for place in stored if place[1] <= MOST_COLUMNS)
    beyond = any(column > MOST_COLUMNS and cell.value is not None for (_, column), cell in stored.items())
    rows: dict[int, list[RawValue]] = {}
    for row, column in places:
        line = rows.setdefault(row, [])
        line.extend(None for _ in range(column - len(line)))
        line[column - 1] = _careful_value(values.cell(row, column), formulas.cell(row, column))
    hidden = tuple(int(number) for number, row in values.row_dimensions.items() if row.hidden)
    merges = tuple(Merge(m.min_row, m.min_col, m.max_row, m.max_col) for m in values.merged_cells.ranges)
    return RawSheet(sheet.title, _filled(sorted(rows.items())), sheet.hidden, hidden, merges, beyond)


def _careful_value(cell: Cell | MergedCell, formula: Cell | MergedCell) -> RawValue:
    """One cell by the careful road."""
    if cell.data_type == "e":
        return ErrorValue(str(cell.value))
    if cell.value is None and formula.data_type == "f" and cell.data_type != "str":
        return NoStoredValue()
    value = value_of(cell.value)
    code = str(cell.number_format)
    return Formatted(value, code) if isinstance(value, float) and telling(code) else value


def values_of(cells: Sequence[Any]) -> Sequence[RawValue]:
    """A column of a reader's values as raw values, each text looked at once; see `value_of`.

    >>> values_of(["Alva ", "", 12.5, "Alva ", True])
    ['Alva', None, 12.5, 'Alva', True]
    """
    kinds = set(map(type, cells))
    if not kinds <= {str, float, bool, NoneType}:
        return list(map(value_of, cells))
    if str not in kinds:
        return cells
    texts = [cell for cell in set(cells) if isinstance(cell, str)]
    if _are_tidy(texts):
        return cells
    known = {text: tidy(text) for text in texts}
    return list(map(known.get, cells, cells))


def _are_tidy(texts: list[str]) -> bool:
    """Whether every text is tidy: they are where they are side by side, with one space between them."""
    side_by_side = " ".join(texts)
    return tidy(side_by_side) == side_by_side


def value_of(value: Any) -> RawValue:  # noqa: ANN401 - whatever a reader library returns
    """A reader's value as a raw value: every number a float, every date its ISO text."""
    if isinstance(value, str):
        return tidy(value)
    if value is None or isinstance(value, (bool, float)):
        return value
    if isinstance(value, int):
        return float(value)
    if isinstance(value, dt.datetime) and value.time() == dt.time():
        return DateValue(value.date().isoformat())
    return DateValue(str(value))
