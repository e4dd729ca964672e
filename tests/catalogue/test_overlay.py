"""Fresh prices laid over a catalogue: the same as a catalogue with those cells, and every fault in the price file."""

from __future__ import annotations

import hashlib
import random
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from budgetbuild.catalogue.asked import Asked
from budgetbuild.catalogue.fresh import Change, Stranger
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.faults import Cell, UserInputError
from tests.catalogue.price_files import (
    ENCODINGS,
    SEPARATORS,
    csv_bytes,
    faults_in,
    fresh_of,
    overlaid,
    placed,
    write_sheets,
    written,
)
from tests.catalogue.workbooks import faults_of, sound_book, write_book

if TYPE_CHECKING:
    from budgetbuild.catalogue.fresh import Fresh
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue
    from tests.catalogue.price_files import Grid
    from tests.catalogue.workbooks import Book

HEADERS = ("SKU", "Price", "Cost", "Stock", "Active")


def amount(cents: int | None, mark: str) -> str:
    """Cents as a shop types them."""
    return "" if cents is None else f"{cents // 100}{mark}{cents % 100:02}"


def own_values(products: tuple[Product, ...], mark: str = ".") -> Grid:
    """What a price file would say of products as they are, with its header row."""
    return [
        list(HEADERS),
        *(
            [
                one.sku,
                amount(one.price, mark),
                amount(one.cost, mark),
                "" if one.stock is None else str(one.stock),
                "yes" if one.active else "no",
            ]
            for one in products
        ),
    ]


def shuffled(grid: Grid, chance: random.Random) -> Grid:
    """The same table with its rows and its columns in another order."""
    order = chance.sample(range(len(grid[0])), len(grid[0]))
    head, *rows = ([row[place] for place in order] for row in grid)
    return [head, *chance.sample(rows, len(rows))]


def without_fresh(catalogue: Catalogue) -> Catalogue:
    """A catalogue as it would be without its file names and hashes."""
    return replace(catalogue, fresh=None, name="", sha256="")


@settings(deadline=None, max_examples=15)
@given(
    chance=st.randoms(use_true_random=False),
    dialect=st.tuples(st.sampled_from(SEPARATORS), st.sampled_from(ENCODINGS)),
    mark=st.sampled_from([".", ","]),
    end=st.sampled_from(["\n", "\r\n"]),
)
def test_a_catalogues_own_values_as_text_in_any_order_and_dialect_change_nothing(
    sample: Catalogue, sample_workbook: Path, chance: random.Random, dialect: tuple[str, str], mark: str, end: str
) -> None:
    grid = shuffled(own_values(sample.products(), mark), chance)
    with tempfile.TemporaryDirectory() as folder:
        prices = written(Path(folder), csv_bytes(grid, *dialect, lineterminator=end))
        found = load_catalogue(sample_workbook, prices=prices)
    assert found.fresh is not None
    assert (found.fresh.changes, found.fresh.unknown, found.fresh.missing) == ((), (), ())
    assert found.fresh.named == len(sample.products())
    assert replace(found, fresh=None) == sample


@pytest.mark.parametrize("seed", range(3))
def test_a_catalogues_own_values_as_a_workbook_in_any_order_change_nothing(
    sample: Catalogue, sample_workbook: Path, tmp_path: Path, seed: int
) -> None:
    grid = own_values(sample.products())
    grid[1:] = [[sku, float(price), *rest] for sku, price, *rest in grid[1:]]
    head, *rows = shuffled(grid, random.Random(seed))  # noqa: S311 - an order, no secret
    sheets = {"One": [head, *rows[:100]], "Two": [head, *rows[100:]]}
    found = load_catalogue(sample_workbook, prices=write_sheets(tmp_path / "prices.xlsx", sheets))
    assert found.fresh is not None
    assert (found.fresh.changes, found.fresh.unknown, found.fresh.missing) == ((), (), ())
    assert replace(found, fresh=None) == sample


