"""A printed guide as a test reads it: its tagged structure with the pages that each element is on, and its words."""

from __future__ import annotations

import re
import subprocess
from dataclasses import dataclass
from html import unescape
from io import BytesIO
from typing import TYPE_CHECKING, Any

from pypdf import PdfReader
from pypdf.generic import DictionaryObject

if TYPE_CHECKING:
    from collections.abc import Iterator

MM = 72 / 25.4
"""Points in a millimetre."""
HEADINGS = {f"/H{level}" for level in range(1, 7)}


@dataclass(frozen=True)
class Element:
    """An element of the page as the file tells it to a screen reader.

    Attributes:
        tag: Its kind, such as `/TR`.
        pages: Of its own content, each as often as it has a piece on it, from 1.
        children: Elements in it, in the order in which they are read.
        heads: Whether it is the heading of a column.
    """

    tag: str
    pages: tuple[int, ...]
    children: tuple[Element, ...]
    heads: bool = False

    def walk(self) -> Iterator[Element]:
        """Itself and everything in it, in the order in which it is read."""
        yield self
        for child in self.children:
            yield from child.walk()

    def named(self, tag: str) -> list[Element]:
        """Every element of that kind in it."""
        return [element for element in self.walk() if element.tag == tag]

    @property
    def on(self) -> list[int]:
        """The pages that it is on, in order."""
        return sorted({page for element in self.walk() for page in element.pages})

    @property
    def is_head(self) -> bool:
        """Whether it is a row of column headings."""
        return self.tag == "/TR" and all(child.heads for child in self.children)


@dataclass(frozen=True)
class Word:
    """A word on a page and its box in points, from the top left corner."""

    page: int
    text: str
    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class Printed:
    """A PDF file: its structure, its words, and the width and height of each page in points."""

    root: Element
    words: tuple[Word, ...]
    sizes: tuple[tuple[float, float], ...]

    def text(self, page: int) -> str:
        """The words of a page."""
        return " ".join(word.text for word in self.words if word.page == page)


def printed(pdf: bytes) -> Printed:
    """Read a PDF file; anything in it that breaks the rules of the format fails."""
    reader = PdfReader(BytesIO(pdf), strict=True)
    places = [page.indirect_reference for page in reader.pages]
    numbers = {place.idnum: number for number, place in enumerate(places, 1) if place}
    root = _element(reader.root_object["/StructTreeRoot"], numbers)
    sizes = tuple((float(page.mediabox.width), float(page.mediabox.height)) for page in reader.pages)
    return Printed(root, tuple(_words(pdf)), sizes)


def _element(found: Any, numbers: dict[int, int]) -> Element:  # noqa: ANN401 - the library's own
    """An element of the structure tree; pieces of content are its pages, links to objects are left out."""
    own = _page(found, numbers)
    pages: list[int] = []
    children: list[Element] = []
    kids = found.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        inner = kid.get_object()
        if not isinstance(inner, DictionaryObject):
            pages.append(own)
        elif "/MCID" in inner:
            pages.append(_page(inner, numbers) or own)
        elif "/S" in inner:
            children.append(_element(inner, numbers))
    facts = found.get("/A", [])
    scopes = [fact.get("/Scope") for fact in (facts if isinstance(facts, list) else [facts])]
    return Element(str(found.get("/S", "")), tuple(filter(None, pages)), tuple(children), "/Column" in scopes)


def _page(found: Any, numbers: dict[int, int]) -> int:  # noqa: ANN401 - the library's own
    """The page that an entry names; 0 where it names none."""
    return numbers[found.raw_get("/Pg").idnum] if "/Pg" in found else 0


def _words(pdf: bytes) -> Iterator[Word]:
    """Every word with its place, as poppler finds it."""
    done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True)  # noqa: S607
    box = re.compile(r'<word xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*?)</word>')
    for page, text in enumerate(done.stdout.decode().split("<page ")[1:], 1):
        for left, top, right, bottom, word in box.findall(text):
            yield Word(page, unescape(word), float(left), float(top), float(right), float(bottom))
