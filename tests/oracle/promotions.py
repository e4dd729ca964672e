"""Promotions by brute force: every system with every choice of accessories, its money to the cent, one stock for all.

A bundle is a complete system in which nothing is left over: every lead and every unit of cable connects something, or
it alone meets a term of the brief. Written from the words of the sheet, with fractions, and no code of the tool's.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import (
    Aerial,
    Amplifier,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    PowerKit,
    SignalLead,
    Speaker,
    SpeakerCable,
    Subwoofer,
)  # fmt: skip
from budgetbuild.catalogue.kinds import Location, Work
from budgetbuild.catalogue.names import fold
from tests.oracle import rules
from tests.oracle.choices import Chosen, Shop, Source, Usage, amplifications, brand_points, sources
from tests.oracle.enumerate import Driven, Workshop, located

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.promotion import DiscountCeiling, Promotion
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

Lines = dict[tuple[str, str], int]
"""Pieces by what the line is for and the SKU."""

LAST = "\U0010ffff"
"""Sorts after every SKU: of two lists that begin alike the one with more pieces comes first."""

SAME_WORD = {
    HeadUnit: "head unit", Converter: "converter", Aerial: "aerial", Subwoofer: "bass", Box: "box",
    Amplifier: "amplifier", PowerKit: "power kit", SignalLead: "signal lead", SpeakerCable: "speaker cable",
    Deadening: "deadening",
}  # fmt: skip
"""What a product's line is for, where its kind says so."""


@dataclass(frozen=True)
class System:
    """One complete system: points in thousandths, list total in cents with the labour in it."""

    points: int
    listed: int
    lines: tuple[tuple[tuple[str, str], int], ...]

    @property
    def pieces(self) -> Counter[str]:
        """Pieces of each product."""
        found: Counter[str] = Counter()
        for (_, sku), count in self.lines:
            found[sku] += count
        return found

    @property
    def skus(self) -> tuple[str, ...]:
        """Every piece, sorted."""
        return tuple(sorted(self.pieces.elements()))


class TooManyError(Exception):
    """There are more systems than are worth trying."""


def every_system(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, most: int) -> list[System]:
    """Each complete system once, whatever it costs.

    Raises:
        TooManyError: There are more ways to put one together than so many.
    """
    work = Workshop(Shop(catalogue, brief, vehicle))
    best: dict[tuple[tuple[tuple[str, str], int], ...], System] = {}
    for number, system in enumerate(_every(work)):
        if number == most:
            raise TooManyError
        known = best.get(system.lines)
        if known is None or system.points > known.points:
            best[system.lines] = system
    return list(best.values())


def _every(work: Workshop) -> Iterator[System]:
    shop, products = work.shop, work.shop.catalogue.by_sku()
    fitting = shop.labour(Work.AMPLIFIER)
    for usages in amplifications(shop):
        for source in sources(shop):
            for driven in located(work, usages, source, lambda _, __: False):
                pairs = sum(d.slot is not None or d.filling.powered is not None for d in driven)
                if pairs > source.pairs or (source.converter is not None and source.converter != (pairs > 0)):
                    continue
                brands = {d.filling.location: d.filling.brand for d in driven}
                extra = brand_points(shop, brands, (usage.amplifier for usage in usages))
                if extra is None:
                    continue
                base = Counter(_lines(source, usages, driven, products))
                points = extra + source.chosen.points + sum(d.points for d in driven)
                labour = _labour([source.chosen, *(d.filling.chosen for d in driven)], products)
                labour += fitting * len(usages)
                for treatment, (wiring, spare) in product(work.treatments, _wirings(work, usages, driven, pairs)):
                    lines = base + Counter(wiring) + Counter(("deadening", sku) for sku in treatment.skus)
                    if _nothing_left_over(shop, lines, pairs, spare, products):
                        listed = sum(products[sku].price * count for (_, sku), count in lines.items())
                        listed += labour + _labour([treatment], products)
                        yield System(points + treatment.points, listed, tuple(sorted(lines.items())))


def _labour(chosen: Iterable[Chosen], products: Mapping[str, Product]) -> int:
    """What is in the price beside the products."""
    return sum(one.cost - sum(products[sku].price for sku in one.skus) for one in chosen)


