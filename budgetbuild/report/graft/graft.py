"""Result sheets grafted into the package of a shop's workbook."""

from __future__ import annotations

import posixpath
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.report.graft.markup import Element, Markup, escape, quoted
from budgetbuild.report.graft.parts import (
    RELATIONS_NAMESPACE,
    RELATIONSHIP,
    TYPES,
    Parts,
    Relation,
    add_relations,
    add_types,
    free_name,
    read_parts,
    relations_part,
    relative_target,
    write_parts,
)
from budgetbuild.report.graft.sheets import ready_part, ready_sheet, ready_table, rename, shared_strings
from budgetbuild.report.graft.styles import PLAIN, Shift, merge_styles

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

ORDER = (
    "fileVersion", "fileSharing", "workbookPr", "AlternateContent", "revisionPtr", "absPath", "workbookProtection",
    "bookViews", "sheets", "functionGroups", "externalReferences", "definedNames", "calcPr", "oleSize",
    "customWorkbookViews", "pivotCaches",
)  # fmt: skip
"""Children of the workbook up to those that are added, in the order of the schema."""
STYLES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
USUAL_STYLES = "xl/styles.xml"
"""Where some readers look for the style sheet, whatever points to it."""
TABLE_TYPE = "spreadsheetml.table+xml"
IN_PLACE = frozenset({"styles", "sharedStrings", "theme"})
"""What a results workbook has beside its sheets, and what becomes of it is known here."""
RELATION_ID = f"{RELATIONSHIP} id"


def sheet_titles(data: bytes) -> list[str]:
    """Names of the sheets of a workbook, chart sheets among them, in order."""
    parts = read_parts(data)
    return [one.attributes.get("name", "") for one in _sheets(Markup(parts.content[parts.workbook]).root)]


def taken_names(data: bytes) -> frozenset[str]:
    """Names of a workbook's defined names and tables, folded."""
    return frozenset(_taken_names(read_parts(data)))


def graft(shop: bytes, results: bytes) -> bytes:
    """The shop's workbook with the sheets of the results workbook after its own.

    Every part of the shop's stays byte for byte, but for the list of content types, the workbook, its arrows and its
    style sheet, which get additions; and everything is worked out anew when the copy is opened. Sheet names of the two
    workbooks must differ. The same two workbooks give the same bytes.

    Args:
        shop: A workbook in which `survey` finds nothing that stops.
        results: A workbook of worksheets with drawings, charts and tables.

    Raises:
        ValueError: The two share a sheet name, or the results hold what has no place in another workbook: a defect.
    """
    return write_parts(_Graft(read_parts(shop), read_parts(results)).done())


