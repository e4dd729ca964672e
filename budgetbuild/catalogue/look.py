"""A look at a sheet's raw XML: what the fast reader would lose, and whether it may read the sheet at all.

The fast reader blanks error cells and formulas without a stored value, drops number formats, and one stray cell in
the last column makes it ask for more memory than there is, which ends the whole process.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from defusedxml.ElementTree import fromstring

from budgetbuild.catalogue.cells import telling

LONGEST_FORMAT = 1000
"""Characters of a number format; spreadsheet programs take 255."""
LETTERS = 26
"""Columns whose name is one letter."""
LEAST_AREA = 2_000_000
"""Cells in a rectangle that are always affordable."""
MOST_AREA_PER_CELL = 20
"""How much emptier than full a rectangle may be."""

Place = tuple[int, int]
"""Row and column, both from 1."""

# No pattern looks past the next "<", so that XML without ends takes no longer than any other.
_ROW = re.compile(rb"<row\b([^<>]*)>")
_HIDDEN = re.compile(rb'\bhidden="(?:1|true)"')
_ROW_NUMBER = re.compile(rb'\br="(\d+)"')
_CELL = re.compile(rb'<c r="([A-Z]{1,3})(\d{1,7})"')
_ANY_CELL = re.compile(rb"<(?:[^\s<>/:]+:)?c[\s>/]")
_ANY_ROW = re.compile(rb"<(?:[^\s<>/:]+:)?row[\s>/]")
_ADDRESS = re.compile(rb'\br="([A-Z]{1,3})(\d{1,7})"')
_ERROR = re.compile(rb'<c\b(?=[^<>]*\bt="e")([^<>]*)>(?:(?!</?c\b).)*?<v>([^<]*)</v>', re.DOTALL)
_HAS_FORMULA = re.compile(rb"<f\b")
_FORMULA = re.compile(rb"<c\b([^<>]*)>\s*<f\b(?:[^<>]*/>|[^<>]*>[^<]*</f>)\s*(?:<v\b[^<>/]*>([^<]*)</v>)?")
_MERGED = re.compile(rb'<mergeCell\b[^<>]*\bref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"')
_DIMENSION = re.compile(rb'<dimension\b[^<>]*\bref="(?:[A-Z]+\d+:)?([A-Z]{1,3})(\d{1,7})"')
_MAYBE_PREFIXED = re.compile(rb":(?:worksheet|sheetData|row|c|v|f|is|t|dimension|mergeCell)[\s>/]")
_PREFIXED = re.compile(rb"<[^\s<>/:]+" + _MAYBE_PREFIXED.pattern)
"""Elements that other readers take for the same, and the patterns here do not; the first is looked for faster."""


@dataclass(frozen=True, slots=True)
class Merge:
    """A merged range: first and last row and column."""

    top: int
    left: int
    bottom: int
    right: int


@dataclass(frozen=True, slots=True)
class Look:
    """What the raw XML of one sheet shows.

    Attributes:
        plain: Whether the fast reader may read the sheet, and the look found everything it would lose.
        cells: How many cells the sheet stores.
        rows: How many rows it stores.
        errors: Error cells and their texts.
        hollow: Formulas saved without a result.
        formatted: Number formats that say more than the number.
    """

    plain: bool
    cells: int
    rows: int
    hidden_rows: tuple[int, ...] = ()
    merges: tuple[Merge, ...] = ()
    errors: dict[Place, str] = field(default_factory=dict)
    hollow: frozenset[Place] = frozenset()
    formatted: dict[Place, str] = field(default_factory=dict)


def column_number(letters: bytes) -> int:
    """A column counted from 1.

    >>> column_number(b"A"), column_number(b"XFD")
    (1, 16384)
    """
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def telling_styles(styles: bytes) -> dict[int, str]:
    """Cell styles whose number format says more than the number, by index.

    Raises:
        ValueError: A number format is longer than any that a spreadsheet program takes.
    """
    if not styles:
        return {}
    root = fromstring(styles)
    codes = {"9": "0%", "10": "0.00%", "11": "0.00E+00", "48": "##0.0E+0"}
    codes |= {str(e.get("numFmtId")): str(e.get("formatCode")) for e in root.iter() if e.tag.endswith("}numFmt")}
    if max(map(len, codes.values())) > LONGEST_FORMAT:
        raise ValueError("a number format without end")
    formats = next((e for e in root if e.tag.endswith("}cellXfs")), ())
    used = [codes.get(str(style.get("numFmtId")), "") for style in formats]
    return {index: code for index, code in enumerate(used) if code and telling(code)}


def look(xml: bytes, styles: dict[int, str]) -> Look:
    """Look at the XML of one sheet; `styles` are those of `telling_styles`."""
    rows, cells = _ROW.findall(xml), xml.count(b"<c ")
    small = _is_small(xml, len(rows), cells)
    addresses = [] if small else _CELL.findall(xml)
    if not small:
        cells = len(_ANY_CELL.findall(xml))
    if not _usual(xml) or not (small or cells == len(addresses)):
        return Look(plain=False, cells=len(_ANY_CELL.findall(xml)), rows=len(_ANY_ROW.findall(xml)))
    last_row = max(map(int, {row for _, row in addresses}), default=0)
    last_column = max(map(column_number, {column for column, _ in addresses}), default=0)
    declared = [column_number(letters) * int(row) for letters, row in _DIMENSION.findall(xml)]
    area = max(last_row * last_column, *declared, 0)
    return Look(
        plain=area <= _affordable(cells),
        cells=cells,
        rows=len(rows),
        hidden_rows=_hidden(rows),
        merges=_merges(xml),
        errors=_errors(xml),
        hollow=_hollow(xml),
        formatted=_formatted(xml, styles),
    )


def _affordable(cells: int) -> int:
    """The largest rectangle that the fast reader may spread a number of cells over."""
    return max(LEAST_AREA, cells * MOST_AREA_PER_CELL)


def _is_small(xml: bytes, rows: int, cells: int) -> bool:
    """Whether every cell has an address that lies in an affordable rectangle of columns of one letter.

    It is so in most sheets, and is seen without taking the addresses out.
    """
    digits = len(str(rows))
    far = re.compile(rb'<c(?! r="[A-Z]\d{1,%d}")[\s>/]' % digits)
    return LETTERS * 10**digits <= _affordable(cells) and not far.search(xml)


def _usual(xml: bytes) -> bool:
    """Whether the XML is written the way in which the patterns here look for things."""
    if b"<worksheet" not in xml or b"='" in xml or b"<!--" in xml or b"<![CDATA[" in xml:
        return False
    return not (_MAYBE_PREFIXED.search(xml) and _PREFIXED.search(xml))


def _hidden(rows: list[bytes]) -> tuple[int, ...]:
    """Numbers of the hidden rows."""
    numbers = (_ROW_NUMBER.search(row) for row in rows if _HIDDEN.search(row))
    return tuple(int(number[1]) for number in numbers if number)


def _merges(xml: bytes) -> tuple[Merge, ...]:
    """The merged ranges."""
    return tuple(
        Merge(int(top), column_number(left), int(bottom), column_number(right))
        for left, top, right, bottom in _MERGED.findall(xml)
    )


def _place(attributes: bytes) -> Place:
    """Where a cell stands."""
    address = _ADDRESS.search(attributes)
    return (int(address[2]), column_number(address[1])) if address else (0, 0)


def _errors(xml: bytes) -> dict[Place, str]:
    """Error cells and their texts."""
    return {_place(attributes): text.decode() for attributes, text in _ERROR.findall(xml)} if b't="e"' in xml else {}


def _hollow(xml: bytes) -> frozenset[Place]:
    """Formulas without a stored value; an empty text is a value, and its cell says that it holds text."""
    if not _HAS_FORMULA.search(xml):
        return frozenset()
    return frozenset(
        _place(attributes) for attributes, value in _FORMULA.findall(xml) if not value and b't="str"' not in attributes
    )


def _formatted(xml: bytes, styles: dict[int, str]) -> dict[Place, str]:
    """Number formats that say more than the number, where a cell has one."""
    used = [index for index in styles if b's="%d"' % index in xml]
    if not used:
        return {}
    indexes = b"|".join(str(index).encode() for index in used)
    pattern = re.compile(rb'<c\b(?=[^<>]*\bs="(' + indexes + rb')")([^<>]*[^/<>])>')
    return {_place(attributes): styles[int(index)] for index, attributes in pattern.findall(xml)}
