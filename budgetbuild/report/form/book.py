"""A form being written: the workbook, its sheets from the schema, and the sheets for people only."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from xlsxwriter import Workbook

from budgetbuild.catalogue.columns import SHEETS
from budgetbuild.report.form.sheet import FormSheet
from budgetbuild.report.sheets.book import Book
from budgetbuild.report.sheets.workbook import MADE, writer_options

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.report.form.rows import FormRow
    from budgetbuild.report.sheets.book import Page
    from budgetbuild.report.words.voice import Voice


class FormBook:
    """One workbook, the same bytes for the same content."""

    def __init__(self, voice: Voice) -> None:
        self.voice = voice
        self._stream = BytesIO()
        self._workbook = Workbook(self._stream, writer_options())
        self._workbook.set_properties({"title": voice.say("starter", "title"), "created": MADE})
        self._book = Book(self._workbook, voice.notation)

    def page(self, name: str) -> Page:
        """A new sheet for people only."""
        return self._book.add(name)

    def sheets(self, rows: Mapping[str, Sequence[FormRow]]) -> dict[str, Page]:
        """Every sheet of the schema with its rows, by the field that it fills; the pages, by name."""
        pages = {sheet.name: self._book.add(sheet.name) for sheet in SHEETS}
        for sheet in SHEETS:
            FormSheet(pages[sheet.name], sheet, self.voice).write(rows[sheet.field])
        return pages

    def content(self) -> bytes:
        """Finish the workbook."""
        self._book.fit_rows()
        self._workbook.close()
        return self._stream.getvalue()