@settings(deadline=None, max_examples=20)
@given(data=st.data(), in_a_workbook=st.booleans())
def test_a_catalogue_with_a_price_file_is_the_catalogue_with_its_cells_edited(
    data: st.DataObject, *, in_a_workbook: bool
) -> None:
    values = {
        "Price": st.one_of(st.none(), st.integers(1, 900_000).map(lambda cents: cents / 100)),
        "Cost": st.one_of(st.none(), st.integers(0, 900_000).map(lambda cents: cents / 100)),
        "Stock": st.one_of(st.none(), st.integers(0, 50)),
        "Active": st.sampled_from([None, "yes", "no"]),
    }
    plain, edited, grid = book_with_all_columns(), book_with_all_columns(), [list(HEADERS)]
    for row in (row for rows in edited.values() for row in rows if "Cost" in row):
        if data.draw(st.booleans()):
            told: dict[str, Any] = {header: data.draw(value) for header, value in values.items()}
            row |= {header: value for header, value in told.items() if value is not None}
            grid.append([row["SKU"], *told.values()])
    assume(len(grid) > 1)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prices = written(folder, csv_bytes(grid), "prices")
        if in_a_workbook:
            write_sheets(prices, {"Any": grid})
        expected = load_edited(write_book(folder / "edited.xlsx", edited))
        found = load_edited(write_book(folder / "plain.xlsx", plain), prices)
    assert found == expected


def book_with_all_columns() -> Book:
    """The small sound catalogue, four of its sheets with every column that a price file may give."""
    book = sound_book()
    for sheet in ("Head units", "Speakers", "Amplifiers", "Power kits"):
        for row in book[sheet]:
            row |= {"Cost": 20, "Stock": None, "Active": None}
    return book


def load_edited(path: Path, prices: Path | None = None) -> Catalogue | list[str]:
    """The catalogue without what names its files, or the codes of its faults where it cannot be used."""
    try:
        return without_fresh(load_catalogue(path, prices=prices))
    except UserInputError as error:
        return sorted(fault.code for fault in error.faults)


def test_what_changed_is_told_value_by_value_in_the_order_of_the_catalogue(tmp_path: Path) -> None:
    text = "Stock;SKU;Price;Active\n;am-4;229,00;no\n7;SP-2;129;yes\n3;X-9;1;\n"
    path = written(tmp_path, text)
    fresh = fresh_of(tmp_path, path)
    assert (fresh.name, fresh.sha256) == ("prices.csv", hashlib.sha256(path.read_bytes()).hexdigest())
    assert fresh.changes == (
        Change(at=Cell("", 3, 1, "prices.csv"), sku="SP-2", field="stock", header="Stock", money=False, before=None,
               after=7),
        Change(at=Cell("", 2, 3, "prices.csv"), sku="AM-4", field="price", header="Price", money=True, before=24900,
               after=22900),
        Change(at=Cell("", 2, 4, "prices.csv"), sku="AM-4", field="active", header="Active", money=False, before=True,
               after=False),
    )  # fmt: skip
    assert fresh.unknown == (Stranger(at=Cell("", 4, 2, "prices.csv"), sku="X-9"),)
    assert fresh.missing == ("HU-1", "SP-1", "PK-1", "SL-1", "SC-1", "FK-1")
    assert (fresh.named, fresh.products_changed) == (2, 2)


def test_a_blank_cell_leaves_the_catalogues_value_as_it_is(tmp_path: Path) -> None:
    book = sound_book()
    book["Amplifiers"][0] |= {"Cost": 120, "Stock": 5, "Active": "no"}
    path = write_book(tmp_path / "book.xlsx", book)
    prices = written(tmp_path, "SKU,Price,Cost,Stock,Active\nAM-4,,,,\nHU-1,1,,,\n")
    (amplifier,) = load_catalogue(path, prices=prices).amplifiers
    assert (amplifier.price, amplifier.cost, amplifier.stock, amplifier.active) == (24900, 12000, 5, False)


def test_a_sku_stays_text_and_one_that_lost_its_zeros_is_left_out_with_a_hint(tmp_path: Path) -> None:
    book = sound_book()
    book["Head units"][0]["SKU"] = "00123"
    path = write_book(tmp_path / "book.xlsx", book)
    assert load_catalogue(path, prices=written(tmp_path, "SKU,Price\n00123,150\n")).head_units[0].price == 15000
    found = load_catalogue(path, prices=written(tmp_path, "SKU,Price\n123,150\nSP-1,10\n"))
    assert found.head_units[0].price == 19900
    assert found.fresh is not None
    assert [(one.sku, one.near) for one in found.fresh.unknown] == [("123", ("00123",))]


