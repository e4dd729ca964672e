"""The fitting bay's pick list: what to take off the shelf for each build, and what is short of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.sheets.book import Page, fitting_width, relative
from budgetbuild.report.sheets.looks import SMALL, TAB_RESULT
from budgetbuild.report.sheets.prices import NOT_TRACKED, looked_up
from budgetbuild.report.sheets.tables import Column, Table, here, whole
from budgetbuild.report.words.format import capital, label

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.sheets.build import BuildPlace
    from budgetbuild.report.shown import Report, ReportLine

HEAD_ROW = 3
FIRST = HEAD_ROW + 1
BUILD, PART, PRODUCT, SKU, TAKE, SHELF, SHORT, LEFT, NOTE, TAKEN, REF = range(11)
TABLE = "_tbl_picks"
SAYS = "For each build on its own. What is on the shelf is typed on the sheet Prices."


def write_picks(page: Page, report: Report, places: Sequence[BuildPlace]) -> None:
    """Write one table over all builds, which can be filtered to one of them; each build prints on its own page."""
    picks = [(place, told) for place in places for told in place.shown.picked]
    page.widths(fitting_width([place.shown.title for place in places], 16, 34), 15, 28, 20, 8, 13, 11, 16, 24, 8, 6)
    page.text(0, 0, "Pick list", "title")
    page.text(1, 0, SAYS, "quiet")
    page.sheet.set_tab_color(TAB_RESULT)
    if not picks:
        page.text(HEAD_ROW, 0, "No build has a system, so there is nothing to take.", "plain")
        return
    table = Table(page, TABLE, HEAD_ROW, _columns(), len(picks))
    table.make()
    for row, (place, told) in enumerate(picks, start=FIRST):
        _write_pick(table, row, place, told, report.products[told[0].line.sku].stock)
    _finish(page, [place.shown.anchor for place, _ in picks])


def _columns() -> tuple[Column, ...]:
    take, shelf = here(TABLE, "Take"), here(TABLE, "On the shelf")
    return (
        Column("Build"),
        Column("Part"),
        Column("Product"),
        Column("SKU"),
        Column("Take", right=True),
        Column("On the shelf", looked_up("On the shelf", TABLE)),
        Column("Short by", f'=IF(ISNUMBER({shelf}),MAX(0,{take}-{shelf}),"{NOT_TRACKED}")'),
        Column("Left on the shelf", f'=IF(ISNUMBER({shelf}),MAX(0,{shelf}-{take}),"{NOT_TRACKED}")'),
        Column("Note"),
        Column("Taken"),
        Column("Ref", right=True),
    )


def _write_pick(table: Table, row: int, place: BuildPlace, told: Sequence[ReportLine], stock: int | None) -> None:
    """One product of one build: what it is, how many, and what the shelf has."""
    page, line = table.page, told[0].line
    page.text(row, BUILD, place.shown.title)
    page.text(row, PART, capital(", ".join(dict.fromkeys(one.line.role.value for one in told))))
    page.text(row, PRODUCT, line.description)
    page.text(row, SKU, line.sku)
    page.text(row, NOTE, label(told[0].note))
    take = sum(one.line.quantity for one in told)
    formula = f"=SUMIF({whole(place.table, 'Ref')},{here(TABLE, 'Ref')},{whole(place.table, 'Quantity')})"
    page.formula(row, TAKE, formula, take, "whole")
    _write_shelf(table, row, take, stock)
    page.blank(row, TAKEN, "box")
    page.number(row, REF, told[0].ref, "whole")


def _write_shelf(table: Table, row: int, take: int, stock: int | None) -> None:
    """What is on the shelf, short, and left there."""
    if stock is None:
        for column in (SHELF, SHORT, LEFT):
            table.cell(row, column, NOT_TRACKED, "right")
        return
    table.cell(row, SHELF, stock, "whole")
    table.cell(row, SHORT, max(0, take - stock), "whole_or_none")
    table.cell(row, LEFT, max(0, stock - take), "whole")


def _finish(page: Page, builds: Sequence[str]) -> None:
    """Print set-up: a page for each build, with room to say whose job it is."""
    last = FIRST + len(builds) - 1
    short = relative(FIRST, SHORT)
    # Text counts as more than any number.
    lacks = f"=AND(ISNUMBER({short}),{short}>0)"
    rule = {"type": "formula", "criteria": lacks, "format": page.book.formats["short"]}
    page.sheet.conditional_format(FIRST, SHORT, last, SHORT, rule)
    starts = [row for row in range(1, len(builds)) if builds[row] != builds[row - 1]]
    page.sheet.set_h_pagebreaks([FIRST + row for row in starts])
    page.sheet.freeze_panes(FIRST, 0)
    page.sheet.repeat_rows(HEAD_ROW)
    page.sheet.set_margins(left=0.5, right=0.5, top=0.8, bottom=0.6)
    page.sheet.set_header(f"&L{SMALL}Pick list&R{SMALL}Job ______________   Fitter ______________   Date ____________")
    page.print_up_to(last, TAKEN, HEAD_ROW)
    page.sheet.ignore_errors({"number_stored_as_text": "A1:D1048576"})
