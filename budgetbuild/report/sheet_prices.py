"""The sheet where prices stand, the only one on which a price is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.report.book import Page
    from budgetbuild.report.content import Report

HEAD_ROW = 4
REF, SKU, PRODUCT, PRICE, COST = range(5)
HEADERS = ("Ref", "SKU", "Product", "Unit price", "Cost without tax")

PRICES_NAME, COSTS_NAME, REFS_NAME, TAX_NAME = "_unit_prices", "_unit_costs", "_price_refs", "_tax_rate"
"""Names that formulas on other sheets use; the underscore keeps them from being cell addresses."""


def write_prices(page: Page, report: Report) -> None:
    """Write every price used, once, and name the columns that formulas look up."""
    page.widths(6, 24, 44, 14, 18)
    page.text(0, 0, "Prices", "title")
    page.text(
        1,
        0,
        "Tax included. Change a price here and every total in this workbook follows; the parts chosen stay.",
        "quiet",
    )
    if report.catalogue.settings.tax_rate is not None:
        page.text(2, PRODUCT, "Tax rate", "label")
        page.number(2, PRICE, float(report.catalogue.settings.tax_rate), "percent")
        page.book.workbook.define_name(TAX_NAME, f"={page.place(2, PRICE)}")
    if not report.prices:
        page.text(HEAD_ROW, 0, "No build has a system, so no price is used.", "plain")
        return
    page.table(HEAD_ROW, HEADERS, len(report.prices), "_tbl_prices")
    for row, price in enumerate(report.prices, start=HEAD_ROW + 1):
        page.number(row, REF, price.ref, "whole")
        page.text(row, SKU, price.sku or "labour")
        page.text(row, PRODUCT, price.product)
        page.money(row, PRICE, price.unit_price)
        if price.cost is not None:
            page.money(row, COST, price.cost)
    _name_columns(page, len(report.prices))
    page.sheet.freeze_panes(HEAD_ROW + 1, 0)
    page.sheet.repeat_rows(HEAD_ROW)
    page.sheet.set_portrait()
    page.sheet.ignore_errors({"number_stored_as_text": "B1:C1048576"})


def _name_columns(page: Page, rows: int) -> None:
    for name, column in ((REFS_NAME, REF), (PRICES_NAME, PRICE), (COSTS_NAME, COST)):
        area = page.area((HEAD_ROW + 1, column), (HEAD_ROW + rows, column))
        page.book.workbook.define_name(name, f"={area}")