@dataclass(slots=True)
class _Graft:
    """The work on one copy.

    Attributes:
        shop: The shop's package, which becomes the copy.
        added: The results package.
        moved: New by old name of every part that is added.
        arrows: Arrows that the shop's workbook gets: id, type, target.
    """

    shop: Parts
    added: Parts
    moved: dict[str, str] = field(default_factory=dict)
    arrows: list[tuple[str, str, str]] = field(default_factory=list)

    def done(self) -> Parts:
        """Do all of it."""
        book = Markup(self.shop.content[self.shop.workbook])
        source = Markup(self.added.content[self.added.workbook])
        self._check(book.root, source.root)
        sheets = [self._arrow(one) for one in _sheets(source.root)]
        self._find_names(sheets)
        names = self._free_names(source.root)
        shift, new_styles = self._merge_styles()
        self._add_parts(sheets, shift, names)
        self._add_to_workbook(book, source.root, sheets, names)
        self._add_arrows()
        types = [(new, self.added.type_of(old)) for old, new in self.moved.items()]
        self.shop.content[TYPES] = add_types(self.shop.content[TYPES], [*types, *new_styles])
        return self.shop

    def _check(self, book: Element, source: Element) -> None:
        """Refuse what only a defect brings here."""
        titles = [one.attributes.get("name", "").casefold() for root in (book, source) for one in _sheets(root)]
        if len(set(titles)) < len(titles):
            raise ValueError("a sheet name of the results is taken")
        strange = {one.kind for one in self.added.relations(self.added.workbook)} - IN_PLACE - {"worksheet"}
        if strange:
            raise ValueError(f"no place in another workbook for: {', '.join(sorted(strange))}")

    def _arrow(self, sheet: Element) -> Relation:
        """Where a sheet of the results is."""
        arrows = {one.id: one for one in self.added.relations(self.added.workbook)}
        return arrows[sheet.attributes[RELATION_ID]]

    def _find_names(self, sheets: Sequence[Relation]) -> None:
        """Give every part that comes along a name that is free."""
        taken = {name.casefold() for name in self.shop.content}
        for part in dict.fromkeys(part for sheet in sheets for part in _reached(self.added, sheet.target)):
            self.moved[part] = free_name(part, taken)
            taken.add(self.moved[part].casefold())

    def _free_names(self, source: Element) -> dict[str, str]:
        """New by old name of those defined names and tables of the results whose name is taken."""
        tables = [Markup(self.added.content[part]).root for part in self.added.of_type(TABLE_TYPE)]
        names = [one.attributes["name"] for one in _global_names(source)]
        names += [one.attributes["displayName"] for one in tables]
        taken, found = _taken_names(self.shop), {}
        for name in dict.fromkeys(names):
            free, count = name, 1
            while free.casefold() in taken:
                count += 1
                free = f"{name}_{count}"
            taken.add(free.casefold())
            if free != name:
                found[name] = free
        return found

    def _merge_styles(self) -> tuple[Shift, list[tuple[str, str]]]:
        """Append the formats; a workbook without a style sheet gets one, which is told with its type."""
        own = self.shop.related(self.shop.workbook, "styles")
        added = self.added.related(self.added.workbook, "styles")
        if added is None:
            raise ValueError("the results have no style sheet")
        part = own or USUAL_STYLES
        if not own and part in self.shop.content:
            part = free_name(part, {name.casefold() for name in self.shop.content})
        before = self.shop.content[part] if own else PLAIN
        self.shop.content[part], shift = merge_styles(before, self.added.content[added])
        if own:
            return shift, []
        self._point(f"{RELATIONSHIP}/styles", part)
        return shift, [(part, STYLES_TYPE)]

    def _add_parts(self, sheets: Sequence[Relation], shift: Shift, names: dict[str, str]) -> None:
        """Put the parts into the copy, each ready for it, and their arrows to each other."""
        shared = self.added.related(self.added.workbook, "sharedStrings")
        strings = shared_strings(self.added.content[shared] if shared else None)
        tables, pages = self._last_table(), {sheet.target for sheet in sheets}
        for old, new in self.moved.items():
            content = self.added.content[old]
            if old in pages:
                content = ready_sheet(content, strings, shift, names)
            elif self.added.type_of(old).endswith(TABLE_TYPE):
                tables += 1
                content = ready_table(content, tables, shift, names)
            elif self.added.type_of(old).endswith("+xml"):
                content = ready_part(content, shift, names)
            self.shop.content[new] = content
            self._add_own_arrows(old, new)

    def _last_table(self) -> int:
        """The highest number of a table of the shop's."""
        tables = (Markup(self.shop.content[part]).root for part in self.shop.of_type(TABLE_TYPE))
        return max((int(root.attributes.get("id", "0")) for root in tables), default=0)

    def _add_own_arrows(self, old: str, new: str) -> None:
        """An added part's own list of arrows, with the new names of what it points to."""
        arrows = self.added.relations(old)
        if not arrows:
            return
        pointed = [
            (one.id, one.type, one.target if one.external else relative_target(new, self.moved[one.target]))
            for one in arrows
        ]
        if any(one.external for one in arrows):
            raise ValueError(f"{old} points outside its workbook")
        empty = (
            f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<Relationships xmlns="{RELATIONS_NAMESPACE}"/>'
        )
        self.shop.content[relations_part(new)] = add_relations(empty.encode(), pointed)

    def _add_to_workbook(
        self, book: Markup, source: Element, sheets: Sequence[Relation], names: dict[str, str]
    ) -> None:
        """Name the sheets in the shop's workbook, their print titles and defined names; work all out on opening."""
        own = _sheets(book.root)
        group = book.root.find("sheets")
        if group is None:
            raise ValueError("a workbook without sheets")
        number = max((int(one.attributes.get("sheetId", "0")) for one in own), default=0)
        declared = f'xmlns:r="{RELATIONSHIP}"'
        tag = f"{book.root.prefix}sheet"
        if declared.encode() not in book.content[book.root.start : book.root.inside]:
            tag = f"{tag} {declared}"
        xml = "".join(
            f"<{tag} name={quoted(one.attributes['name'])} sheetId={quoted(str(number + place))}"
            f" r:id={quoted(self._point(sheet.type, self.moved[sheet.target]))}/>"
            for place, (one, sheet) in enumerate(zip(_sheets(source), sheets, strict=True), start=1)
        )
        book.append(group, xml)
        _add_defined_names(book, source, len(own), names)
        _work_out_on_opening(book)
        self.shop.content[self.shop.workbook] = book.result()

    def _point(self, kind: str, target: str) -> str:
        """Let the shop's workbook point to a part; the id of the arrow."""
        taken = {one.id for one in self.shop.relations(self.shop.workbook)} | {arrow[0] for arrow in self.arrows}
        number = len(taken) + 1
        while f"rId{number}" in taken:
            number += 1
        self.arrows.append((f"rId{number}", kind, target))
        return self.arrows[-1][0]

    def _add_arrows(self) -> None:
        """Point from the shop's workbook to the new sheets."""
        book = self.shop.workbook
        part = relations_part(book)
        # Not every reader follows a way up from a workbook that lies in a folder of its own.
        below = posixpath.dirname(book) + "/"
        arrows = [
            (arrow, kind, relative_target(book, target) if target.startswith(below) else f"/{target}")
            for arrow, kind, target in self.arrows
        ]
        self.shop.content[part] = add_relations(self.shop.content[part], arrows)


