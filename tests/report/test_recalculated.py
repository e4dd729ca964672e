"""LibreOffice recalculates: every stored value is what its formula gives, and a changed price moves the totals."""

from __future__ import annotations

import subprocess
from io import BytesIO
from typing import TYPE_CHECKING

import openpyxl
import pytest

from budgetbuild.report.content import report_content
from budgetbuild.report.workbook import render_workbook
from tests.report import fixtures

if TYPE_CHECKING:
    from pathlib import Path

    from openpyxl.workbook import Workbook

pytestmark = pytest.mark.office

RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode"><value>0</value></prop></item>
</oor:items>"""
"""Without this setting LibreOffice shows stored values and proves nothing."""


def recalculated(content: bytes, folder: Path) -> Workbook:
    """A workbook after LibreOffice has opened, recalculated and saved it."""
    profile = folder / "profile" / "user"
    profile.mkdir(parents=True)
    (profile / "registrymodifications.xcu").write_text(RECALCULATE, "utf-8")
    (folder / "in.xlsx").write_bytes(content)
    command = ["soffice", f"-env:UserInstallation={profile.parent.as_uri()}", "--headless", "--convert-to"]
    where = ["xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out"), str(folder / "in.xlsx")]
    subprocess.run([*command, *where], check=True, capture_output=True, timeout=120)  # noqa: S603 - a fixed command
    return openpyxl.load_workbook(folder / "out" / "in.xlsx", data_only=True)


def test_stored_values_are_those_that_libreoffice_works_out(tmp_path: Path) -> None:
    content = render_workbook(report_content(fixtures.every_build(), fixtures.CATALOGUE))
    stored, formulas = (openpyxl.load_workbook(BytesIO(content), data_only=flag) for flag in (True, False))
    fresh = recalculated(content, tmp_path)
    for sheet in formulas:
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"):
            old, new = (book[sheet.title][cell.coordinate].value for book in (stored, fresh))
            assert new == (pytest.approx(old, abs=0.0001) if isinstance(old, float | int) else old), (sheet.title, cell)


def test_a_changed_price_moves_every_total_that_it_is_in(tmp_path: Path) -> None:
    content = render_workbook(report_content(fixtures.every_build(), fixtures.CATALOGUE))
    changed = openpyxl.load_workbook(BytesIO(content))
    prices = changed["Prices"]
    row = next(row for row in range(6, prices.max_row + 1) if prices.cell(row, 2).value == "SP-F")
    prices.cell(row, 4).value = 299.0  # 100.00 more than before
    saved = BytesIO()
    changed.save(saved)
    fresh = recalculated(saved.getvalue(), tmp_path)
    # Middle: 1,252.50 + 100.00 is above its cap of 1,313.00.
    assert fresh["Middle New head unit"]["H6"].value == 1352.5
    assert fresh["Middle New head unit"]["E6"].value == "look"
    assert fresh["About"]["B11"].value == "look at the rows below"
    assert fresh["Starter Keep own"]["H6"].value == 299
    comparison = fresh["Comparison"]
    sums = next([cell.value for cell in line] for line in comparison.iter_rows() if line[0].value == "Sum")
    assert sums[2:5] == [738.5, 299, 1352.5]
