"""What a price file changed, below the notes on the catalogue; costs are left out, for this sheet is printed whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.fresh import COST
from budgetbuild.report.sheets.tables import Table, plain_columns
from budgetbuild.report.words.format import counted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.fresh import Change, Fresh
    from budgetbuild.report.sheets.book import Page

HEADERS = ("What", "SKU", "Column", "Before", "Now", "Where, and what to know")
WHAT, SKU, COLUMN, BEFORE, NOW, WHERE = range(len(HEADERS))
TABLE = "_tbl_price_file"
KEPT, MORE = "kept", "more"
"""What of the list the price file does not name, and what is too many to list; they stand last and are not printed."""
PRINTED = 6
"""Last printed column: that of the notes above."""
MOST = 1000
"""SKUs that only one of the two files has: more are of no help here, and stand in results.json."""

Row = tuple[str, str, str, "Change | None"]
"""What it is, the SKU, where it stands and what to know; the new value where there is one."""


def write_fresh(page: Page, row: int, fresh: Fresh) -> None:
    """Write what a price file changed, and which SKUs only one of the two files has.

    Args:
        page: The sheet.
        row: Of the heading.
        fresh: What it changed.
    """
    page.text(row, 0, "Price file", "heading")
    page.text(row + 1, 0, _summary(fresh), "quiet")
    rows = list(_rows(fresh))
    if not rows:
        return
    table = Table(page, TABLE, row + 2, plain_columns(HEADERS, frozenset(("Before", "Now"))), len(rows), filtered=False)
    table.make()
    page.print_up_to(row + 2 + sum(what not in {KEPT, MORE} for what, *_ in rows), PRINTED)
    for at, (what, sku, where, change) in enumerate(rows, start=table.first):
        header = change.header if change else ""
        for column, words in ((WHAT, what), (SKU, sku), (COLUMN, header), (WHERE, where)):
            page.text(at, column, words)
        values = (change.before, change.after) if change else (None, None)
        for column, value in zip((BEFORE, NOW), values, strict=True):
            _write_value(page, at, column, value, money=bool(change and change.money))


def _summary(fresh: Fresh) -> str:
    """What came of it, in one line."""
    changes = counted(len(fresh.changes), "new value")
    costs = len(fresh.changed(COST))
    hidden = f", of which {counted(costs, 'cost is', 'costs are')} not listed here" if costs else ""
    return f"{fresh.name} names {counted(fresh.named, 'product')} of the list and gives {changes}{hidden}."


def _rows(fresh: Fresh) -> Iterator[Row]:
    for change in fresh.changes:
        if change.field != COST:
            yield "new value", change.sku, str(change.at), change
    for one in fresh.unknown[:MOST]:
        near = f"; perhaps {' or '.join(one.near)} is meant" if one.near else ""
        yield "left out", one.sku, f"{one.at}: the list does not have this SKU{near}", None
    for sku in fresh.missing[:MOST]:
        yield KEPT, sku, "not named in the price file: every value stays", None
    unlisted = max(len(fresh.unknown) - MOST, 0) + max(len(fresh.missing) - MOST, 0)
    if unlisted:
        yield MORE, "", f"{counted(unlisted, 'SKU')} more that only one of the two has: see results.json", None


def _write_value(page: Page, row: int, column: int, value: int | None, *, money: bool) -> None:
    if value is None:
        page.blank(row, column, "right")
    elif money:
        page.money(row, column, value)
    elif isinstance(value, bool):
        page.text(row, column, "yes" if value else "no", "right")
    else:
        page.number(row, column, value, "whole")
