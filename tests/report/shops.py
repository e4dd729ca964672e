"""Workbooks as a shop may have them, with all that a spreadsheet program offers; and a second way to type into one."""

from __future__ import annotations

import re
import struct
import zlib
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING, Any

import xlsxwriter

from budgetbuild.faults import Cell
from tests.report import fixtures
from tests.report.packages import Package, entries, repacked

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue

HEAD = 3
"""Row of the headers, from 0: lists have a heading and an empty row above them."""
FIELDS = {
    "head_units": "Head units", "converters": "Converters", "speakers": "Speakers", "subwoofers": "Subwoofers",
    "boxes": "Boxes", "amplifiers": "Amplifiers", "power_kits": "Power kits", "signal_leads": "Signal leads",
    "speaker_cables": "Speaker cable", "aerials": "Aerials", "fitting_kits": "Fitting kits", "deadening": "Deadening",
}  # fmt: skip
HEADERS = ("Shelf", "SKU", "Cost", "Model", "Price")
SKU, COST, PRICE = 1, 2, 4


def pixel() -> bytes:
    """A picture of one pixel."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0\x2a\x5d\x84"))
        + chunk(b"IEND", b"")
    )


def rich_shop(odd: Mapping[str, float | str] | None = None) -> tuple[bytes, Catalogue]:
    """The catalogue of the fixtures as a shop's own workbook full of everything, and the catalogue with its places.

    Args:
        odd: What stands in price cells instead of the price, by SKU; a formula where it begins with `=`.
    """
    stream, catalogue = BytesIO(), fixtures.CATALOGUE
    with xlsxwriter.Workbook(stream, {"in_memory": True}) as book:
        ground = book.add_format(
            {"bg_color": "#FDF1D3", "border": 6, "font_name": "Georgia", "font_size": 12, "italic": True}
        )
        money = book.add_format({"num_format": "[$€-2] #,##0.00;[Red]-[$€-2] #,##0.00", "font_name": "Georgia"})
        lists: dict[str, Any] = {}
        for field, title in FIELDS.items():
            sheet = book.add_worksheet(title)
            lists[field] = _write_list(book, sheet, getattr(catalogue, field), (ground, money), odd or {})
        _write_services(book, catalogue)
        _write_extras(book, ground)
    tiers = tuple(replace(tier, at=Cell("Tiers", row)) for row, tier in enumerate(catalogue.tiers, start=2))
    return stream.getvalue(), replace(catalogue, tiers=tiers, **lists)


def _write_list(
    book: Any,  # noqa: ANN401
    sheet: Any,  # noqa: ANN401
    products: tuple[Product, ...],
    looks: tuple[Any, Any],
    odd: Mapping[str, float | str],
) -> tuple[Product, ...]:
    """One product sheet with formats, comments, drop-downs and conditional formats; the products with places."""
    ground, money = looks
    sheet.write_string(0, 0, "Our list", ground)
    sheet.set_column(0, 0, 5.5, None, {"hidden": True})
    sheet.set_column(3, 3, 41.25, ground)
    sheet.freeze_panes(HEAD + 1, 2)
    sheet.write_row(HEAD, 0, HEADERS, ground)
    for row, product in enumerate(products, start=HEAD + 1):
        sheet.write_string(row, SKU, product.sku)
        sheet.write_string(row, 3, f"{product.model}  <& two spaces>", ground)
        if product.cost is not None:
            sheet.write_number(row, COST, product.cost / 100, money)
        price = odd.get(product.sku, product.price / 100)
        if isinstance(price, str) and price.startswith("="):
            sheet.write_formula(row, PRICE, price, money, product.price / 100)
        else:
            sheet.write(row, PRICE, price, money)
        sheet.write_comment(row, PRICE, f"asked on Monday: {product.sku}")
    last = HEAD + len(products)
    sheet.data_validation(HEAD + 1, 0, last, 0, {"validate": "list", "source": ["A", "B", "C"]})
    sheet.conditional_format(
        HEAD + 1,
        PRICE,
        last,
        PRICE,
        {
            "type": "cell",
            "criteria": ">",
            "value": 200,
            "format": book.add_format({"bold": True, "font_color": "#9C0006"}),
        },
    )
    sheet.conditional_format(HEAD + 1, COST, last, COST, {"type": "data_bar", "data_bar_2010": True})
    sheet.set_landscape()
    sheet.print_area(0, 0, last, PRICE)
    sheet.repeat_rows(HEAD)
    return tuple(replace(one, at=Cell(sheet.name, row + 1)) for row, one in enumerate(products, start=HEAD + 1))


def _write_services(book: Any, catalogue: Catalogue) -> None:  # noqa: ANN401
    """Labour, tiers and settings."""
    labour = book.add_worksheet("Labour")
    hours = {"head unit": 1.5, "front": 1.25, "rear": 1, "bass": 1.5, "amplifier": 2, "deadening per m2": 0.8}
    labour.write_row(0, 0, ("Work", "Hours"))
    for row, (work, time) in enumerate(hours.items(), start=1):
        labour.write_row(row, 0, (work, time))
    tiers = book.add_worksheet("Tiers")
    tiers.write_row(0, 0, ("Tier", "Budget"))
    for row, tier in enumerate(catalogue.tiers, start=1):
        tiers.write_row(row, 0, (tier.name, tier.budget / 100))
    settings = book.add_worksheet("Settings")
    settings.write_row(0, 0, ("Setting", "Value"))
    settings.write_row(1, 0, ("Tax rate", 0.25), book.add_format({"num_format": "0%"}))
    settings.write_row(2, 0, ("Labour rate", 60))
    settings.write_row(3, 0, ("Currency", "EUR"))


def _write_extras(book: Any, ground: Any) -> None:  # noqa: ANN401
    """Sheets that are no part of a catalogue: charts, pictures, sparklines, tables, and names that we use too."""
    own = book.add_worksheet("Prices")
    own.write_row(0, 0, ("Month", "Sold"), ground)
    for row in range(1, 13):
        own.write_row(row, 0, (f"month {row}", row * row))
    own.add_table(0, 0, 12, 1, {"name": "_tbl_prices", "columns": [{"header": "Month"}, {"header": "Sold"}]})
    own.add_sparkline("D2", {"range": "Prices!B2:B13"})
    own.insert_image("F2", "logo.png", {"image_data": BytesIO(pixel()), "description": "our sign"})
    chart = book.add_chart({"type": "column"})
    chart.add_series({"name": "Sold", "categories": "=Prices!$A$2:$A$13", "values": "=Prices!$B$2:$B$13"})
    own.insert_chart("F8", chart)
    own.write_url("A20", "https://shop.example/", string="our page")
    own.insert_textbox("J2", "ring before ten")
    own.insert_checkbox("A22", True)  # noqa: FBT003 - the writer's own signature
    sheet = book.add_chartsheet("Graph")
    whole = book.add_chart({"type": "line"})
    whole.add_series({"values": "=Prices!$B$2:$B$13"})
    sheet.set_chart(whole)
    kept = book.add_worksheet("It's hidden")
    kept.write_rich_string("A1", "two ", ground, "kinds", " of type")
    kept.write_dynamic_array_formula("B1", "=_xlfn.SEQUENCE(3)", None, 1)
    kept.protect("secret")
    kept.hide()
    locked = book.add_worksheet("far away")
    locked.very_hidden()
    book.define_name("_tax_rate", "='It''s hidden'!$B$1")
    book.define_name("Graph_area", "=Prices!$A$1:$B$13")
    book.define_name("Labour!own", "=Labour!$A$1")
    book.set_custom_property("Checked by", "nobody")
    book.get_worksheet_by_name("Amplifiers").activate()


def with_more(data: bytes) -> bytes:
    """A workbook with parts that no library writes: custom XML, a link to another workbook, and odd names of parts."""
    parts = entries(data)
    parts["customXml/item1.xml"] = b'<?xml version="1.0"?>\n<own xmlns="urn:shop"> kept \xc3\xa9 </own>'
    parts["xl/externalLinks/externalLink1.xml"] = (
        b'<externalLink xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>'
    )
    parts["xl/worksheets/Sheet40.XML"] = b"<odd/>"
    parts["xl/tables/Table9.xml.bak"] = b"\0\1\2"
    parts["xl/printerSettings/printerSettings1.bin"] = bytes(range(256))
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(
        b"</Types>",
        b'<Default Extension="bak" ContentType="application/octet-stream"/>'
        b'<Default Extension="bin" ContentType='
        b'"application/vnd.openxmlformats-officedocument.spreadsheetml.printerSettings"/>'
        b'<Override PartName="/xl/externalLinks/externalLink1.xml" ContentType='
        b'"application/vnd.openxmlformats-officedocument.spreadsheetml.externalLink+xml"/></Types>',
    )
    kind = b"http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    parts["xl/_rels/workbook.xml.rels"] = parts["xl/_rels/workbook.xml.rels"].replace(
        b"</Relationships>",
        b'<Relationship Id="rId77" Type="' + kind + b'/externalLink" Target="externalLinks/externalLink1.xml"/>'
        b'<Relationship Id="own" Type="' + kind + b'/customXml" Target="../customXml/item1.xml"/></Relationships>',
    )
    return repacked(parts)


def moved(data: bytes) -> bytes:
    """The same workbook with its main part elsewhere, prefixes on every name, and addresses from the top."""
    parts = entries(data)
    book = parts.pop("xl/workbook.xml")
    rels = parts.pop("xl/_rels/workbook.xml.rels")
    book = (
        re.sub(rb"<(/?)(?=\w+[\s/>])", rb"<\1s:", book)
        .replace(b" xmlns=", b" xmlns:s=")
        .replace(b"xmlns:r=", b"xmlns:rel=")
    )
    parts["odd/workbook.xml"] = b"\xef\xbb\xbf" + book.replace(b" r:id=", b" rel:id=")
    rels = re.sub(rb"<(/?)(?=\w+[\s/>])", rb"<\1p:", rels).replace(b" xmlns=", b" xmlns:p=")
    parts["odd/_rels/workbook.xml.rels"] = re.sub(rb'Target="(?!http)', b'Target="/xl/', rels)
    styles = re.sub(rb"<(/?)(?=\w+[\s/>])", rb"<\1t:", parts["xl/styles.xml"]).replace(b" xmlns=", b" xmlns:t=")
    parts["xl/styles.xml"] = styles
    parts["_rels/.rels"] = parts["_rels/.rels"].replace(b'"xl/workbook.xml"', b"'/odd/workbook.xml'")
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(b"/xl/workbook.xml", b"/odd/workbook.xml")
    return repacked(parts)


def retyped(data: bytes, cells: Mapping[tuple[str, str], float]) -> bytes:
    """A workbook with other numbers typed into cells, by sheet and address; all else stays byte for byte."""
    parts, sheets = entries(data), Package(data).sheets
    for (title, cell), number in cells.items():
        part = sheets[title]
        changed, count = re.subn(
            rb'(<c r="' + cell.encode() + rb'"[^>]*>)(?:<f>[^<]*</f>)?<v>[^<]*</v>',
            rb"\g<1><v>" + repr(number).encode() + b"</v>",
            parts[part],
        )
        assert count == 1, (title, cell)
        parts[part] = changed
    return repacked(parts)


def written(data: bytes, folder: Path, name: str = "price list.xlsx") -> Path:
    """A workbook as a file."""
    path = folder / name
    path.write_bytes(data)
    return path
