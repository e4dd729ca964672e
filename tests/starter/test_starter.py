"""The new workbook is what the schema declares, passes the check as it is, and gives builds."""

from __future__ import annotations

import json
from io import BytesIO
from typing import TYPE_CHECKING

import openpyxl
import pytest

from budgetbuild.catalogue.columns import FOR_PEOPLE, READ_ME, SETTINGS, SHEETS, Kind, Sheet, SheetKind
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.schema import NUMERIC, is_example, key
from budgetbuild.catalogue.shop import Settings
from budgetbuild.cli import main
from budgetbuild.faults import Severity, UserInputError
from budgetbuild.report.form.rows import first_rows
from budgetbuild.report.form.workbook import render_starter
from budgetbuild.report.words.voice import voice_of

if TYPE_CHECKING:
    from pathlib import Path

    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.datavalidation import DataValidation
    from openpyxl.worksheet.worksheet import Worksheet

    from budgetbuild.catalogue.schema import Column

VOICE = voice_of(Settings())
by_sheet = pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
ROWS_TO_FILL = 500
"""Rows that a shop may surely fill in with drop-downs beside it."""


@pytest.fixture(scope="module")
def content() -> bytes:
    """The new workbook."""
    return render_starter(VOICE)


@pytest.fixture(scope="module")
def book(content: bytes) -> Workbook:
    """The new workbook, opened."""
    return openpyxl.load_workbook(BytesIO(content))


