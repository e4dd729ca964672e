"""What is wrong with an output, kind by kind, told from its bytes; an empty list is a harmless one.

Every text of a price list may stand in an output, as text. So what an output is made of (elements, attributes,
formulas, links, columns of tables) is told here as a tally, which must be that of the same output of a plain list.
"""

from __future__ import annotations

import re
import unicodedata
import zipfile
from collections import Counter
from html.parser import HTMLParser
from io import BytesIO
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit
from xml.etree import ElementTree as ET

from tests.injection.payloads import GOOD_LINK

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

VOID = frozenset({"meta", "br", "link", "img", "hr", "input", "base", "source"})
ACTIVE = frozenset({
    "script", "iframe", "object", "embed", "form", "base", "frame", "foreignobject", "animate", "set", "use", "image",
    "handler", "applet", "portal", "textarea", "video", "audio", "template", "noscript",
})  # fmt: skip
"""Elements that no page without a script needs."""
LEADS_AWAY = frozenset({"href", "src", "srcset", "action", "formaction", "xlink:href", "poster", "background", "ping"})
REACHES_OUT = re.compile(r"(?i)externalLink|vbaProject|activeX|embeddings|connections|queryTable|customUI")
"""Parts of a workbook."""
JOINERS = "\u200c\u200d"


def unseen(text: str) -> list[str]:
    """Characters that steer a terminal or that nobody sees, by their numbers; a line's end is none of them."""
    return [f"{ord(mark):04x}" for mark in text
            if mark not in "\n" + JOINERS and unicodedata.category(mark) in {"Cc", "Cf", "Cs", "Zl", "Zp"}]  # fmt: skip


class Page(HTMLParser):
    """What a page is made of.

    Attributes:
        elements: Each element with its attributes, in order.
        rows: Cells in each row, table by table.
        text: What one reads.
    """

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.rows: list[list[int]] = []
        self.text = ""
        self.styles: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element, and the table that it belongs to."""
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)
        if tag == "table":
            self.rows.append([])
        elif tag == "tr":
            self.rows[-1].append(0)
        elif tag in {"td", "th"}:
            self.rows[-1][-1] += 1

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element that ends itself."""
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        """Close the element opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note text; that of a style and of a script apart."""
        if self.open and self.open[-1] in {"style", "script"}:
            self.styles.append(data)
        else:
            self.text += data

    def tally(self) -> Counter[tuple[str, ...]]:
        """Elements by name and names of attributes; a longer name takes more lines of text in a picture."""
        made = ((tag, *sorted(attributes)) for tag, attributes in self.elements if tag != "text")
        return Counter(made)

    def links(self) -> set[str]:
        """Where it leads, but to places of its own."""
        found = (value for _, attributes in self.elements for name, value in attributes.items() if name in LEADS_AWAY)
        return {address for address in found if not address.startswith("#")}


def wrong_in_page(page: Page, *, scripts: int = 0) -> list[str]:
    """What no page may have: active elements, event attributes, styles of elements, links that were not given."""
    found = [tag for tag, _ in page.elements if tag in ACTIVE]
    allowed = ["script"] * scripts + ["noscript"] * bool(scripts)
    for one in allowed:
        if one in found:
            found.remove(one)
    for tag, attributes in page.elements:
        found += [f"{tag} {name}" for name in attributes if name.startswith("on") or name in {"style", "srcdoc"}]
    found += [f"link {address}" for address in page.links() if not is_given(address)]
    return found + [f"open {tag}" for tag in page.open] + unseen(page.text.replace("\t", " "))


def is_given(address: str) -> bool:
    """Whether a link leads to where the list said, in its own words or percent-encoded, or to a file of the tool's."""
    if address in {GOOD_LINK, GOOD_LINK.replace("(", "%28").replace(")", "%29")}:
        return True
    parts = urlsplit(address)
    ours = re.fullmatch(r"(?:pictures/[\w-]+\.svg|guide\.html)", parts.path)
    return not parts.scheme and not parts.netloc and ours is not None


def ragged(page: Page) -> list[str]:
    """Tables whose rows differ in cells."""
    return [f"table {number}: {sorted(set(rows))}" for number, rows in enumerate(page.rows) if len(set(rows)) > 1]


def wrong_in_picture(content: bytes) -> list[str]:
    """What no picture may have; one that is no XML says so."""
    assert b"<!" not in content.replace(b"<!--", b""), "no document type"
    found: list[str] = []
    for element in ET.fromstring(content).iter():  # noqa: S314 - what the tool itself has written
        tag = element.tag.rpartition("}")[2].lower()
        if tag in ACTIVE | {"a", "style"}:
            found.append(tag)
        found += [f"{tag} {name}" for name in element.attrib
                  if name.rpartition("}")[2].lower().startswith(("on", "href", "style", "src"))]  # fmt: skip
        found += unseen(element.text or "")
    return found


def parts_of(book: bytes) -> Iterator[tuple[str, ET.Element]]:
    """Every XML part of a workbook, by its name."""
    with zipfile.ZipFile(BytesIO(book)) as package:
        for name in sorted(package.namelist()):
            if name.endswith((".xml", ".rels", ".vml")):
                yield name, ET.fromstring(package.read(name))  # noqa: S314 - what the tool itself has written


def wrong_in_book(book: bytes) -> list[str]:
    """What no result workbook may have: parts that reach out or run, links that leave it."""
    with zipfile.ZipFile(BytesIO(book)) as package:
        found = [name for name in package.namelist() if REACHES_OUT.search(name)]
    for name, root in parts_of(book):
        for element in root.iter():
            if element.get("TargetMode") == "External":
                found.append(f"{name}: {element.get('Target')}")
            if element.tag.endswith(("}ddeLink", "}oleLink", "}externalReference")):
                found.append(f"{name}: {element.tag}")
    return found


def formulas_in(book: bytes) -> Counter[str]:
    """Every formula of every part (cells, names, drop-downs, charts) without what one cell differs in from the next."""
    kinds = (
        "}f",
        "}definedName",
        "}formula",
        "}formula1",
        "}formula2",
        "}calculatedColumnFormula",
        "}totalsRowFormula",
    )
    found = (element.text or "" for _, root in parts_of(book) for element in root.iter() if element.tag.endswith(kinds))
    return Counter(map(_pattern, found))


def _pattern(formula: str) -> str:
    """A formula without names of sheets, texts, addresses and numbers."""
    formula = re.sub(r"'(?:[^']|'')*'!", "S!", formula)
    formula = re.sub(r'"(?:[^"]|"")*"', '""', formula)
    formula = re.sub(r"\$?[A-Z]{1,3}\$?\d+", "A1", formula)
    return re.sub(r"\d+(?:\.\d+)?", "0", formula)


def texts_in(book: Any) -> list[str]:  # noqa: ANN401 - a workbook of openpyxl
    """Every text of every cell of a workbook that was opened."""
    return [cell.value for sheet in book for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]


def missing(wanted: Iterable[str], text: str) -> list[str]:
    """Texts that do not stand in another, whatever their spaces."""
    whole = " ".join(text.split())
    return [one for one in wanted if " ".join(one.split()) not in whole]
