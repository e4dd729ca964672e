"""What a file of fresh prices and stock did to a catalogue, as frozen values.

Money is whole minor units (cents).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.faults import Cell

PRICE, COST = "price", "cost"
"""Fields of a change that some outputs treat on their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A value of the price file that took the place of another one in the catalogue.

    Attributes:
        at: Where it stands in the price file.
        sku: As the catalogue writes it.
        field: Of the product, such as `price`; `header` is its column's name.
        money: Whether both values are cents; otherwise they are a whole number or yes and no.
        before: `None` where the catalogue's cell was blank or could not be read.
    """

    at: Cell
    sku: str
    field: str
    header: str
    money: bool
    before: int | None
    after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stranger:
    """A SKU of the price file that the catalogue does not have.

    Attributes:
        near: SKUs of the catalogue that differ from it in nothing but case, punctuation and leading zeros.
    """

    at: Cell
    sku: str
    near: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fresh:
    """A price file that was laid over a catalogue, and what came of it.

    Attributes:
        name: The file's name.
        sha256: Hash of the file.
        named: How many products of the catalogue it names.
        changes: In the order of the catalogue.
        unknown: SKUs that the catalogue does not have, in the order of the price file.
        missing: SKUs of the catalogue that the price file does not name, in the order of the catalogue.
    """

    name: str
    sha256: str
    named: int
    changes: tuple[Change, ...] = ()
    unknown: tuple[Stranger, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def products_changed(self) -> int:
        """How many products have another value than before."""
        return len({change.sku for change in self.changes})

    def changed(self, field: str) -> tuple[Change, ...]:
        """The changes of one field."""
        return tuple(change for change in self.changes if change.field == field)
