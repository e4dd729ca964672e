"""Sheets and columns are found by name, wherever the table stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from openpyxl import Workbook

from budgetbuild.catalogue.cells import tidy
from budgetbuild.catalogue.look import Merge
from budgetbuild.catalogue.read import RawSheet
from budgetbuild.catalogue.tables import Table, find_tables
from budgetbuild.faults import Collector, Fault
from tests.catalogue.workbooks import faults_of, sound_book, told, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.cells import RawValue

TIERS: list[RawValue] = ["Tier", "Budget", "Allowance %", "Briefs"]


def tables_of(*raw: RawSheet) -> tuple[dict[str, Table], list[Fault]]:
    """Tables and all faults of raw sheets."""
    notes = Collector()
    tables, by_sheet = find_tables(list(raw), notes)
    return tables, [*notes.faults, *(fault for one in by_sheet for fault in one.collector.faults)]


def raw(title: str, *rows: list[RawValue], merges: tuple[Merge, ...] = ()) -> RawSheet:
    """A raw sheet whose rows start at row 1."""
    return RawSheet(title, tuple(enumerate(rows, start=1)), merges=merges)


@pytest.mark.parametrize("title", ["tiers", " TIERS ", "Tiers:", "Tiers\u00a0"])
def test_sheet_name_ignores_case_spaces_and_punctuation(title: str) -> None:
    assert set(tables_of(raw(title, TIERS))[0]) == {"tiers"}


def test_column_names_ignore_case_spaces_and_punctuation_in_any_order() -> None:
    headers: list[RawValue] = ["briefs", "ALLOWANCE (%)", tidy("\u00a0budget: "), "tier"]
    tables, faults = tables_of(raw("Tiers", headers))
    assert tables["tiers"].columns == {"briefs": 1, "allowance": 2, "budget": 3, "name": 4}
    assert faults == []


def test_table_may_start_lower_down_and_to_the_right() -> None:
    headers: list[RawValue] = [None, None, *TIERS]
    sheet = raw("Tiers", ["Our tiers of this winter"], ["Budget is with tax"], headers, [None, None, "A", 1.0])
    tables, faults = tables_of(sheet)
    assert (tables["tiers"].header_row, tables["tiers"].columns["name"], tables["tiers"].columns["budget"]) == (3, 3, 4)
    assert [number for number, _ in tables["tiers"].body] == [4]
    assert faults == []


def test_unknown_sheets_and_columns_are_noticed_and_ignored() -> None:
    _, faults = tables_of(raw("Holiday plan", ["x"]), raw("Tiers", [*TIERS, "Shelf"]))
    assert told(faults) == {("Holiday plan", "unknown-sheet", "notice"), ("Tiers!E1", "unknown-column", "notice")}


def test_misspelt_sheet_and_column_are_told_the_nearest_name() -> None:
    _, faults = tables_of(raw("Speeker cables", ["x"]), raw("Tiers", ["Tier", "Buget", "Briefs"]))
    mends = {fault.code: fault.mend for fault in faults}
    assert "did you mean Speaker cable" in mends["unknown-sheet"]
    assert "Budget?" in mends["unknown-column"]
    assert "or is it Buget?" in mends["missing-column"]


def test_doubled_sheet_and_header_are_faults() -> None:
    _, faults = tables_of(raw("Tiers", [*TIERS, "BUDGET"]), raw("tiers.", TIERS))
    assert told(faults) == {("Tiers!E1", "doubled-header", "fault"), ("tiers.", "doubled-sheet", "fault")}
    assert "Tiers!B1" in faults[-1].mend


def test_merged_header_is_a_fault_but_a_merged_title_is_not() -> None:
    merges = (Merge(1, 1, 1, 4), Merge(2, 1, 2, 2), Merge(3, 1, 4, 1), Merge(3, 7, 9, 9))
    sheet = raw("Tiers", ["Winter"], TIERS, ["A", 1.0], merges=merges)
    _, faults = tables_of(sheet)
    assert told(faults) == {("Tiers!A2", "merged-header", "fault"), ("Tiers!A3", "merged-cells", "warning")}


def test_each_missing_required_column_is_one_fault() -> None:
    _, faults = tables_of(raw("Vehicles", ["Front mm", "Rear mm"]))
    assert sorted(fault.expected for fault in faults) == ["a column Vehicle"]


def test_cable_sheet_without_any_gauge_column_is_one_fault() -> None:
    _, faults = tables_of(raw("Speaker cable", ["SKU", "Price", "Conductor", "Metres per unit"]))
    assert [(fault.code, fault.expected) for fault in faults] == [("missing-column", "a column mm2 or AWG")]


def test_sheet_without_a_header_row_is_a_fault_naming_the_columns() -> None:
    _, faults = tables_of(raw("Tiers", ["First", 650.0], ["Second", 1300.0]))
    assert [fault.code for fault in faults] == ["no-header-row"]
    assert "Tier, Budget" in faults[0].expected


def test_column_of_peak_power_is_warned_of() -> None:
    _, faults = tables_of(raw("Speakers", ["SKU", "Price", "Rating", "Type", "Size mm", "Ohm", "RMS W", "Max W"]))
    assert told(faults) == {("Speakers!H1", "peak-power", "warning")}


def test_hidden_sheet_and_rows_are_read_and_noticed(tmp_path: Path) -> None:
    path = write_book(tmp_path / "hidden.xlsx", sound_book() | {"Weights": [{"Part": "front", "Points": 25}]})
    from openpyxl import load_workbook  # noqa: PLC0415 - only this test changes a file

    workbook = load_workbook(path)
    workbook["Weights"].sheet_state = "hidden"
    workbook["Speakers"].row_dimensions[3].hidden = True
    workbook.save(path)
    assert told(faults_of(path)) == {("Weights", "hidden-sheet", "notice"), ("Speakers!3:3", "hidden-rows", "notice")}


def test_blank_sheets_and_rows_beside_the_table_say_nothing(tmp_path: Path) -> None:
    book = sound_book() | {"Weights": [], "Converters": []}
    book["Speakers"][0]["Shelf"] = None
    book["Speakers"].append({"Shelf": "sum"})
    assert told(faults_of(write_book(tmp_path / "blank.xlsx", book))) == {("Speakers!M1", "unknown-column", "notice")}


def test_workbook_without_any_known_sheet_misses_the_three_that_it_needs(tmp_path: Path) -> None:
    Workbook().save(tmp_path / "empty.xlsx")
    assert told(faults_of(tmp_path / "empty.xlsx")) == {
        ("Sheet", "unknown-sheet", "notice"),
        ("Vehicles", "missing-sheet", "fault"),
        ("Briefs", "missing-sheet", "fault"),
        ("Tiers", "missing-sheet", "fault"),
    }


@pytest.mark.parametrize(
    ("above", "warned"),
    [
        (["SP-9", "Alva", "Coax", 49.0, 5.0, "coaxial", 165.0], [("Speakers!1:1", "row-above-header", "warning")]),
        (["Our speakers", "prices with tax", "week 12"], []),
    ],
)
def test_row_of_the_table_above_its_column_names_is_told(
    above: list[RawValue], warned: list[tuple[str, str, str]]
) -> None:
    headers: list[RawValue] = ["SKU", "Brand", "Model", "Price", "Rating", "Type", "Size mm", "Ohm", "RMS W"]
    row: list[RawValue] = ["SP-1", "Alva", "Coax", 59.0, 5.0, "coaxial", 165.0, 4.0, 50.0]
    tables, faults = tables_of(raw("Speakers", above, headers, row))
    assert [number for number, _ in tables["speakers"].body] == [3]
    found = [one for one in faults if one.code == "row-above-header"]
    assert [(str(one.at), one.code, str(one.severity)) for one in found] == warned
