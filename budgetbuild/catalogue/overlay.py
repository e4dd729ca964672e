"""Lays fresh prices and stock over the rows of a catalogue, before anything is checked.

So the checks are those of what is sold today, and a fault in the price file matters where its product does.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.columns import PRODUCT_SHEETS
from budgetbuild.catalogue.fresh import Change, Fresh, Stranger
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.parse import YES
from budgetbuild.catalogue.price_file import PRICES
from budgetbuild.catalogue.rows import parse_rows
from budgetbuild.catalogue.schema import Kind, key
from budgetbuild.faults import Cell, Fault, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.price_file import PriceFile
    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.schema import Column
    from budgetbuild.catalogue.usage import RowsBySheet

NOT_OURS = "left out, for the catalogue does not have this SKU; "


@dataclass(frozen=True, slots=True)
class Laid:
    """What laying a price file over a catalogue did.

    Attributes:
        faults: What is wrong with the price file, but for what went into the products' rows.
    """

    fresh: Fresh
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class _Given:
    """What a price file says of one SKU: its first row, and any others, which make it unclear."""

    first: Row
    others: list[Row]


def lay_over(rows: RowsBySheet, prices: PriceFile, currency: str) -> Laid:
    """Put the values of a price file in the place of the catalogue's; a fault of a value goes into its product's row.

    Args:
        rows: Of the catalogue; those of products are changed.
        prices: The price file.
        currency: Code of the shop's currency.
    """
    products = [row for sheet in PRODUCT_SHEETS for row in rows.get(sheet.field, []) if row.get("sku")]
    given, nameless = _by_sku(prices, currency)
    ours = {fold(row.get("sku")) for row in products}
    missing = dict.fromkeys(row.get("sku") for row in products if fold(row.get("sku")) not in given)
    strangers = {folded: one for folded, one in given.items() if folded not in ours}
    fresh = Fresh(
        name=prices.name,
        sha256=prices.sha256,
        named=len(given.keys() & ours),
        changes=tuple(change for row in products for change in _renewed(row, given.get(fold(row.get("sku"))))),
        unknown=tuple(_strangers(strangers, products)),
        missing=tuple(missing),
    )
    stopping = [_wrong_file(prices.name, fresh)] if given and ours and not fresh.named else []
    return Laid(fresh, (*prices.faults, *nameless, *_lessened(strangers), *stopping))


def _by_sku(prices: PriceFile, currency: str) -> tuple[dict[str, _Given], list[Fault]]:
    """What the price file says, by folded SKU, and what is wrong with rows that have none."""
    given: dict[str, _Given] = {}
    nameless: list[Fault] = []
    for table in prices.tables:
        for row in parse_rows(table, currency) if table.sound else ():
            if not row.get("sku"):
                nameless += row.faults
                continue
            known = given.setdefault(fold(row.get("sku")), _Given(row, []))
            if known.first is not row:
                known.others.append(row)
    return given, nameless


def _renewed(product: Row, given: _Given | None) -> Iterator[Change]:
    """Tell a product's row what the price file says of it; every value that is another one."""
    if given is None:
        return
    product.faults.extend(_doubled(given))
    for column in PRICES.columns[1:]:
        name, where = column.field, given.first.at(column.field)
        if name in given.first.spoilt:
            product.spoil(name, where, [fault for fault in given.first.faults if fault.at == where])
        elif name in given.first.values:
            before, after = _before(product, column), given.first.get(name)
            if name in product.spoilt or before != after:
                product.tell(name, after, where)
                yield Change(
                    at=where,
                    sku=product.get("sku"),
                    field=name,
                    header=column.header,
                    money=column.kind is Kind.MONEY,
                    before=before,
                    after=after,
                )


def _before(product: Row, column: Column) -> int | None:
    """What the catalogue says; a blank yes or no is what its declaration says of a blank."""
    value: int | None = product.get(column.field)
    if value is None and column.kind is Kind.YES_NO and column.field not in product.spoilt:
        declared = product.table.sheet.column(column.field).blank
        return key(declared) in YES
    return value


def _doubled(given: _Given) -> Iterator[Fault]:
    """A SKU that stands twice in the price file: nobody can tell which row is meant."""
    for row in given.others:
        mend = f"it is also at {given.first.at('sku')}; delete one of the two"
        yield row.fault("sku", "duplicate-sku", "SKU: each only once", mend)


def _strangers(given: dict[str, _Given], products: list[Row]) -> Iterator[Stranger]:
    """SKUs that the catalogue does not have, with those that look almost the same."""
    alike: dict[str, list[str]] = {}
    for product in products if given else ():
        alike.setdefault(_bare(product.get("sku")), []).append(product.get("sku"))
    for one in given.values():
        sku = one.first.get("sku")
        yield Stranger(at=one.first.at("sku"), sku=sku, near=tuple(alike.get(_bare(sku), ())))


def _bare(sku: str) -> str:
    """A SKU as a spreadsheet may have left it: without leading zeros and punctuation.

    >>> _bare("00-123"), _bare("123")
    ('123', '123')
    """
    return key(sku).lstrip("0")


def _lessened(given: dict[str, _Given]) -> Iterator[Fault]:
    """What is wrong with rows whose SKU the catalogue does not have, as warnings."""
    for one in given.values():
        for fault in (*one.first.faults, *_doubled(one)):
            yield replace(fault, severity=Severity.WARNING, mend=f"{NOT_OURS}{fault.mend}")


def _wrong_file(name: str, fresh: Fresh) -> Fault:
    """A price file that names no product of the catalogue."""
    first = fresh.unknown[0]
    near = f"; is {first.sku} {' or '.join(first.near)}? Leading zeros count" if first.near else ""
    return Fault(
        Cell(file=name),
        "no-known-sku",
        f"{len(fresh.unknown)} SKUs, of which the catalogue has none",
        "SKUs of the catalogue",
        f"check that it is the right file, and that its SKUs are written as in the catalogue{near}",
    )