def test_a_price_file_without_any_sku_of_the_catalogue_is_the_wrong_file(tmp_path: Path) -> None:
    (fault,) = faults_in(tmp_path, "SKU,Price\nX-1,150\nX-2,10\n")
    assert (str(fault.at), fault.code, fault.found) == (
        "prices.csv", "no-known-sku", "2 SKUs, of which the catalogue has none",
    )  # fmt: skip


def test_all_faults_of_both_files_are_told_at_once_each_at_its_cell(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0] |= {"Ohm": "2 kohm"}
    text = (
        "SKU;Price;Stock;Active\n"
        "HU-1;1.299;4;yes\n"
        "SP-1;-5;1,5;perhaps\n"
        "SP-1;5;1;no\n"
        ";12,50;1;yes\n"
        "1.2E+10;3;1;yes\n"
        "AM-4;n/a;;\n"
    )
    with pytest.raises(UserInputError) as stopped:
        load_catalogue(write_book(tmp_path / "book.xlsx", book), prices=written(tmp_path, text))
    assert placed(stopped.value.faults) == [
        ("Speakers!I2", "wrong-unit", "fault"),
        ("prices.csv, line 3, column B", "out-of-range", "fault"),
        ("prices.csv, line 3, column C", "not-whole", "fault"),
        ("prices.csv, line 3, column D", "not-yes-no", "fault"),
        ("prices.csv, line 4, column A", "duplicate-sku", "fault"),
        ("prices.csv, line 5, column A", "missing-value", "fault"),
        ("prices.csv, line 6, column A", "sku-lost-digits", "fault"),
        ("prices.csv, line 7, column B", "not-a-number", "fault"),
    ]
    assert "it is also at prices.csv, line 3, column A" in stopped.value.faults[4].mend
    assert stopped.value.faults[-1].mend == "clear the cell, which means that the catalogue's value stays"


def test_an_ambiguous_amount_is_no_guess_unless_its_column_shows_the_decimal_mark(tmp_path: Path) -> None:
    (fault,) = faults_in(tmp_path, "SKU;Price\nHU-1;1.299\n")
    assert (str(fault.at), fault.code) == ("prices.csv, line 2, column B", "ambiguous-number")
    assert "this may be 1299 or 1.299" in fault.expected
    hinted = overlaid(tmp_path, "SKU;Price\nHU-1;1.299\nAM-4;249,50\n")
    assert (hinted.head_units[0].price, hinted.amplifiers[0].price) == (129900, 24950)


@pytest.mark.parametrize(("text", "cents"), [("€ 1.299,00", 129900), ("1 299,50 EUR", 129950), ("1,299.00", 129900)])
def test_amounts_are_read_as_in_the_catalogue(text: str, cents: int, tmp_path: Path) -> None:
    assert overlaid(tmp_path, csv_bytes([["SKU", "Price"], ["HU-1", text]])).head_units[0].price == cents


def test_an_amount_in_another_currency_is_a_fault(tmp_path: Path) -> None:
    (fault,) = faults_in(tmp_path, "SKU;Price\nHU-1;$ 150\n")
    assert fault.code == "wrong-currency"


def test_cells_that_a_workbook_cannot_vouch_for_are_located_in_their_sheet(tmp_path: Path) -> None:
    grid: Grid = [["SKU", "Price", "Stock"], ["HU-1", "=199-9", 1], ["SP-1", 10, "=NA()"], [1.2e20, 5, 1]]
    assert placed(faults_in(tmp_path, write_sheets(tmp_path / "week.xlsx", {"Monday": grid}))) == [
        ("week.xlsx: Monday!B2", "formula-without-value", "fault"),
        ("week.xlsx: Monday!C3", "formula-without-value", "fault"),
        ("week.xlsx: Monday!A4", "sku-lost-digits", "fault"),
    ]


def test_a_fault_in_a_product_that_no_brief_can_use_is_a_warning_and_takes_the_product_away(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0]["Active"] = "no"
    path = write_book(tmp_path / "book.xlsx", book)
    found = load_catalogue(path, prices=written(tmp_path, "SKU;Price\nSP-1;-5\nSP-2;100\n"))
    assert placed(list(found.warnings)) == [("prices.csv, line 2, column B", "out-of-range", "warning")]
    assert [(one.sku, one.price) for one in found.speakers] == [("SP-2", 10000)]


