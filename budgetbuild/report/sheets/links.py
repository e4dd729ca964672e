"""Formulas that read a price where the shop's own workbook holds it, for results that stand beside its sheets."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.catalogue.fresh import COST, PRICE
from budgetbuild.catalogue.kinds import Work
from budgetbuild.faults import Cell, Fault, Severity, column_letters

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.catalogue.places import NumberCell, Places
    from budgetbuild.report.shown import PriceRow, Report

Key = TypeVar("Key", int, str)
CENT = Decimal("0.01")
CENTS = 100
FRESH_AMOUNT = "fresh-amount"
"""Code of an amount that a price file gives otherwise than the shop's cell."""
FITTING = "fitting: "
"""How the bill begins the line of a work, folded; that of deadening goes on with its area, which its price needs."""


@dataclass(frozen=True, slots=True)
class Links:
    """Formulas on the shop's cells.

    Attributes:
        prices: Formula of a unit price, by its row's number.
        costs: Formula of a cost, by its row's number.
        budgets: Formula of a budget, by its tier's name.
        tax_rate: Formula of the tax rate, or empty.
        told: What is typed instead of read, and why.
    """

    prices: dict[int, str] = field(default_factory=dict)
    costs: dict[int, str] = field(default_factory=dict)
    budgets: dict[str, str] = field(default_factory=dict)
    tax_rate: str = ""
    told: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Beside:
    """What results that stand in the shop's own workbook have to know of it.

    Attributes:
        titles: Names of its sheets, which are taken.
        links: Where its prices stand.
    """

    titles: tuple[str, ...]
    links: Links


def link_prices(report: Report, places: Places) -> Links:
    """Point every price, cost, budget and tax rate that the report uses at its cell.

    A cell is read where it holds a real number that gives the very amount that the report has. Elsewhere (text such as
    "1,299.00", a work whose price depends on more than hours and rate, what a price file says otherwise) the amount is
    typed, and that is told.
    """
    fresh = report.catalogue.fresh
    renewed = {(change.sku, change.field) for change in fresh.changes} if fresh else set()
    tiers = {shown.build.tier.name: shown.build.tier.budget for shown in report.builds}
    prices, untold = _sorted_out(
        {row.ref: _price(row, places, fresh=(row.sku, PRICE) in renewed) for row in report.prices}
    )
    costs, no_costs = _sorted_out(
        {
            row.ref: _amount(places.costs.get(row.sku), row.cost, f"{row.sku}: Cost", fresh=(row.sku, COST) in renewed)
            for row in report.prices
            if row.cost is not None
        }
    )
    budgets, no_budgets = _sorted_out(
        {name: _amount(places.budgets.get(name), cents, f"{name}: Budget") for name, cents in tiers.items()}
    )
    tax, no_tax = _sorted_out({"": _tax_rate(report, places)})
    return Links(prices, costs, budgets, tax.get("", ""), (*untold, *no_costs, *no_budgets, *no_tax))


def _sorted_out(found: Mapping[Key, str | Fault]) -> tuple[dict[Key, str], list[Fault]]:
    """Formulas by key, and what has none."""
    formulas = {key: one for key, one in found.items() if isinstance(one, str)}
    return formulas, [one for one in found.values() if isinstance(one, Fault)]


def _price(row: PriceRow, places: Places, *, fresh: bool) -> str | Fault:
    if not row.sku:
        return _labour(row, places)
    return _amount(places.prices.get(row.sku), row.unit_price, f"{row.sku}: Price", fresh=fresh)


def _amount(cell: NumberCell | None, cents: int, what: str, *, fresh: bool = False) -> str | Fault:
    """The formula of an amount; rounded, so that whatever the shop types there later stays in whole cents.

    Args:
        cell: Where the shop's workbook has it.
        cents: The amount.
        what: It in words.
        fresh: Whether it comes from a price file.
    """
    if cell is None or cell.number is None or _cents(cell.number) != cents:
        return _from_price_file(cell, what) if fresh else _typed(cell, what)
    return f"=ROUND({address(cell.at)},2)"


def _labour(row: PriceRow, places: Places) -> str | Fault:
    """The formula of a work: its hours times the rate."""
    work = next((work for work in Work if row.product.casefold() == f"{FITTING}{work}"), None)
    hours, rate = places.hours.get(work) if work else None, places.labour_rate
    if work is None:
        return _fault(Cell(), row.product, "a work whose price is hours times rate")
    if hours is None or hours.number is None:
        return _typed(hours, f"{row.product}: Hours")
    if rate is None or rate.number is None or _cents(hours.number * rate.number) != row.unit_price:
        return _typed(rate, f"{row.product}: Labour rate")
    return f"=ROUND({address(hours.at)}*{address(rate.at)},2)"


def _tax_rate(report: Report, places: Places) -> str | Fault:
    """The formula of the tax rate; empty where there is none."""
    rate, cell = report.catalogue.settings.tax_rate, places.tax_rate
    if rate is None:
        return ""
    if cell is None or cell.number is None or Fraction(cell.number) != rate:
        return _typed(cell, "Tax rate, as a share or with its percent sign")
    return f"={address(cell.at)}"


def _cents(amount: Decimal) -> int:
    """Whole cents, half up."""
    return int(amount.quantize(CENT, rounding=ROUND_HALF_UP) * CENTS)


def _typed(cell: NumberCell | None, what: str) -> Fault:
    if cell is None:
        return _fault(Cell(), "no cell", f"{what}, held as a number")
    return _fault(cell.at, cell.shown, f"{what}, held as a number")


def _from_price_file(cell: NumberCell | None, what: str) -> Fault:
    """An amount that the shop's workbook does not have, but the price file."""
    mend = "typed in the result sheet, as the price file has it: a change in the list does not move the totals there"
    at, found = (cell.at, cell.shown) if cell else (Cell(), "no cell")
    return Fault(at, FRESH_AMOUNT, found, f"{what}, as the price file has it", mend, Severity.NOTICE)


def _fault(at: Cell, found: str, expected: str) -> Fault:
    mend = "typed in the result sheet: a change in the list does not move the totals there"
    return Fault(at, "not-linked", found, expected, mend, Severity.NOTICE)


def address(cell: Cell) -> str:
    """A cell as formulas on other sheets name it.

    >>> address(Cell("Shop's list", 5, 4))
    "'Shop''s list'!$D$5"
    """
    title = cell.sheet.replace("'", "''")
    return f"'{title}'!${column_letters(cell.column)}${cell.row}"
