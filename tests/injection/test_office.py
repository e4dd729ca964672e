"""The workbooks of a hostile list in real LibreOffice, recalculated and saved anew: texts stand, nothing links out."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

import openpyxl
import pytest

from tests.injection.harmless import formulas_in, missing, parts_of, texts_in, wrong_in_book
from tests.injection.outputs import wild
from tests.injection.test_outputs import seen
from tests.report.recalculate import recalculated

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.office


@pytest.mark.parametrize("name", ["build/tiers.xlsx", "build/copy.xlsx"])
def test_texts_are_texts_after_a_second_program_has_worked_everything_out(name: str, tmp_path: Path) -> None:
    content = wild().files[name]
    before = texts_in(openpyxl.load_workbook(io.BytesIO(content), data_only=True))
    after = texts_in(recalculated(content, tmp_path))
    saved = (tmp_path / "out" / "in.xlsx").read_bytes()
    assert wrong_in_book(saved) == []
    assert formula_cells(saved) == formula_cells(content) > 100
    foreign = re.compile(r"HYPERLINK|DDE|WEBSERVICE|IMAGE|cmd|SUM\(0\)|^=?0\+0")
    assert list(filter(foreign.search, formulas_in(saved))) == []
    assert [text for text in after if re.match(r"#(?:NAME|VALUE|REF|N/A|DIV)|Err:", text)] == []
    assert set(map(settled, before)) - {""} == set(map(settled, after)) - {""}
    wanted = ("~:SP-2", "~Set", "~:Loud", "~High", "~:Kestrel Hatch", "~:Autumn", "~Alva", "~AM-4")
    assert missing([settled(seen(mark)) for mark in wanted], "\n".join(map(settled, after))) == []


def formula_cells(content: bytes) -> int:
    """How many cells hold a formula."""
    book = openpyxl.load_workbook(io.BytesIO(content))
    return sum(cell.data_type == "f" for sheet in book for row in sheet.iter_rows() for cell in row)


def settled(text: str) -> str:
    """A text without what spreadsheets write of characters that XML cannot hold, which each reader tells otherwise."""
    return "".join(re.sub(r"_x[0-9A-Fa-f]{4}_", "", text.replace("_x005F_", "_")).split())


def test_a_workbook_that_does_link_out_is_found() -> None:
    """The checks themselves can fail: a shop's list with one link and one formula of its own."""
    import xlsxwriter  # noqa: PLC0415

    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream) as book:
        sheet = book.add_worksheet()
        sheet.write_url(0, 0, "http://evil.invalid/")
        sheet.write_formula(1, 0, '=HYPERLINK("http://evil.invalid")')
    assert wrong_in_book(stream.getvalue())
    assert list(formulas_in(stream.getvalue())) == ['HYPERLINK("")']
    assert [part for part, _ in parts_of(stream.getvalue())]