def _sheets(root: Element) -> list[Element]:
    group = root.find("sheets")
    return [one for one in group.children if one.name == "sheet"] if group else []


def _reached(parts: Parts, part: str) -> Iterator[str]:
    """A part and every part that it points to, near or far."""
    seen, waiting = set(), [part]
    while waiting:
        one = waiting.pop(0)
        if one not in seen:
            seen.add(one)
            yield one
            waiting += [arrow.target for arrow in parts.relations(one) if not arrow.external]


def _names(root: Element) -> list[Element]:
    group = root.find("definedNames")
    return group.children if group else []


def _global_names(root: Element) -> list[Element]:
    return [one for one in _names(root) if "localSheetId" not in one.attributes]


def _taken_names(parts: Parts) -> set[str]:
    """Defined names and tables of a workbook, folded; also names of one sheet only, which would hide ours there."""
    book = Markup(parts.content[parts.workbook]).root
    tables = [Markup(parts.content[part]).root for part in parts.of_type(TABLE_TYPE)]
    found = {one.attributes.get("name", "").casefold() for one in _names(book)}
    return found | {root.attributes.get(key, "").casefold() for root in tables for key in ("name", "displayName")}


def _add_defined_names(book: Markup, source: Element, before: int, names: dict[str, str]) -> None:
    """Append the defined names of the results; those of one sheet count from after the shop's sheets."""
    tag, pieces = f"{book.root.prefix}definedName", []
    for one in _names(source):
        attributes = dict(one.attributes)
        if "localSheetId" in attributes:
            attributes["localSheetId"] = str(int(attributes["localSheetId"]) + before)
        else:
            attributes["name"] = names.get(attributes["name"], attributes["name"])
        written = "".join(f" {key}={quoted(value)}" for key, value in attributes.items())
        pieces.append(f"<{tag}{written}>{escape(rename(one.text, names))}</{tag}>")
    group = book.root.find("definedNames")
    if not pieces:
        return
    if group is not None:
        book.append(group, "".join(pieces))
    else:
        outer = f"{book.root.prefix}definedNames"
        book.add_in_order("definedNames", f"<{outer}>{''.join(pieces)}</{outer}>", ORDER)


def _work_out_on_opening(book: Markup) -> None:
    """Have everything worked out anew when the copy is opened, so that the shop's cells and the results agree."""
    properties = book.root.find("calcPr")
    if properties is None:
        book.add_in_order("calcPr", f'<{book.root.prefix}calcPr fullCalcOnLoad="1"/>', ORDER)
    else:
        book.set(properties, "fullCalcOnLoad", "1")
