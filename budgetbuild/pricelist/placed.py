"""A flat list sorted onto product sheets, as frozen values: what is known, what is not, and what found no place."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.catalogue.parse import Value
    from budgetbuild.catalogue.schema import Column, Sheet
    from budgetbuild.faults import Cell, Fault

    FieldValues = Mapping[str, Value]

FIRST_ROW = 2
"""Row of a product sheet that its first product stands in, below the heads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """A cell of a product sheet that has to be filled in.

    Attributes:
        row: Of the product sheet.
        sku: Of the product; empty where that is what is missing.
        name: Brand and model, as far as they are known.
        why: What is wanted there, in words.
        source: The row of the list that the product came from, or the cell that cannot be used.
        found: What stands in the list, where that cannot be used.
    """

    sheet: Sheet
    row: int
    column: Column
    sku: str
    name: str
    why: str
    source: Cell
    found: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOver:
    """A row of the list that no group of the mapping takes, as texts by column of the list."""

    at: Cell
    texts: Mapping[int, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """The whole list.

    Attributes:
        products: Values of each product by field, by the field that its sheet fills; in the order of the list.
        blanks: What has to be filled in, sheet by sheet.
        left_over: Rows that no group takes.
        left_out: How many rows the mapping leaves out on purpose.
        headers: Column names of the list, by number.
        faults: Warnings and notices.
    """

    products: Mapping[str, tuple[FieldValues, ...]]
    blanks: tuple[Blank, ...]
    left_over: tuple[LeftOver, ...]
    left_out: int
    headers: Mapping[int, str]
    faults: tuple[Fault, ...]

    def count(self) -> int:
        """How many products found a place."""
        return sum(len(rows) for rows in self.products.values())

    def blank_counts(self) -> list[tuple[str, str, int]]:
        """Sheet, column and number of blanks, in the order of the sheets."""
        counted = Counter((blank.sheet.name, blank.column.header) for blank in self.blanks)
        return [(sheet, column, number) for (sheet, column), number in counted.items()]
