"""Price ranges: a column of every product sheet, a setting, and what does not go together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.catalogue.columns import PRODUCT_SHEETS
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.faults import UserInputError
from tests.catalogue.price_files import written
from tests.catalogue.workbooks import Book, faults_of, sound_book, told, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.faults import Fault


def with_high(value: Any, header: str = "Price high") -> Book:  # noqa: ANN401 - whatever a cell may hold
    """The sound catalogue in which the speakers at 59.90 may cost so much; the price stands in D2, this in M2."""
    book = sound_book()
    book["Speakers"][0][header] = value
    return book


def faults(tmp_path: Path, book: Book) -> list[Fault]:
    """Faults of a catalogue."""
    return faults_of(write_book(tmp_path / "book.xlsx", book))


def test_every_product_sheet_has_the_column() -> None:
    assert all(sheet.column("price_high").header == "Price high" for sheet in PRODUCT_SHEETS)


@pytest.mark.parametrize(
    ("value", "high", "rise"), [(64.9, 6490, 500), ("€ 64.90", 6490, 500), (59.9, 5990, 0), (None, None, 0)]
)
@pytest.mark.parametrize("header", ["Price high", "PRICE HIGH:", "Highest price"])
def test_it_is_read_as_money_and_blank_is_certain(
    tmp_path: Path, value: object, high: int | None, rise: int, header: str
) -> None:
    speakers = load_catalogue(write_book(tmp_path / "book.xlsx", with_high(value, header))).speakers[0]
    assert (speakers.price, speakers.price_high, speakers.rise) == (5990, high, rise)


@pytest.mark.parametrize(("value", "code"), [(59.89, "range-reversed"), (0, "out-of-range"), ("dear", "not-a-number")])
def test_what_is_no_high_price_is_a_fault_at_its_cell(tmp_path: Path, value: object, code: str) -> None:
    assert told(faults(tmp_path, with_high(value))) == {("Speakers!M2", code, "fault")}


def test_the_fault_names_both_prices(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, with_high(45))
    assert (fault.found, fault.expected) == ("45.00", "Price high: at least the Price, 59.90 at Speakers!D2")


def test_a_fresh_price_above_the_high_price_is_a_fault_of_the_price_file(tmp_path: Path) -> None:
    path = write_book(tmp_path / "book.xlsx", with_high(64.9))
    fault = one_fault(path, written(tmp_path, "SKU,Price\nSP-1,69.90\n"))
    assert str(fault.at) == "prices.csv, line 2, column B"
    assert (fault.code, fault.found) == ("range-reversed", "69.90")
    assert fault.expected == "Price: at most the Price high, 64.90 at Speakers!M2"


def test_a_price_file_may_bring_the_high_price_too(tmp_path: Path) -> None:
    path = write_book(tmp_path / "book.xlsx", sound_book())
    prices = written(tmp_path, "SKU,Price,Price high\nSP-1,69.90,75.00\n")
    speakers = load_catalogue(path, prices=prices).speakers[0]
    assert (speakers.price, speakers.price_high) == (6990, 7500)
    low = one_fault(path, written(tmp_path, "SKU,Price high\nSP-1,50\n"))
    assert (str(low.at), low.code) == ("prices.csv, line 2, column B", "range-reversed")


def one_fault(path: Path, prices: Path) -> Fault:
    """The one fault of a catalogue with a price file laid over it."""
    with pytest.raises(UserInputError) as raised:
        load_catalogue(path, prices=prices)
    (fault,) = raised.value.faults
    return fault


@pytest.mark.parametrize("label", ["Prices that may rise", "prices rising", "Number of prices that may rise"])
def test_the_setting_says_how_many_may_rise(tmp_path: Path, label: str) -> None:
    book = with_high(64.9)
    book["Settings"].append({"Setting": label, "Value": 2})
    catalogue = load_catalogue(write_book(tmp_path / "book.xlsx", book))
    assert (catalogue.settings.rising, catalogue.warnings) == (2, ())


@pytest.mark.parametrize("value", [-1, 1.5, "some", 100])
def test_what_is_no_number_of_prices_is_a_fault(tmp_path: Path, value: object) -> None:
    book = with_high(64.9)
    book["Settings"].append({"Setting": "Prices that may rise", "Value": value})
    assert [str(fault.at) for fault in faults(tmp_path, book)] == ["Settings!B4"]


def test_where_no_product_has_a_range_the_setting_is_told_to_do_nothing(tmp_path: Path) -> None:
    book = sound_book()
    book["Settings"].append({"Setting": "Prices that may rise", "Value": 2})
    assert told(faults(tmp_path, book)) == {("Settings!B4", "no-price-ranges", "notice")}
    book["Settings"][-1]["Value"] = 0
    assert faults(tmp_path, book) == []
