"""How the cells of a form look: heads that say which columns must be filled in, and cells as they are typed into."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.schema import NUMERIC, Kind, SheetKind
from budgetbuild.report.sheets.looks import HAIR, INSET, LINE, PANEL, QUIET, TAB_INPUT, TAB_RESULT, TAB_WORKING, TYPED

if TYPE_CHECKING:
    from budgetbuild.catalogue.schema import Column
    from budgetbuild.report.sheets.looks import Look

INK = "#FFFFFF"
OPEN: Look = {**INSET, "bg_color": PANEL, "border": 1, "border_color": LINE}
NEEDED: Look = {**OPEN, "bold": True, "font_color": INK, "bg_color": TAB_RESULT}
TO_FILL: Look = {"bg_color": TYPED, "bottom": 1, "bottom_color": HAIR}
EXAMPLE: Look = {"italic": True, "font_color": QUIET}
LACKING: Look = {"bg_color": TYPED}
TABS = {SheetKind.PRODUCT: TAB_RESULT, SheetKind.LIST: TAB_INPUT, SheetKind.TABLE: TAB_WORKING}
TYPED_TEXT: Look = {**INSET, "num_format": "@"}
CELLS: dict[Kind, Look] = {
    Kind.TEXT: TYPED_TEXT,
    Kind.NAMES: TYPED_TEXT,
    Kind.SKU: TYPED_TEXT,
    Kind.AWG: {"num_format": "@", "align": "right"},
    Kind.CHOICE: INSET,
    Kind.YES_NO: INSET,
    Kind.PROSE: INSET,
    Kind.MONEY: {"num_format": "#,##0.00"},
    Kind.DATE: {"num_format": "yyyy-mm-dd"},
}
"""Formats of what is typed, by kind: as text where a spreadsheet program would make a number or a date of it."""


def head_look(column: Column) -> Look:
    """The look of a column name: bold on dark where the column must be filled in; over numbers it stands right."""
    right = {"align": "right", "indent": 0} if column.kind in NUMERIC else {}
    return (NEEDED if column.required else OPEN) | right


def cell_look(column: Column) -> Look:
    """The look of a cell by its declaration."""
    return {"valign": "top", **CELLS.get(column.kind, {})}
