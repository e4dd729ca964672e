"""What must hold of promotions and their discount ceilings: names that exist, one price, a bound on what is given."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.checks import Finding, Shop, names_in, unknown_name
from budgetbuild.catalogue.meant import vehicles_of
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.promotion import Discounted, discounted
from budgetbuild.faults import Fault

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from budgetbuild.catalogue.rows import Row

FLOORS = ("floor_share", "floor")


def check_one_price(shop: Shop) -> Iterator[Finding]:
    """A promotion is sold within a tier, or at a price of its own: one of the two."""
    for row in shop.of("promotions"):
        if row.filled("tier") and row.filled("price"):
            expected = "Bundle price: blank where a Tier is named"
            yield row, row.fault("price", "two-prices", expected, "clear one of the two")
        elif not row.filled("tier") and not row.filled("price"):
            field = "price" if "price" in row.table.columns else "tier"
            expected = "a Tier to sell it in, or a Bundle price"
            yield row, row.fault(field, "missing-value", expected, "fill in one of the two")


def check_promotion_names(shop: Shop) -> Iterator[Finding]:
    """A promotion names a brief for one vehicle, and a tier where it has one."""
    briefs = {fold(str(brief.get("name"))): brief for brief in shop.of("briefs") if brief.get("name")}
    known, tiers = names_in(shop.of("briefs"), "name"), names_in(shop.of("tiers"), "name")
    for row in shop.of("promotions"):
        brief, tier = row.get("brief"), row.get("tier")
        if brief and fold(brief) not in known:
            yield unknown_name(row, "brief", brief, known.values())
        elif brief and len(vehicles_of(briefs[fold(brief)])) > 1:
            expected = "Brief: one for one vehicle, so that the bundle fits it"
            yield row, row.fault("brief", "several-vehicles", expected, "name a brief for one vehicle")
        if tier and fold(tier) not in tiers:
            yield unknown_name(row, "tier", tier, tiers.values())


def check_clearance(shop: Shop) -> Iterator[Finding]:
    """What must be cleared is on offer, and as many products are named as must be in."""
    offered = names_in(shop.offered(), "sku") if shop.of("promotions") else {}
    for row in shop.of("promotions"):
        wanted = tuple(dict.fromkeys(fold(sku) for sku in row.get("clear") or ()))
        for sku in row.get("clear") or ():
            if fold(sku) not in shop.skus:
                yield unknown_name(row, "clear", sku, shop.skus.values())
            elif fold(sku) not in offered:
                mend = "set its Active to yes and rate it, or take it out here"
                yield row, Fault(row.at("clear"), "never-offered", f'"{sku}"', "Must clear: products on offer", mend)
        least = row.get("clear_least")
        if least and not row.filled("clear"):
            expected = "Clear at least: blank where Must clear is"
            yield row, row.fault("clear_least", "nothing-to-clear", expected, "name the SKUs under Must clear")
        elif least and wanted and least > len(wanted):
            expected = f"Clear at least: at most {len(wanted)}, the number of SKUs under Must clear"
            yield row, row.fault("clear_least", "too-many-to-clear", expected, "lower it, or name more SKUs")


def check_floors(shop: Shop) -> Iterator[Finding]:
    """A floor can be reckoned: there is a tax rate, and some product has a cost."""
    costed = any(row.get("cost") is not None for row in shop.products())
    for row in shop.of("promotions"):
        asked = next((field for field in FLOORS if row.get(field) is not None), None)
        if asked is None:
            continue
        if "tax_rate" not in shop.settings.cells:
            mend = "add the setting, 0 where the shop charges none, or clear the floor"
            yield row, row.fault(asked, "no-tax-rate", "a Tax rate in Settings, to reckon the margin", mend)
        if not costed:
            mend = "fill in Cost, or clear the floor"
            yield row, row.fault(asked, "no-costs", "products with a Cost, to reckon the margin", mend)


def check_bounded(shop: Shop) -> Iterator[Finding]:
    """A bundle price has something that bounds what the shop gives away: a floor, or a ceiling for all parts."""
    for row in shop.of("promotions"):
        if row.get("price") is None or any(row.filled(field) for field in FLOORS):
            continue
        if not any(_for_all(one, str(row.get("name") or "")) for one in shop.of("discounts")):
            expected = "a margin floor, or a row in Discounts for all parts"
            mend = "write the least margin, 0 where no set may be sold at a loss, or the most discount on all parts"
            yield row, row.fault("price", "unbounded-discount", expected, mend)


def _for_all(ceiling: Row, promotion: str) -> bool:
    """Whether a ceiling is for all parts of a promotion, or cannot be read."""
    about, named = ceiling.get("about"), ceiling.get("promotions") or ()
    kind = discounted(about) if about else None
    return (about is None or kind is Discounted.ALL) and (not named or fold(promotion) in map(fold, named))


def check_discount_names(shop: Shop) -> Iterator[Finding]:
    """A ceiling names promotions, and parts that the workbook has; about the same parts there is one."""
    promotions = names_in(shop.of("promotions"), "name")
    first: dict[tuple[str, str], Row] = {}
    for row in shop.of("discounts"):
        for name in row.get("promotions") or ():
            if fold(name) not in promotions:
                yield unknown_name(row, "promotions", name, promotions.values())
        about = row.get("about")
        if not about:
            continue
        kind = discounted(about)
        if kind is None and fold(about) not in shop.product_names:
            yield unknown_name(row, "about", about, [*map(str, Discounted), *shop.product_names.values()])
        for name in row.get("promotions") or ("",):
            before = first.setdefault((fold(name), str(kind or fold(about))), row)
            if before is not row:
                mend = f"it is also at {before.at('about')}; change or delete one of the two"
                yield row, row.fault("about", "duplicate-name", "For: each only once for a promotion", mend)
                break


CHECKS: tuple[Callable[[Shop], Iterator[Finding]], ...] = (
    check_one_price,
    check_promotion_names,
    check_clearance,
    check_floors,
    check_bounded,
    check_discount_names,
)


def check_promotions(shop: Shop) -> None:
    """Note everything that is wrong with promotions and discount ceilings, each with its row."""
    for check in CHECKS:
        for row, fault in check(shop):
            row.faults.append(fault)