@pytest.fixture(scope="module")
def starter(content: bytes, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The new workbook as a file."""
    path: Path = tmp_path_factory.mktemp("starter") / "starter.xlsx"
    path.write_bytes(content)
    return path


def place(sheet: Sheet, column: Column) -> int:
    """Number of a column, from 1."""
    return sheet.columns.index(column) + 1


def entry(page: Worksheet, row: int, column: int) -> DataValidation | None:
    """What limits a cell."""
    address = page.cell(row, column).coordinate
    found = [rule for rule in page.data_validations.dataValidation if address in rule.sqref]
    assert len(found) <= 1
    return found[0] if found else None


def test_the_same_bytes_every_time(content: bytes) -> None:
    assert render_starter(VOICE) == content


def test_every_sheet_of_the_schema_stands_in_its_order_behind_the_one_that_explains(book: Workbook) -> None:
    assert book.sheetnames == [READ_ME, *(sheet.name for sheet in SHEETS)]
    assert {page.sheet_state for page in book.worksheets} == {"visible"}


@by_sheet
def test_columns_stand_in_the_order_of_the_schema_in_a_header_row_that_stays_in_view(
    book: Workbook, sheet: Sheet
) -> None:
    page = book[sheet.name]
    assert [cell.value for cell in page[1]] == [column.header for column in sheet.columns]
    assert page.freeze_panes is not None
    assert page.freeze_panes.endswith("2")
    assert page.print_title_rows == "$1:$1"
    assert page.sheet_properties.pageSetUpPr is not None
    assert page.sheet_properties.pageSetUpPr.fitToPage


@by_sheet
def test_every_header_has_a_comment_that_says_what_its_column_says(book: Workbook, sheet: Sheet) -> None:
    for column in sheet.columns:
        comment = book[sheet.name].cell(1, place(sheet, column)).comment
        assert comment is not None
        assert column.help in comment.text
        assert ("Must be filled in." in comment.text) == column.required
        for said in (column.unit, *column.choices, column.blank if not column.required else ""):
            assert said in comment.text
        for bound in (column.low, column.high) if column.kind in NUMERIC else ():
            assert bound is None or f"{bound:g}" in comment.text


@by_sheet
def test_columns_that_must_be_filled_in_are_told_by_more_than_their_colour(book: Workbook, sheet: Sheet) -> None:
    for column in sheet.columns:
        assert book[sheet.name].cell(1, place(sheet, column)).font.bold == column.required


@by_sheet
def test_choices_are_offered_and_ranges_warned_of_but_nothing_is_refused(book: Workbook, sheet: Sheet) -> None:
    for column in sheet.columns:
        page, at = book[sheet.name], place(sheet, column)
        rule = entry(page, ROWS_TO_FILL, at)
        words = ["yes", "no"] if column.kind is Kind.YES_NO else [str(choice) for choice in column.choices]
        if words:
            assert rule is not None
            assert (rule.type, rule.formula1) == ("list", f'"{",".join(words)}"')
        elif column.names_in:
            assert rule is not None
            assert rule.type == "list"
        elif column.kind in NUMERIC and (column.positive or column.low is not None or column.high is not None):
            assert rule is not None
            assert rule.type == ("whole" if column.kind is Kind.WHOLE else "decimal")
            bounds = [float(bound) for bound in (rule.formula1, rule.formula2) if bound is not None]
            assert column.high in {None, bounds[-1]}
            assert 0 < bounds[0] <= 0.01 if column.positive else bounds[0] in {column.low, column.high}
        else:
            assert rule is None
        if rule:
            assert rule.errorStyle == "warning"
            assert rule.allow_blank
            assert rule.showErrorMessage != (column.kind is Kind.NAMES)


def test_names_come_from_the_sheet_that_lists_them(book: Workbook) -> None:
    for name, header, source in (
        ("Briefs", "Vehicle", "Vehicles"),
        ("Tiers", "Briefs", "Briefs"),
        ("Fitting kits", "Vehicles", "Vehicles"),
    ):
        page = book[name]
        at = next(cell.column for cell in page[1] if cell.value == header)
        rule = entry(page, 2, at)
        assert rule is not None
        assert str(rule.formula1).startswith(f"OFFSET('{source}'!$A$1,")


@by_sheet
def test_what_a_spreadsheet_program_would_turn_into_a_number_or_a_date_is_a_column_of_text(
    book: Workbook, sheet: Sheet
) -> None:
    for column in sheet.columns:
        if column.kind not in {Kind.SKU, Kind.AWG, Kind.TEXT, Kind.NAMES} or sheet.settings:
            continue
        page, at = book[sheet.name], place(sheet, column)
        (width,) = [one for one in page.column_dimensions.values() if (one.min or 0) <= at <= (one.max or 0)]
        assert width.number_format == "@"
        assert page.cell(2, at).number_format == "@"


@by_sheet
def test_every_sheet_has_an_example_that_says_so_or_lists_what_it_always_holds(book: Workbook, sheet: Sheet) -> None:
    rows = first_rows(sheet, examples=True)
    assert rows, f"give every required column of {sheet.name} an example"
    assert len(rows) == max(len(sheet.listed), 1)
    if sheet.kind is not SheetKind.TABLE:
        assert any(is_example(value) for value in rows[0].values())
    page = book[sheet.name]
    written = [[cell.value for cell in row] for row in page.iter_rows(min_row=2, max_row=1 + len(rows))]
    assert written == [[row[column.header] for column in sheet.columns] for row in rows]


def test_settings_stand_with_default_and_meaning_and_the_value_is_left_to_the_shop(book: Workbook) -> None:
    page = book["Settings"]
    rows = [[cell.value for cell in row] for row in page.iter_rows(min_row=2, max_row=1 + len(SETTINGS))]
    assert [(name, default, meaning) for name, _, default, meaning in rows] == [
        (setting.header, setting.blank or None, setting.help) for setting in SETTINGS
    ]
    assert [value for _, value, _, _ in rows if value is not None] == ["Example shop"]
    assert all(page.cell(row, 1).comment for row in range(2, 2 + len(SETTINGS)))


def test_the_value_of_a_setting_is_limited_by_its_own_declaration(book: Workbook) -> None:
    page = book["Settings"]
    rules = {page.cell(row, 1).value: entry(page, row, 2) for row in range(2, 2 + len(SETTINGS))}
    allowed, tax = rules["Copper-clad allowed"], rules["Tax rate"]
    assert allowed is not None
    assert allowed.formula1 == '"yes,no"'
    assert tax is not None
    assert (tax.type, float(str(tax.formula1)), float(str(tax.formula2))) == ("decimal", 0, 0.6)
    assert rules["Shop name"] is None


def test_the_first_sheet_explains_itself_and_leads_to_every_other(book: Workbook) -> None:
    page = book[READ_ME]
    texts = [str(row[0].value) for row in page.iter_rows() if row[0].value]
    assert texts[0] == "Price list for budgetbuild"
    linked = [row[0].hyperlink for row in page.iter_rows()]
    links = {str(link.location).partition("!")[0].strip("'") for link in linked if link}
    assert links == {sheet.name for sheet in SHEETS}
    needed = {row[0].value: row[1].value for row in page.iter_rows() if row[1].value}
    always = {name for name, word in needed.items() if word == "always"}
    assert always == {sheet.name for sheet in SHEETS if sheet.required}


def test_as_it_is_it_passes_the_check_with_nothing_worse_than_a_notice(starter: Path) -> None:
    catalogue = load_catalogue(starter)
    assert [str(fault) for fault in catalogue.warnings if fault.severity is not Severity.NOTICE] == []
    told = [fault for fault in catalogue.warnings if fault.code == "example-rows"]
    assert len(told) == 1
    assert not [fault for fault in catalogue.warnings if fault.code == "unknown-sheet"]
    assert len(catalogue.products()) == sum(sheet.kind is SheetKind.PRODUCT for sheet in SHEETS)


def test_as_it_is_it_gives_one_complete_build_without_a_broken_rule(starter: Path, tmp_path: Path) -> None:
    assert main(["build", str(starter), "--out", str(tmp_path), "--counter", "briefs", "--quiet"]) == 0
    (build,) = json.loads((tmp_path / "results.json").read_text("utf-8"))["builds"]
    assert build["status"] == "optimal"
    assert {line["role"] for line in build["lines"]} == {
        "head unit", "fitting kit", "aerial", "front", "rear", "bass", "amplifier", "power kit", "signal lead",
        "speaker cable", "deadening",
    }  # fmt: skip
    assert all(check["ok"] for check in build["checks"])
    assert not [caution for caution in build["cautions"] if caution["code"] == "measure-first"]


def test_without_examples_only_what_a_shop_must_write_is_missing(tmp_path: Path) -> None:
    path = tmp_path / "empty.xlsx"
    path.write_bytes(render_starter(VOICE, examples=False))
    with pytest.raises(UserInputError) as caught:
        load_catalogue(path)
    assert {(fault.at.sheet, fault.code) for fault in caught.value.faults} == {
        (sheet.name, "missing-sheet") for sheet in SHEETS if sheet.required
    }
    texts = [cell for page in openpyxl.load_workbook(path).worksheets for row in page.iter_rows() for cell in row]
    assert not [cell.coordinate for cell in texts if is_example(cell.value)]


def test_an_example_row_in_a_shops_own_list_is_told(starter: Path, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(starter)
    for page in book.worksheets:
        if page.title not in {"Speakers", "Settings", *FOR_PEOPLE}:
            for row in page.iter_rows(min_row=2):
                for cell in row:
                    if is_example(cell.value):
                        cell.value = str(cell.value).replace("Example", "Ordinary").replace("EXAMPLE", "ORDINARY")
    book["Points"]["F2"] = 4
    path = tmp_path / "mixed.xlsx"
    book.save(path)
    (told,) = [fault for fault in load_catalogue(path).warnings if fault.code == "example-rows"]
    assert (str(told.at), told.found, told.severity) == ("Speakers!A2", "1 example row", Severity.NOTICE)


def test_names_of_sheets_for_people_are_none_of_the_schemas() -> None:
    assert not {key(name) for name in FOR_PEOPLE} & {name for sheet in SHEETS for name in sheet.keys}
