"""Cell formats of one workbook appended to those of another, which keep their numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass

from budgetbuild.report.graft.markup import Element, Markup, parse
from budgetbuild.report.graft.parts import MAIN

ORDER = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors",
    "extLst",
)  # fmt: skip
"""Children of the style sheet, in the order of the schema."""
PLAIN = (
    f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<styleSheet xmlns="{MAIN}">'
    '<fonts count="1"><font><sz val="11"/><name val="Calibri"/><family val="2"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
    '</fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    '<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs>'
    '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
).encode()
"""What spreadsheet programs take for granted where a workbook has no style sheet."""
_TAG = re.compile(r"<([^\s/>]+)")
FIRST_OWN_FORMAT = 164
"""Number formats under this are built in."""
THEME_COLOURS = {"0": "FFFFFFFF", "1": "FF000000", "10": "FF0000FF"}
"""Colours of the usual theme: paper, ink, link. The other workbook's theme may have others."""
OWN = ("applyNumberFormat", "applyFont", "applyFill", "applyBorder", "applyAlignment")
"""Said of every format, so that the other workbook's normal style does not shine through."""


@dataclass(frozen=True, slots=True)
class Shift:
    """How far numbers of formats moved: of cells, and of conditional formats and tables."""

    cells: int
    differences: int


def merge_styles(shop: bytes, added: bytes) -> tuple[bytes, Shift]:
    """Append the formats of `added` to the style sheet `shop`.

    Returns:
        The style sheet with additions only, and how far the numbers of the added formats moved.
    """
    markup, plain = Markup(shop), Markup(PLAIN)
    fresh = _renumbered(markup.root, Markup(added))
    for name in ("numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "dxfs"):
        items = [] if name == "cellStyleXfs" else fresh.slices(name)
        if markup.root.find(name) is None:
            items = [*plain.slices(name), *items]
        if items:
            _append(markup, name, items)
    return markup.result(), Shift(_count(markup.root, "cellXfs"), _count(markup.root, "dxfs"))


def _count(root: Element, name: str) -> int:
    """How many formats of a kind there are before any is added; a group that is missing gets the usual ones first."""
    return len(_children(root if root.find(name) else parse(PLAIN), name))


def _append(markup: Markup, name: str, items: list[str]) -> None:
    """Append formats to a group of the style sheet, or add the group."""
    prefix, group = markup.root.prefix, markup.root.find(name)
    # Where the shop's file writes a prefix, what has none belongs to no namespace unless it says so.
    xml = "".join(_TAG.sub(rf'<\1 xmlns="{MAIN}"', item, count=1) if prefix else item for item in items)
    if group is None:
        tag = f"{prefix}{name}"
        markup.add_in_order(name, f'<{tag} count="{len(items)}">{xml}</{tag}>', ORDER)
        return
    markup.append(group, xml)
    markup.set(group, "count", str(len(group.children) + len(items)))


def _renumbered(shop: Element, added: Markup) -> Markup:
    """The added style sheet with the numbers that its formats get in the shop's."""
    codes = _format_numbers(shop, added)
    shifts = {
        key: _count(shop, group) for key, group in (("fontId", "fonts"), ("fillId", "fills"), ("borderId", "borders"))
    }
    for format_ in _children(added.root, "cellXfs"):
        for key, shift in shifts.items():
            added.set(format_, key, str(int(format_.attributes.get(key, "0")) + shift))
        for flag in OWN:
            added.set(format_, flag, "1")
        added.set(format_, "xfId", "0")
    for element in added.root.all():
        number = element.attributes.get("numFmtId")
        if number in codes:
            added.set(element, "numFmtId", codes[number])
        _without_theme(element, added)
    return Markup(added.result())


def _children(root: Element, name: str) -> list[Element]:
    group = root.find(name)
    return group.children if group else []


def _format_numbers(shop: Element, added: Markup) -> dict[str, str]:
    """New numbers of the added number formats, above all of the shop's."""
    taken = [int(one.attributes.get("numFmtId", "0")) for one in shop.all() if one.name == "numFmt"]
    free = max([FIRST_OWN_FORMAT - 1, *taken]) + 1
    own = [one.attributes["numFmtId"] for one in added.root.all() if one.name == "numFmt"]
    return {number: str(free + place) for place, number in enumerate(dict.fromkeys(own))}


def _without_theme(element: Element, added: Markup) -> None:
    """Take off what would make an added font look as the shop's theme wants it."""
    if element.name == "scheme":
        added.replace(element.start, element.end, "")
    elif element.attributes.get("theme") in THEME_COLOURS and len(element.attributes) == 1:
        added.replace(
            element.start, element.end, f'<{element.name} rgb="{THEME_COLOURS[element.attributes["theme"]]}"/>'
        )
