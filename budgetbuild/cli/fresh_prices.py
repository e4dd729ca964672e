"""What a price file changed in the catalogue, at the terminal: in short beside another answer, in full on its own."""

from __future__ import annotations

import sys
from typing import IO, TYPE_CHECKING

from budgetbuild.catalogue.fresh import COST
from budgetbuild.cli.console import print_table, print_text
from budgetbuild.report.words.format import counted
from budgetbuild.report.words.notation import Notation

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.catalogue.fresh import Change, Fresh, Stranger
    from budgetbuild.catalogue.shop import Settings

FEW = 3
"""So many are named in short."""


def tell_fresh(fresh: Fresh, settings: Settings) -> None:
    """In short, on standard error; no cost among the values, for a customer may stand by."""
    write = Notation(settings.currency, settings.locale)
    print_text(f"{fresh.name}: {_changed(fresh)}", to=sys.stderr)
    open_to_all = [change for change in fresh.changes if change.field != COST]
    for change in open_to_all[:FEW]:
        was = "nothing" if change.before is None else value_text(change, change.before, write)
        print_text(
            f"{change.sku}: {change.header} {value_text(change, change.after, write)}, was {was}",
            to=sys.stderr,
            bullet="  ",
        )
    if fresh.unknown:
        print_text(f"{_unknown(fresh)}: {_few([_stranger(one) for one in fresh.unknown])}.", to=sys.stderr, bullet="  ")
    if fresh.missing:
        print_text(f"{_missing(fresh)}: {_few(fresh.missing)}.", to=sys.stderr, bullet="  ")
    if max(len(fresh.changes), len(fresh.unknown), len(fresh.missing)) > FEW:
        print_text("budgetbuild check with the same --prices lists them all.", to=sys.stderr, bullet="  ")


def print_fresh(fresh: Fresh, settings: Settings, to: IO[str]) -> None:
    """In full."""
    write = Notation(settings.currency, settings.locale)
    print_text(f"{fresh.name}: {_changed(fresh)}", to=to)
    if fresh.changes:
        rows = [
            (
                change.sku,
                change.header,
                "" if change.before is None else value_text(change, change.before, write),
                value_text(change, change.after, write),
                str(change.at),
            )
            for change in fresh.changes
        ]
        print_table(("SKU", "column", "before", "now", "where"), rows, right=(2, 3), to=to)
    if fresh.unknown:
        print_text(f"{_unknown(fresh)}: {'; '.join(_stranger(one, place=True) for one in fresh.unknown)}.", to=to)
    if fresh.missing:
        print_text(f"{_missing(fresh)}: {'; '.join(fresh.missing)}.", to=to)


def value_text(change: Change, value: int, write: Notation) -> str:
    """A value as one reads it: an amount, yes or no, or a count."""
    if change.money:
        return write.amount(value)
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


def _changed(fresh: Fresh) -> str:
    """How many values are new, by column."""
    if not fresh.changes:
        return f"names {counted(fresh.named, 'product')}; every value stands in the catalogue already."
    headers = dict.fromkeys(change.header for change in fresh.changes)
    by_header = ", ".join(f"{sum(one.header == name for one in fresh.changes)} {name}" for name in headers)
    return (
        f"names {counted(fresh.named, 'product')}; {counted(len(fresh.changes), 'new value')} ({by_header}) "
        f"for {counted(fresh.products_changed, 'product')}."
    )


def _unknown(fresh: Fresh) -> str:
    return f"{counted(len(fresh.unknown), 'SKU')} left out, which the catalogue does not have"


def _missing(fresh: Fresh) -> str:
    return f"{counted(len(fresh.missing), 'product')} of the catalogue not named, which keep what they have"


def _stranger(one: Stranger, *, place: bool = False) -> str:
    """An unknown SKU; where it stands, and which one may be meant."""
    address = f" ({'!'.join(part for part in (one.at.sheet, one.at.address) if part)})" if place else ""
    return f"{one.sku}{address}{f', perhaps {one.near[0]}' if one.near else ''}"


def _few(names: Sequence[str]) -> str:
    more = len(names) - FEW
    return "; ".join([*names[:FEW], *([f"and {more} more"] if more > 0 else [])])
