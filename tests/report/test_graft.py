"""Result sheets in a shop's own package: nothing of the shop's is touched, and everything is in order afterwards."""

from __future__ import annotations

import re
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING

import openpyxl
import pytest
import xlsxwriter
from python_calamine import CalamineWorkbook

from budgetbuild.faults import Severity
from budgetbuild.report.content import report_content
from budgetbuild.report.graft.graft import graft, sheet_titles
from budgetbuild.report.graft.markup import ForbiddenMarkupError, Markup, parse
from budgetbuild.report.graft.survey import survey
from budgetbuild.report.sheets.links import Beside, Links
from budgetbuild.report.sheets.workbook import render_workbook
from tests.report import fixtures, shops
from tests.report.packages import Package, entries, only_added, repacked

if TYPE_CHECKING:
    from collections.abc import Callable

    from openpyxl.worksheet.worksheet import Worksheet

CHANGED = {"[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml"}
MACROS = "application/vnd.ms-excel.sheet.macroEnabled.main+xml"
PLAIN_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"


@cache
def rich() -> bytes:
    """A shop's workbook with everything in it."""
    return shops.with_more(shops.rich_shop()[0])


@cache
def moved() -> bytes:
    """The same, written as hardly any program writes it."""
    return shops.moved(rich())


def by_openpyxl() -> bytes:
    """A workbook that another library writes: its addresses start from the top."""
    book = openpyxl.Workbook()
    book["Sheet"]["A1"] = "  kept  "
    book["Sheet"].title = "Comparison"
    return saved(book)


def bare() -> bytes:
    """The least that a workbook is: no formats, no shared texts, no properties."""
    parts = entries(by_openpyxl())
    sheet = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData/></worksheet>'
    gone = ("xl/styles.xml", "xl/theme/theme1.xml", "docProps/app.xml", "docProps/core.xml")
    for name in gone:
        del parts[name]
    for name in ("[Content_Types].xml", "_rels/.rels", "xl/_rels/workbook.xml.rels"):
        for part in gone:
            parts[name] = re.sub(rb"<[^<>]*" + part.split("/")[-1].encode() + rb"[^<>]*/>", b"", parts[name])
    parts["xl/worksheets/sheet1.xml"] = sheet
    parts["xl/workbook.xml"] = re.sub(rb"<calcPr[^>]*>|<definedNames/>", b"", parts["xl/workbook.xml"])
    return repacked(parts)


def saved(book: openpyxl.Workbook) -> bytes:
    """The bytes of a workbook."""
    stream = BytesIO()
    book.save(stream)
    return stream.getvalue()


def results_for(shop: bytes) -> bytes:
    """The result sheets with names that the shop does not have."""
    report = report_content(fixtures.every_build(), fixtures.CATALOGUE)
    return render_workbook(report, Beside(tuple(sheet_titles(shop)), Links()))


@cache
def copy_of(make: Callable[[], bytes]) -> tuple[bytes, bytes]:
    """A shop's workbook, and the copy of it with results."""
    shop = make()
    return shop, graft(shop, results_for(shop))


SHOPS = (rich, moved, by_openpyxl, bare)


@pytest.mark.parametrize("make", SHOPS)
def test_the_checker_finds_nothing_in_a_shop_before_anything_is_added(make: Callable[[], bytes]) -> None:
    assert Package(make()).faults == []


@pytest.mark.parametrize("make", SHOPS)
def test_every_part_of_the_copy_is_in_order(make: Callable[[], bytes]) -> None:
    shop, copy = copy_of(make)
    assert Package(copy).faults == []
    assert list(Package(copy).sheets)[: len(Package(shop).sheets)] == list(Package(shop).sheets)


def test_every_part_of_the_shop_is_the_same_bytes_but_the_four_that_name_what_is_new() -> None:
    before, after = (entries(data) for data in copy_of(rich))
    assert {name for name in before if before[name] != after[name]} == CHANGED
    assert list(after)[: len(before)] == list(before)


@pytest.mark.parametrize("make", SHOPS)
def test_parts_that_change_only_gain(make: Callable[[], bytes]) -> None:
    before, after = (entries(data) for data in copy_of(make))
    assert [name for name in before if not only_added(before[name], after[name])] == []
    assert len([name for name in before if before[name] != after[name]]) <= len(CHANGED)


