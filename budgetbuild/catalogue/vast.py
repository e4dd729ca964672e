"""What is small in a file and vast once it is read: ranges and texts that a reader spreads over many cells."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING
from xml.parsers import expat

from budgetbuild.catalogue.package import refuse

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.catalogue.look import Look
    from budgetbuild.catalogue.package import Package, SheetPart

MOST_RANGE_CELLS = 5_000_000
"""Cells that merged ranges and links of a sheet may cover together; the careful reader makes every one of them."""
MOST_TEXT_BYTES = 1_000_000_000
"""Bytes that shared texts may come to, counted once for each cell that shows one; a reader makes as many copies."""
_COVERING = frozenset({"mergeCell", "hyperlink"})
_SHARED = re.compile(rb'<c\b(?=[^<>]*\bt="s")[^<>]*>\s*<v>\s*(\d{1,9})\s*</v>')
_TEXT = re.compile(rb"<(?:[^\s<>/:]+:)?si[\s>/]")
_RANGE = re.compile(r"\$?([A-Z]{1,3})\$?(\d{1,7})(?::\$?([A-Z]{1,3})\$?(\d{1,7}))?")
_COPY = "copy the price list into a new workbook"


def refuse_vast_ranges(name: str, sheet: SheetPart, xml: bytes) -> None:
    """Refuse a sheet whose merged ranges and links cover far more cells than it has.

    Raises:
        UserInputError: They do.
        xml.parsers.expat.ExpatError: The sheet is no sound XML.
    """
    covered = 0

    def note(element: str, attributes: dict[str, str]) -> None:
        nonlocal covered
        if element.rpartition(":")[2] in _COVERING:
            covered += _cells_in(attributes.get("ref", ""))

    parser = expat.ParserCreate()
    parser.StartElementHandler = note
    parser.Parse(xml, True)  # noqa: FBT003 - the parser's own signature
    if covered > MOST_RANGE_CELLS:
        expected = f"merged cells and links over at most {MOST_RANGE_CELLS:,} cells"
        refuse(name, "too-many-cells", expected, f"take them off {sheet.title}, or {_COPY}")


def _cells_in(reference: str) -> int:
    """How many cells a range has; whole columns or rows, and what is no range at all, count as too many.

    >>> _cells_in("B2"), _cells_in("$A$1:C4"), _cells_in("A:C") > MOST_RANGE_CELLS
    (1, 12, True)
    """
    found = _RANGE.fullmatch(reference)
    if not found:
        return MOST_RANGE_CELLS + 1
    left, top, right, bottom = found.groups()
    columns = abs(_number(right or left) - _number(left)) + 1
    return columns * (abs(int(bottom or top) - int(top)) + 1)


def _number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def refuse_vast_texts(package: Package, seen: Mapping[SheetPart, Look]) -> None:
    """Refuse a workbook in which long shared texts are shown by so many cells that their copies fill the memory.

    Raises:
        UserInputError: It is so.
    """
    lengths = [len(text) for part in package.shared_texts() for text in _TEXT.split(package.read(part))[1:]]
    longest = max(lengths, default=0)
    if longest * sum(look.cells for look in seen.values()) <= MOST_TEXT_BYTES:
        return
    shown: Counter[int] = Counter()
    total = 0
    for sheet, look in seen.items():
        if look.plain:
            shown.update(map(int, _SHARED.findall(package.read(sheet.part))))
        else:
            total += longest * look.cells
    total += sum(lengths[text] * times for text, times in shown.items() if text < len(lengths))
    if total > MOST_TEXT_BYTES:
        expected = f"texts of at most {MOST_TEXT_BYTES // 1_000_000:,} MB in all cells together"
        refuse(package.name, "too-much-text", expected, f"shorten the longest texts, or {_COPY}")
