"""Two plain tables: every figure that was checked, and what the catalogue's reader had to say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.sheets.book import fitting_width
from budgetbuild.report.sheets.fresh import write_fresh
from budgetbuild.report.sheets.looks import TAB_CONTROL
from budgetbuild.report.sheets.tables import Table, plain_columns

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Audited, Check
    from budgetbuild.faults import Fault
    from budgetbuild.report.sheets.book import Page
    from budgetbuild.report.shown import Report

HEAD_ROW = 3
FIRST = HEAD_ROW + 1
ELECTRICAL = ("Build", "Rule", "About", "Figure", "Limit", "Unit", "Kept", "Source")
NOTES = ("Severity", "Sheet", "Cell", "Found", "Expected", "Mend", "Code")


def write_electrical(page: Page, report: Report) -> None:
    """Write every check of every build: figure, limit, source."""
    page.widths(fitting_width([shown.title for shown in report.builds], 16, 28), 32, 17, 11, 22, 7, 6, 53)
    page.text(0, 0, "Electrical and fitting checks", "title")
    page.sheet.set_tab_color(TAB_CONTROL)
    page.text(
        1,
        0,
        "Worked out again from the price list, apart from the search. Ratings are continuous (RMS). "
        "Of each build, measured figures come first, then what is counted or looked up.",
        "quiet",
    )
    rows = [(shown.title, check) for shown in report.builds if shown.audited for check in _ordered(shown.audited)]
    if not rows:
        page.text(HEAD_ROW, 0, "No build has a system, so nothing was checked.", "plain")
        return
    Table(page, "_tbl_electrical", HEAD_ROW, plain_columns(ELECTRICAL, frozenset({"Figure"})), len(rows)).make()
    for row, (title, check) in enumerate(rows, start=FIRST):
        limit = report.notation.decimals_in(check.limit)
        for column, words in ((0, title), (1, check.rule), (2, check.subject), (4, limit), (5, check.unit)):
            page.text(row, column, words)
        if isinstance(check.figure, str):
            page.text(row, 3, check.figure, "right_wrapped")
        else:
            page.number(row, 3, check.figure)
        page.text(row, 6, "yes" if check.ok else "no")
        page.text(row, 7, check.source)
    _finish(page)


def _ordered(audited: Audited) -> list[Check]:
    """Checks of a build with those first whose figure is measured: only such a figure is a fraction."""
    return sorted(audited.checks, key=lambda check: not isinstance(check.figure, float))


def write_notes(page: Page, report: Report) -> None:
    """Write the warnings and notices that the catalogue gave rise to, and what a price file changed in it."""
    page.widths(10, 18, 9, 28, 34, 50, 22)
    page.text(0, 0, "Catalogue notes", "title")
    page.sheet.set_tab_color(TAB_CONTROL)
    page.text(1, 0, "What the list made us ask or leave out. None of it stopped the work.", "quiet")
    warnings, fresh = report.catalogue.warnings, report.catalogue.fresh
    if warnings:
        _write_warnings(page, warnings)
        _finish(page, repeat=fresh is None)
    else:
        page.text(HEAD_ROW, 0, "Nothing to note.", "plain")
    if fresh:
        write_fresh(page, FIRST + len(warnings) + 1, fresh)


def _write_warnings(page: Page, warnings: Sequence[Fault]) -> None:
    """The notes as a table."""
    Table(page, "_tbl_notes", HEAD_ROW, plain_columns(NOTES), len(warnings)).make()
    for row, fault in enumerate(warnings, start=FIRST):
        cells = (
            fault.severity.value, fault.at.page, fault.at.address, fault.found, fault.expected, fault.mend, fault.code,
        )  # fmt: skip
        for column, words in enumerate(cells):
            page.text(row, column, words)


def _finish(page: Page, *, repeat: bool = True) -> None:
    """Keep the headers in view; on paper they stand above every page, unless another table follows."""
    page.sheet.freeze_panes(FIRST, 0)
    if repeat:
        page.sheet.repeat_rows(HEAD_ROW)
    page.sheet.ignore_errors({"number_stored_as_text": "A1:XFD1048576"})
