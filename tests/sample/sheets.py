"""Plain tables written as a catalogue workbook, the same bytes each time; the schema gives headers, help and lists."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import xlsxwriter

from budgetbuild.catalogue.columns import SETTINGS, SHEETS, Column, Kind, Sheet, SheetKind

if TYPE_CHECKING:
    from pathlib import Path

    from tests.sample.tables import Row, Tables, Value

CREATED = dt.datetime(2026, 11, 2, 9, 0)  # noqa: DTZ001 - documents hold a time without a zone
INK, PAPER, LINE = "#FFFFFF", "#1F4E5F", "#9FB8C1"
SPARE_ROWS = 200
"""Empty rows below the last one that have the drop-downs too."""
KIND_FORMATS = {
    Kind.MONEY: "[$€-2] #,##0.00",
    Kind.SHARE: "0%",
    Kind.DATE: "yyyy-mm-dd",
    Kind.SKU: "@",
    Kind.AWG: "@",
}
FIELD_FORMATS = {"rating": "0.0", "hours": "0.00", "supply_v": "0.0"}
UNIT_FORMATS = {"mm": "#,##0", "m": "0.0"}
HEADER_LINES = 3
LINE_HEIGHT = 15.5
NARROWEST, WIDEST = 8, 46


class Writer:
    """One workbook being written."""

    def __init__(self, path: Path) -> None:
        self.book = xlsxwriter.Workbook(str(path))
        self.book.set_properties({"title": "Catalogue", "created": CREATED})
        self._formats: dict[tuple[tuple[str, Any], ...], Any] = {}

    def style(self, **properties: Any) -> Any:  # noqa: ANN401 - a format of XlsxWriter
        """The format that has these properties."""
        key = tuple(sorted(properties.items()))
        if key not in self._formats:
            self._formats[key] = self.book.add_format({"font_name": "Calibri", "font_size": 11, **properties})
        return self._formats[key]

    def sheets(self, tables: Tables) -> None:
        """Add every sheet that the tables have, in the order of the schema."""
        for sheet in SHEETS:
            if sheet.name in tables:
                self.sheet(sheet, tables[sheet.name])

    def sheet(self, sheet: Sheet, rows: list[Row]) -> None:
        """Add one sheet. Columns that the schema does not know follow its own, hidden."""
        page = self.book.add_worksheet(sheet.name)
        unknown = [name for name in (rows[0] if rows else {}) if name not in {c.header for c in sheet.columns}]
        headers = [*(column.header for column in sheet.columns), *unknown]
        self._headers(page, sheet, headers)
        for number, row in enumerate(rows, start=1):
            for place, header in enumerate(headers):
                self._cell(page, number, place, row.get(header), number_format(_column(sheet, row, place)))
        for place, header in enumerate(headers):
            values = [row.get(header) for row in rows]
            page.set_column(place, place, width(header, values), None, {"hidden": header in unknown})
        self._shape(page, sheet, len(rows), len(headers))

    def _headers(self, page: Any, sheet: Sheet, headers: list[str]) -> None:  # noqa: ANN401
        """The header row, with a comment on every column of the schema."""
        style = self.style(
            bold=True, font_color=INK, bg_color=PAPER, text_wrap=True, valign="top", border=1, border_color=LINE
        )
        page.set_row(0, HEADER_LINES * LINE_HEIGHT)
        for place, header in enumerate(headers):
            page.write_string(0, place, header, style)
        for place, column in enumerate(sheet.columns):
            page.write_comment(0, place, comment(column), {"x_scale": 1.6, "y_scale": 0.9, "font_size": 9})

    def _cell(self, page: Any, row: int, place: int, value: Value, shown: str) -> None:  # noqa: ANN401
        """One cell, typed by its value; text keeps clear of the number on its left."""
        if value is None:
            return
        style = self.style(num_format=shown, **({"indent": 1} if isinstance(value, str) and place else {}))
        if isinstance(value, dt.date):
            page.write_datetime(row, place, dt.datetime.combine(value, dt.time.min), style)
        elif isinstance(value, str):
            page.write_string(row, place, value, style)
        else:
            page.write_number(row, place, value, style)

    def _shape(self, page: Any, sheet: Sheet, rows: int, columns: int) -> None:  # noqa: ANN401
        """What makes a sheet pleasant to work in: frozen header, filter, drop-downs, print set-up."""
        frozen = 3 if sheet.kind is SheetKind.PRODUCT else 1
        page.freeze_panes(1, frozen)
        page.autofilter(0, 0, max(rows, 1), columns - 1)
        page.set_landscape()
        page.set_paper(9)
        page.fit_to_pages(1, 0)
        page.repeat_rows(0)
        page.set_footer("&L&A&RPage &P of &N")
        for place, column in enumerate(sheet.columns):
            self._column(page, place, column, rows)

    def _column(self, page: Any, place: int, column: Column, rows: int) -> None:  # noqa: ANN401
        """Drop-down and marks of one column."""
        last = rows + SPARE_ROWS
        choices = [str(choice) for choice in column.choices] or (["yes", "no"] if column.kind is Kind.YES_NO else [])
        if choices:
            page.data_validation(
                1,
                place,
                last,
                place,
                {
                    "validate": "list",
                    "source": choices,
                    "error_title": column.header,
                    "error_message": "Choose from the list.",
                },
            )
        if column.kind in {Kind.SKU, Kind.AWG}:
            letter = xlsxwriter.utility.xl_col_to_name(place)
            page.ignore_errors({"number_stored_as_text": f"{letter}2:{letter}{last + 1}"})
        if column.field == "active":
            mark = xlsxwriter.utility.xl_rowcol_to_cell(1, place, col_abs=True)
            grey = self.book.add_format({"font_color": "#8A8A8A", "italic": True})
            page.conditional_format(
                1,
                0,
                last,
                place,
                {
                    "type": "formula",
                    "criteria": f'={mark}="no"',
                    "format": grey,
                },
            )


def _column(sheet: Sheet, row: Row, place: int) -> Column | None:
    """The declaration of a cell: its column's, in `Settings` its row's; none for an unknown column."""
    if sheet.name == "Settings" and place == 1:
        return next((setting for setting in SETTINGS if setting.header == row["Setting"]), None)
    return sheet.columns[place] if place < len(sheet.columns) else None


def number_format(column: Column | None) -> str:
    """How the numbers of a column are shown.

    >>> number_format(SHEETS[0].column("price"))
    '[$€-2] #,##0.00'
    """
    if column is None:
        return "General"
    by_kind, by_unit = KIND_FORMATS.get(column.kind), UNIT_FORMATS.get(column.unit)
    return by_kind or FIELD_FORMATS.get(column.field) or by_unit or "General"


def comment(column: Column) -> str:
    """Help, then what may stand in the column."""
    parts = [column.help]
    if column.choices:
        parts.append("One of: " + ", ".join(column.choices) + ".")
    if column.required:
        parts.append("Required.")
    elif column.blank:
        parts.append(f"Blank = {column.blank}.")
    return " ".join(parts)


def width(header: str, values: list[Value]) -> float:
    """Width of a column in characters: its content, or the longest word of its header and the filter's arrow."""
    words = max(len(word) for word in header.split()) + 5
    content = max((_shown_length(value) for value in values), default=0) + 2
    return min(max(words, content, NARROWEST), WIDEST)


def _shown_length(value: Value) -> int:
    """Characters that a value takes."""
    if isinstance(value, float):
        return len(f"{value:,.2f}") + 2
    return 0 if value is None else len(str(value))
