"""The schema of the catalogue workbook, in one place: every sheet, every column, every setting.

The reader, the checks, the sample workbook's headers, drop-downs and comments, and the documentation all derive
from these declarations.
"""

from __future__ import annotations

from budgetbuild.catalogue.product_sheets import PRODUCT_SHEETS
from budgetbuild.catalogue.schema import Column, Kind, Sheet, SheetKind, key
from budgetbuild.catalogue.setting_rows import LIMIT_SETTINGS, SETTINGS, SHOP_SETTINGS
from budgetbuild.catalogue.shop_sheets import SHOP_SHEETS

SHEETS: tuple[Sheet, ...] = (*PRODUCT_SHEETS, *SHOP_SHEETS)
"""Every sheet, in the order in which a new workbook writes them."""

READ_ME, TO_FILL_IN, LEFT_OVER = "Read me", "To fill in", "Left over"
FOR_PEOPLE = (READ_ME, TO_FILL_IN, LEFT_OVER)
"""Sheets that the tool writes for people only, and passes over."""

__all__ = [
    "FOR_PEOPLE",
    "LEFT_OVER",
    "LIMIT_SETTINGS",
    "PRODUCT_SHEETS",
    "READ_ME",
    "SETTINGS",
    "SHEETS",
    "SHOP_SETTINGS",
    "SHOP_SHEETS",
    "TO_FILL_IN",
    "Column",
    "Kind",
    "Sheet",
    "SheetKind",
    "key",
    "sheet_named",
]


def sheet_named(name: str) -> Sheet:
    """The declaration of the sheet of that name.

    Raises:
        KeyError: No sheet has that name.

    >>> sheet_named("power KITS").name
    'Power kits'
    """
    for sheet in SHEETS:
        if key(sheet.name) == key(name):
            return sheet
    raise KeyError(name)
