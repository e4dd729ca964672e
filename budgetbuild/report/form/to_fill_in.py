"""What an imported list does not say, cell by cell with a link to each, and which of its rows found no place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.faults import column_letters
from budgetbuild.report.sheets.book import fitting_width
from budgetbuild.report.sheets.looks import TAB_CONTROL

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from budgetbuild.pricelist.placed import Blank, Placed
    from budgetbuild.report.sheets.book import Page
    from budgetbuild.report.words.voice import Voice

HEADS = ("sheet", "cell", "sku", "product", "column", "wanted", "source", "found")
HEAD_ROW = 2
LINKED = 1
"""Column of the link, from 0."""
MOST_LINKS = 60_000
"""A sheet holds some 65,000 links at most."""
NARROWEST, WIDEST = 9.0, 44.0
MEASURED = 2000
"""Rows by which the widths of columns are set."""


def write_to_fill_in(page: Page, pages: Mapping[str, Page], voice: Voice, blanks: Sequence[Blank]) -> None:
    """Write the sheet of cells that have to be filled in."""
    rows = [list(_cells(blank)) for blank in blanks]
    heads = [voice.say("import", f"head-{name}") for name in HEADS]
    _prepare(page, heads, rows)
    if not blanks:
        page.text(0, 0, voice.say("import", "nothing-to-fill-in"), "plain")
        return
    page.text(0, 0, voice.say("import", "to-fill-in"), "plain")
    page.head(HEAD_ROW, heads)
    for at, (blank, cells) in enumerate(zip(blanks, rows, strict=True), start=HEAD_ROW + 1):
        for column, text in enumerate(cells):
            if column == LINKED and at <= MOST_LINKS:
                page.link(at, column, pages[blank.sheet.name], text, "link_plain", cell=text)
            else:
                page.text(at, column, text)
    _finish(page, len(heads), len(rows))


def _cells(blank: Blank) -> Iterator[str]:
    """The texts of one row."""
    place = 1 + blank.sheet.columns.index(blank.column)
    yield from (blank.sheet.name, f"{column_letters(place)}{blank.row}", blank.sku, blank.name, blank.column.header)
    yield from (blank.why, str(blank.source), blank.found)


def write_left_over(page: Page, voice: Voice, placed: Placed) -> None:
    """Write the sheet of rows that found no place, under the column names of the list."""
    heads = [voice.say("import", "head-row"), *placed.headers.values()]
    rows = [[str(one.at.row), *(one.texts.get(number, "") for number in placed.headers)] for one in placed.left_over]
    _prepare(page, heads, rows)
    page.text(0, 0, voice.say("import", "left-over"), "plain")
    page.head(HEAD_ROW, heads)
    for at, cells in enumerate(rows, start=HEAD_ROW + 1):
        for column, text in enumerate(cells):
            page.text(at, column, text)
    _finish(page, len(heads), len(rows))


def _prepare(page: Page, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    page.sheet.set_tab_color(TAB_CONTROL)
    columns = zip(heads, *rows[:MEASURED], strict=True)
    page.widths(*(fitting_width(texts, NARROWEST, WIDEST) for texts in columns))


def _finish(page: Page, columns: int, rows: int) -> None:
    page.sheet.freeze_panes(HEAD_ROW + 1, 0)
    page.sheet.repeat_rows(HEAD_ROW)
    page.sheet.autofilter(HEAD_ROW, 0, HEAD_ROW + rows, columns - 1)
    page.print_up_to(HEAD_ROW + rows, columns - 1)
