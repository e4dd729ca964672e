"""A workbook as plain cells that a mutation can spoil, written to a package byte for byte alike on every machine.

The writer is the tests' own, because no library writes what a damaged or hostile file holds.
"""

from __future__ import annotations

import io
import zipfile
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from budgetbuild.faults import column_letters

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tests.catalogue.workbooks import Book

EPOCH = (1980, 1, 1, 0, 0, 0)
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
STYLES = (
    f'<styleSheet xmlns="{MAIN}"><numFmts count="1"><numFmt numFmtId="164" formatCode="00000"/></numFmts>'
    "<fonts><font/></fonts><fills><fill><patternFill/></fill></fills><borders><border/></borders><cellStyleXfs><xf/></cellStyleXfs>"
    '<cellXfs><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/><xf numFmtId="164" applyNumberFormat="1"/>'
    '<xf numFmtId="9" applyNumberFormat="1"/></cellXfs></styleSheet>'
)
"""Styles: 0 plain, 1 a date, 2 leading zeros, 3 percent."""


@dataclass(frozen=True, slots=True)
class Raw:
    """A cell as its XML: attributes beside the address, and what is inside."""

    inside: str
    attributes: str = ""


Value = str | float | None | Raw
"""What a cell of a mutant holds."""


@dataclass(slots=True)
class Page:
    """A sheet of a mutant."""

    title: str
    rows: list[list[Value]]
    merges: list[str] = field(default_factory=list)
    state: str = ""
    more: str = ""
    """XML behind the rows."""

    @property
    def headers(self) -> list[Value]:
        """The header row."""
        return self.rows[0]


def pages_of(book: Book) -> list[Page]:
    """A sound catalogue as pages."""
    pages = []
    for title, rows in book.items():
        headers = list(dict.fromkeys(header for row in rows for header in row))
        body: list[list[Value]] = [[row.get(header) for header in headers] for row in rows]
        pages.append(Page(title, [list(headers), *body]))
    return pages


def parts_of(pages: list[Page], *, shared: bool = False) -> dict[str, bytes]:
    """The parts of the package; `shared` puts texts into the table of shared strings."""
    texts: dict[str, int] = {}
    sheets = {
        f"xl/worksheets/sheet{number}.xml": _sheet(page, texts if shared else None)
        for number, page in enumerate(pages, start=1)
    }
    rows = "".join(f"<si><t>{escape(text)}</t></si>" for text in texts)
    strings = {"xl/sharedStrings.xml": f'<sst xmlns="{MAIN}" count="{len(texts)}">{rows}</sst>'} if texts else {}
    named = "".join(
        f'<sheet name={quoteattr(page.title)} sheetId="{number}"{_state(page)} r:id="rId{number}"/>'
        for number, page in enumerate(pages, start=1)
    )
    texts_of_all = {
        "[Content_Types].xml": _content_types(len(pages), list(strings)),
        "_rels/.rels": _relations([("officeDocument", "xl/workbook.xml")]),
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"><sheets>{named}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": _relations(
            [
                *(("worksheet", f"worksheets/sheet{number}.xml") for number in range(1, len(pages) + 1)),
                ("styles", "styles.xml"),
                *(("sharedStrings", "sharedStrings.xml") for _ in strings),
            ]
        ),
        "xl/styles.xml": STYLES,
        **strings,
        **sheets,
    }
    return {name: f"{HEAD}{text}".encode("utf-8", "surrogatepass") for name, text in texts_of_all.items()}


def packed(parts: Mapping[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Parts as a package, the same bytes on every day."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, content in parts.items():
            entry = zipfile.ZipInfo(name, EPOCH)
            entry.create_system = 0
            archive.writestr(entry, content, method)
    return stream.getvalue()


def unpacked(data: bytes) -> dict[str, bytes]:
    """The parts of a package."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _state(page: Page) -> str:
    return f' state="{page.state}"' if page.state else ""


def _sheet(page: Page, texts: dict[str, int] | None) -> str:
    rows = "".join(
        f'<row r="{number}">{"".join(_cell(value, number, at, texts) for at, value in enumerate(row, start=1))}</row>'
        for number, row in enumerate(page.rows, start=1)
    )
    merged = "".join(f'<mergeCell ref="{reference}"/>' for reference in page.merges)
    merges = f'<mergeCells count="{len(page.merges)}">{merged}</mergeCells>' if merged else ""
    return f'<worksheet xmlns="{MAIN}" xmlns:r="{OFFICE}"><sheetData>{rows}</sheetData>{merges}{page.more}</worksheet>'


def _cell(value: Value, row: int, column: int, texts: dict[str, int] | None) -> str:
    if value is None:
        return ""
    at = f'r="{column_letters(column)}{row}"'
    if isinstance(value, Raw):
        own = value.attributes if value.attributes.startswith(" r=") else f" {at}{value.attributes}"
        return f"<c{own}>{value.inside}</c>"
    if not isinstance(value, str):
        return f"<c {at}><v>{value!r}</v></c>"
    if texts is None:
        return f'<c {at} t="inlineStr"><is><t xml:space="preserve">{escape(value)}</t></is></c>'
    return f'<c {at} t="s"><v>{texts.setdefault(value, len(texts))}</v></c>'


def _content_types(sheets: int, strings: list[str]) -> str:
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    parts = [
        ("xl/workbook.xml", "sheet.main"),
        ("xl/styles.xml", "styles"),
        *((name, "sharedStrings") for name in strings),
        *((f"xl/worksheets/sheet{number}.xml", "worksheet") for number in range(1, sheets + 1)),
    ]
    overrides = "".join(f'<Override PartName="/{part}" ContentType="{kind}.{what}+xml"/>' for part, what in parts)
    defaults = (
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
    )
    return f'<Types xmlns="{PACKAGE}/content-types">{defaults}{overrides}</Types>'


def _relations(targets: list[tuple[str, str]]) -> str:
    listed = "".join(
        f'<Relationship Id="rId{number}" Type="{OFFICE}/{kind}" Target="{target}"/>'
        for number, (kind, target) in enumerate(targets, start=1)
    )
    return f'<Relationships xmlns="{PACKAGE}/relationships">{listed}</Relationships>'
