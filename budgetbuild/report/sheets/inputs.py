"""The sheet of what the totals rest on beside the prices: tax rate, budgets, allowances; each is typed here only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.sheets.book import Page, fitting_width
from budgetbuild.report.sheets.looks import TAB_INPUT
from budgetbuild.report.sheets.tables import Table, plain_columns

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.catalogue.shop import Tier
    from budgetbuild.report.sheets.links import Links
    from budgetbuild.report.shown import Report

TAX_ROW, CURRENCY_ROW, DATE_ROW, VALUE = 3, 4, 5, 1
TIERS_ROW = 8
TIER, BUDGET, ALLOWANCE = range(3)
STAY = "The parts chosen stay: run the tool again to have them chosen anew."
HEADERS = ("Tier", "Budget", "Allowance")
SAYS = "Change a shaded cell, or a price on the sheet Prices, and every total follows."
SAYS_LINKED = "Change a shaded cell, or the list's own cells, which the others are read from, and every total follows."
TAX_NAME = "_tax_rate"
"""Name that formulas on other sheets use; the underscore keeps it from being a cell address."""


@dataclass(frozen=True, slots=True)
class InputPlaces:
    """Where other sheets find what is typed here."""

    page: Page
    rows: Mapping[Tier, int]

    def budget(self, tier: Tier) -> str:
        """Address of a tier's budget."""
        return self.page.place(self.rows[tier], BUDGET)

    def allowance(self, tier: Tier) -> str:
        """Address of a tier's allowance, a share."""
        return self.page.place(self.rows[tier], ALLOWANCE)


def write_inputs(page: Page, report: Report, links: Links | None = None) -> InputPlaces:
    """Write the shop's settings and the tiers that were solved.

    Args:
        page: The sheet.
        report: What is shown.
        links: Where tax rate and budgets stand in the shop's own sheets beside; what they do not have is typed.
    """
    tiers = list(dict.fromkeys(shown.build.tier for shown in report.builds))
    page.widths(fitting_width([tier.name for tier in tiers], 22, 40), 20, 14, 40)
    page.text(0, 0, "Inputs", "title")
    page.text(1, 0, SAYS_LINKED if links else SAYS, "quiet")
    _write_settings(page, report, links.tax_rate if links else "")
    budgets = links.budgets if links else {}
    rows = {tier: row for row, tier in enumerate(tiers, start=TIERS_ROW + 1)}
    page.text(TIERS_ROW - 1, 0, "Tiers", "heading")
    if tiers:
        Table(page, "_tbl_tiers", TIERS_ROW, plain_columns(HEADERS, frozenset(HEADERS[1:])), len(tiers)).make()
        allow_shares(page, TIERS_ROW + 1, len(tiers), ALLOWANCE)
        allow_amounts(page, TIERS_ROW + 1, len(tiers), BUDGET)
    else:
        page.text(TIERS_ROW, 0, "No tier was solved.", "plain")
    for tier, row in rows.items():
        page.text(row, TIER, tier.name)
        if tier.name in budgets:
            page.money_formula(row, BUDGET, budgets[tier.name], tier.budget)
        else:
            page.money(row, BUDGET, tier.budget, "money_input")
        page.number(row, ALLOWANCE, float(tier.allowance), "percent_input")
    page.text(TIERS_ROW + len(tiers) + 2, 0, STAY, "quiet")
    page.sheet.freeze_panes(TAX_ROW, 0)
    page.sheet.set_portrait()
    page.sheet.set_tab_color(TAB_INPUT)
    return InputPlaces(page, rows)


def _write_settings(page: Page, report: Report, tax_rate: str) -> None:
    """Write the settings; the tax rate by its formula where it has one."""
    settings = report.catalogue.settings
    for row, name in ((TAX_ROW, "Tax rate"), (CURRENCY_ROW, "Currency"), (DATE_ROW, "Date of the list")):
        page.text(row, 0, name, "label")
    page.text(CURRENCY_ROW, VALUE, settings.currency, "right")
    page.text(DATE_ROW, VALUE, report.notation.date(settings.date) or "not stated", "right")
    if settings.tax_rate is None:
        page.text(TAX_ROW, VALUE, "not stated", "right")
        return
    if tax_rate:
        page.formula(TAX_ROW, VALUE, tax_rate, float(settings.tax_rate), "percent")
    else:
        page.number(TAX_ROW, VALUE, float(settings.tax_rate), "percent_input")
    page.text(TAX_ROW, VALUE + 1, "Every price includes it.", "aside")
    page.book.workbook.define_name(TAX_NAME, f"={page.place(TAX_ROW, VALUE)}")
    allow_shares(page, TAX_ROW, 1, VALUE)


def allow_shares(page: Page, row: int, rows: int, column: int) -> None:
    """Take nothing but shares from 0 to 1 in some cells: 21 instead of 21 % would multiply a total."""
    says = {"error_title": "A share", "error_message": "Type a percentage from 0% to 100%."}
    allowed = {"validate": "decimal", "criteria": "between", "minimum": 0, "maximum": 1, **says}
    page.sheet.data_validation(row, column, row + rows - 1, column, allowed)


def allow_amounts(page: Page, row: int, rows: int, column: int) -> None:
    """Take nothing but amounts from 0 on in some cells."""
    says = {"error_title": "An amount", "error_message": "Type an amount without a currency sign, 0 or more."}
    allowed = {"validate": "decimal", "criteria": ">=", "value": 0, **says}
    page.sheet.data_validation(row, column, row + rows - 1, column, allowed)
