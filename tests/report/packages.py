"""A second look at a workbook's package, with another XML reader and rules of its own: is all there and in order?"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections import Counter
from functools import cached_property
from typing import TYPE_CHECKING
from urllib.parse import unquote

from defusedxml.ElementTree import fromstring

if TYPE_CHECKING:
    from collections.abc import Container, Iterator
    from xml.etree.ElementTree import Element

M = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
R = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
BOOK_ORDER = (
    "fileVersion", "fileSharing", "workbookPr", "AlternateContent", "revisionPtr", "workbookProtection", "bookViews",
    "sheets", "functionGroups", "externalReferences", "definedNames", "calcPr", "oleSize", "customWorkbookViews",
    "pivotCaches", "extLst",
)  # fmt: skip
STYLE_ORDER = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors",
    "extLst",
)  # fmt: skip
QUOTED_SHEET = re.compile(r"'((?:[^']|'')+)'!")
LONGEST_TITLE = 31
FIRST_OWN_FORMAT = 164


def entries(data: bytes) -> dict[str, bytes]:
    """Every part of a package by name."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def repacked(parts: dict[str, bytes]) -> bytes:
    """Parts as a package."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return stream.getvalue()


def short(element: Element) -> str:
    """Name of an element without its namespace."""
    return str(element.tag).rpartition("}")[2]


class Package:
    """A package as a strict reader sees it; `faults` lists everything that is not in order."""

    def __init__(self, data: bytes) -> None:
        """Unpack it."""
        self.parts = entries(data)
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            self.names = archive.namelist()

    def root(self, part: str) -> Element:
        """The XML of a part."""
        found: Element = fromstring(self.parts[part])
        return found

    def relations(self, part: str) -> dict[str, tuple[str, str, bool]]:
        """Kind, target and whether outside, by id."""
        folder, name = posixpath.split(part)
        rels = posixpath.join(folder, "_rels", f"{name}.rels")
        if rels not in self.parts:
            return {}
        return {
            one.get("Id", ""): (
                one.get("Type", "").rpartition("/")[2],
                posixpath.normpath(posixpath.join("/", folder, unquote(one.get("Target", "")))).lstrip("/"),
                one.get("TargetMode") == "External",
            )
            for one in self.root(rels)
        }

    def first(self, part: str, kind: str) -> str | None:
        """The first target of a kind."""
        return next((target for found, target, _ in self.relations(part).values() if found == kind), None)

    @cached_property
    def book(self) -> str:
        """The workbook's part."""
        return self.first("", "officeDocument") or ""

    @cached_property
    def sheets(self) -> dict[str, str]:
        """Part of each sheet by its name."""
        arrows = self.relations(self.book)
        return {one.get("name", ""): arrows[one.get(f"{R}id", "")][1] for one in self.root(self.book).iter(f"{M}sheet")}

    @property
    def faults(self) -> list[str]:
        """Everything that is not in order."""
        return [
            *self._names(),
            *self._arrows(),
            *self._types(),
            *self._book(),
            *self._styles(),
            *self._sheets(),
            *self._tables(),
        ]

    def _names(self) -> Iterator[str]:
        yield from (f"twice: {name}" for name, count in Counter(map(str.casefold, self.names)).items() if count > 1)

    def _arrows(self) -> Iterator[str]:
        for rels in (name for name in self.parts if name.endswith(".rels")):
            folder, name = posixpath.split(rels)
            source = posixpath.join(posixpath.dirname(folder), name.removesuffix(".rels"))
            if source and source not in self.parts:
                yield f"{rels} belongs to nothing"
            ids = [one.get("Id") for one in self.root(rels)]
            if len(set(ids)) < len(ids):
                yield f"{rels}: an id twice"
            for kind, target, outside in self.relations(source).values():
                if not outside and target.partition("#")[0] not in self.parts:
                    yield f"{rels}: no {kind} {target}"

    def _types(self) -> Iterator[str]:
        root = self.root("[Content_Types].xml")
        overrides = [one.get("PartName", "").lstrip("/") for one in root if short(one) == "Override"]
        defaults = {one.get("Extension", "").casefold() for one in root if short(one) == "Default"}
        yield from (f"type of nothing: {name}" for name in overrides if name not in self.parts)
        yield from (f"type twice: {name}" for name, count in Counter(overrides).items() if count > 1)
        for name in self.parts:
            ending = name.rpartition(".")[2].casefold()
            if name != "[Content_Types].xml" and name not in overrides and ending not in defaults and name[-1] != "/":
                yield f"no type: {name}"

    def _book(self) -> Iterator[str]:
        root = self.root(self.book)
        yield from in_order(root, BOOK_ORDER)
        titles = [one.get("name", "") for one in root.iter(f"{M}sheet")]
        yield from (f"sheet twice: {name}" for name, n in Counter(map(str.casefold, titles)).items() if n > 1)
        yield from (f"long name: {title}" for title in titles if len(title.encode("utf-16-le")) > 2 * LONGEST_TITLE)
        ids = [one.get("sheetId") for one in root.iter(f"{M}sheet")]
        yield from ["a sheetId twice"] if len(set(ids)) < len(ids) else []
        names = [(one.get("name", "").casefold(), one.get("localSheetId")) for one in root.iter(f"{M}definedName")]
        yield from (f"defined twice: {name}" for name, count in Counter(names).items() if count > 1)
        yield from (f"no such sheet: {name}" for name in names if name[1] and int(name[1]) >= len(titles))
        for one in root.iter(f"{M}definedName"):
            yield from self._unknown_sheets(one.text or "", one.get("name", ""))

    def _unknown_sheets(self, formula: str, where: str) -> Iterator[str]:
        for title in QUOTED_SHEET.findall(formula):
            name = title.replace("''", "'")
            if name not in self.sheets and not name.startswith("["):
                yield f"{where} names the sheet {name}"

    def _styles(self) -> Iterator[str]:
        part = self.first(self.book, "styles")
        if part is None:
            return
        root = self.root(part)
        yield from in_order(root, STYLE_ORDER)
        groups = {short(group): list(group) for group in root}
        for group in root:
            if group.get("count") not in {None, str(len(group))}:
                yield f"{short(group)} counts {group.get('count')}, holds {len(group)}"
        formats = [one.get("numFmtId", "") for one in groups.get("numFmts", [])]
        yield from ["a number format twice"] if len(set(formats)) < len(formats) else []
        own = {"fontId": "fonts", "fillId": "fills", "borderId": "borders", "xfId": "cellStyleXfs"}
        for xf in (*groups.get("cellXfs", []), *groups.get("cellStyleXfs", [])):
            for key, name in own.items():
                if int(xf.get(key, "0")) >= len(groups.get(name, [None])):
                    yield f"no {name} {xf.get(key)}"
            number = xf.get("numFmtId", "0")
            if int(number) >= FIRST_OWN_FORMAT and number not in formats:
                yield f"no number format {number}"

    def _count(self, name: str) -> int:
        part = self.first(self.book, "styles")
        groups = self.root(part).findall(f"{M}{name}") if part else []
        return len(groups[0]) if groups else 0

    def _sheets(self) -> Iterator[str]:
        shared = self.first(self.book, "sharedStrings")
        strings = len(self.root(shared).findall(f"{M}si")) if shared else 0
        limits = max(self._count("cellXfs"), 1), self._count("dxfs")
        for title, part in self.sheets.items():
            root, arrows = self.root(part), self.relations(part)
            for element in root.iter():
                yield from (f"{title}: {fault}" for fault in _numbers(element, limits, arrows))
                if short(element) == "f":
                    yield from self._unknown_sheets(element.text or "", title)
            for cell in root.iter(f"{M}c"):
                if cell.get("t") == "s" and int(cell.findtext(f"{M}v") or "-1") not in range(strings):
                    yield f"{title}: no text {cell.get('r')}"
        chosen = [title for title, part in self.sheets.items() if b'tabSelected="1"' in self.parts[part]]
        yield from [f"selected at once: {chosen}"] if len(chosen) > 1 else []

    def _tables(self) -> Iterator[str]:
        found: list[tuple[str, str]] = []
        for title, part in self.sheets.items():
            for kind, target, _ in self.relations(part).values():
                if kind != "table":
                    continue
                root = self.root(target)
                found.append((root.get("id", ""), root.get("displayName", "").casefold()))
                headers = [one.get("name") for one in root.iter(f"{M}tableColumn")]
                if root.get("headerRowCount") != "0" and self._row(part, root.get("ref", "")) != headers:
                    yield f"{title}: headers of {root.get('displayName')}"
        defined = {
            one.get("name", "").casefold()
            for one in self.root(self.book).iter(f"{M}definedName")
            if one.get("localSheetId") is None
        }
        ids, names = [one for one, _ in found], [name for _, name in found]
        yield from ["a table's id twice"] if len(set(ids)) < len(ids) else []
        yield from ["a table's name twice"] if len(set(names)) < len(names) or defined & set(names) else []

    def _row(self, part: str, area: str) -> list[str]:
        """Texts of the first row of a range."""
        left, top = re.match(r"([A-Z]+)(\d+)", area).groups()  # type: ignore[union-attr]
        right = re.search(r":([A-Z]+)", area)[1] if ":" in area else left  # type: ignore[index]
        found = []
        for cell in self.root(part).iter(f"{M}c"):
            column = re.sub(r"\d", "", cell.get("r", ""))
            if cell.get("r", "")[len(column) :] == top and (len(left), left) <= (len(column), column) <= (
                len(right),
                right,
            ):
                found.append(self.text(cell))
        return found

    @cached_property
    def _strings(self) -> list[str]:
        shared = self.first(self.book, "sharedStrings")
        return ["".join(one.itertext()) for one in self.root(shared)] if shared else []

    def text(self, cell: Element) -> str:
        """Text of a cell, wherever it is kept."""
        if cell.get("t") == "inlineStr":
            return "".join(cell.itertext())
        value = cell.findtext(f"{M}v") or ""
        return self._strings[int(value)] if cell.get("t") == "s" else value