def _lines(
    source: Source, usages: Sequence[Usage], driven: Sequence[Driven], products: Mapping[str, Product]
) -> Iterator[tuple[str, str]]:
    for sku in source.chosen.skus:
        yield ("fitting kit" if isinstance(products[sku], FittingKit) else SAME_WORD[type(products[sku])]), sku
    for d in driven:
        for sku in d.filling.chosen.skus:
            one, where = products[sku], d.filling.location.value
            if isinstance(one, Speaker):
                yield where, sku
            else:
                yield (f"{where} adapter" if isinstance(one, FittingKit) else SAME_WORD[type(one)]), sku
    for usage in usages:
        yield "amplifier", usage.amplifier.sku


Wiring = tuple[tuple[str, str], ...]
"""Lines of accessories, with repeats of what is taken several times."""
Spare = tuple[str, ...]
"""Cables that connect nothing."""


def _wirings(
    work: Workshop, usages: Sequence[Usage], driven: Sequence[Driven], pairs: int
) -> list[tuple[Wiring, Spare]]:
    """Every choice of leads, power kits and speaker cable."""
    shop = work.shop
    limits = shop.catalogue.settings.limits
    currents = [
        rules.amplifier_current(usage.amplifier, (d.watt for d in driven if d.slot == slot), limits)
        for slot, usage in enumerate(usages)
    ]
    currents += [rules.powered_current(d.filling.powered, limits) for d in driven if d.filling.powered is not None]
    runs = tuple((d.filling.location, d.filling.ohm) for d in driven if d.slot is not None and d.filling.ohm)
    need = ("every", pairs, tuple(sorted(currents)), runs)
    if need not in work.cache:
        every = product(_leads(shop, pairs), _kits(shop, sorted(currents)), _cables(shop, runs))
        found = {(tuple(sorted((*leads, *kits, *cables))), spare) for leads, kits, (cables, spare) in every}
        work.cache[need] = sorted(found)  # type: ignore[assignment]
    return work.cache[need]  # type: ignore[return-value]


def _leads(shop: Shop, pairs: int) -> Iterator[Wiring]:
    run = rules.lead_run_m(shop.brief.head_unit, shop.vehicle, shop.catalogue.settings.limits)
    useful = [p for p in shop.offered(shop.catalogue.signal_leads) if rules.at_most(run, p.length_m)]
    for counts in product(*(range(math.ceil(2 * pairs / lead.channels) + 2) for lead in useful)):
        if sum(lead.channels * n for lead, n in zip(useful, counts, strict=True)) >= 2 * pairs:
            yield tuple(("signal lead", p.sku) for p, n in zip(useful, counts, strict=True) for _ in range(n))


def _kits(shop: Shop, currents: Sequence[float]) -> Iterator[Wiring]:
    limits = shop.catalogue.settings.limits
    kits = [(k, rules.kit_capacity(k, shop.vehicle, limits)) for k in shop.offered(shop.catalogue.power_kits)]
    if not currents:
        yield ()
    for kit, carries in kits if len(currents) > 1 else ():
        if kit.amplifiers_fed >= len(currents) and rules.at_most(sum(currents), carries):
            yield (("power kit", kit.sku),)
    for each in product(kits, repeat=len(currents)) if currents else ():
        if all(rules.at_most(amps, carries) for amps, (_, carries) in zip(currents, each, strict=True)):
            yield tuple(("power kit", kit.sku) for kit, _ in each)


def _units(shop: Shop, cable: SpeakerCable, locations: Iterable[Location]) -> int:
    limits = shop.catalogue.settings.limits
    metres = sum((rules.cable_metres(location, shop.vehicle, limits) for location in locations), Fraction(0))
    return math.ceil(metres / rules.exact(cable.metres_per_unit))


