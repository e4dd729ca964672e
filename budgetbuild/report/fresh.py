"""What a price file changed in a catalogue, as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.fresh import COST
from budgetbuild.report.words.format import decimal_money

if TYPE_CHECKING:
    from budgetbuild.catalogue.fresh import Change, Fresh
    from budgetbuild.faults import Cell

Value = object
"""Anything that JSON can hold."""


def fresh_data(fresh: Fresh | None, *, costs: bool) -> dict[str, Value] | None:
    """What a price file changed, which SKUs it does not share with the catalogue; `None` where there was none.

    Args:
        fresh: The price file.
        costs: Whether the shop's own costs are among the changes; never in what may be published.
    """
    if fresh is None:
        return None
    return {
        "name": fresh.name,
        "sha256": fresh.sha256,
        "products": fresh.named,
        "changes": [_change(change) for change in fresh.changes if costs or change.field != COST],
        "unknown": [{"sku": one.sku, "near": list(one.near), **place_data(one.at)} for one in fresh.unknown],
        "missing": list(fresh.missing),
    }


def place_data(at: Cell) -> dict[str, Value]:
    """Where something stands; `file` is empty for the catalogue, `sheet` for a text file."""
    return {"file": at.file, "sheet": at.sheet, "cell": at.address}


def _change(change: Change) -> dict[str, Value]:
    """A change: amounts as decimal strings, a stock as a number, active as true or false."""
    before, after = (
        decimal_money(value) if change.money and value is not None else value for value in (change.before, change.after)
    )
    return {
        "sku": change.sku,
        "column": change.header,
        "before": before,
        "after": after,
        **place_data(change.at),
    }
