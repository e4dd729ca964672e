"""The sheet where prices stand, the only one on which a price is typed; cost and shelf of each product stand beside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.sheets.inputs import allow_amounts
from budgetbuild.report.sheets.links import FRESH_AMOUNT
from budgetbuild.report.sheets.looks import NOTHING, TAB_INPUT
from budgetbuild.report.sheets.tables import Table, here, plain_columns, whole

if TYPE_CHECKING:
    from budgetbuild.report.sheets.book import Page
    from budgetbuild.report.sheets.links import Links
    from budgetbuild.report.shown import PriceRow, Report

HEAD_ROW = 3
FIRST = HEAD_ROW + 1
REF, SKU, PRODUCT, PRICE, SHELF, COST = range(6)
HEADERS = ("Ref", "SKU", "Product", "Unit price", "On the shelf", "Cost without tax")
TABLE = "_tbl_prices"
NOT_TRACKED = "not tracked"
SAYS = "Tax included. Change a price here and every total in this workbook follows; the parts chosen stay."
SAYS_LINKED = (
    "Tax included. Prices are read from the list's own cells: change them there. Sorting the list here mixes them up."
)
SAYS_FRESH = " What the price file {file} says otherwise than the list is typed here."


def write_prices(page: Page, report: Report, links: Links | None = None) -> None:
    """Write every price used, once, and what is on the shelf, in a table that formulas look up.

    Args:
        page: The sheet.
        report: What is shown.
        links: Where prices stand in the shop's own sheets beside; without them, and where they have none, a price is
            typed.
    """
    page.widths(6, 24, 44, 14, 13, 18)
    page.text(0, 0, "Prices", "title")
    page.text(1, 0, _says(report, links), "quiet")
    page.sheet.set_tab_color(TAB_INPUT)
    if not report.prices:
        page.text(HEAD_ROW, 0, "No build has a system, so no price is used.", "plain")
        return
    right = frozenset(("Ref", *HEADERS[PRICE:]))
    Table(page, TABLE, HEAD_ROW, plain_columns(HEADERS, right), len(report.prices)).make()
    stock = {product.sku: product.stock for product in report.catalogue.products()}
    for row, price in enumerate(report.prices, start=FIRST):
        page.number(row, REF, price.ref, "whole")
        page.text(row, SKU, price.sku or "labour")
        page.text(row, PRODUCT, price.product)
        _write_amounts(page, row, price, links)
        _write_shelf(page, row, price.sku, stock.get(price.sku))
    _finish(page, len(report.prices))


def _says(report: Report, links: Links | None) -> str:
    """How this sheet is used."""
    if links is None:
        return SAYS
    fresh = report.catalogue.fresh
    typed = any(fault.code == FRESH_AMOUNT for fault in links.told)
    return SAYS_LINKED + (SAYS_FRESH.format(file=fresh.name) if fresh and typed else "")


def _write_amounts(page: Page, row: int, price: PriceRow, links: Links | None) -> None:
    """Price and cost of a row: read from the shop's own cells where they stand beside, else typed."""
    cells = (
        (PRICE, price.unit_price, links.prices if links else {}),
        (COST, price.cost, links.costs if links else {}),
    )
    for column, cents, formulas in cells:
        if cents is None:
            page.blank(row, column, "money_input")
        elif price.ref in formulas:
            page.money_formula(row, column, formulas[price.ref], cents)
        else:
            page.money(row, column, cents, "money_input")


def _write_shelf(page: Page, row: int, sku: str, stock: int | None) -> None:
    if not sku:
        page.text(row, SHELF, NOTHING, "right")
    elif stock is None:
        page.text(row, SHELF, NOT_TRACKED, "right_input")
    else:
        page.number(row, SHELF, stock, "whole_input")


def _finish(page: Page, prices: int) -> None:
    """Print set-up: what the shop pays and holds stands beside the printed columns."""
    last = FIRST + prices - 1
    allow_amounts(page, FIRST, prices, PRICE)
    allow_amounts(page, FIRST, prices, COST)
    page.sheet.freeze_panes(FIRST, 0)
    page.sheet.repeat_rows(HEAD_ROW)
    page.sheet.set_portrait()
    page.print_up_to(last, PRICE)
    page.sheet.ignore_errors({"number_stored_as_text": "B1:C1048576"})


def looked_up(header: str, table: str) -> str:
    """Formula of what `Prices` holds for the row of another table, found by its `Ref`.

    >>> looked_up("Unit price", "_tbl_build_1")
    '=INDEX(_tbl_prices[Unit price],MATCH(_tbl_build_1[[#This Row],[Ref]],_tbl_prices[Ref],0))'
    """
    return f"=INDEX({whole(TABLE, header)},MATCH({here(table, 'Ref')},{whole(TABLE, 'Ref')},0))"
