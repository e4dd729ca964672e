"""The workbook as a spreadsheet: inputs apart, no number in a formula, real tables, charts that tell, print set-up."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET
from zipfile import ZipFile

import pytest
from openpyxl.formula import Tokenizer

from budgetbuild.build import Build, Part, Role, Status
from budgetbuild.report.content import report_content
from budgetbuild.report.sheets.names import sheet_name
from budgetbuild.report.sheets.workbook import render_workbook
from tests.report import fixtures
from tests.report.test_workbook import opened, rendered, row_of

if TYPE_CHECKING:
    from collections.abc import Iterator

CONSTANTS = {
    ("MATCH", "0"), ("INDEX", "1"), ("MAX", "0"), ("ROUND", "2"), ("ROUND", "6"), ("ROUNDDOWN", "2"), ("AND", "0"),
    ("(", "1"),
}  # fmt: skip
"""Numbers that formulas may hold, by the function around them: kind of match, places, nought, one plus a rate."""
WORDS = {'"ok"', '"look"', '"look at the rows below"', '"\u2013"', '"not tracked"'}
TYPED = {
    "About": {"Total as solved"},
    "Comparison": set(),
    "Pick list": {"Ref"},
    "Cost by part": set(),
    "Margin": set(),
    "Budget curve": {"Score"},
}
"""Columns in which a sheet other than the inputs holds numbers of its own."""
BUILD_TYPED = {"Score", "Proven bound", "Quantity", "Ref"}


def formulas(book: Any) -> Iterator[tuple[str, str]]:  # noqa: ANN401
    """Every formula with its sheet."""
    for sheet in book:
        for row in sheet.iter_rows():
            yield from ((sheet.title, str(cell.value)) for cell in row if cell.data_type == "f")


def operands(formula: str) -> Iterator[tuple[str, str, str]]:
    """Kind, words and innermost function of each operand of a formula."""
    around = [""]
    for token in Tokenizer(formula).items:
        if token.subtype == "OPEN":
            around.append(token.value.removesuffix("(") or "(")
        elif token.subtype == "CLOSE":
            around.pop()
        elif token.type == "OPERAND":
            yield token.subtype, token.value, around[-1]


def test_no_formula_holds_a_price_budget_rate_or_quantity() -> None:
    found: Counter[tuple[str, str]] = Counter()
    for sheet, formula in formulas(opened(rendered(), values=False)):
        for kind, value, function in operands(formula):
            assert kind in {"NUMBER", "TEXT", "RANGE"}, (sheet, formula)
            assert kind != "TEXT" or value in WORDS, (sheet, formula)
            found[function, value] += kind == "NUMBER"
    assert {place for place, count in found.items() if count} == CONSTANTS


def test_numbers_are_typed_on_the_sheets_of_inputs_only() -> None:
    book = opened(rendered(), values=False)
    for sheet in book.worksheets[:-2]:
        if sheet.title in {"Inputs", "Prices"}:
            continue
        heads: dict[int, str] = {}
        typed = set()
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "s" and cell.font.bold:
                    heads[cell.column] = str(cell.value)
                elif cell.data_type == "n" and cell.value is not None:
                    typed.add(heads[cell.column])
        least = {"Vehicle"} if sheet.title == "Starter New head unit" else set()  # the least budget, beside its label
        assert typed <= TYPED.get(sheet.title, BUILD_TYPED | least), sheet.title


def test_budget_allowance_and_tax_stand_once_and_are_looked_up() -> None:
    values, written = (opened(rendered(), values=flag) for flag in (True, False))
    inputs = values["Inputs"]
    assert [[cell.value for cell in row[:3]] for row in inputs["A9:C12"]] == [
        ["Tier", "Budget", "Allowance"], ["Starter", 650, 0.01], ["Middle", 1300, 0.01], ["Full", 2600, 0.01],
    ]  # fmt: skip
    sheet = written["Middle New head unit"]
    assert (sheet["E7"].value, sheet["F7"].value) == (
        "='Inputs'!$B$11",
        "=ROUNDDOWN(ROUND('Inputs'!$B$11*(1+'Inputs'!$C$11),6),2)",
    )
    assert written.defined_names["_tax_rate"].attr_text == "'Inputs'!$B$4"


@pytest.mark.parametrize(
    ("currency", "locale", "style"),
    [
        ("EUR", "en_GB", '"€"#,##0.00;[Red]"-€"#,##0.00'),
        ("EUR", "de_DE", '#,##0.00"\u00a0€";[Red]"-"#,##0.00"\u00a0€"'),
        ("SEK", "en_GB", '"SEK\u00a0"#,##0.00;[Red]"-SEK\u00a0"#,##0.00'),
    ],
)
def test_amounts_carry_the_currency_where_the_locale_puts_it(currency: str, locale: str, style: str) -> None:
    settings = replace(fixtures.CATALOGUE.settings, currency=currency, locale=locale)
    report = report_content((fixtures.replaced(),), replace(fixtures.CATALOGUE, settings=settings))
    book = opened(render_workbook(report), values=True)
    assert {book["Prices"]["D5"].number_format, book[book.sheetnames[2]]["G7"].number_format} == {style}


def test_lists_are_tables_with_formulas_in_their_columns_and_totals() -> None:
    book = opened(rendered(), values=False)
    names = [name for sheet in book for name in sheet.tables]
    assert names == [
        "_tbl_build_2", "_tbl_build_3", "_tbl_build_4", "_tbl_build_6",
        "_tbl_picks", "_tbl_costs", "_tbl_curve", "_tbl_margin", "_tbl_tiers", "_tbl_prices",
        "_tbl_electrical", "_tbl_notes",
    ]  # fmt: skip
    table = book["Middle New head unit"].tables["_tbl_build_4"]
    columns = {column.name: column for column in table.tableColumns}
    assert table.totalsRowCount == 1
    assert columns["Part"].totalsRowLabel == "Total"
    assert columns["Line total"].totalsRowFormula.attr_text == "SUM(_tbl_build_4[Line total])"
    assert columns["Running total"].calculatedColumnFormula is not None
    for sheet in book:
        for made in sheet.tables.values():
            heads = sheet[made.ref][0]
            assert [cell.value for cell in heads] == [column.name for column in made.tableColumns]


def test_every_sheet_keeps_its_headings_in_sight_and_on_every_page() -> None:
    for sheet in opened(rendered(), values=True):
        assert "&P of &N" in f"{sheet.oddFooter.right.text}", sheet.title
        if sheet.title not in {"About", "Starter New head unit", "Middle Keep factory"}:
            assert sheet.freeze_panes, sheet.title
        if sheet.title not in {"About", "Budget curve", "Inputs", "Starter New head unit", "Middle Keep factory"}:
            assert sheet.print_title_rows, sheet.title


def parts_of(content: bytes, start: str) -> list[str]:
    """The parts of a workbook's package whose names begin so."""
    with ZipFile(BytesIO(content)) as package:
        return [package.read(name).decode() for name in sorted(package.namelist()) if name.startswith(start)]


