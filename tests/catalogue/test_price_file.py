"""Which files, sheets and columns a price file may have, and what is said of all others, each at its place."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from budgetbuild.catalogue.columns import PRODUCT_SHEETS
from budgetbuild.catalogue.price_file import FRESH_FIELDS, PRICES, read_prices
from budgetbuild.faults import Severity
from tests.catalogue.price_files import faults_in, fresh_of, overlaid, placed, write_sheets, written

if TYPE_CHECKING:
    from tests.catalogue.price_files import Grid

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600
WORDS: list[list[Any]] = [["SKU", "Price"], ["HU-1", 150]]


def test_columns_are_those_of_the_product_sheets(tmp_path: Path) -> None:
    common = {column.field: column for column in PRODUCT_SHEETS[0].columns}
    for column in PRICES.columns:
        assert (column.header, column.keys, column.kind) == (
            common[column.field].header, common[column.field].keys, common[column.field].kind,
        )  # fmt: skip
    assert {"sku", "price", "cost", "stock", "active"} <= {column.field for column in PRICES.columns}
    assert {column.field for column in PRICES.columns} - {"sku"} <= set(FRESH_FIELDS)
    changes = fresh_of(
        tmp_path, "ACTIVE?;article-number;Stock Qty.;Price incl. VAT;COST PRICE\nno;hu-1;3;150;80\n"
    ).changes
    assert {change.field: change.after for change in changes} == {
        "price": 15000,
        "cost": 8000,
        "stock": 3,
        "active": False,
    }


@pytest.mark.parametrize("name", ["prices.csv", "prices.txt", "prices.xlsx"])
def test_what_a_file_is_follows_from_what_it_holds_not_from_its_name(name: str, tmp_path: Path) -> None:
    prices = written(tmp_path, "SKU\tPrice\nHU-1\t150\n", name)
    assert overlaid(tmp_path, prices).head_units[0].price == 15000
    sheets = write_sheets(tmp_path / f"again {name}", {"Any": WORDS})
    assert overlaid(tmp_path, sheets).head_units[0].price == 15000


def test_every_sheet_with_a_sku_and_a_price_or_stock_is_read_and_others_are_told(tmp_path: Path) -> None:
    sheets: dict[str, Grid] = {
        "Notes": [["ring the wholesaler"]],
        "Week 12": [["of Monday"], [], ["SKU", "Shelf", "Price", "Ring"], ["HU-1", "B2", 150, None]],
        "Empty": [],
        "Counted": [["SKU", "In stock"], ["SP-1", 3]],
        "Later": [["Code", "Price", "Stock"], ["SP-2", 100, 1]],
    }
    catalogue = overlaid(tmp_path, write_sheets(tmp_path / "prices.xlsx", sheets))
    assert (catalogue.head_units[0].price, catalogue.speakers[0].stock) == (15000, 3)
    assert catalogue.speakers[1].price == 12900
    assert placed(list(catalogue.warnings)) == [
        ("prices.xlsx", "unknown-sheet", "notice"),
        ("prices.xlsx: Later!1:1", "missing-column", "warning"),
        ("prices.xlsx: Week 12!3:3", "unknown-column", "notice"),
    ]
    assert [fault.found for fault in catalogue.warnings] == ["Notes", "no such column", '"Shelf", "Ring"']


@pytest.mark.parametrize(
    ("text", "where", "code", "says"),
    [
        ("Price;Stock\n5;1\n", "prices.csv, line 1", "missing-column", "a column SKU"),
        ("Article;Price;Stock\nA;5;1\n", "prices.csv, line 1", "missing-column", "a column SKU"),
        ("of Monday\nSKU;Model\nHU-1;One\n", "prices.csv, line 2", "no-price-column", "Cost, Stock or Active"),
        ("Stuff;More\nA;1\n", "prices.csv", "no-header-row", "SKU, Price"),
        ("SKU;Price\n", "prices.csv, line 1", "no-rows", "a row for each SKU"),
        ("SKU;Price;Price\nHU-1;5;6\n", "prices.csv, line 1, column C", "doubled-header", "each column name once"),
        ("", "prices.csv", "empty-file", "a text table (CSV) or an Excel workbook"),
    ],
)
def test_a_file_without_what_it_needs_is_one_located_fault(
    text: str, where: str, code: str, says: str, tmp_path: Path
) -> None:
    (fault,) = faults_in(tmp_path, text)
    assert (str(fault.at), fault.code, str(fault.severity)) == (where, code, "fault")
    assert says in fault.expected


def test_a_header_that_is_near_a_name_is_a_warning_with_the_name(tmp_path: Path) -> None:
    (fault,) = faults_in(tmp_path, "SKU;Prize;Stock\nHU-1;5;1\n")
    assert (str(fault.at), fault.code, str(fault.severity)) == (
        "prices.csv, line 1, column B", "unknown-column", "warning",
    )  # fmt: skip
    assert "did you mean Price" in fault.mend


@pytest.mark.parametrize(
    ("data", "code"),
    [(OLE, "old-format"), (b"PK\x03\x04 and no more", "damaged-file"), (b"<html></html>", "web-page")],
)
def test_files_of_other_kinds_are_refused_in_plain_words(data: bytes, code: str, tmp_path: Path) -> None:
    assert placed(faults_in(tmp_path, written(tmp_path, data))) == [("prices.csv", code, "fault")]


def test_a_file_that_is_not_there_or_is_a_folder_is_told(tmp_path: Path) -> None:
    assert placed(faults_in(tmp_path, tmp_path / "none.csv")) == [("none.csv", "no-such-file", "fault")]
    assert [code for _, code, _ in placed(faults_in(tmp_path, tmp_path))] == ["not-a-file"]


@settings(deadline=None, max_examples=150)
@given(data=st.one_of(st.binary(max_size=200), st.text('SKU,Price;\t"\r\n=0123.€ \x85', max_size=80).map(str.encode)))
def test_whatever_the_bytes_are_the_file_is_read_or_says_why_not(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        read = read_prices(written(Path(folder), data))
    assert read.tables or any(fault.severity is Severity.FAULT for fault in read.faults)
    assert all(fault.at.file == "prices.csv" for fault in read.faults)


def test_a_workbook_without_any_such_sheet_says_so_of_each(tmp_path: Path) -> None:
    sheets: dict[str, Grid] = {"A": [["SKU", "Model"], ["HU-1", "One"]], "B": [["x"]], "C": [["Price", "Cost"], [1, 2]]}
    assert placed(faults_in(tmp_path, write_sheets(tmp_path / "p.xlsx", sheets))) == [
        ("p.xlsx: A!1:1", "no-price-column", "fault"),
        ("p.xlsx: B", "no-header-row", "fault"),
        ("p.xlsx: C!1:1", "missing-column", "fault"),
    ]
    (fault,) = faults_in(tmp_path, write_sheets(tmp_path / "q.xlsx", {"A": [], "B": []}))
    assert (str(fault.at), fault.code) == ("q.xlsx", "empty-file")
