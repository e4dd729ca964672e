"""Text tables as shops' programs write them: every usual dialect is read, and what is unclear is said at its line."""

from __future__ import annotations

import pytest

from budgetbuild.catalogue import text_table
from budgetbuild.catalogue.price_file import PRICES
from budgetbuild.catalogue.text_table import TextTable, read_text_table
from budgetbuild.faults import Cell, Fault, Severity, UserInputError
from tests.catalogue.price_files import ENCODINGS, SEPARATORS, csv_bytes

TABLE = [["SKU", "Shelf", "Price"], ["00123", "über; der, Tür", "€ 1.299,00"], ["A-2", 'links "oben"', "5"]]


def read(data: bytes | str) -> TextTable:
    """A text table with the columns of a price file."""
    return read_text_table("prices.csv", data.encode() if isinstance(data, str) else data, PRICES)


def rows(data: bytes | str) -> list[tuple[int, list[object]]]:
    """Its rows; nothing else is said of it."""
    table = read(data)
    assert table.faults == ()
    return [(number, list(cells)) for number, cells in table.raw.rows]


def refused(data: bytes | str) -> Fault:
    """The one fault with which it is refused."""
    with pytest.raises(UserInputError) as stopped:
        read(data)
    (fault,) = stopped.value.faults
    assert fault.at.file == "prices.csv"
    return fault


@pytest.mark.parametrize("separator", SEPARATORS)
@pytest.mark.parametrize("encoding", ENCODINGS)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_usual_dialect_gives_the_same_cells(separator: str, encoding: str, end: str) -> None:
    table = read(csv_bytes(TABLE, separator, encoding, lineterminator=end))
    assert table.raw.rows == tuple(enumerate(TABLE, start=1))
    told = [("old-encoding", Severity.NOTICE)] if encoding == "cp1252" else []
    assert [(fault.code, fault.severity) for fault in table.faults] == told


def test_a_table_in_big_endian_or_wider_characters_is_read() -> None:
    for encoding in ("utf-16-be", "utf-32-le"):
        assert rows(("\ufeffSKU;Price\nA;1\n").encode(encoding)) == [(1, ["SKU", "Price"]), (2, ["A", "1"])]


def test_a_cell_with_line_breaks_is_one_cell_and_rows_keep_the_number_of_their_first_line() -> None:
    text = 'SKU;Price;Note\nA;1;"two\nlines"\n\nB;2;x\n'
    assert rows(text) == [(1, ["SKU", "Price", "Note"]), (2, ["A", "1", "two lines"]), (5, ["B", "2", "x"])]


def test_a_first_line_that_states_the_separator_is_obeyed_and_counted() -> None:
    assert rows("sep=;\r\nSKU;Price\r\nA,1;1,50\r\n") == [(2, ["SKU", "Price"]), (3, ["A,1", "1,50"])]


def test_a_cell_marked_as_text_for_a_spreadsheet_is_its_text() -> None:
    assert rows('SKU,Price\n="00123",1\n"=""00124""",2\n')[1:] == [(2, ["00123", "1"]), (3, ["00124", "2"])]


def test_lines_above_the_column_names_may_hold_anything() -> None:
    text = "Prices of the week, as of Monday, all in euro\n\nSKU;Price\nA;1,50\n"
    assert rows(text)[1:] == [(3, ["SKU", "Price"]), (4, ["A", "1,50"])]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("SKU,Price,Stock\nA,1299,00,4\n", 2),
        ("SKU,Price\nA,12.50\nB,1,299.00\n", 3),
        ("SKU;Price\nA;12,50\nB;13,50;x\n", 3),
        ("SKU,Price,Stock\nA,1299,50,\n", 2),
        ("SKU,Price,Stock,,\nA,1299,50,4\n", 2),
        ("SKU,Price,Cost,Stock\nA,1299,50,80\nB,€ 1.299,00\n", 3),
        ("SKU,Price,Stock,Active\nA,129.90,4\nB,1299,4\n", 3),
    ],
)
def test_a_line_in_which_an_amount_may_be_cut_in_two_by_its_comma_is_a_fault(text: str, line: int) -> None:
    (fault,) = read(text).faults
    assert (fault.code, fault.severity, str(fault.at)) == ("misfit-line", Severity.FAULT, f"prices.csv, line {line}")
    assert "quotation marks" in fault.mend


def test_blank_cells_at_the_end_of_a_line_may_be_left_out() -> None:
    expected = [(2, ["A", "1"]), (3, ["B", "2"]), (4, ["C", "3", "4"])]
    assert rows("SKU;Price;Stock;\nA;1\nB;2;;\nC;3;4\n")[1:] == expected
    assert rows("SKU,Price,Stock\nA,1.50\nB,2\n")[1:] == [(2, ["A", "1.50"]), (3, ["B", "2"])]


def test_a_table_that_breaks_off_within_its_last_line_is_a_fault() -> None:
    (fault,) = read("SKU;Price;Stock\nA;1299;5\nB;12").faults
    assert (fault.code, str(fault.at)) == ("cut-off-line", "prices.csv, line 3")
    assert rows("SKU;Price;Stock\nA;1299;5\nB;1299;5")[-1] == (3, ["B", "1299", "5"])


def test_a_quotation_mark_left_open_is_told_at_the_line_where_its_row_begins() -> None:
    fault = refused('SKU;Price;Note\nA;1;"x"\nB;2;"6 inch\nC;3;y\n')
    assert (fault.code, fault.at) == ("unclear-quotes", Cell("", 3, 0, "prices.csv"))
    assert refused('SKU;Price\n"A"x;1\n').at.row == 2


def test_two_separators_that_do_equally_well_are_no_guess() -> None:
    fault = refused("SKU;Price,Stock\nA;1,2\n")
    assert (fault.code, fault.found) == ("unclear-separator", "both comma and semicolon")


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty-file"),
        (b"\xef\xbb\xbf \r\n \n", "empty-file"),
        (b"<html><table><tr><td>SKU</td></tr></table></html>", "web-page"),
        ("SKU;Price\nA;1\n".encode("utf-16-le"), "not-a-table"),
        (b"SKU;Price\nA\x81;1\n", "unknown-encoding"),
        (b"\xff\xfeS\x00K\x00U", "unknown-encoding"),
        (b"Artikel;Preis\nA;1\n", "no-header-row"),
        (b"dear owner, these are the prices; enjoy", "no-header-row"),
    ],
)
def test_what_is_no_table_is_refused_in_plain_words(data: bytes, code: str) -> None:
    assert refused(data).code == code


@pytest.mark.parametrize("limit", ["MOST_ROWS", "MOST_COLUMNS", "MOST_CELLS"])
def test_a_table_larger_than_any_price_list_is_refused(limit: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(text_table, limit, {"MOST_ROWS": 4, "MOST_COLUMNS": 2, "MOST_CELLS": 9}[limit])
    small, large = "SKU;Price\nA;1\nB;1\nC;1\n", "SKU;Price\nA;1\nB;1\nC;1\nD;1;1\n"
    assert len(rows(small)) == 4
    fault = refused(large)
    assert (fault.code, fault.at.row) == ("too-many-cells", 5)