def test_charts_say_what_they_show_and_have_axes() -> None:
    told = [
        frame.attrib["descr"]
        for drawing in parts_of(rendered(), "xl/drawings/drawing")
        for frame in ET.fromstring(drawing).iter()  # noqa: S314 - made above
        if frame.tag.endswith("}cNvPr")
    ]
    assert [words.partition(":")[0] for words in told] == ["Stacked column chart", "Line chart"]
    assert "6 builds" in told[0]
    assert "3 briefs" in told[1]
    charts = parts_of(rendered(), "xl/charts/chart")
    assert ["c:barChart" in chart for chart in charts] == [True, False]
    assert 'c:grouping val="stacked"' in charts[0]
    assert all("<c:title>" in chart for chart in charts)


def test_costs_are_stacked_by_kind_of_part_with_the_tiers_of_a_brief_side_by_side() -> None:
    book = opened(rendered(), values=True)
    sheet = book["Cost by part"]
    assert [[cell.value for cell in row[:2]] for row in sheet["A5:B10"]] == [
        ["New head unit", "Starter (no system)"], ["New head unit", "Middle"],
        ["Keep factory", "Starter"], ["Keep factory", "Middle (no system)"],
        ["Keep own", "Starter"], ["Keep own", "Full"],
    ]  # fmt: skip
    # Head unit 249, its kit 49, aerial 39; front 199 and its ring 15; driver 129, box 99; 279; 59 + 24.50 + 14 x 1.50.
    costs = [337, 214, 0, 228, 279, 104.5, 0, 90, 1252.5]
    assert [cell.value for cell in sheet[6]][2:] == costs
    chart = parts_of(rendered(), "xl/charts/chart1")[0]
    series = re.findall(r"<c:ser>.*?<c:tx><c:strRef><c:f>(.*?)</c:f>", chart)
    assert [name.partition("!")[2] for name in series] == [f"${letter}$4" for letter in "CDEFGHIJK"]
    fills = re.findall(r"<c:ser>.*?<c:spPr><a:(solidFill|pattFill)", chart)
    assert set(fills) == {"solidFill", "pattFill"}


