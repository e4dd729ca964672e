"""Where a shop's workbook holds the numbers that results are worked out from, so that formulas can point at them."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from budgetbuild.catalogue.cells import Formatted, RawValue, shown
from budgetbuild.catalogue.rows import parse_rows
from budgetbuild.catalogue.settings import read_settings
from budgetbuild.catalogue.tables import find_tables
from budgetbuild.faults import Cell, Collector

if TYPE_CHECKING:
    from budgetbuild.catalogue.kinds import Work
    from budgetbuild.catalogue.read import RawSheet
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.catalogue.tables import Table


@dataclass(frozen=True, slots=True)
class NumberCell:
    """A cell that a value was read from.

    Attributes:
        number: What the cell holds, as it is stored; `None` where it holds text.
        shown: What stands there, for a message.
    """

    at: Cell
    number: Decimal | None
    shown: str


@dataclass(frozen=True, slots=True)
class Places:
    """Cells of the workbook: prices and costs by SKU, hours by work, budgets by tier, and two settings."""

    prices: dict[str, NumberCell] = field(default_factory=dict)
    costs: dict[str, NumberCell] = field(default_factory=dict)
    hours: dict[Work, NumberCell] = field(default_factory=dict)
    budgets: dict[str, NumberCell] = field(default_factory=dict)
    labour_rate: NumberCell | None = None
    tax_rate: NumberCell | None = None


def find_places(catalogue: Catalogue, raw: list[RawSheet]) -> Places:
    """Where the values of a catalogue stand in the sheets that it was read from."""
    tables, _ = find_tables(raw, Collector())
    cells = {table.title: dict(table.body) for table in tables.values()}
    by_title = {table.title: table for table in tables.values()}

    def at(table: Table, row: int, name: str) -> NumberCell:
        place = table.at(row, name)
        line = cells[table.title].get(row, [])
        value = line[place.column - 1] if 0 < place.column <= len(line) else None
        return NumberCell(place, number_of(value), shown(value))

    products = [(one, by_title[one.at.sheet]) for one in catalogue.products() if one.at.sheet in by_title]
    labour, settings = tables.get("labour_hours"), tables.get("settings")
    rows = parse_rows(labour, catalogue.settings.currency) if labour else []
    found = read_settings(settings).cells
    rate, tax = (
        at(settings, found[name].row, "value") if settings and name in found else None
        for name in ("labour_rate", "tax_rate")
    )
    return Places(
        prices={one.sku: at(table, one.at.row, "price") for one, table in products},
        costs={one.sku: at(table, one.at.row, "cost") for one, table in products if one.cost is not None},
        hours={row.get("work"): at(row.table, row.number, "hours") for row in rows if row.sound},
        budgets={
            tier.name: at(by_title[tier.at.sheet], tier.at.row, "budget")
            for tier in catalogue.tiers
            if tier.at.sheet in by_title
        },
        labour_rate=rate,
        tax_rate=tax,
    )


def number_of(value: RawValue) -> Decimal | None:
    """The number that a cell stores, whatever its format shows; `None` where it stores none.

    >>> number_of(12.5), number_of(Formatted(0.21, "0%")), number_of("12.50"), number_of(True)
    (Decimal('12.5'), Decimal('0.21'), None, None)
    """
    number = value.number if isinstance(value, Formatted) else value
    return Decimal(repr(number)) if isinstance(number, float) else None