def _cables(shop: Shop, runs: Sequence[tuple[Location, Fraction]]) -> Iterator[tuple[Wiring, Spare]]:
    limits = shop.catalogue.settings.limits
    offered = shop.offered(shop.catalogue.speaker_cables)
    fitting = [
        [c for c in offered if rules.cable_allowed(c, rules.cable_run_m(at, shop.vehicle, limits), ohm, limits)]
        for at, ohm in runs
    ]
    for serving in product(*fitting):
        where: dict[str, list[Location]] = {}
        for (at, _), cable in zip(runs, serving, strict=True):
            where.setdefault(cable.sku, []).append(at)
        bought = [("speaker cable", c.sku) for c in offered for _ in range(_units(shop, c, where.get(c.sku, [])))]
        asked = [c.sku for c in offered if shop.terms(c) and c.sku not in where]
        for extra in product((False, True), repeat=len(asked)):
            spare = tuple(sku for sku, wanted in zip(asked, extra, strict=True) if wanted)
            yield (*bought, *(("speaker cable", sku) for sku in spare)), spare


def _nothing_left_over(shop: Shop, lines: Lines, pairs: int, cables: Spare, products: Mapping[str, Product]) -> bool:
    """Every term of the brief is met, and what connects nothing alone meets one."""
    bought = {sku for _, sku in lines}
    wanted = (1 << len(shop.brief.must_include)) - 1
    if shop.terms(*(products[sku] for sku in bought)) != wanted:
        return False
    spare = list(cables)
    leads = [(lead, n) for (_, sku), n in lines.items() if isinstance(lead := products[sku], SignalLead)]
    channels = sum(lead.channels * count for lead, count in leads)
    for lead, count in leads:
        if channels - lead.channels >= 2 * pairs:
            if count > 1:
                return False
            spare.append(lead.sku)
    return all(
        shop.terms(products[sku]) & ~shop.terms(*(products[other] for other in bought if other != sku)) for sku in spare
    )


@dataclass(frozen=True)
class Money:
    """What a system comes to under a promotion; `margin` is `None` where margins do not count."""

    margin: int | None
    revenue: Fraction
    room: int


def half_up(number: Fraction) -> int:
    """The nearest whole number, halves upwards."""
    return math.floor(number + Fraction(1, 2))


def net(gross: int, rate: Fraction) -> int:
    """An amount without the tax in it."""
    return half_up(gross * rate.denominator / Fraction(rate.denominator + rate.numerator))


def money_of(catalogue: Catalogue, promotion: Promotion, system: System, *, counts: bool) -> Money:
    """Margin, revenue and room for a discount of one set."""
    products, rate = catalogue.by_sku(), catalogue.settings.tax_rate
    totals = [(word, products[sku], products[sku].price * count) for (word, sku), count in system.lines]
    room = sum(math.floor(total * ceiling(catalogue.discounts, promotion, word, one)) for word, one, total in totals)
    if not counts or rate is None:
        return Money(None, Fraction(0), room)
    sold = promotion.price if promotion.price is not None else system.listed
    revenue = sum(net(total, rate) for *_, total in totals) - net(system.listed - sold, rate)
    cost = sum((products[sku].cost or 0) * count for (_, sku), count in system.lines)
    return Money(revenue - cost, Fraction(revenue), room)


def ceiling(ceilings: Iterable[DiscountCeiling], promotion: Promotion, word: str, one: Product) -> Fraction:
    """The ceiling of a line: of its SKU; else the lower of its kind's and its brand's; else of all; else none."""
    own = {fold(c.about): c.most for c in ceilings if fold(promotion.name) in map(fold, c.promotions)}
    said = {fold(c.about): c.most for c in ceilings if not c.promotions} | own
    if fold(one.sku) in said:
        return said[fold(one.sku)]
    kinds = [word, "adapter" if word.endswith("adapter") else word, "speakers" if word in {"front", "rear"} else word]
    found = [said[name] for name in (*kinds, fold(one.brand)) if name and name in said]
    return min(found) if found else said.get("all", Fraction(1))


@dataclass(frozen=True)
class Offered:
    """A system that meets a promotion's terms, and its money."""

    system: System
    money: Money

    @property
    def key(self) -> tuple[int, int, int, tuple[str, ...]]:
        """Smallest best."""
        return -self.system.points, -(self.money.margin or 0), self.system.listed, self.system.skus


