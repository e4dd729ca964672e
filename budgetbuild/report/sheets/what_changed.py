"""What has become of a published guide, as a workbook: all systems on the first sheet, then one for each to mend."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

from xlsxwriter import Workbook

from budgetbuild import __version__
from budgetbuild.report.chapter import Paragraph
from budgetbuild.report.sheets.book import Book
from budgetbuild.report.sheets.chapters import write_chapter
from budgetbuild.report.sheets.workbook import MADE, writer_options
from budgetbuild.report.words.format import label

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Chapter
    from budgetbuild.report.words.notation import Notation
    from budgetbuild.report.words.recheck_chapters import ChangedPage


def render_changed_workbook(page: ChangedPage, catalogue: Catalogue, notation: Notation) -> bytes:
    """The workbook as bytes."""
    stream = BytesIO()
    with Workbook(stream, writer_options()) as workbook:
        workbook.set_properties(
            {
                "title": page.title,
                "author": label(catalogue.settings.shop_name),
                "comments": f"Made by budgetbuild {__version__} from {label(catalogue.name)}",
                "created": MADE,
            }
        )
        book = Book(workbook, notation)
        chapters = _chapters(page)
        pages = [book.add(chapter.sheet) for chapter in chapters]
        for number, (sheet, chapter) in enumerate(zip(pages, chapters, strict=True), start=1):
            write_chapter(sheet, chapter, number)
        book.fit_rows()
    return stream.getvalue()


def _chapters(page: ChangedPage) -> tuple[Chapter, ...]:
    """The chapters, the first with what the page says around it."""
    overview, *systems = page.chapters
    notes = (Paragraph(note) for note in page.notes)
    return replace(overview, title=page.title, blocks=(Paragraph(page.verdict), *overview.blocks, *notes)), *systems
