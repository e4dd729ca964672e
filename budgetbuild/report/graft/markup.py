"""XML with the place of every element in its bytes, so that something is added and all the rest stays as it is."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from xml.parsers import expat
from xml.sax.saxutils import escape as _escape

if TYPE_CHECKING:
    from collections.abc import Iterator

_HEAD = re.compile(rb"<([^\s/>]+)(?:\s+[^\s=]+\s*=\s*(?:\"[^\"]*\"|'[^']*'))*\s*/?>")
_QUOTES = {'"': "&quot;", "\r": "&#13;", "\n": "&#10;", "\t": "&#9;"}


class ForbiddenMarkupError(ValueError):
    """The XML declares a document type, which no part of a workbook does."""


@dataclass(slots=True, eq=False)
class Element:
    """One element and where it stands.

    Attributes:
        name: Name without its prefix.
        namespace: Empty where it has none.
        written: Name as written, with its prefix.
        attributes: By name; those with a prefix as `namespace name`.
        start: Offset of its start tag, then those of the first byte after the start tag, of the end tag, and of the
            first byte after the element.
        text: The characters directly in it.
    """

    name: str
    namespace: str
    written: str
    attributes: dict[str, str]
    start: int
    inside: int
    inside_end: int = 0
    end: int = 0
    text: str = ""
    children: list[Element] = field(default_factory=list)

    def all(self) -> Iterator[Element]:
        """The element and everything in it, in order."""
        yield self
        for child in self.children:
            yield from child.all()

    def find(self, name: str) -> Element | None:
        """Its first child of that name."""
        return next((child for child in self.children if child.name == name), None)

    @property
    def prefix(self) -> str:
        """Prefix with its colon, or empty."""
        before, colon, _ = self.written.rpartition(":")
        return f"{before}{colon}"


class _Builder:
    """Builds the elements while the parser reads."""

    def __init__(self, content: bytes) -> None:
        self.content = content
        self.open: list[Element] = []
        self.root: Element | None = None
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartDoctypeDeclHandler = self._refuse
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._characters

    def build(self) -> Element:
        self.parser.Parse(self.content, True)  # noqa: FBT003 - the parser's own signature
        if self.root is None:
            raise ValueError("no element")
        return self.root

    def _refuse(self, *_: object) -> None:
        raise ForbiddenMarkupError("a document type is declared")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        start = self.parser.CurrentByteIndex
        head = _HEAD.match(self.content, start)
        if head is None:
            raise ValueError(f"no start tag at byte {start}")
        namespace, _, local = name.rpartition(" ")
        element = Element(local, namespace, head[1].decode(), attributes, start, head.end())
        if self.open:
            self.open[-1].children.append(element)
        self.root = self.root or element
        self.open.append(element)

    def _end(self, _: str) -> None:
        element, at = self.open.pop(), self.parser.CurrentByteIndex
        if self.content[element.inside - 2 : element.inside] == b"/>":
            element.inside_end = element.end = element.inside
        else:
            element.inside_end, element.end = at, self.content.index(b">", at) + 1

    def _characters(self, text: str) -> None:
        if self.open:
            self.open[-1].text += text


def parse(content: bytes) -> Element:
    """The root element.

    Raises:
        ForbiddenMarkupError: A document type is declared.
        ValueError: It is no sound XML in an encoding of single bytes.
    """
    try:
        return _Builder(content).build()
    except expat.ExpatError as error:
        raise ValueError(f"no sound XML: {error}") from error


class Markup:
    """A part's XML, and the changes that it is to get.

    What is added is ASCII, so that it fits whatever encoding the part declares.
    """

    def __init__(self, content: bytes) -> None:
        self.content = content
        self.root = parse(content)
        self._edits: list[tuple[int, int, bytes]] = []

    def replace(self, start: int, end: int, text: str) -> None:
        """Put text in the place of some bytes."""
        self._edits.append((start, end, ascii_only(text)))

    def append(self, element: Element, xml: str) -> None:
        """Add XML as the last thing in an element; at most once for each."""
        if element.inside == element.end:
            self.replace(element.inside - 2, element.inside, f">{xml}</{element.written}>")
        else:
            self.replace(element.inside_end, element.inside_end, xml)

    def add_in_order(self, name: str, xml: str, order: tuple[str, ...]) -> None:
        """Add XML to the root where the schema's order of children wants an element of that name."""
        before = order[: order.index(name)]
        earlier = [child for child in self.root.children if child.name in before]
        if earlier or self.root.inside != self.root.end:
            at = earlier[-1].end if earlier else self.root.inside
            self.replace(at, at, xml)
        else:
            self.append(self.root, xml)

    def set(self, element: Element, name: str, value: str) -> None:
        """Set an attribute without a prefix."""
        head = self.content[element.start : element.inside]
        found = re.search(rb"\s" + re.escape(name.encode()) + rb"\s*=\s*(\"[^\"]*\"|'[^']*')", head)
        if found:
            self.replace(element.start + found.start(1), element.start + found.end(1), quoted(value))
        else:
            at = element.inside - (2 if head.endswith(b"/>") else 1)
            self.replace(at, at, f" {name}={quoted(value)}")

    def set_text(self, element: Element, text: str) -> None:
        """Put text in the place of everything in an element that has an end tag of its own."""
        self.replace(element.inside, element.inside_end, escape(text))

    def slice(self, start: int, end: int) -> str:
        """Some of the bytes as text."""
        return self.content[start:end].decode()

    def slices(self, name: str) -> list[str]:
        """The XML of everything in the root's first child of that name."""
        group = self.root.find(name)
        return [self.slice(child.start, child.end) for child in group.children] if group else []

    def result(self) -> bytes:
        """The XML with its changes."""
        pieces, at = [], 0
        for start, end, added in sorted(self._edits, key=lambda edit: edit[:2]):
            pieces += [self.content[at:start], added]
            at = end
        return b"".join([*pieces, self.content[at:]])


def escape(text: str) -> str:
    """Text as the inside of an element."""
    return _escape(text, {"\r": "&#13;"})


def quoted(value: str) -> str:
    """Text as an attribute's value in quotation marks.

    >>> quoted('a "b" & c')
    '"a &quot;b&quot; &amp; c"'
    """
    return f'"{_escape(value, _QUOTES)}"'


def ascii_only(text: str) -> bytes:
    """Text as bytes that every encoding of XML reads alike.

    >>> ascii_only("\u20ac 5")
    b'&#8364; 5'
    """
    return text.encode("ascii", "xmlcharrefreplace")