def test_a_taken_away_word_would_be_noticed() -> None:
    assert only_added(b'<a count="1"><b/></a>', b'<a count="2"><b/><b/></a>')
    assert not only_added(b"<a><b/><c/></a>", b"<a><c/><b/></a>")
    assert not only_added(b'<a><b x="1"/></a>', b'<a><b x="2"/></a>')


def test_the_same_workbooks_give_the_same_bytes() -> None:
    assert graft(rich(), results_for(rich())) == copy_of(rich)[1]


@pytest.mark.parametrize("make", SHOPS)
@pytest.mark.filterwarnings("ignore:.*extension is not supported")
def test_two_other_readers_see_what_both_workbooks_hold(make: Callable[[], bytes]) -> None:
    shop, copy = copy_of(make)
    results = results_for(shop)
    for source in (shop, results):
        before, after = openpyxl.load_workbook(BytesIO(source)), openpyxl.load_workbook(BytesIO(copy))
        renamed = {"_tbl_prices": "_tbl_prices_2", "_tax_rate": "_tax_rate_2"} if make in {rich, moved} else {}
        names = renamed if source is results else {}
        for sheet in before.worksheets:
            assert cells(after[sheet.title]) == {
                place: with_names(value, names) for place, value in cells(sheet).items()
            }
        fast, whole = (CalamineWorkbook.from_filelike(BytesIO(data)) for data in (source, copy))
        # One of them cannot find the shared texts of a workbook that lies elsewhere, with results or without.
        for sheet in before.worksheets if make is not moved or source is results else ():
            assert whole.get_sheet_by_name(sheet.title).to_python() == fast.get_sheet_by_name(sheet.title).to_python()


def cells(sheet: Worksheet) -> dict[str, object]:
    """What stands in a sheet, formulas as text."""
    found = {cell.coordinate: cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None}
    return {place: getattr(value, "text", value) for place, value in found.items()}


def with_names(value: object, names: dict[str, str]) -> object:
    """A formula with the names that it has in the copy."""
    if not isinstance(value, str) or not value.startswith("="):
        return value
    for old, new in names.items():
        value = re.sub(rf"{old}(?!\w)", new, value)
    return value


@pytest.mark.parametrize("make", SHOPS)
@pytest.mark.filterwarnings("ignore:.*extension is not supported")
def test_cells_look_as_they_did_in_either_workbook(make: Callable[[], bytes]) -> None:
    shop, copy = copy_of(make)
    after = openpyxl.load_workbook(BytesIO(copy))
    for source in (shop, results_for(shop)):
        for sheet in openpyxl.load_workbook(BytesIO(source)).worksheets:
            for cell in (cell for row in sheet.iter_rows() for cell in row if cell.value is not None or cell.has_style):
                assert look(after[sheet.title][cell.coordinate]) == look(cell), (sheet.title, cell.coordinate)
            widths = {key: column.width for key, column in sheet.column_dimensions.items()}
            assert {key: column.width for key, column in after[sheet.title].column_dimensions.items()} == widths


def look(cell: openpyxl.cell.cell.Cell | openpyxl.cell.cell.MergedCell) -> tuple[object, ...]:
    """Typeface, ground, lines, number format and place in the cell; ink of a theme as a colour."""
    font, fill, border = cell.font, cell.fill, cell.border
    ink = font.color.rgb if font.color is not None and font.color.type == "rgb" else "FF000000"
    return (
        font.name, font.sz, font.b, font.i, font.u, ink, fill.fill_type, fill.fgColor.rgb,
        border.top.style, border.bottom.style, cell.number_format,
        cell.alignment.horizontal, cell.alignment.vertical, cell.alignment.wrap_text, cell.alignment.indent,
    )  # fmt: skip


