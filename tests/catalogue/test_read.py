"""Both roads from a file to raw rows, and what each must not lose."""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from typing import TYPE_CHECKING

import pytest
import xlsxwriter
from openpyxl import Workbook

from budgetbuild.catalogue import read
from budgetbuild.catalogue.cells import DateValue, ErrorValue, Formatted, NoStoredValue
from budgetbuild.catalogue.look import look, telling_styles
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.read import RawSheet, read_sheets
from budgetbuild.faults import UserInputError
from tests.catalogue.test_package import repacked

if TYPE_CHECKING:
    from pathlib import Path


def rows_of(path: Path, *, careful: bool = False) -> list[RawSheet]:
    """Raw sheets of a workbook."""
    return read_sheets(open_package(path), careful=careful)


def awkward_with_openpyxl(path: Path) -> Path:
    """Everything awkward that openpyxl can write."""
    workbook = Workbook()
    sheet = workbook.create_sheet("Awkward", 0)
    sheet["C3"] = "header"
    sheet.append([])
    sheet["A5"], sheet["A5"].number_format = 123, "00000"
    sheet["B5"], sheet["B5"].number_format = 0.05, "0%"
    sheet["C5"], sheet["C5"].number_format = 16.5, '0.0" cm"'
    sheet["D5"], sheet["D5"].number_format = 90, '0" dB"'
    sheet["E5"] = "=1+1"
    sheet["F5"] = "#N/A"
    sheet["F5"].data_type = "e"
    sheet["G5"] = dt.datetime(2026, 5, 4)  # noqa: DTZ001 - a spreadsheet's dates have no zone
    sheet["H5"] = dt.datetime(2026, 5, 4, 13, 30)  # noqa: DTZ001 - as above
    sheet["I5"] = True
    sheet["J5"] = 1230000000001
    sheet["K5"] = " \u00a0165\u00a0mm "
    sheet["L5"] = "\u00a0"
    sheet["M5"], sheet["M5"].number_format = None, "00000"
    sheet["N5"] = 1298.99
    sheet["A6"], sheet["A6"].number_format = "text in a format", "00000"
    sheet.cell(6, 401).value = "beyond"
    sheet.cell(6, 402).value = "#N/A"
    sheet.cell(6, 402).data_type = "e"
    sheet["A9"] = "below\na gap"
    sheet.row_dimensions[9].hidden = True
    sheet.merge_cells("A11:B12")
    sheet["A11"] = "merged"
    workbook.create_sheet("Hidden").sheet_state = "hidden"
    workbook.save(path)
    return path


def awkward_with_xlsxwriter(path: Path) -> Path:
    """Everything awkward that XlsxWriter can write."""
    with xlsxwriter.Workbook(str(path)) as workbook:
        sheet = workbook.add_worksheet("Awkward")
        zeros, percent = workbook.add_format({"num_format": "00000"}), workbook.add_format({"num_format": 9})
        day = workbook.add_format({"num_format": "dd/mm/yyyy"})
        bold = workbook.add_format({"bold": True})
        sheet.write_row("B2", ["SKU", "Share", "Day", "Formula", "Text formula", "Error", "Rich", "Flag"])
        sheet.write_number("B3", 42, zeros)
        sheet.write_number("C3", 0.21, percent)
        sheet.write_datetime("D3", dt.date(2026, 1, 2), day)
        sheet.write_formula("E3", "=2*3", None, 6)
        sheet.write_formula("F3", '=IF(1=1,"","x")', None, "blank")
        sheet.write_formula("G3", "=1/0", None, "#DIV/0!")
        sheet.write_rich_string("H3", "two ", bold, "runs")
        sheet.write_boolean("I3", False)  # noqa: FBT003 - the value of the cell
        sheet.write_blank("J3", None, zeros)
        sheet.write_string("B6", "00077")
        sheet.set_row(5, None, None, {"hidden": True})
        sheet.merge_range("B8:C8", "side by side")
        workbook.add_worksheet("Empty")
    with zipfile.ZipFile(path) as archive:
        xml = archive.read("xl/worksheets/sheet1.xml")
    assert b't="str"' in xml
    xml = xml.replace(b"<v>blank</v>", b"<v></v>").replace(b'<c r="J3" s="1"/>', b'<c r="J3" s="1"></c>')
    assert b'<c r="J3" s="1"></c>' in xml
    path.write_bytes(repacked(path, {"xl/worksheets/sheet1.xml": xml}))
    return path