def test_the_price_file_decides_whether_a_product_is_offered_and_so_which_faults_matter(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0]["Ohm"] = "2 kohm"
    path = write_book(tmp_path / "book.xlsx", book)
    assert [fault.code for fault in faults_of(path)] == ["wrong-unit"]
    found = load_catalogue(path, prices=written(tmp_path, "SKU;Active\nSP-1;no\n"))
    assert [str(fault.severity) for fault in found.warnings] == ["warning"]


def test_a_fresh_value_takes_the_place_of_one_that_cannot_be_read(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0]["Price"], book["Amplifiers"][0]["Price"] = "ask", None
    path = write_book(tmp_path / "book.xlsx", book)
    assert [fault.code for fault in faults_of(path)] == ["not-a-number", "missing-value"]
    found = load_catalogue(path, prices=written(tmp_path, "SKU;Price\nSP-1;49,90\nAM-4;199\n"))
    assert found.warnings == ()
    assert (found.speakers[0].price, found.amplifiers[0].price) == (4990, 19900)
    assert found.fresh is not None
    assert [change.before for change in found.fresh.changes] == [None, None]


def test_faults_of_skus_that_the_catalogue_does_not_have_are_warnings(tmp_path: Path) -> None:
    text = "SKU;Price\nX-1;ask\nX-1;2\nHU-1;150\n"
    faults = faults_in(tmp_path, text)
    assert placed(faults) == [
        ("prices.csv, line 2, column B", "not-a-number", "warning"),
        ("prices.csv, line 3, column A", "duplicate-sku", "warning"),
    ]
    assert all("the catalogue does not have this SKU" in fault.mend for fault in faults)
    assert [one.sku for one in fresh_of(tmp_path, text).unknown] == ["X-1"]


def test_a_doubled_sku_of_a_product_out_of_use_is_a_warning(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0]["Active"] = "no"
    path = write_book(tmp_path / "book.xlsx", book)
    found = load_catalogue(path, prices=written(tmp_path, "SKU;Price\nSP-1;5\nSP-1;6\nSP-2;7\n"))
    assert placed(list(found.warnings)) == [("prices.csv, line 3, column A", "duplicate-sku", "warning")]


def test_the_price_file_counts_for_one_brief_too(tmp_path: Path) -> None:
    path = write_book(tmp_path / "book.xlsx", sound_book())
    found = load_catalogue(path, Asked(must_include=("SP-2",)), written(tmp_path, "SKU;Price\nSP-2;100\n"))
    assert found.speakers[1].price == 10000
    with pytest.raises(UserInputError) as stopped:
        load_catalogue(path, Asked(must_include=("SP-2",)), written(tmp_path, "SKU;Active\nSP-2;no\n"))
    assert [fault.code for fault in stopped.value.faults] == ["never-offered"]


def timed(catalogue: Path, prices: Path) -> tuple[float, Fresh]:
    """Seconds of the processor's that reading a catalogue with a price file takes, and what came of it."""
    started = time.process_time()
    fresh = load_catalogue(catalogue, prices=prices).fresh
    assert fresh is not None
    return time.process_time() - started, fresh


@pytest.mark.timed
def test_twenty_thousand_rows_are_laid_over_in_about_a_second(sample_workbook: Path, tmp_path: Path) -> None:
    chance = random.Random(1)  # noqa: S311 - prices, no secrets
    sample = load_catalogue(sample_workbook)
    grid = own_values(sample.products())
    for number in range(20_000 - len(grid)):
        price, cost = (chance.randrange(1, 200_000) for _ in range(2))
        grid.append([f"X-{number:05}", amount(price, "."), amount(cost, "."), chance.randrange(30), "yes"])
    prices = written(tmp_path, csv_bytes(grid))
    spent, fresh = timed(sample_workbook, prices)
    fastest = min(spent, timed(sample_workbook, prices)[0])
    assert (fresh.named, len(fresh.unknown)) == (len(sample.products()), 20_000 - len(sample.products()) - 1)
    assert fastest < 3


@pytest.fixture(scope="module")
def sample(sample_workbook: Path) -> Catalogue:
    """The sample catalogue."""
    return load_catalogue(sample_workbook)
