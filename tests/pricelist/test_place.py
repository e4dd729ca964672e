"""Which rows go where, what stays blank and is told, and that nothing is ever made up."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.columns import LEFT_OVER, PRODUCT_SHEETS, TO_FILL_IN
from budgetbuild.catalogue.product_sheets import SPEAKERS as SHEET
from budgetbuild.catalogue.read import RawSheet, value_of
from budgetbuild.catalogue.row_checks import check_row
from budgetbuild.catalogue.rows import parse_rows
from budgetbuild.catalogue.shop import Settings
from budgetbuild.catalogue.tables import read_table
from budgetbuild.faults import Cell, Collector, Severity, UserInputError
from budgetbuild.pricelist.flat import Flat, read_flat
from budgetbuild.pricelist.mapping import Group, Mapping, Take
from budgetbuild.pricelist.place import place_rows
from budgetbuild.report.form.workbook import render_imported
from budgetbuild.report.words.voice import voice_of
from tests.catalogue.workbooks import faults_of
from tests.pricelist.lists import EVERY, SPEAKERS, WITH_TAX, placed, write_xlsx

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.pricelist.placed import Placed

HEAD = ["Art", "Price", "Kind", "Text"]


def written(folder: Path, found: Placed) -> Path:
    """The workbook that a sorted list gives."""
    path = folder / "catalogue.xlsx"
    path.write_bytes(render_imported(voice_of(Settings()), found, "list.csv", {"currency": "EUR", "tax_rate": 0.21}))
    return path


AMPLIFIERS = '[[group]]\nsheet = "Amplifiers"\nwhere = { Kind = ["amp", "AMPLIFIER"] }\n'
NO_ALARMS = '[[group]]\nsheet = "none"\ncontaining = { Text = ["alarm", "horn"] }\n'
UNDECIDED = '[[group]]\nsheet = ""\nwhere = { Kind = "later" }\n'


def test_rows_go_where_the_first_group_that_takes_them_says_and_the_others_are_told(tmp_path: Path) -> None:
    rows = [
        HEAD,
        ["", "", "Section one", ""],
        ["S1", "10", " Speaker ", ""],
        ["A1", "20", "amplifier", ""],
        ["X1", "30", "speaker", "an ALARM with a speaker"],
        ["X2", "40", "other", "two horns"],
        ["L1", "50", "later", ""],
        HEAD,
        ["Q1", "60", "unheard of", "what is it?"],
    ]
    found = placed(tmp_path, f"{WITH_TAX}{EVERY}{NO_ALARMS}{SPEAKERS}{AMPLIFIERS}{UNDECIDED}", rows)
    assert [[one["sku"] for one in products] for products in found.products.values() if products] == [["S1"], ["A1"]]
    assert found.left_out == 2
    assert [(str(one.at), one.texts) for one in found.left_over] == [
        ("list.csv, line 2", {3: "Section one"}),
        ("list.csv, line 7", {1: "L1", 2: "50", 3: "later"}),
        ("list.csv, line 9", {1: "Q1", 2: "60", 3: "unheard of", 4: "what is it?"}),
    ]
    assert found.count() + found.left_out + len(found.left_over) == len(rows) - 2


def test_a_column_of_the_group_comes_before_the_same_for_every_sheet(tmp_path: Path) -> None:
    mapping = f'{WITH_TAX}{EVERY}Model = "Kind"\n{SPEAKERS}Model = "Text"\n'
    found = placed(tmp_path, mapping, [HEAD, ["S1", "10", "speaker", "Big one"]])
    assert found.products["speakers"][0]["model"] == "Big one"


def test_a_column_left_blank_in_the_mapping_is_not_known(tmp_path: Path) -> None:
    found = placed(tmp_path, f'{WITH_TAX}{EVERY}{SPEAKERS}Ohm = ""\n', [HEAD, ["S1", "10", "speaker", "4"]])
    assert "ohm" not in found.products["speakers"][0]


def test_a_sku_twice_is_a_fault_at_the_later_one_on_whatever_sheets(tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        placed(
            tmp_path,
            f"{WITH_TAX}{EVERY}{SPEAKERS}{AMPLIFIERS}",
            [HEAD, ["S1", "10", "speaker", ""], ["s1", "20", "amp", ""]],
        )
    (fault,) = caught.value.faults
    assert (str(fault.at), fault.code) == ("list.csv, line 3, column A", "duplicate-sku")
    assert "list.csv, line 2, column A" in fault.mend


def test_a_column_that_the_list_lacks_or_has_twice_is_a_fault(tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        placed(tmp_path, f'{WITH_TAX}{EVERY}{SPEAKERS}Ohm = "Txet"\n', [HEAD, ["S1", "10", "speaker", ""]])
    (fault,) = caught.value.faults
    assert (str(fault.at), fault.code) == ("mapping.toml: [[group]] 1 Ohm", "missing-column")
    assert "Text" in fault.mend
    with pytest.raises(UserInputError) as caught:
        placed(
            tmp_path, f"{WITH_TAX}{EVERY}{SPEAKERS}", [["Art", "Price", "Kind", "PRICE:"], ["S1", "10", "speaker", ""]]
        )
    (fault,) = caught.value.faults
    assert (str(fault.at), fault.code) == ("list.csv, line 1, column D", "doubled-header")


MIXED = f"""{WITH_TAX}{EVERY}Brand = {{ always = "Quovane" }}
Stock = {{ always = 1 }}
{SPEAKERS}"RMS W" = "Text"
{AMPLIFIERS}[group.columns]
Channels = "Text"
"""
MIXED_ROWS = [
    HEAD,
    ["S1", "10", "speaker", "60"],
    ["S2", "1.299", "speaker", "lots"],
    ["A1", "20", "amp", "4"],
    ["A2", "20", "amp", ""],
    ["A3", "20", "amp", "3"],
    ["", "20", "amp", "2"],
]


def test_every_fault_of_the_list_is_told_at_once_and_nothing_is_sorted(tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        placed(tmp_path, MIXED, MIXED_ROWS)
    assert [(str(fault.at), fault.code) for fault in caught.value.faults] == [
        ("list.csv, line 3, column B", "ambiguous-number"),
        ("list.csv, line 3, column D", "not-a-number"),
        ("list.csv, line 6, column D", "odd-channels"),
    ]


def test_left_blank_on_request_they_are_warnings_and_stand_among_what_is_to_be_filled_in(tmp_path: Path) -> None:
    found = placed(tmp_path, MIXED, MIXED_ROWS, leave_blank=True)
    assert [fault.severity for fault in found.faults] == [Severity.WARNING] * 3
    unread = {
        (blank.sku, blank.column.header): (blank.found, str(blank.source)) for blank in found.blanks if blank.found
    }
    assert unread == {
        ("S2", "Price"): ('"1.299"', "list.csv, line 3, column B"),
        ("S2", "RMS W"): ('"lots"', "list.csv, line 3, column D"),
    }
    assert "price" not in found.products["speakers"][1]
    assert found.products["amplifiers"][2]["channels"] == 3


def test_what_is_to_be_filled_in_is_just_what_the_check_then_misses(tmp_path: Path) -> None:
    found = placed(tmp_path, MIXED, MIXED_ROWS, leave_blank=True)
    path = written(tmp_path, found)
    products = {sheet.name for sheet in PRODUCT_SHEETS}
    missed = {
        str(fault.at) for fault in faults_of(path) if fault.code == "missing-value" and fault.at.sheet in products
    }
    page = openpyxl.load_workbook(path)[TO_FILL_IN]
    listed = {f"{row[0]}!{row[1]}" for row in page.iter_rows(min_row=4, values_only=True)}
    assert listed == missed
    assert len(listed) == page.max_row - 3
    links = [row[1].hyperlink for row in page.iter_rows(min_row=4)]
    assert {str(link.location).replace("'", "") for link in links if link} == missed


def test_rows_that_no_group_takes_stand_in_the_workbook_under_the_lists_own_names(tmp_path: Path) -> None:
    rows = [HEAD, ["S1", "10", "speaker", ""], ["=1+1", "2", "unheard of", "x"]]
    page = openpyxl.load_workbook(written(tmp_path, placed(tmp_path, f"{WITH_TAX}{EVERY}{SPEAKERS}", rows)))[LEFT_OVER]
    assert [[cell.value for cell in row] for row in page.iter_rows(min_row=3)] == [
        ["Row", *HEAD],
        ["3", "=1+1", "2", "unheard of", "x"],
    ]
    assert page["B4"].data_type == "s"


def test_the_workbook_has_the_currency_and_the_tax_that_the_mapping_states_and_no_example(tmp_path: Path) -> None:
    found = placed(tmp_path, f"{WITH_TAX}{EVERY}{SPEAKERS}", [HEAD, ["S1", "10", "speaker", ""]])
    book = openpyxl.load_workbook(written(tmp_path, found))
    values = {row[0]: row[1] for row in book["Settings"].iter_rows(min_row=2, values_only=True) if row[1] is not None}
    assert values == {"Currency code": "EUR", "Tax rate": 0.21}
    assert LEFT_OVER not in book.sheetnames
    assert not [
        fault for fault in faults_of(tmp_path / "catalogue.xlsx") if fault.code in {"example-rows", "unknown-sheet"}
    ]
    for name in ("Vehicles", "Briefs", "Tiers", "Amplifiers"):
        assert all(cell.value is None for row in book[name].iter_rows(min_row=2) for cell in row)


def test_a_workbook_with_several_sheets_asks_which_one_is_meant(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "list.xlsx", [HEAD, ["00123", 10, "speaker", ""]], "Stock")
    book = openpyxl.load_workbook(path)
    book.create_sheet("Notes").append(["by hand"])
    book.save(path)
    with pytest.raises(UserInputError) as caught:
        read_flat(path, HEAD)
    (fault,) = caught.value.faults
    assert (fault.code, fault.found) == ("which-sheet", "Stock, Notes")
    flat = read_flat(path, HEAD, "stock")
    assert (flat.title, flat.other_sheets, flat.rows[0][1][0]) == ("Stock", ("Notes",), "00123")
    assert str(flat.at(2, 1)) == "list.xlsx: Stock!A2"


def test_hidden_rows_are_read_and_said_so(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "list.xlsx", [HEAD, ["S1", 10, "speaker", ""], ["S2", 10, "speaker", ""]])
    book = openpyxl.load_workbook(path)
    book["List"].row_dimensions[3].hidden = True
    book.save(path)
    flat = read_flat(path, HEAD)
    assert len(flat.rows) == 2
    assert [(str(fault.at), fault.code) for fault in flat.notices] == [("list.xlsx: List!3:3", "hidden-rows")]


def test_a_workbook_without_rows_and_a_text_with_a_torn_line_are_refused(tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        read_flat(write_xlsx(tmp_path / "list.xlsx", []), HEAD)
    assert [fault.code for fault in caught.value.faults] == ["empty-file"]
    rows = [HEAD, ["S1", "10", "speaker", "x", "y", "z"]]
    with pytest.raises(UserInputError) as caught:
        placed(tmp_path, f"{WITH_TAX}{EVERY}{SPEAKERS}", rows)
    assert [str(fault.at) for fault in caught.value.faults] == ["list.csv, line 2"]


# Texts of every kind that lists hold in such columns, sound and not.
CELLS = st.sampled_from(
    ["", "165", "165 mm", '6.5"', "1,299", "12,50", "12.5", "€ 99", "99.00", "N/A", "-", "coaxial", "coax", "set", "4",
     "4 ohm", "60 W", "300 W max", "0", "-5", "yes", "no", "00123", "1E5", "x" * 600, "=2", "ohm"]
)  # fmt: skip
FIELDS = [column for column in SHEET.columns if column.field != "sku"]


@given(st.lists(st.lists(CELLS, min_size=len(FIELDS), max_size=len(FIELDS)), min_size=1, max_size=5))
def test_a_list_is_read_as_the_same_cells_are_in_a_product_sheet(contents: list[list[str]]) -> None:
    headers = ["Art", *(f"c{number}" for number in range(len(FIELDS))), "Kind"]
    rows: list[tuple[int, list[Any]]] = [
        (number, [f"S{number}", *map(value_of, cells), "speaker"]) for number, cells in enumerate(contents, start=2)
    ]
    flat = Flat("list.csv", "", 1, dict(enumerate(headers, start=1)), tuple(rows))
    takes = {column.field: Take(at=Cell(), column=name) for column, name in zip(FIELDS, headers[1:], strict=False)}
    group = Group(
        at=Cell(), sheet=SHEET, where=(("Kind", ("speaker",)),), columns={"sku": Take(at=Cell(), column="Art")} | takes
    )
    found = place_rows(flat, Mapping(file="m", groups=(group,)), leave_blank=True)
    names = ["SKU", *(column.header for column in FIELDS)]
    raw = RawSheet("Speakers", ((1, list(names)), *((number, cells[:-1]) for number, cells in rows)))
    read = {row.number: row for row in parse_rows(read_table(SHEET, raw, Collector()), "EUR")}
    for row in read.values():
        check_row(row)
    for (number, _), values in zip(rows, found.products["speakers"], strict=True):
        row = read[number]
        assert dict(values) == {name: value for name, value in row.values.items() if name not in row.spoilt}
    unread = {(fault.at.row, fault.at.column, fault.code) for fault in found.faults if fault.at.column}
    assert unread == {
        (fault.at.row, fault.at.column, fault.code)
        for row in read.values()
        for fault in row.faults
        if fault.code not in {"missing-value", "not-a-row"}
    }


def test_the_same_bytes_every_time(tmp_path: Path) -> None:
    found = placed(tmp_path, MIXED, MIXED_ROWS, leave_blank=True)
    voice = voice_of(Settings())
    first, second = (render_imported(voice, found, "list.csv", {}) for _ in range(2))
    assert first == second
    assert openpyxl.load_workbook(BytesIO(first)).sheetnames[1] == TO_FILL_IN
