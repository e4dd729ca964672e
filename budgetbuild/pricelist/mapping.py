"""What a mapping says: which columns of a flat list fill which columns of the product sheets, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

from budgetbuild.catalogue.cells import RawValue, plain
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Iterator
    from decimal import Decimal

    from budgetbuild.catalogue.numbers import Mark
    from budgetbuild.catalogue.schema import Sheet
    from budgetbuild.faults import Cell

Translation = tuple[tuple[str, RawValue], ...]
"""Words of the list, folded, and what each means."""


class Prices(StrEnum):
    """Whether the prices of the list include tax."""

    WITH_TAX = "with tax"
    WITHOUT_TAX = "without tax"


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """How one cell is filled from a row of the list.

    Attributes:
        at: Where the mapping says so.
        column: Name of the list's column; empty where every row gets the same.
        always: What every row gets.
        words: Whole contents of a cell and what each means; any other is read as it stands.
        containing: Texts within a cell and what each means; nothing is known where none is found.
        before: Word right behind the number that is wanted, such as `mm`.
        after: Word right in front of it.
        unit: Unit in which the list counts, where it is another than the column's.
    """

    at: Cell
    column: str = ""
    always: RawValue = None
    words: Translation = ()
    containing: Translation = ()
    before: str = ""
    after: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Rows of the list that go onto one sheet.

    Attributes:
        sheet: Where they go; `None` where they are left out.
        decided: Whether the mapping says where they go, or that they are left out.
        where: Columns of the list and the folded contents, one of which each must have.
        containing: Columns of the list and the folded texts, one of which must be found in each.
        columns: How the sheet's cells are filled, by field.
    """

    at: Cell
    sheet: Sheet | None = None
    decided: bool = True
    where: tuple[tuple[str, tuple[str, ...]], ...] = ()
    containing: tuple[tuple[str, tuple[str, ...]], ...] = ()
    columns: dict[str, Take] = field(default_factory=dict)

    def conditions(self) -> Iterator[str]:
        """Columns of the list by which its rows are known."""
        for name, _ in (*self.where, *self.containing):
            yield name

    def takes(self, contents: dict[str, RawValue]) -> bool:
        """Whether a row with these contents of the list's columns belongs to the group."""
        return all(said(contents[name]) in words for name, words in self.where) and all(
            any(text in said(contents[name]) for text in texts) for name, texts in self.containing
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mapping:
    """A whole mapping file.

    Attributes:
        file: Its name.
        sheet: Which sheet of a workbook; empty where only one is filled.
        tax: Tax rate as a share, where prices come without tax.
        decimal_mark: Decimal mark of the list's numbers, where it is stated.
        groups: The first one that takes a row has it.
    """

    file: str
    sheet: str = ""
    currency: str = "EUR"
    prices: Prices = Prices.WITH_TAX
    tax: Decimal | None = None
    decimal_mark: Mark | None = None
    groups: tuple[Group, ...] = ()

    def names(self) -> dict[str, Cell]:
        """Columns of the list that the mapping names, and where it names each first."""
        found: dict[str, Cell] = {}
        for group in self.groups:
            for name in group.conditions():
                found.setdefault(name, group.at)
            for take in group.columns.values():
                if take.column:
                    found.setdefault(take.column, take.at)
        return found


def said(value: RawValue) -> str:
    """What stands in a cell of the list, as its contents are compared.

    >>> said(" Coax  Speakers "), said(165.0), said(None)
    ('coax speakers', '165', '')
    """
    if value is None:
        return ""
    return fold(plain(value) if isinstance(value, float) else str(value))