def test_neighbours_in_a_stack_differ_without_colour() -> None:
    """A grey copy of the chart can be read: a pattern on one side, or far lighter on one side than on the other."""
    chart = parts_of(rendered(), "xl/charts/chart1")[0]
    blocks = re.findall(r"<c:ser>.*?<c:spPr><a:(\w+)[^>]*>.*?srgbClr val=\"(\w{6})\"", chart)[:8]

    def grey(colour: str) -> float:
        red, green, blue = (int(colour[at : at + 2], 16) for at in (0, 2, 4))
        return (0.299 * red + 0.587 * green + 0.114 * blue) / 255

    for (kind, colour), (other, beside) in pairwise(blocks):
        assert kind != other or abs(grey(colour) - grey(beside)) > 0.25


def test_tiers_are_marked_in_the_curve() -> None:
    sheet = opened(rendered(), values=True)["Budget curve"]
    head = row_of(sheet, "Tier", 6)
    assert [sheet.cell(head, column).value for column in range(6, 12)] == [
        "Tier", "Budget", "New head unit", "Keep factory", "Keep own", "Highest",
    ]  # fmt: skip
    score = pytest.approx(37.255)
    assert [sheet.cell(head + 2, column).value for column in range(6, 12)] == [
        "Middle", 1300, score, "\u2013", "\u2013", score,
    ]  # fmt: skip
    chart = parts_of(rendered(), "xl/charts/chart2")[0]
    assert all(f"<a:t>{name}</a:t>" in chart for name in ("Starter", "Middle", "Full"))
    assert "c:errBars" in chart


def test_a_chart_takes_nothing_from_a_place_that_a_name_spells() -> None:
    for name in ("=Prices!$D$5", "Go!A1", "'Prices'!D5"):
        builds, catalogue = fixtures.renamed(name)
        content = render_workbook(report_content(builds, catalogue))
        book = opened(content, values=True)
        known = {f"'{title}'".replace("'", "") for title in book.sheetnames}
        for chart in parts_of(content, "xl/charts/chart"):
            places = re.findall(r"<c:f>(.*?)!\$[A-Z]+\$\d+(?::\$[A-Z]+\$\d+)?</c:f>", chart)
            assert len(places) == chart.count("<c:f>")
            assert {place.replace("'", "") for place in places} <= known - {"Prices"}


