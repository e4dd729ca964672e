"""Ratings that are reckoned from specifications: each rating, and below them what each of its columns earned."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.sheets.looks import NOTHING, TAB_CONTROL
from budgetbuild.report.sheets.tables import Column, Table, here, whole
from budgetbuild.report.words.format import label
from budgetbuild.report.words.ratings import cell_text

if TYPE_CHECKING:
    from fractions import Fraction

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.value import CellValue, Earned
    from budgetbuild.report.sheets.book import Page
    from budgetbuild.report.shown import Report

RATINGS, EARNED = "_tbl_ratings", "_tbl_earned"
HEAD_ROW = 4
REF, SHEET, SKU, PRODUCT, RATING, IN_A_BUILD = range(6)
NAME, COLUMN, FOUND, WORST, BEST, MOST, BY_WORD, POINTS = range(1, 9)
SAYS = (
    "Where Rating is blank in the price list, it is reckoned by its sheet Points: 10 x points earned / the most.",
    "A figure changed in the second table moves the rating above it; which parts a build has is not decided anew.",
)


def write_ratings(page: Page, report: Report) -> None:
    """Write both tables; every rating is a live formula on what its columns earned."""
    reckoned = report.catalogue.reckoned
    rated = [product for product in report.catalogue.products() if product.sku in reckoned]
    page.widths(6, 26, 22, 30, 12, 12, 10, 12, 10)
    page.text(0, 0, "Ratings reckoned from specifications", "title")
    page.sheet.set_tab_color(TAB_CONTROL)
    for row, sentence in enumerate(SAYS, start=1):
        page.text(row, 0, sentence, "quiet")
    chosen = {told.line.sku for shown in report.builds for told in shown.lines}
    table = Table(page, RATINGS, HEAD_ROW, _rating_columns(), len(rated), filtered=False)
    table.make()
    for ref, product in enumerate(rated, start=1):
        _write_rating(table, ref, product, chosen=product.sku in chosen)
    row = HEAD_ROW + len(rated) + 2
    page.text(row, 0, "What each column earned", "heading")
    told = [(ref, product, one) for ref, product in enumerate(rated, start=1) for one in reckoned[product.sku]]
    below = Table(page, EARNED, row + 1, _earned_columns(), len(told), filtered=False)
    below.make()
    for at, (ref, product, one) in enumerate(told, start=below.first):
        page.number(at, REF, ref, "whole")
        page.text(at, NAME, label(product.name))
        _write_earned(below, at, one, report)
    page.sheet.repeat_rows(below.row)
    page.sheet.ignore_errors({"number_stored_as_text": "A1:XFD1048576"})


def _rating_columns() -> tuple[Column, ...]:
    ref = f"{whole(EARNED, 'Ref')},{here(RATINGS, 'Ref')}"
    earned, most = (f"SUMIF({ref},{whole(EARNED, header)})" for header in ("Earned", "Most"))
    return (
        Column("Ref", right=True),
        Column("Sheet"),
        Column("SKU"),
        Column("Product"),
        Column("Rating", f"=ROUND(10*{earned}/{most},2)"),
        Column("In a build"),
    )


def _write_rating(table: Table, ref: int, product: Product, *, chosen: bool) -> None:
    page, row = table.page, table.row + ref
    page.number(row, REF, ref, "whole")
    page.text(row, SHEET, product.at.sheet)
    page.text(row, SKU, product.sku)
    page.text(row, PRODUCT, label(product.name))
    table.cell(row, RATING, product.rating or 0, "score")
    page.text(row, IN_A_BUILD, "yes" if chosen else NOTHING)


def _earned_columns() -> tuple[Column, ...]:
    found, worst, best, most = (here(EARNED, header) for header in ("In the list", "Worst", "Best", "Most"))
    straight = f"{most}*MAX(0,MIN(1,({found}-{worst})/({best}-{worst})))"
    return (
        Column("Ref", right=True),
        Column("Product"),
        Column("Column"),
        Column("In the list", right=True),
        Column("Worst", right=True),
        Column("Best", right=True),
        Column("Most", right=True),
        Column("By its word", right=True),
        Column("Earned", f"=IF(ISNUMBER({worst}),{straight},{here(EARNED, 'By its word')})"),
    )


def _write_earned(table: Table, row: int, one: Earned, report: Report) -> None:
    """What one cell earned: by its place between worst and best, or by the word in it."""
    page, criterion = table.page, one.criterion
    page.text(row, COLUMN, label(criterion.column))
    _write_value(page, row, FOUND, one.value, report)
    _write_number(page, row, WORST, criterion.worst)
    _write_number(page, row, BEST, criterion.best)
    _write_number(page, row, MOST, criterion.most)
    _write_number(page, row, BY_WORD, one.points if criterion.words else None)
    table.cell(row, POINTS, float(one.points), "figure")


def _write_value(page: Page, row: int, column: int, value: CellValue, report: Report) -> None:
    if isinstance(value, bool | str):
        page.text(row, column, cell_text(value, report.notation), "right_wrapped")
    else:
        page.number(row, column, value)


def _write_number(page: Page, row: int, column: int, number: Fraction | None) -> None:
    if number is None:
        page.text(row, column, NOTHING, "right")
    else:
        page.number(row, column, float(number))