@pytest.mark.parametrize("write", [awkward_with_openpyxl, awkward_with_xlsxwriter])
def test_both_roads_give_the_same_rows(tmp_path: Path, write: object) -> None:
    assert callable(write)
    path = write(tmp_path / "awkward.xlsx")
    assert rows_of(path) == rows_of(path, careful=True)


def test_both_roads_give_the_same_rows_of_the_sample(sample_workbook: Path) -> None:
    assert rows_of(sample_workbook) == rows_of(sample_workbook, careful=True)


@pytest.mark.parametrize("careful", [False, True])
def test_nothing_awkward_is_lost(tmp_path: Path, careful: bool) -> None:  # noqa: FBT001 - a parameter of the test
    awkward, hidden = rows_of(awkward_with_openpyxl(tmp_path / "awkward.xlsx"), careful=careful)[:2]
    rows = dict(awkward.rows)
    assert sorted(rows) == [3, 5, 6, 9, 11]
    assert rows[6] == ["text in a format"]
    assert rows[3] == [None, None, "header"]
    assert rows[5] == [
        Formatted(123.0, "00000"),
        Formatted(0.05, "0%"),
        Formatted(16.5, '0.0" cm"'),
        Formatted(90.0, '0" dB"'),
        NoStoredValue(),
        ErrorValue("#N/A"),
        DateValue("2026-05-04"),
        DateValue("2026-05-04 13:30:00"),
        True,
        1230000000001.0,
        "165 mm",
        None,
        None,
        1298.99,
    ]
    assert rows[9] == ["below a gap"]
    assert awkward.hidden_rows == (9,)
    assert [(m.top, m.left, m.bottom, m.right) for m in awkward.merges] == [(11, 1, 12, 2)]
    assert not awkward.hidden
    assert hidden.title == "Sheet" or hidden.hidden


@pytest.mark.parametrize("careful", [False, True])
def test_formula_with_an_empty_text_is_blank_and_one_with_a_value_is_its_value(
    tmp_path: Path,
    careful: bool,  # noqa: FBT001 - a parameter of the test
) -> None:
    rows = dict(rows_of(awkward_with_xlsxwriter(tmp_path / "a.xlsx"), careful=careful)[0].rows)
    assert rows[3] == [
        None,
        Formatted(42.0, "00000"),
        Formatted(0.21, "0%"),
        DateValue("2026-01-02"),
        6.0,
        None,
        ErrorValue("#DIV/0!"),
        "two runs",
        False,
    ]


def test_stray_cell_in_the_last_corner_costs_nothing(tmp_path: Path) -> None:
    workbook = Workbook()
    sheet = workbook.worksheets[0]
    sheet["A1"], sheet["A2"], sheet["XFD1048576"] = "SKU", "A", "stray"
    workbook.save(tmp_path / "stray.xlsx")
    (found,) = rows_of(tmp_path / "stray.xlsx")
    assert found.rows == ((1, ["SKU"]), (2, ["A"]))


def test_cell_that_claims_a_row_far_away_takes_the_careful_road() -> None:
    xml = (
        b'<worksheet><sheetData><row r="1"><c r="A1"><v>1</v></c><c r="XFD10485761"><v>2</v></c></row></sheetData>'
        b"</worksheet>"
    )
    assert not look(xml, {}).plain


def test_wrong_declared_extent_loses_no_row(tmp_path: Path) -> None:
    workbook = Workbook()
    for number in range(1, 6):
        workbook.worksheets[0].append([f"SKU {number}", number])
    path = tmp_path / "extent.xlsx"
    workbook.save(path)
    with zipfile.ZipFile(path) as archive:
        xml = archive.read("xl/worksheets/sheet1.xml")
    for extent in (b"A1", b"A1:XFD1048576"):
        wrong = re.sub(rb'<dimension ref="[^"]*"', b'<dimension ref="' + extent + b'"', xml)
        path.write_bytes(repacked(path, {"xl/worksheets/sheet1.xml": wrong}))
        assert [row for row, _ in rows_of(path)[0].rows] == [1, 2, 3, 4, 5]