def test_spaces_signs_and_formulas_in_texts_of_the_results_stay() -> None:
    texts = ["  two  spaces ", "<&>\"'", "=1+1", "line\nbreak", "\u20ac \u00e9 \U0001f50a", "a\ttab"]
    with xlsxwriter.Workbook(stream := BytesIO(), {"in_memory": True, "strings_to_formulas": False}) as book:
        sheet = book.add_worksheet("Ours")
        for row, text in enumerate(texts):
            sheet.write_string(row, 0, text)
    copy = graft(by_openpyxl(), stream.getvalue())
    shown = openpyxl.load_workbook(BytesIO(copy))["Ours"]
    assert [shown.cell(row, 1).value for row in range(1, len(texts) + 1)] == texts
    assert [row[0] for row in CalamineWorkbook.from_filelike(BytesIO(copy)).get_sheet_by_name("Ours").to_python()][
        :5
    ] == (texts[:5])


def test_the_copy_opens_where_the_shop_left_it_and_works_everything_out() -> None:
    copy = Package(copy_of(rich)[1])
    book = copy.root(copy.book)
    view, calculation = (next(one for one in book.iter() if one.tag.endswith(name)) for name in ("View", "}calcPr"))
    assert (view.get("activeTab"), calculation.get("fullCalcOnLoad")) == ("5", "1")
    assert [title for title, part in copy.sheets.items() if b'tabSelected="1"' in copy.parts[part]] == ["Amplifiers"]


def test_names_that_the_shop_uses_too_are_kept_apart() -> None:
    copy = Package(copy_of(rich)[1])
    names = {
        (one.get("name"), one.text) for one in copy.root(copy.book).iter() if one.get("name", "").startswith("_tax")
    }
    assert {name for name, _ in names} == {"_tax_rate", "_tax_rate_2"}
    assert ("_tax_rate", "'It''s hidden'!$B$1") in names
    margins = copy.parts[copy.sheets["Middle New head unit"]]
    assert b"_tbl_prices_2[" in margins
    assert b"_tax_rate_2)" in margins
    assert not re.search(rb"_tbl_prices\[|_tax_rate\b(?!_)", margins)


def test_a_copy_of_a_copy_keeps_both_results_apart() -> None:
    _, once = copy_of(rich)
    twice = graft(once, results_for(once))
    assert Package(twice).faults == []
    before, after = entries(once), entries(twice)
    assert {name for name in before if before[name] != after[name]} == CHANGED


def test_a_sheet_name_that_is_taken_is_a_defect() -> None:
    with pytest.raises(ValueError, match="is taken"):
        graft(rich(), rich())


def changed(part: str, old: bytes, new: bytes, data: bytes | None = None) -> bytes:
    """The rich workbook with other words in one part."""
    parts = entries(data or rich())
    assert old in parts[part]
    return repacked({**parts, part: parts[part].replace(old, new)})


def codes(data: bytes, target: str = "copy.xlsx") -> list[tuple[str, Severity]]:
    """What the survey finds."""
    return [(fault.code, fault.severity) for fault in survey(data, "price list.xlsx", target)]


def test_nothing_is_said_of_a_workbook_that_loses_nothing() -> None:
    assert [codes(make()) for make in SHOPS] == [[], [], [], []]


def test_a_macro_workbook_keeps_its_macros_and_needs_its_ending() -> None:
    parts = entries(changed("[Content_Types].xml", PLAIN_TYPE.encode(), MACROS.encode()))
    parts["xl/vbaProject.bin"] = bytes(range(256)) * 3
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(
        b"</Types>",
        b'<Override PartName="/xl/vbaProject.bin" ContentType="application/vnd.ms-office.vbaProject"/></Types>',
    )
    kind = b'Type="http://schemas.microsoft.com/office/2006/relationships/vbaProject"'
    parts["xl/_rels/workbook.xml.rels"] = parts["xl/_rels/workbook.xml.rels"].replace(
        b"</Relationships>", b'<Relationship Id="rId99" ' + kind + b' Target="vbaProject.bin"/></Relationships>'
    )
    shop = repacked(parts)
    assert codes(shop) == [("wrong-ending", Severity.FAULT)]
    assert codes(shop, "copy.xlsm") == []
    copy = graft(shop, results_for(shop))
    assert Package(copy).faults == []
    assert entries(copy)["xl/vbaProject.bin"] == parts["xl/vbaProject.bin"]
    assert MACROS.encode() in entries(copy)["[Content_Types].xml"]


