"""LibreOffice opens the new workbook, keeps its drop-downs, warnings and comments, and sees the same names."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

import openpyxl
import pytest

from budgetbuild.catalogue.columns import SHEETS
from budgetbuild.catalogue.shop import Settings
from budgetbuild.report.form.entry import names_range
from budgetbuild.report.form.workbook import render_starter
from budgetbuild.report.words.voice import voice_of
from tests.catalogue.workbooks import faults_of
from tests.report.recalculate import recalculated

if TYPE_CHECKING:
    from pathlib import Path

    from openpyxl.worksheet.worksheet import Worksheet

pytestmark = pytest.mark.office


def limits(page: Worksheet) -> dict[str, tuple[str | None, str, str]]:
    """What limits the second row of a sheet, by cell: its kind, its words or least number, and how it speaks up."""
    found = {}
    for rule in page.data_validations.dataValidation:
        for cell in page[2]:
            if cell.coordinate in rule.sqref:
                first = str(rule.formula1).replace("'", "").replace("$", "")
                found[cell.coordinate] = (rule.type, first, str(rule.errorStyle))
    return found


def test_drop_downs_warnings_comments_and_rows_stay(tmp_path: Path) -> None:
    content = render_starter(voice_of(Settings()))
    ours, theirs = openpyxl.load_workbook(BytesIO(content)), recalculated(content, tmp_path)
    assert theirs.sheetnames == ours.sheetnames
    for sheet in SHEETS:
        mine, other = ours[sheet.name], theirs[sheet.name]
        assert limits(other) == limits(mine)
        heads = [cell.comment.text for cell in mine[1] if cell.comment]
        assert [cell.comment.text for cell in other[1] if cell.comment] == heads
        rows = [[cell.value for cell in row] for row in mine.iter_rows(max_row=60)]
        assert [[cell.value for cell in row] for row in other.iter_rows(max_row=60, max_col=mine.max_column)] == rows
    (tmp_path / "theirs.xlsx").write_bytes((tmp_path / "out" / "in.xlsx").read_bytes())
    assert {str(fault.severity) for fault in faults_of(tmp_path / "theirs.xlsx")} == {"notice"}


@pytest.mark.parametrize("names", [["Example hatchback"], ["Alder estate", "Birch van", "Cedar saloon"]])
def test_the_list_of_names_grows_with_the_names(names: list[str], tmp_path: Path) -> None:
    book = openpyxl.load_workbook(BytesIO(render_starter(voice_of(Settings()))))
    for row, name in enumerate(names, start=2):
        book["Vehicles"].cell(row, 1).value = name
    page = book.create_sheet("Count")
    page["A1"] = f"=ROWS({names_range('vehicles')})"
    page["A2"] = f"=INDEX({names_range('vehicles')},{len(names)})"
    stream = BytesIO()
    book.save(stream)
    counted = recalculated(stream.getvalue(), tmp_path)["Count"]
    assert (counted["A1"].value, counted["A2"].value) == (len(names), names[-1])