def _numbers(element: Element, limits: tuple[int, int], arrows: Container[str]) -> Iterator[str]:
    """Formats, differences and arrows that an element names and that are not there."""
    formats, differences = limits
    for key, value in element.items():
        if (short(element), key) in {("c", "s"), ("row", "s"), ("col", "style")} and int(value) >= formats:
            yield f"no format {value}"
        if key.lower().endswith("dxfid") and int(value) >= differences:
            yield f"no difference {value}"
        if key.startswith(R) and value not in arrows:
            yield f"no arrow {value}"


def in_order(root: Element, order: tuple[str, ...]) -> Iterator[str]:
    """Children that stand where the schema does not have them."""
    places = [order.index(short(child)) for child in root if short(child) in order]
    if places != sorted(places):
        yield f"{short(root)}: {[short(child) for child in root]}"


COUNTED = re.compile(rb'\s(?:count|fullCalcOnLoad)="\d+"')
CLOSED = re.compile(rb"<((?:\w+:)?(?:dxfs|definedNames|numFmts|Relationships|sheets))((?:\s[^<>]*)?)/>")
TOKEN = re.compile(rb"<[^<>]*>|[^<>]+")


def only_added(before: bytes, after: bytes) -> bool:
    """Whether a part's XML still has everything in its order, with more in between; counts aside."""
    was, has = ([*TOKEN.findall(CLOSED.sub(rb"<\1\2></\1>", COUNTED.sub(b"", one)))] for one in (before, after))
    rest = iter(has)
    return all(any(token == other for other in rest) for token in was)