def test_unusually_written_sheet_takes_the_careful_road(tmp_path: Path) -> None:
    workbook = Workbook()
    workbook.worksheets[0].append(["SKU", 1])
    path = tmp_path / "prefix.xlsx"
    workbook.save(path)
    xml = (
        b'<x:worksheet xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><x:sheetData>'
        b'<x:row r="1"><x:c r="A1" t="inlineStr"><x:is><x:t>SKU</x:t></x:is></x:c>'
        b'<x:c r="B1"><x:v>1</x:v></x:c></x:row>'
        b"</x:sheetData></x:worksheet>"
    )
    assert not look(xml, {}).plain
    path.write_bytes(repacked(path, {"xl/worksheets/sheet1.xml": xml}))
    assert rows_of(path)[0].rows == ((1, ["SKU", 1.0]),)


def test_workbook_without_styles_is_read(tmp_path: Path) -> None:
    assert telling_styles(b"") == {}
    path = awkward_with_openpyxl(tmp_path / "a.xlsx")
    package = open_package(path)
    assert package.read("xl/no-such-part.xml") == b""


def test_broken_styles_are_refused_in_plain_words(tmp_path: Path) -> None:
    path = awkward_with_openpyxl(tmp_path / "a.xlsx")
    path.write_bytes(repacked(path, {"xl/styles.xml": b"<styleSheet><numFmts>"}))
    with pytest.raises(UserInputError) as refused:
        rows_of(path)
    assert refused.value.faults[0].code == "damaged-file"


def test_sheet_with_too_many_rows_or_cells_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    workbook = Workbook()
    for number in range(20):
        workbook.worksheets[0].append([number, number])
    workbook.save(tmp_path / "long.xlsx")
    monkeypatch.setattr(read, "MOST_ROWS", 10)
    with pytest.raises(UserInputError) as refused:
        rows_of(tmp_path / "long.xlsx")
    assert refused.value.faults[0].code == "too-many-rows"
    monkeypatch.setattr(read, "MOST_ROWS", 100)
    monkeypatch.setattr(read, "MOST_CELLS", 10)
    with pytest.raises(UserInputError) as refused:
        rows_of(tmp_path / "long.xlsx")
    assert refused.value.faults[0].code == "too-many-cells"


@pytest.mark.parametrize(("length", "refused"), [(1000, False), (1001, True)])
def test_number_format_without_end_is_refused(tmp_path: Path, length: int, refused: bool) -> None:  # noqa: FBT001 - a parameter
    path = awkward_with_openpyxl(tmp_path / "awkward.xlsx")
    with zipfile.ZipFile(path) as archive:
        styles = archive.read("xl/styles.xml")
    path.write_bytes(repacked(path, {"xl/styles.xml": styles.replace(b'"00000"', b'"' + b"0" * length + b'"')}))
    if not refused:
        assert rows_of(path)
        return
    with pytest.raises(UserInputError) as caught:
        rows_of(path)
    assert [fault.code for fault in caught.value.faults] == ["damaged-file"]


class PanicException(BaseException):
    """What stops a reader that is written in Rust has this name, and is no `Exception`."""


@pytest.mark.parametrize(
    ("thrown", "caught"),
    [
        (PanicException(), UserInputError),
        (OSError("odd"), UserInputError),
        (MemoryError(), MemoryError),
        (KeyboardInterrupt(), KeyboardInterrupt),
    ],
)
def test_whatever_stops_a_reader_is_told_at_its_sheet(
    tmp_path: Path, thrown: BaseException, caught: type[BaseException], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = awkward_with_xlsxwriter(tmp_path / "awkward.xlsx")

    class Book:
        @staticmethod
        def from_filelike(_: object) -> Book:
            return Book()

        def get_sheet_by_name(self, _: str) -> None:
            raise thrown

    monkeypatch.setattr("python_calamine.CalamineWorkbook", Book)
    with pytest.raises(caught) as told:
        rows_of(path)
    if isinstance(told.value, UserInputError):
        assert [(str(fault.at), fault.code) for fault in told.value.faults] == [("Awkward", "damaged-file")]