def test_a_plain_workbook_is_not_copied_under_the_ending_of_another_kind() -> None:
    assert codes(rich(), "copy.xlsm") == [("wrong-ending", Severity.FAULT)]
    assert codes(rich(), "copy") == [("wrong-ending", Severity.FAULT)]


@pytest.mark.parametrize(
    ("part", "old", "new", "found"),
    [
        (
            "xl/workbook.xml",
            b"http://schemas.openxmlformats.org/spreadsheetml/2006/main",
            b"http://purl.oclc.org/ooxml/spreadsheetml/main",
            ("strict-workbook", Severity.FAULT),
        ),
        ("[Content_Types].xml", PLAIN_TYPE.encode(), b"application/x-other", ("not-a-workbook", Severity.FAULT)),
        ("xl/workbook.xml", b"<sheets>", b"<sheets", ("damaged-file", Severity.FAULT)),
        (
            "xl/workbook.xml",
            b"<bookViews>",
            b'<workbookProtection lockStructure="1"/><bookViews>',
            ("structure-protected", Severity.NOTICE),
        ),
        ("xl/workbook.xml", b"<calcPr", b'<calcPr calcMode="manual"', ("manual-calculation", Severity.WARNING)),
        ("xl/workbook.xml", b"<calcPr", b'<calcPr fullPrecision="0"', ("precision-as-shown", Severity.WARNING)),
        ("xl/workbook.xml", b"</workbook>", b"<customWorkbookViews/></workbook>", ("custom-views", Severity.WARNING)),
        (
            "_rels/.rels",
            b"</Relationships>",
            (
                b'<Relationship Id="rId9" Type="http://schemas.openxmlformats.org/package/2006/relationships/'
                b'digital-signature/origin" Target="xl/theme/theme1.xml"/></Relationships>'
            ),
            ("signature-void", Severity.WARNING),
        ),
        (
            "xl/_rels/workbook.xml.rels",
            b"</Relationships>",
            (
                b'<Relationship Id="rId98" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/'
                b'revisionHeaders" Target="theme/theme1.xml"/></Relationships>'
            ),
            ("shared-workbook", Severity.FAULT),
        ),
    ],
)
def test_what_stops_a_copy_or_changes_in_it_is_told(
    part: str, old: bytes, new: bytes, found: tuple[str, Severity]
) -> None:
    shop = changed(part, old, new)
    assert codes(shop) == [found]
    if found[1] is not Severity.FAULT:
        assert Package(graft(shop, results_for(shop))).faults == []


def test_markup_is_added_inside_elements_that_close_themselves_and_in_any_quotes() -> None:
    markup = Markup(
        b"\xef\xbb\xbf<?xml version='1.0'?><!-- <a/> --><x:a xmlns:x = 'urn:x' n='>' ><x:b c = '1>2' /></x:a >"
    )
    (child,) = markup.root.children
    markup.append(child, "<x:d>\u20ac</x:d>")
    markup.set(child, "c", 'a"b')
    markup.set(child, "new", "1")
    assert markup.result().endswith(
        b"<x:a xmlns:x = 'urn:x' n='>' ><x:b c = \"a&quot;b\"  new=\"1\"><x:d>&#8364;</x:d></x:b></x:a >"
    )


def test_a_document_type_is_refused() -> None:
    with pytest.raises(ForbiddenMarkupError):
        parse(b'<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>')


def test_a_style_sheet_with_next_to_nothing_in_it_gets_what_is_taken_for_granted_first() -> None:
    parts = entries(by_openpyxl())
    for name in (b"fonts", b"cellStyleXfs", b"cellStyles", b"cellXfs", b"dxfs", b"fills", b"borders", b"numFmts"):
        parts["xl/styles.xml"] = re.sub(
            rb"<" + name + rb"\b[^>]*/>|<" + name + rb"\b.*</" + name + rb">", b"", parts["xl/styles.xml"]
        )
    copy = graft(repacked(parts), results_for(repacked(parts)))
    assert Package(copy).faults == []
    first = next(one for one in Package(copy).root("xl/styles.xml").iter() if one.tag.endswith("}font"))
    assert [child.get("val") for child in first][:2] == ["11", "Calibri"]