def test_the_pick_list_counts_a_product_once_per_build_and_leaves_labour_out() -> None:
    """The driver's box, counted on the shelf, serves as an adapter too: two of it come off the same shelf."""
    build = fixtures.replaced()
    assert build.audited
    again = replace(fixtures.priced((Part(Role.REAR_ADAPTER, "FK-S"),), fixtures.CATALOGUE)[0], running_total=126750)
    found = replace(build.audited, lines=(*build.audited.lines, again))
    kit, ring = fixtures.CATALOGUE.fitting_kits
    catalogue = replace(fixtures.CATALOGUE, fitting_kits=(kit, replace(ring, stock=1, note="Press it in evenly")))
    content = render_workbook(report_content((replace(build, audited=found),), catalogue))
    sheet = opened(content, values=True)["Pick list"]
    rows = {row[3].value: [cell.value for cell in row] for row in sheet.iter_rows(min_row=5)}
    assert len(rows) == sheet.max_row - 4 == 11
    assert rows["FK-S"][1] == "Front adapter, rear adapter"
    assert rows["FK-S"][4:9] == [2, 1, 1, 0, "Press it in evenly"]
    assert rows["HU-1"][4:8] == [1, "not tracked", "not tracked", "not tracked"]


def test_each_build_of_the_pick_list_prints_on_a_page_of_its_own_without_the_shops_own_column() -> None:
    sheet = opened(rendered(), values=True)["Pick list"]
    builds = [sheet.cell(row, 1).value for row in range(5, sheet.max_row + 1)]
    breaks = [place.id for place in sheet.row_breaks.brk]
    assert breaks == [at + 5 for at in range(len(builds) - 1) if builds[at] != builds[at + 1]]
    assert re.search(r"\$A\$4:\$J\$\d+$", sheet.print_area)
    assert sheet.print_title_rows == "$4:$4"
    assert "Fitter" in sheet.oddHeader.right.text


def test_a_products_own_note_stands_with_its_line() -> None:
    builds, catalogue = fixtures.renamed("Run it in")
    sheet = opened(render_workbook(report_content(builds, catalogue)), values=True)["Run it in Run it in"]
    assert str(sheet.cell(row_of(sheet, "Front"), 8).value).endswith("\nNote: Run it in")


def test_a_build_for_which_nothing_is_bought_leaves_the_whole_budget() -> None:
    nothing = replace(fixtures.audited((), ()), score_parts=(), cautions=())
    build = Build(fixtures.TIER_LOW, fixtures.OWN, fixtures.HATCH, Status.OPTIMAL, 0, nothing)
    content = render_workbook(report_content((build, fixtures.replaced()), fixtures.CATALOGUE))
    book = opened(content, values=True)
    assert [book["Starter Keep own"].cell(7, column).value for column in (5, 6, 7, 8)] == [650, 656.5, 0, 650]
    assert book["Comparison"].cell(row_of(book["Comparison"], "Left of the budget"), 2).value == 650


def test_properties_say_what_the_file_is() -> None:
    settings = replace(fixtures.CATALOGUE.settings, shop_name="Quay Street Audio")
    report = report_content((), replace(fixtures.CATALOGUE, settings=settings))
    properties = opened(render_workbook(report), values=True).properties
    assert properties.title == "Car-audio systems by budget from Quay Street Audio"
    assert properties.creator == "Quay Street Audio"
    assert "pick list" in properties.keywords


@pytest.mark.parametrize(
    ("wanted", "name"),
    [
        ("Middle Keep the factory head unit", "Middle Keep the factory head"),
        ("Starter Keep own head unit (cheap); bass", "Starter Keep own head unit"),
        ("1300 front, rear;", "1300 front, rear"),
        ("Entry Keep own (no bass)", "Entry Keep own (no bass)"),
        ("Donaudampfschifffahrtselektrizitaeten", "Donaudampfschifffahrtselektrizi"),
    ],
)
def test_names_of_sheets_end_cleanly(wanted: str, name: str) -> None:
    assert sheet_name(wanted, set()) == name
