"""Promotions recomputed from the catalogue's rows: price, discount, margin, clearance, and one stock for all."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.audit.case import Notes
from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Role
from budgetbuild.catalogue.names import fold
from budgetbuild.trade.figures import half_up
from budgetbuild.trade.promotion import ceiling, ceilings_of, room

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from budgetbuild.build import Audited, Check, Sale
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.promotion import Promotion
    from budgetbuild.catalogue.shop import Catalogue, Tier

SHEET = "the sheet Promotions"
CEILINGS = "the sheet Discounts; each line's ceiling rounded down to a cent"
BY_LINE = "each line without tax rounded half up to a cent, the discount's line like any other; labour not counted"
STOCK = "stock in the catalogue, all promotions together"


class Tally(NamedTuple):
    """What a bundle comes to by the rows of the catalogue, in cents; `net` and `cost` only where all is known."""

    listed: int
    labour: int
    net: int | None
    cost: int | None
    room: int


def check_bundle(catalogue: Catalogue, promotion: Promotion, audited: Audited, sale: Sale) -> tuple[Check, ...]:
    """Check a bundle against its promotion, stock apart.

    Raises:
        AuditRefusedError: A check fails, or a figure is another by the rows of the catalogue.
    """
    notes = Notes()
    tier = next((one for one in catalogue.tiers if promotion.tier and fold(one.name) == fold(promotion.tier)), None)
    tally = _tally(catalogue, promotion, audited)
    _price(notes, catalogue, promotion, tier, sale.price, tally)
    if sale.margin is not None or promotion.has_floor:
        _margin(notes, catalogue, promotion, sale, tally)
    if promotion.clear:
        wanted = {fold(sku) for sku in promotion.clear}
        found = {fold(part.sku) for part in audited.system.parts} & wanted
        limit = f"at least {promotion.clear_least}"
        notes.check("Products to clear", "", len(found), limit, ok=len(found) >= promotion.clear_least, source=SHEET)
    checks = _unrefused(promotion.name, notes)
    _same_sums(promotion, sale, tally)
    return checks


def _tally(catalogue: Catalogue, promotion: Promotion, audited: Audited) -> Tally:
    products, ceilings = catalogue.by_sku(), ceilings_of(catalogue.discounts, promotion.name)
    lines = [(part, products[part.sku], products[part.sku].price * part.quantity) for part in audited.system.parts]
    rate = catalogue.settings.tax_rate
    costs = [product.cost * part.quantity for part, product, _ in lines if product.cost is not None]
    known = len(costs) == len(lines)
    labour = sum(line.line_total for line in audited.lines if line.role is Role.LABOUR)
    return Tally(
        sum(total for *_, total in lines) + labour,
        labour,
        None if rate is None or not known else sum(_net(total, rate) for *_, total in lines),
        sum(costs) if known else None,
        sum(room(total, ceiling(ceilings, part.role, product)) for part, product, total in lines),
    )


def _same_sums(promotion: Promotion, sale: Sale, tally: Tally) -> None:
    """What is printed beside the price is what the rows come to."""
    proposed = sale.list_total, sale.labour, sale.room
    found = tally.listed, tally.labour, tally.room
    if proposed != found:
        raise AuditRefusedError(
            f"{promotion.name}: list total, labour and room {proposed} as proposed, {found} by the audit"
        )


def _net(gross: int, rate: Fraction) -> int:
    return half_up(Fraction(gross) / (1 + rate))


def _price(
    notes: Notes, catalogue: Catalogue, promotion: Promotion, tier: Tier | None, price: int, tally: Tally
) -> None:
    currency = catalogue.settings.currency
    asked = tally.listed if promotion.price is None else promotion.price
    notes.check("Price of the bundle", "", _money(price), _money(asked), ok=price == asked, unit=currency, source=SHEET)
    if tier:
        notes.check(
            "List total within the tier",
            tier.name,
            _money(tally.listed),
            f"at most {_money(tier.cap)}",
            ok=tally.listed <= tier.cap,
            unit=currency,
            source="budget x (1 + allowance)",
        )
    if promotion.price is not None:
        discount = tally.listed - price
        notes.check(
            "List total reaches the price",
            "",
            _money(tally.listed),
            f"at least {_money(price)}",
            ok=discount >= 0,
            unit=currency,
            source="a bundle is sold for no more than its parts",
        )
        notes.check(
            "Discount under the ceilings",
            "",
            _money(discount),
            f"at most {_money(tally.room)}",
            ok=discount <= tally.room,
            unit=currency,
            source=CEILINGS,
        )


def _margin(notes: Notes, catalogue: Catalogue, promotion: Promotion, sale: Sale, tally: Tally) -> None:
    currency, rate = catalogue.settings.currency, catalogue.settings.tax_rate
    known = tally.net is not None and tally.cost is not None and rate is not None
    notes.check("Every cost is known", "", "yes" if known else "no", "yes", ok=known, source="the catalogue")
    if tally.net is None or tally.cost is None or rate is None:
        return
    revenue = tally.net - _net(tally.listed - sale.price, rate)
    margin = revenue - tally.cost
    same = sale.margin == margin and sale.revenue == revenue
    limit = "as stated" if promotion.floor is None else f"at least {_money(promotion.floor)}"
    enough = promotion.floor is None or margin >= promotion.floor
    notes.check("Margin of a set", "", _money(margin), limit, ok=same and enough, unit=currency, source=BY_LINE)
    share = promotion.floor_share
    if share is not None:
        notes.check(
            "Margin as a share of the parts' revenue without tax",
            "",
            round(100 * margin / revenue, 2) if revenue else 0.0,
            f"at least {float(100 * share):g}",
            ok=margin >= share * revenue,
            unit="%",
            source=BY_LINE,
        )


def check_stock(catalogue: Catalogue, bundles: Iterable[tuple[Promotion, Audited]]) -> tuple[Check, ...]:
    """Check that all sets of all promotions find their pieces in one stock.

    Raises:
        AuditRefusedError: They do not.
    """
    notes, taken = Notes(), Counter[str]()
    for promotion, audited in bundles:
        for part in audited.system.parts:
            taken[part.sku] += part.quantity * promotion.sets
    products: Mapping[str, Product] = catalogue.by_sku()
    for sku, count in sorted(taken.items()):
        there = products[sku].stock
        if there is not None:
            limit = f"at most {there}"
            notes.check("Pieces for all promotions", sku, count, limit, ok=count <= there, unit="pieces", source=STOCK)
    return _unrefused("promotions", notes)


def _money(cents: int) -> str:
    return f"{cents / 100:.2f}"


def _unrefused(name: str, notes: Notes) -> tuple[Check, ...]:
    failed: Sequence[Check] = [check for check in notes.checks if not check.ok]
    if failed:
        told = "; ".join(f"{check.rule} {check.subject}: {check.figure}, {check.limit}" for check in failed)
        raise AuditRefusedError(f"{name}: {told}")
    return tuple(notes.checks)
