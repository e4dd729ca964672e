"""The workbook: sums agree, every formula carries its value, catalogue text stays text, the same bytes every time."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import pairwise
from typing import Any

import openpyxl
import pytest
from openpyxl.utils import get_column_letter, range_boundaries
from xlsxwriter import Workbook

from budgetbuild.build import Curve
from budgetbuild.catalogue.shop import Catalogue
from budgetbuild.report.content import report_content
from budgetbuild.report.sheets.book import Book
from budgetbuild.report.sheets.curve import thinned
from budgetbuild.report.sheets.names import sheet_name
from budgetbuild.report.sheets.workbook import render_workbook
from budgetbuild.report.shown import CurvePoint
from budgetbuild.report.words.notation import Notation
from tests.report import fixtures


@cache
def rendered() -> bytes:
    """The workbook of every fixture build."""
    return render_workbook(report_content(fixtures.every_build(), fixtures.CATALOGUE))


def opened(content: bytes, *, values: bool) -> Any:  # noqa: ANN401 - its types know no cell that is a number
    """A workbook with its stored values, or with its formulas."""
    return openpyxl.load_workbook(BytesIO(content), data_only=values)


def row_of(sheet: Any, word: str, column: int = 1) -> int:  # noqa: ANN401
    """The first row with that word in a column."""
    return next(row for row in range(1, sheet.max_row + 1) if sheet.cell(row, column).value == word)


def test_sheets_stand_in_the_order_of_reading() -> None:
    assert opened(rendered(), values=True).sheetnames == [
        "About", "Comparison", "Starter New head unit", "Starter Keep factory", "Starter Keep own",
        "Middle New head unit", "Middle Keep factory", "Full Keep own",
        "Pick list", "Cost by part", "Budget curve", "Margin", "Inputs", "Prices", "Electrical", "Catalogue notes",
    ]  # fmt: skip


def test_the_same_content_gives_the_same_bytes() -> None:
    assert rendered() == render_workbook(report_content(fixtures.every_build()[::-1], fixtures.CATALOGUE))


def test_stored_values_of_a_list_are_those_that_its_formulas_give() -> None:
    values, formulas = (opened(rendered(), values=flag)["Middle New head unit"] for flag in (True, False))
    prices = opened(rendered(), values=True)["Prices"]
    by_ref = {row[0].value: row[3].value for row in prices.iter_rows(min_row=5)}
    first, total = row_of(values, "Head unit"), row_of(values, "Total")
    running = 0.0
    for row in range(first, total):
        quantity, unit, line, so_far = (values.cell(row, column).value for column in range(4, 8))
        running += line
        assert unit == by_ref[values.cell(row, 9).value]
        assert line == pytest.approx(quantity * unit, abs=0.001)
        assert so_far == pytest.approx(running, abs=0.001)
        own = "_tbl_build_4[[#This Row],"
        price = f"=INDEX(_tbl_prices[Unit price],MATCH({own}[Ref]],_tbl_prices[Ref],0))"
        assert formulas.cell(row, 5).value == price
        assert formulas.cell(row, 6).value == f"={own}[Quantity]]*{own}[Unit price]]"
    assert values.cell(total, 6).value == 1252.5
    # Check, budget, cap, total, left of the budget.
    assert [values.cell(7, column).value for column in range(4, 9)] == ["ok", 1300, 1313, 1252.5, 47.5]


def test_margin_counts_lines_with_a_known_cost_only() -> None:
    book = opened(rendered(), values=True)
    sheet, total = book["Middle New head unit"], row_of(book["Middle New head unit"], "Total")
    # 1,252.50 without a quarter of tax: x 0.8. Known costs: head unit 150, front 110, amplifier 170 of 249, 199, 279.
    share = pytest.approx(151.6 / 581.6)
    assert [sheet.cell(total, column).value for column in (11, 12, 13, 14)] == [1002.0, 430.0, 151.6, share]
    assert [sheet.cell(row_of(sheet, "Aerial"), column).value for column in (11, 12, 13, 14)] == [31.2, *"\u2013" * 3]
    margin = [cell.value for cell in book["Margin"][row_of(book["Margin"], "Middle: New head unit")]]
    assert margin[1:] == [1252.5, 1002.0, pytest.approx(581.6 / 1002.0), 430.0, 151.6, share]


def test_without_a_tax_rate_there_is_no_margin() -> None:
    settings = replace(fixtures.CATALOGUE.settings, tax_rate=None)
    report = report_content(fixtures.every_build(), replace(fixtures.CATALOGUE, settings=settings))
    book = opened(render_workbook(report), values=True)
    assert book["Middle New head unit"]["K9"].value is None
    assert "Margin" not in book.sheetnames
    assert book["Inputs"]["B4"].value == "not stated"


def test_every_formula_has_a_stored_value() -> None:
    values, formulas = (opened(rendered(), values=flag) for flag in (True, False))
    found = 0
    for sheet in formulas:
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"):
            found += 1
            assert values[sheet.title][cell.coordinate].value is not None, (sheet.title, cell.coordinate)
    assert found > 100


def test_comparison_sums_each_build_by_part() -> None:
    sheet = opened(rendered(), values=True)["Comparison"]
    assert [sheet.cell(row_of(sheet, "Sum"), column).value for column in range(2, 8)] == [
        None, 638.5, 199.0, 1252.5, None, 1180.0,
    ]  # fmt: skip
    totals = [sheet.cell(row_of(sheet, "Total"), column).value for column in range(2, 8)]
    assert totals == ["\u2013", 638.5, 199.0, 1252.5, "\u2013", 1180.0]


def test_a_build_without_a_system_says_why() -> None:
    sheet = opened(rendered(), values=True)["Starter New head unit"]
    told = [cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert "\u2022 The cheapest system that meets the brief costs €912.50; the cap is €656.50." in told
    assert sheet.cell(row_of(sheet, "Least budget"), 2).value == 912.5


def test_checks_on_the_first_sheet_are_all_nought() -> None:
    sheet = opened(rendered(), values=True)["About"]
    assert sheet.cell(row_of(sheet, "All checks"), 2).value == "ok"
    row = row_of(sheet, "Middle: New head unit")
    assert [sheet.cell(row, column).value for column in range(2, 7)] == [0, 0, 0, 1252.5, 0]


def test_text_that_looks_like_a_formula_stays_text() -> None:
    sheet = opened(rendered(), values=False)["Catalogue notes"]
    cell = sheet.cell(5, 4)
    assert (cell.value, cell.data_type) == ("=1+1", "s")


def test_hostile_names_are_text_on_every_sheet() -> None:
    names = ["=HYPERLINK(1)", "{=1+1}", "https://x.example", "+1", "@SUM(A1)", "\x01\x0b_x0041_", "x" * 40000]
    for name in names:
        builds, catalogue = fixtures.renamed(name)
        book = opened(render_workbook(report_content(builds, catalogue)), values=False)
        cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value]
        formulas = [re.sub(r"'(?:[^']|'')*'", "", str(cell.value)) for cell in cells if cell.data_type == "f"]
        wild = [formula for formula in formulas if "HYPERLINK" in formula or "1+1" in formula]
        assert wild == []
        links = [cell for cell in cells if cell.hyperlink and cell.hyperlink.target]
        assert links == []


def test_sheet_names_are_legal_and_unique_whatever_tiers_are_called() -> None:
    taken: set[str] = set()
    for wanted in ["a/b", "a:b", "A b", "x" * 50, "x" * 50, "", "'", "history", "\U0001f50a" * 20]:
        name = sheet_name(wanted, taken)
        assert 0 < len(name.encode("utf-16-le")) // 2 <= 31
        assert not set(name) & set("[]:*?/\\")
        assert name.casefold() not in taken | {"history"}
        taken.add(name.casefold())


def test_a_tier_called_prices_takes_no_sheet_from_the_prices() -> None:
    tier, brief = replace(fixtures.TIER_MID, name="Prices"), replace(fixtures.REPLACE, name="'")
    build = replace(fixtures.replaced(), tier=tier, brief=brief)
    book = opened(render_workbook(report_content((build,), fixtures.CATALOGUE)), values=True)
    assert book.sheetnames[2:4] == ["Prices 2", "Pick list"]
    assert book["Prices"]["A1"].value == "Prices"


def test_the_curve_shows_the_tiers_points_with_live_totals() -> None:
    values, formulas = (opened(rendered(), values=flag)["Budget curve"] for flag in (True, False))
    assert [cell.value for cell in values[5]][:4] == ["New head unit", 1300, pytest.approx(37.255), 1252.5]
    assert formulas["B5"].value == "='Inputs'!$B$11"
    assert formulas["D5"].value == "='Middle New head unit'!$G$7"
    assert len(formulas._charts) == 1  # noqa: SLF001 - openpyxl offers no other way to see a chart


def test_a_whole_curve_is_shown_as_it_is() -> None:
    """Each point at the budget that it needs: its own total."""
    shown = fixtures.replaced()
    assert shown.audited
    curve = Curve(shown.brief, shown.vehicle, (shown.audited,))
    report = report_content(fixtures.every_build(), fixtures.CATALOGUE, [curve])
    sheet = opened(render_workbook(report), values=True)["Budget curve"]
    assert [cell.value for cell in sheet[5]][:4] == ["New head unit", 1252.5, shown.audited.score / 1000, 1252.5]
    assert sheet["A6"].value is None


def test_a_long_curve_is_thinned_for_display_by_a_stated_tolerance() -> None:
    """Points 0.1 apart: of those between the ends only what gains a quarter of a point stays; the sheet says so."""
    points = [CurvePoint("B", 1000 + i, 20_000 + 100 * i, 1000 + i) for i in range(400)]
    kept = thinned(points)
    assert (kept[0], kept[-1]) == (points[0], points[-1])
    assert all(after.score - before.score >= 250 for before, after in pairwise(kept[:-1]))
    assert len(kept) == 134  # every third, and the last
    assert list(thinned(points[:300])) == points[:300]


def test_nothing_to_show_is_said_on_every_sheet() -> None:
    catalogue = replace(fixtures.CATALOGUE, warnings=())
    book = opened(render_workbook(report_content((fixtures.infeasible(),), catalogue)), values=True)
    assert book["Prices"]["A4"].value == "No build has a system, so no price is used."
    assert book["Pick list"]["A4"].value == "No build has a system, so there is nothing to take."
    assert book["Cost by part"]["A4"].value == "No build has a system, so nothing costs anything."
    assert book["Electrical"]["A4"].value == "No build has a system, so nothing was checked."
    assert book["Budget curve"]["A4"].value == "No build has a system, so there is no curve."
    assert book["Catalogue notes"]["A4"].value == "Nothing to note."


def test_no_build_at_all_still_gives_a_workbook() -> None:
    book = opened(render_workbook(report_content((), Catalogue())), values=True)
    assert book["About"].cell(row_of(book["About"], "All checks"), 2).value == "ok"


def test_many_builds_print_on_several_pages_side_by_side() -> None:
    builds = [replace(fixtures.replaced(), tier=replace(fixtures.TIER_MID, name=f"Tier {n}")) for n in range(7)]
    sheet = opened(render_workbook(report_content(builds, fixtures.CATALOGUE)), values=True)["Comparison"]
    assert [place.id for place in sheet.col_breaks.brk] == [5]
    assert sheet.print_title_cols == "$A:$A"


def test_pages_hold_the_lists_in_readable_type_and_nothing_beside_them() -> None:
    book = opened(rendered(), values=True)
    for name in ("Middle New head unit", "Full Keep own", "Starter New head unit", "Electrical", "Catalogue notes"):
        sheet = book[name]
        assert (sheet.page_setup.orientation, sheet.page_setup.paperSize) == ("landscape", 9)
        assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
        printed = sheet.print_area or f"A1:{sheet.dimensions.split(':')[1]}"
        last = range_boundaries(printed.rpartition("!")[2].replace("$", ""))[2] or 0
        # A4 across less margins of half an inch is 770 points; a unit of width is 7 pixels, a pixel 0.75 points.
        letters = [get_column_letter(column) for column in range(1, last + 1)]
        width = sum(0.75 * 7 * sheet.column_dimensions[letter].width for letter in letters)
        assert 10 * min(770 / width, 1) >= 8, (name, width)


def test_no_page_shows_what_the_shop_pays() -> None:
    for sheet in opened(rendered(), values=True).worksheets[2:8]:
        assert re.search(r"\$A\$1:\$H\$\d+$", sheet.print_area)
    assert re.search(r"\$A\$1:\$D\$\d+$", opened(rendered(), values=True)["Prices"].print_area)


def test_long_sentences_wrap_inside_the_list_and_no_cell_is_merged() -> None:
    for sheet in opened(rendered(), values=True):
        assert sheet.merged_cells.ranges == set()
    for sheet in opened(rendered(), values=True).worksheets[2:8]:
        assert max(len(str(row[0].value or "")) for row in sheet.iter_rows()) < 230


def test_a_cell_outside_a_sheet_is_a_defect() -> None:
    with Workbook(BytesIO(), {"in_memory": True}) as workbook:
        page = Book(workbook, Notation("EUR")).add("A")
        with pytest.raises(ValueError, match="cannot write row 1048576"):
            page.text(1048576, 0, "below the last row")


def test_a_comparison_too_long_for_a_page_in_readable_type_breaks_before_the_costs() -> None:
    long = replace(fixtures.replaced(), vehicle=replace(fixtures.HATCH, name="Tern " * 150))
    for build, breaks in ((long, 1), (fixtures.replaced(), 0)):
        sheet = opened(render_workbook(report_content((build,), fixtures.CATALOGUE)), values=True)["Comparison"]
        assert (sheet.page_setup.scale or 100) >= 80
        assert [place.id + 1 for place in sheet.row_breaks.brk] == [row_of(sheet, "Cost by part")] * breaks
