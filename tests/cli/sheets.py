"""Reads and changes a catalogue workbook by the names of its rows, without the package's own reader."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import openpyxl

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from openpyxl.worksheet.worksheet import Worksheet

FIRST_COLUMNS = {"SKU", "Brief", "Work", "Setting", "Vehicle", "Tier"}


def edit(
    path: Path,
    folder: Path,
    cells: Mapping[tuple[str, str], Mapping[str, str | int | None]] | None = None,
    *,
    keep_rows: Mapping[str, str] | None = None,
) -> Path:
    """A copy of a workbook.

    Args:
        path: The workbook.
        folder: Where the copy goes.
        cells: New values by header, for a sheet and the name that its row begins with.
        keep_rows: The one row that stays, by sheet.
    """
    book = openpyxl.load_workbook(path)
    for (sheet, name), values in (cells or {}).items():
        header, headers = _header(book[sheet])
        row = next(row for row in _rows(book[sheet], header) if book[sheet].cell(row, 1).value == name)
        for title, value in values.items():
            book[sheet].cell(row, headers[title]).value = value
    for sheet, name in (keep_rows or {}).items():
        header, _ = _header(book[sheet])
        for row in reversed([*_rows(book[sheet], header)]):
            if book[sheet].cell(row, 1).value != name:
                book[sheet].delete_rows(row)
    copy = folder / "price list.xlsx"
    book.save(copy)
    return copy


def column(path: Path, sheet: str, key: str, value: str) -> dict[str, Any]:
    """What stands in one column, by what stands in another."""
    page = openpyxl.load_workbook(path, data_only=True)[sheet]
    header, headers = _header(page)
    return {
        str(page.cell(row, headers[key]).value): page.cell(row, headers[value]).value for row in _rows(page, header)
    }


def brands(path: Path) -> dict[str, str]:
    """The brand of every product, by SKU."""
    found: dict[str, str] = {}
    for page in openpyxl.load_workbook(path).worksheets:
        header, headers = _header(page)
        if "SKU" in headers:
            found |= {
                str(page.cell(row, headers["SKU"]).value): str(page.cell(row, headers["Brand"]).value)
                for row in _rows(page, header)
            }
    return found


def _header(page: Worksheet) -> tuple[int, dict[str, int]]:
    """Number of the header row, and of the column under each header."""
    for cells in page.iter_rows(min_row=1, max_row=6):
        if cells[0].value in FIRST_COLUMNS:
            return cells[0].row or 0, {str(cell.value): number for number, cell in enumerate(cells, start=1)}
    return 0, {}


def _rows(page: Worksheet, header: int) -> Iterator[int]:
    """Numbers of the rows under the header."""
    return (row for row in range(header + 1, page.max_row + 1) if page.cell(row, 1).value is not None)
