"""A result sheet or table made ready for another workbook: its formats, texts and names as they are called there."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from budgetbuild.report.graft.markup import Element, Markup

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.report.graft.styles import Shift

FORMULAS = frozenset({"f", "formula", "formula1", "formula2", "calculatedColumnFormula", "totalsRowFormula"})
"""Elements that hold a formula, in sheets, tables and charts."""
_TOKEN = re.compile(r"\"(?:[^\"]|\"\")*\"|'(?:[^']|'')*'|(?<![\w.\\])[^\W\d][\w.\\]*(?![\w.\\]*[(!])")
"""Text, a quoted sheet name, or a word that is neither a function nor a sheet."""


def shared_strings(content: bytes | None) -> list[str]:
    """The inside of every shared text, by its number."""
    if content is None:
        return []
    markup = Markup(content)
    return [markup.slice(one.inside, one.inside_end) for one in markup.root.children if one.name == "si"]


def ready_sheet(content: bytes, strings: Sequence[str], shift: Shift, names: Mapping[str, str]) -> bytes:
    """A sheet with its texts in its own cells, its formats renumbered and its names changed.

    Args:
        content: The sheet as it was written.
        strings: Shared texts of its workbook.
        shift: How far the numbers of its formats moved.
        names: New by old name of defined names and tables.
    """
    markup = Markup(content)
    for element in markup.root.all():
        if element.name == "c":
            _ready_cell(markup, element, strings, shift)
        elif element.name == "sheetView" and "tabSelected" in element.attributes:
            # Two selected sheets would be edited at once.
            markup.set(element, "tabSelected", "0")
        for key in ("s", "style") if element.name in {"row", "col"} else ():
            _move(markup, element, key, shift.cells)
        _ready_common(markup, element, shift, names)
    return markup.result()


def ready_part(content: bytes, shift: Shift, names: Mapping[str, str]) -> bytes:
    """A table, drawing or chart with its formats renumbered and its names changed."""
    markup = Markup(content)
    for element in markup.root.all():
        _ready_common(markup, element, shift, names)
    return markup.result()


def ready_table(content: bytes, number: int, shift: Shift, names: Mapping[str, str]) -> bytes:
    """A table with a number and a name that are unique in its new workbook."""
    markup = Markup(ready_part(content, shift, names))
    markup.set(markup.root, "id", str(number))
    for key in ("name", "displayName"):
        name = markup.root.attributes.get(key, "")
        if name in names:
            markup.set(markup.root, key, names[name])
    return markup.result()


def _ready_cell(markup: Markup, cell: Element, strings: Sequence[str], shift: Shift) -> None:
    """A cell with its format's new number, and its text in itself: the shop's shared texts stay as they are."""
    markup.set(cell, "s", str(int(cell.attributes.get("s", "0")) + shift.cells))
    value = cell.find("v")
    if cell.attributes.get("t") == "s" and value is not None:
        markup.set(cell, "t", "inlineStr")
        markup.replace(value.start, value.end, f"<is>{strings[int(value.text)]}</is>")


def _ready_common(markup: Markup, element: Element, shift: Shift, names: Mapping[str, str]) -> None:
    for key in element.attributes:
        if key.casefold().endswith("dxfid"):
            _move(markup, element, key, shift.differences)
    if names and element.name in FORMULAS and element.text:
        renamed = rename(element.text, names)
        if renamed != element.text:
            markup.set_text(element, renamed)


def _move(markup: Markup, element: Element, key: str, by: int) -> None:
    if key in element.attributes:
        markup.set(element, key, str(int(element.attributes[key]) + by))


def rename(formula: str, names: Mapping[str, str]) -> str:
    """A formula with names changed; texts, sheet names and functions in it stay.

    >>> rename('INDEX(_a,MATCH("_a",_a.b,0))+_a', {"_a": "_a_2"})
    'INDEX(_a_2,MATCH("_a",_a.b,0))+_a_2'
    >>> rename("'_a'!B1+_a!B1+_A[Price]", {"_a": "_a_2"})
    "'_a'!B1+_a!B1+_a_2[Price]"
    """
    known = {name.casefold(): new for name, new in names.items()}
    return _TOKEN.sub(lambda found: known.get(found[0].casefold(), found[0]), formula)
