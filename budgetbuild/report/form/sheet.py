"""One sheet of the form: heads with comments, rows, drop-downs, and what makes it pleasant to fill in and to print."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.schema import Kind, SheetKind
from budgetbuild.faults import column_letters
from budgetbuild.report.form.comments import comment
from budgetbuild.report.form.entry import entry
from budgetbuild.report.form.looks import EXAMPLE, LACKING, TABS, TO_FILL, cell_look, head_look
from budgetbuild.report.form.rows import declared, example_formula
from budgetbuild.report.pictures.lettering import wrap
from budgetbuild.report.sheets.book import INDENT_PIXELS, LINE_HEIGHT, ROW_HEIGHT, TYPE_PIXELS, fitting_width

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from xlsxwriter.format import Format

    from budgetbuild.catalogue.schema import Column, Sheet
    from budgetbuild.report.form.rows import CellValue, FormRow
    from budgetbuild.report.sheets.book import Page
    from budgetbuild.report.sheets.looks import Look
    from budgetbuild.report.words.voice import Voice

LEAST_ROWS, SPARE_ROWS = 1000, 200
"""Rows down to which cells have drop-downs and warnings: at least so many, and so many below the last product."""
KEPT_IN_VIEW = {SheetKind.PRODUCT: 3}
"""Columns that stay in view when one moves to the right: those that name the product."""
NARROWEST, WIDEST, WIDEST_PROSE = 9.0, 44.0, 70.0
ARROW = "WW"
"""As wide as the filter's arrow beside a head."""
COMMENT_PIXELS, COMMENT_LETTERS, COMMENT_LINE = 330, 48, 17


class FormSheet:
    """A sheet being written."""

    def __init__(self, page: Page, sheet: Sheet, voice: Voice) -> None:
        self.page = page
        self.sheet = sheet
        self.voice = voice
        self.last_row = LEAST_ROWS
        self._formats: dict[str, Format] = {}

    def write(self, rows: Sequence[FormRow]) -> None:
        """Write the whole sheet; `rows` by header."""
        self.last_row = max(LEAST_ROWS, len(rows) + SPARE_ROWS)
        self._columns(rows)
        self._heads()
        for number, row in enumerate(rows, start=1):
            for place, column in enumerate(self.sheet.columns):
                self._cell(number, place, row.get(column.header), declared(self.sheet, column, row))
        self._settings_entries(rows)
        self._shape(len(rows))

    def _format(self, look: Look) -> Format:
        """The writer's format of a look, made once."""
        name = repr(sorted(look.items()))
        if name not in self._formats:
            self._formats[name] = self.page.book.workbook.add_format(look)
        return self._formats[name]

    def _columns(self, rows: Sequence[FormRow]) -> None:
        """Widths and formats of whole columns, drop-downs and warnings down to the last row of the form."""
        self.page.widths(*(_width(column, [row.get(column.header) for row in rows]) for column in self.sheet.columns))
        for place, column in enumerate(self.sheet.columns):
            width = self.page.columns[place]
            self.page.sheet.set_column(place, place, width, self._format(cell_look(column)))
            self._entry(1, self.last_row - 1, place, column)

    def _entry(self, first: int, last: int, place: int, column: Column) -> None:
        """What may be entered in some cells of a column."""
        rule = entry(column, self.voice)
        if rule:
            self.page.sheet.data_validation(first, place, last, place, rule)

    def _settings_entries(self, rows: Sequence[FormRow]) -> None:
        """Where each row is a value of its own: what may be entered there, and a comment on its name."""
        for number, row in enumerate(rows, start=1):
            for place, column in enumerate(self.sheet.columns):
                cell = declared(self.sheet, column, row)
                if cell is not column:
                    self._entry(number, number, place, cell)
                    self._comment(number, 0, cell)

    def _heads(self) -> None:
        """The column names; bold on dark where the column must be filled in."""
        lines = 1
        for place, column in enumerate(self.sheet.columns):
            self.page.sheet.write_string(0, place, column.header, self._format(head_look(column)))
            lines = max(lines, len(wrap(column.header, self.page.pixels(place, place) - INDENT_PIXELS, TYPE_PIXELS)))
            self._comment(0, place, column)
        # One line more, for the filters' arrows.
        self.page.sheet.set_row(0, ROW_HEIGHT + lines * LINE_HEIGHT)

    def _comment(self, row: int, place: int, column: Column) -> None:
        text = comment(column, self.voice)
        lines = sum(1 + len(line) // COMMENT_LETTERS for line in text.split("\n"))
        size = {"width": COMMENT_PIXELS, "height": (lines + 1) * COMMENT_LINE, "font_size": 9, "font_name": "Arial"}
        self.page.sheet.write_comment(row, place, text, size)

    def _cell(self, row: int, place: int, value: CellValue, column: Column) -> None:
        """One cell; text is written as text, whatever it begins with."""
        look = self._format(self._look(place, column))
        if value is None:
            self.page.sheet.write_blank(row, place, None, look)
        elif isinstance(value, str):
            self.page.sheet.write_string(row, place, value, look)
            self.page.note_lines(row, place, value)
        else:
            self.page.sheet.write_number(row, place, value, look)

    def _look(self, place: int, column: Column) -> Look:
        """The look of a cell; where every listed row leaves it to be filled in, that of an input."""
        listed = self.sheet.listed
        to_fill = bool(listed) and all(len(cells) > place and cells[place] is None for cells in listed)
        return cell_look(column) | (TO_FILL if to_fill else {})

    def _shape(self, rows: int) -> None:
        """Heads that stay in view, filters, the look of example rows, the set-up for printing."""
        page, last = self.page.sheet, len(self.sheet.columns) - 1
        page.hide_gridlines(1)
        page.set_tab_color(TABS[self.sheet.kind])
        page.freeze_panes(1, KEPT_IN_VIEW.get(self.sheet.kind, 1))
        page.ignore_errors({"number_stored_as_text": f"A2:{column_letters(last + 1)}{self.last_row}"})
        page.autofilter(0, 0, max(rows, 1), last)
        page.repeat_rows(0)
        self._marks(last)

    def _marks(self, last: int) -> None:
        """The look of example rows, and of what a row that is begun still lacks."""
        begun = f"COUNTA($A2:${column_letters(last + 1)}2)>0"
        for place, column in enumerate(self.sheet.columns):
            if column.required:
                self._mark(place, place, f"AND(ISBLANK({column_letters(place + 1)}2),{begun})", LACKING)
        formula = example_formula(self.sheet)
        if formula:
            self._mark(0, last, formula, EXAMPLE)

    def _mark(self, first: int, last: int, formula: str, look: Look) -> None:
        """Give cells of some columns a look where a formula, written for the first row, holds."""
        rule: dict[str, Any] = {"type": "formula", "criteria": f"={formula}", "format": self._format(look)}
        self.page.sheet.conditional_format(1, first, self.last_row - 1, last, rule)


def _width(column: Column, values: Iterable[CellValue]) -> float:
    """Width of a column: its widest content, or the longest word of its head and the filter's arrow."""
    words = [f"{word}{ARROW}" for word in column.header.split()]
    choices = [str(choice) for choice in column.choices]
    texts = [str(value) for value in values if value is not None]
    return fitting_width([*words, *choices, *texts], NARROWEST, WIDEST_PROSE if column.kind is Kind.PROSE else WIDEST)