def offered(
    catalogue: Catalogue,
    promotion: Promotion,
    systems: Iterable[System],
    *,
    counts: bool,
    without: Collection[str] = (),
) -> list[Offered]:
    """Every bundle that a promotion allows.

    Args:
        catalogue: With stock, cost and ceilings.
        promotion: Its terms.
        systems: Every system of its brief.
        counts: Whether margins count: then a product without a cost takes no part.
        without: Which of the terms do not hold, of `stock`, `floor`, `ceiling`, `clear` and `tier`.
    """
    tier = next((one for one in catalogue.tiers if fold(one.name) == fold(promotion.tier)), None)
    cap = tier.cap if tier and "tier" not in without else None
    found = []
    for system in systems:
        if not system.lines or not _takes_part(catalogue, promotion, system, counts=counts, without=without):
            continue
        money = money_of(catalogue, promotion, system, counts=counts)
        if cap is not None and system.listed > cap:
            continue
        if promotion.price is not None and not _discounted(catalogue, promotion, system, money, without):
            continue
        if "floor" in without or _enough(promotion, money):
            found.append(Offered(system, money))
    return found


def _takes_part(
    catalogue: Catalogue, promotion: Promotion, system: System, *, counts: bool, without: Collection[str]
) -> bool:
    """Whether every cost is known that counts, the stock covers the sets, and enough is cleared."""
    products, pieces = catalogue.by_sku(), system.pieces
    if counts and any(products[sku].cost is None for sku in pieces):
        return False
    stock = {sku: there for sku in pieces if (there := products[sku].stock) is not None}
    if "stock" not in without and any(pieces[sku] * promotion.sets > there for sku, there in stock.items()):
        return False
    wanted = {fold(sku) for sku in promotion.clear}
    return "clear" in without or sum(fold(sku) in wanted for sku in pieces) >= promotion.clear_least


def _discounted(
    catalogue: Catalogue, promotion: Promotion, system: System, money: Money, without: Collection[str]
) -> bool:
    """Whether what is taken off the list finds room; without ceilings the parts may go for nothing, labour never."""
    products = catalogue.by_sku()
    parts = sum(products[sku].price * count for (_, sku), count in system.lines)
    room = parts if "ceiling" in without else money.room
    return 0 <= system.listed - (promotion.price or 0) <= room


def _enough(promotion: Promotion, money: Money) -> bool:
    if money.margin is None:
        return True
    if promotion.floor is not None and money.margin < promotion.floor:
        return False
    return promotion.floor_share is None or money.margin >= promotion.floor_share * money.revenue


def undominated(bundles: Iterable[Offered]) -> list[tuple[int, int]]:
    """Score and margin of every bundle that none beats in both, best score first."""
    found: list[tuple[int, int]] = []
    for points, margin in sorted({(-b.system.points, -(b.money.margin or 0)) for b in bundles}):
        if not found or -margin > found[-1][1]:
            found.append((-points, -margin))
    return found


def together(catalogue: Catalogue, wanted: Sequence[tuple[Promotion, Sequence[Offered]]]) -> list[Offered] | None:
    """The best bundles of several promotions out of one stock; `None` where they are not possible together."""
    products = catalogue.by_sku()
    best: tuple[tuple[object, ...], list[Offered]] | None = None
    for some in product(*(_distinct(bundles) for _, bundles in wanted)):
        taken: Counter[str] = Counter()
        for (promotion, _), one in zip(wanted, some, strict=True):
            for sku, count in one.system.pieces.items():
                taken[sku] += promotion.sets * count
        if any((there := products[sku].stock) is not None and count > there for sku, count in taken.items()):
            continue
        sets = [promotion.sets for promotion, _ in wanted]
        figures = (
            sum(n * figure for n, figure in zip(sets, each, strict=True))
            for each in zip(*(one.key[:3] for one in some), strict=True)
        )
        key = (*figures, (*sorted(sku for one in some for sku in one.system.skus), LAST))
        if best is None or key < best[0]:
            best = key, list(some)
    return None if best is None else best[1]


def _distinct(bundles: Sequence[Offered]) -> list[Offered]:
    """One of each set of pieces that may run short: the best; in an order that finds good ones early."""
    best: dict[tuple[tuple[str, int], ...], Offered] = {}
    for one in sorted(bundles, key=lambda bundle: bundle.key):
        best.setdefault(tuple(sorted(one.system.pieces.items())), one)
    return list(best.values())
