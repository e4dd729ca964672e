"""The package of a workbook: its parts, what each is, and which one points to which."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from dataclasses import dataclass, field
from urllib.parse import quote, unquote

from budgetbuild.report.graft.markup import Element, Markup, quoted

TYPES = "[Content_Types].xml"
RELATIONSHIP = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
RELATIONS_NAMESPACE = "http://schemas.openxmlformats.org/package/2006/relationships"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_EPOCH = (1980, 1, 1, 0, 0, 0)
"""Time of every entry: the same content gives the same bytes on any day."""
_NUMBERED = re.compile(r"(.*?)(\d*)(\.[^./]*)?")


@dataclass(frozen=True, slots=True)
class Relation:
    """One arrow from a part to another.

    Attributes:
        kind: Last word of its type.
        target: Name of the part that it points to; the address as it stands where that is outside the package.
    """

    id: str
    type: str
    target: str
    external: bool

    @property
    def kind(self) -> str:
        """Last word of its type."""
        return self.type.rpartition("/")[2]


@dataclass(slots=True)
class Parts:
    """The parts of a package by name, in the order of the file; changed in place."""

    content: dict[str, bytes] = field(default_factory=dict)
    types: dict[str, str] = field(default_factory=dict)
    defaults: dict[str, str] = field(default_factory=dict)

    def relations(self, part: str) -> list[Relation]:
        """Where a part points to; the package itself is the part without a name."""
        rels = self.content.get(relations_part(part))
        if rels is None:
            return []
        folder = posixpath.dirname(part)
        return [_relation(element, folder) for element in Markup(rels).root.children if element.name == "Relationship"]

    def related(self, part: str, kind: str) -> str | None:
        """The first part of a kind that a part points to; `None` where there is none."""
        targets = (one.target for one in self.relations(part) if one.kind == kind and one.target in self.content)
        return next(targets, None)

    @property
    def workbook(self) -> str:
        """Name of the part that lists the sheets.

        Raises:
            ValueError: The package has none.
        """
        found = self.related("", "officeDocument")
        if found is None:
            raise ValueError("no workbook in the package")
        return found

    def type_of(self, part: str) -> str:
        """What a part is, by the list of content types; empty where that does not say."""
        return self.types.get(part.casefold()) or self.defaults.get(part.rpartition(".")[2].casefold(), "")

    def of_type(self, ending: str) -> list[str]:
        """The parts whose content type ends so."""
        return [part for part in self.content if self.type_of(part).endswith(ending)]


def relations_part(part: str) -> str:
    """Name of the part that holds the arrows of another.

    >>> relations_part("xl/workbook.xml"), relations_part("")
    ('xl/_rels/workbook.xml.rels', '_rels/.rels')
    """
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def _relation(element: Element, folder: str) -> Relation:
    target, external = element.attributes.get("Target", ""), element.attributes.get("TargetMode") == "External"
    if not external:
        target = posixpath.normpath(posixpath.join("/", folder, unquote(target.partition("#")[0]))).lstrip("/")
    return Relation(element.attributes.get("Id", ""), element.attributes.get("Type", ""), target, external)


def read_parts(data: bytes) -> Parts:
    """The package in a file.

    Raises:
        ValueError: Its list of content types is no sound XML.
    """
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = Parts({name: archive.read(name) for name in dict.fromkeys(archive.namelist())})
    for element in Markup(parts.content[TYPES]).root.children:
        kind = element.attributes.get("ContentType", "")
        if element.name == "Override":
            parts.types[element.attributes.get("PartName", "").lstrip("/").casefold()] = kind
        elif element.name == "Default":
            parts.defaults[element.attributes.get("Extension", "").casefold()] = kind
    return parts


def write_parts(parts: Parts) -> bytes:
    """The package as a file; the same parts give the same bytes."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.content.items():
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 0
            archive.writestr(entry, content)
    return stream.getvalue()


def free_name(wanted: str, taken: set[str]) -> str:
    """A part's name with the next number that is free; `taken` holds folded names.

    >>> free_name("xl/charts/chart1.xml", {"xl/charts/chart1.xml", "xl/charts/chart2.xml"})
    'xl/charts/chart3.xml'
    """
    found = _NUMBERED.fullmatch(wanted)
    if found is None:
        raise ValueError(f"not a part's name: {wanted}")
    stem, number, ending = found[1], int(found[2] or 1), found[3] or ""
    while (name := f"{stem}{number}{ending}").casefold() in taken:
        number += 1
    return name


def relative_target(source: str, target: str) -> str:
    """A part as the arrows of another name it.

    >>> relative_target("xl/worksheets/sheet1.xml", "xl/drawings/drawing1.xml"), relative_target("book.xml", "a/b.xml")
    ('../drawings/drawing1.xml', 'a/b.xml')
    """
    return quote(posixpath.relpath(target, posixpath.dirname(source) or "."), safe="/")


def add_relations(rels: bytes, arrows: list[tuple[str, str, str]]) -> bytes:
    """Add arrows to a part's list: id, type and target of each."""
    markup = Markup(rels)
    tag = f"{markup.root.prefix}Relationship"
    xml = "".join(f"<{tag} Id={quoted(i)} Type={quoted(t)} Target={quoted(to)}/>" for i, t, to in arrows)
    markup.append(markup.root, xml)
    return markup.result()


def add_types(types: bytes, overrides: list[tuple[str, str]]) -> bytes:
    """Add parts to the list of content types: name and type of each."""
    markup = Markup(types)
    tag = f"{markup.root.prefix}Override"
    xml = "".join(f"<{tag} PartName={quoted(f'/{name}')} ContentType={quoted(kind)}/>" for name, kind in overrides)
    markup.append(markup.root, xml)
    return markup.result()
