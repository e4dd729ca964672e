"""A chapter says the same in the page, in the text and on its sheet; what is for the shop alone stays off the page."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook

from budgetbuild.report.chapter import Bullets, Chapter, Heading, Kind, Paragraph, Plot, Table, TableColumn
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.guide import render_html, render_markdown, render_pictures
from budgetbuild.report.pictures.plot import render_plot
from budgetbuild.report.sheets.workbook import render_workbook
from budgetbuild.report.words.listing import system_blocks
from budgetbuild.report.words.notation import Notation
from tests.report import fixtures

if TYPE_CHECKING:
    from budgetbuild.report.shown import Report

COLUMNS = (
    TableColumn("Choice"),
    TableColumn("Margin", Kind.MONEY),
    TableColumn("Score", Kind.POINTS),
    TableColumn("More", Kind.MONEY_CHANGE),
    TableColumn("Share", Kind.PERCENT),
)
TABLE = Table(
    "What one could choose",
    COLUMNS,
    (("a <b> | c", 12345, 71425, 500, 0.25), ("=1+1", 20000, 60000, -500, None)),
)
OPEN = Chapter(
    "chapter-1-spring",
    "Spring & autumn",
    "Spring",
    (
        Heading("Which *one*"),
        Paragraph("Take {{ this }} or <i>that</i>."),
        Bullets(("Disconnect the battery first.",), safety=True),
        Plot("Score by margin", TABLE, 1, 2),
    ),
)
SHUT = Chapter("chapter-2-margin", "Margin of spring", "Spring margin", (Paragraph("Cost of it all."),), shop_only=True)


def report() -> Report:
    """Builds made by hand, with both chapters beside them."""
    return replace(report_content(fixtures.every_build(), fixtures.CATALOGUE), chapters=(OPEN, SHUT))


def test_the_page_tells_an_open_chapter_and_not_the_one_for_the_shop() -> None:
    page = render_html(report()).decode()
    assert "Take {{ this }} or &lt;i&gt;that&lt;/i&gt;." in page
    assert '<a href="#chapter-1-spring">Spring &amp; autumn</a>' in page
    assert "€123.45" in page
    assert "+€5.00" in page
    assert "-€5.00" in page
    assert "a &lt;b&gt; | c" in page
    assert "Margin of spring" not in page
    assert "<strong>Safety:</strong> Disconnect the battery first." in page


def test_the_text_tells_the_same() -> None:
    text = render_markdown(report()).decode()
    assert "### Which \\*one\\*" in text
    assert "- **Safety:** Disconnect the battery first." in text
    assert "![Score by margin](pictures/chapter-1-spring-4.svg)" in text
    assert "| a &lt;b&gt; \\| c | €123.45 |" in text
    assert "Margin of spring" not in text
    assert "chapter-1-spring-4.svg" in render_pictures(report())


def test_each_chapter_has_its_sheet_with_real_numbers() -> None:
    book = load_workbook(BytesIO(render_workbook(report())))
    cells = {cell.value: cell for row in book["Spring"].iter_rows() for cell in row if cell.value is not None}
    assert {"Spring & autumn", "Which *one*", "a <b> | c", 123.45, 71.425, 0.25} <= set(cells)
    assert cells["=1+1"].data_type == "s"
    assert cells[-5].number_format == '"+€"#,##0.00;"-€"#,##0.00;"€"#,##0.00'
    assert "xl/charts/chart1.xml" in ZipFile(BytesIO(render_workbook(report()))).namelist()
    assert "Cost of it all." in {row[0].value for row in book["Spring margin"].iter_rows()}


def test_a_plot_spreads_its_points_over_the_area() -> None:
    drawn = render_plot("p", Plot("Score by margin", TABLE, 1, 2), Notation())
    assert drawn.count("<circle") == 2
    assert "71.43" in drawn


def test_a_table_without_rows_or_with_other_cells_than_columns_is_a_defect() -> None:
    with pytest.raises(ValueError, match="rows"):
        Table("empty", COLUMNS, ())
    with pytest.raises(ValueError, match="rows"):
        Table("short", COLUMNS, (("one",),))


def test_without_chapters_nothing_changes() -> None:
    plain = report_content(fixtures.every_build(), fixtures.CATALOGUE)
    assert plain.chapters == ()
    assert "Spring" not in load_workbook(BytesIO(render_workbook(plain))).sheetnames


def test_a_system_in_a_chapter_is_told_with_its_tally_cautions_and_safety() -> None:
    build = fixtures.replaced()
    shown = report_content((build,), fixtures.CATALOGUE).builds[0]
    table, *bullets = system_blocks(build, fixtures.CATALOGUE, fixtures.VOICE, "The list")
    assert isinstance(table, Table)
    assert [row[6] for row in table.rows] == [told.line.running_total for told in shown.lines]
    assert [row[7] for row in table.rows] == [told.why for told in shown.lines]
    said = [item for block in bullets if isinstance(block, Bullets) for item in block.items]
    assert said == [*shown.alerts, *(c.text for c in shown.watched), *(s.text for s in shown.safety)]
    assert system_blocks(fixtures.infeasible(), fixtures.CATALOGUE, fixtures.VOICE, "None") == ()
