"""LibreOffice recalculates: every formula cell shows to the cent what the data file says, also after changes."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.report.content import report_content
from budgetbuild.report.results import render_results
from budgetbuild.report.sheets.workbook import render_workbook
from tests.report import fixtures
from tests.report.recalculate import recalculated
from tests.report.tallies import Shop, expected_cells

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.shown import Report

pytestmark = pytest.mark.office

SAMPLE = Path(__file__).parents[2] / "sample_catalogue.xlsx"


@cache
def reports() -> dict[str, Report]:
    """Builds made by hand, with two products whose stock is counted, and those of the sample, solved."""
    (deck,), (four, mono) = fixtures.CATALOGUE.head_units, fixtures.CATALOGUE.amplifiers
    counted = replace(
        fixtures.CATALOGUE,
        head_units=(replace(deck, stock=0),),
        amplifiers=(replace(four, stock=3), mono),
    )
    catalogue = load_catalogue(SAMPLE)
    solved = solve_all(catalogue, Run())
    return {
        "fixtures": report_content(fixtures.every_build(), counted),
        "sample": report_content(solved.builds, catalogue, solved.curves),
    }


@cache
def rendered(name: str) -> tuple[bytes, dict[str, Any]]:
    """The workbook and the data of one of them."""
    return render_workbook(reports()[name]), json.loads(render_results(reports()[name]))


def shop_of(catalogue: Catalogue) -> Shop:
    """What the shop's list says."""
    products, tax = catalogue.products(), catalogue.settings.tax_rate
    return Shop(
        allowances={tier.name: exact(tier.allowance) for tier in catalogue.tiers},
        costs={product.sku: None if product.cost is None else Decimal(product.cost) / 100 for product in products},
        shelf={product.sku: product.stock for product in products},
        tax=None if tax is None else exact(tax),
    )


def exact(share: Any) -> Decimal:  # noqa: ANN401 - a fraction or a decimal number
    """A share of whole hundredths of a percent."""
    return Decimal(round(share * 10000)) / 10000


def formula_cells(book: Any) -> set[tuple[str, str]]:  # noqa: ANN401
    """Every cell that holds a formula."""
    return {
        (sheet.title, cell.coordinate)
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


def row_with(sheet: Any, word: object, column: int) -> int:  # noqa: ANN401
    """The row with a word in a column."""
    return next(row for row in range(1, sheet.max_row + 1) if sheet.cell(row, column).value == word)


def nothing_changed(book: Any, shop: Shop) -> None:  # noqa: ANN401 - one of several changes
    """Leave everything as it was written."""


def three_prices(book: Any, shop: Shop) -> None:  # noqa: ANN401
    """Type new prices for the three products of the last rows, one of them above any cap, one with odd cents."""
    sheet = book["Prices"]
    names = {cell.value: cell.column for cell in sheet[4]}
    last = sheet.max_row
    for row, price in zip((last, last - 1, 5), ("4321.99", "0.37", "1000.05"), strict=True):
        sheet.cell(row, names["Unit price"]).value = float(price)
        sku = sheet.cell(row, names["SKU"]).value
        shop.prices[sheet.cell(row, names["Product"]).value if sku == "labour" else sku] = Decimal(price)


def inputs(book: Any, shop: Shop) -> None:  # noqa: ANN401
    """Type another budget, allowance, tax rate, cost and number on the shelf."""
    sheet, prices = book["Inputs"], book["Prices"]
    tiers = list(shop.allowances)
    sheet.cell(row_with(sheet, tiers[0], 1), 2).value = 777.77
    shop.budgets[tiers[0]] = Decimal("777.77")
    sheet.cell(row_with(sheet, tiers[1], 1), 3).value = 0.035
    shop.allowances[tiers[1]] = Decimal("0.035")
    sheet.cell(row_with(sheet, "Tax rate", 1), 2).value = 0.19
    shop.tax = Decimal("0.19")
    names = {cell.value: cell.column for cell in prices[4]}
    sku = prices.cell(6, names["SKU"]).value
    prices.cell(6, names["Cost without tax"]).value = 12.34
    prices.cell(6, names["On the shelf"]).value = 1
    shop.costs = {**shop.costs, sku: Decimal("12.34")}
    shop.shelf = {**shop.shelf, sku: 1}


@pytest.mark.parametrize("change", [nothing_changed, three_prices, inputs])
@pytest.mark.parametrize("name", ["fixtures", "sample"])
def test_every_formula_cell_shows_what_the_data_file_says(
    name: str, change: Callable[[Any, Shop], None], tmp_path: Path
) -> None:
    content, results = rendered(name)
    book = openpyxl.load_workbook(BytesIO(content))
    shop = shop_of(reports()[name].catalogue)
    change(book, shop)
    expected = expected_cells(book, results, shop)
    assert set(expected) == formula_cells(book)
    assert len(expected) > {"fixtures": 290, "sample": 1300}[name]
    saved = BytesIO()
    book.save(saved)
    fresh = recalculated(saved.getvalue() if change is not nothing_changed else content, tmp_path)
    wrong = {
        (sheet, cell): (value, fresh[sheet][cell].value)
        for (sheet, cell), value in expected.items()
        if not agrees(value, fresh[sheet][cell].value)
    }
    assert wrong == {}


def agrees(expected: Decimal | str, seen: object) -> bool:
    """Whether a cell shows a value, amounts to far less than a cent."""
    if isinstance(expected, str) or not isinstance(seen, int | float):
        return expected == seen
    return abs(float(expected) - seen) < 1e-6


def test_stored_values_are_those_of_the_data_file_before_anything_recalculates() -> None:
    content, results = rendered("fixtures")
    stored = openpyxl.load_workbook(BytesIO(content), data_only=True)
    expected = expected_cells(stored, results, shop_of(reports()["fixtures"].catalogue))
    wrong = {place: value for place, value in expected.items() if not agrees(value, stored[place[0]][place[1]].value)}
    assert wrong == {}


def test_formulas_that_libreoffice_saves_still_work_when_it_opens_them_again(tmp_path: Path) -> None:
    """The names of tables and columns survive a shop that works in LibreOffice."""
    content, results = rendered("fixtures")
    recalculated(content, tmp_path)
    book = openpyxl.load_workbook(tmp_path / "out" / "in.xlsx")
    shop = shop_of(reports()["fixtures"].catalogue)
    three_prices(book, shop)
    saved = BytesIO()
    book.save(saved)
    again = tmp_path / "again"
    again.mkdir()
    fresh = recalculated(saved.getvalue(), again)
    expected = expected_cells(book, results, shop)
    assert set(expected) == formula_cells(book)
    assert all(agrees(value, fresh[sheet][cell].value) for (sheet, cell), value in expected.items())
