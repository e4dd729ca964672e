"""Tiny random catalogues with costs, stock, ceilings and promotions, small enough to try every bundle."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from typing import Any

from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, Want, Work
from budgetbuild.catalogue.promotion import DiscountCeiling, Promotion
from budgetbuild.catalogue.shop import Brief, Catalogue, Settings, Tier, Vehicle
from tests.oracle.knobs import Knobs
from tests.oracle.products import NAME, Maker
from tests.oracle.promotions import System, TooManyError, every_system, money_of

BRIEFS = 6
"""So many briefs are drawn before another catalogue is."""
POSSIBLE = 0.85
"""Share of the promotions that some system is made to meet in stock, and likewise in what is to be cleared."""
RATES = tuple(Fraction(rate) for rate in ("0.21", "0.25", "0.2", "0.081", "0", "0.5", "0.19"))
"""Of tax; 0.5 and 0.25 leave exact halves of a cent, 0.081 the finest fractions."""

TINY = Knobs(
    modes=("replace", "keep factory", "keep own"),
    wants=((7, 3, 0), (1, 3, 4), (3, 4, 2), (2, 5, 1), (1, 4, 3)),
    inactive=0.0,
    unknown=0.6,
    brands=3,
    sizes=False,
    must=0.0,
)


@dataclass(frozen=True)
class Instance:
    """A catalogue with its promotions, and every system of each one's brief."""

    catalogue: Catalogue
    vehicle: Vehicle
    systems: tuple[tuple[System, ...], ...]


def instance(seed: int, promotions: int = 1, most: int = 6000) -> Instance:
    """A small instance: one seed, one instance, on every machine.

    Args:
        seed: Any whole number.
        promotions: How many promotions.
        most: Ways to put a system of a brief together at most, so that trying them all takes no time.
    """
    rng = random.Random(f"promotions/{seed}/{promotions}")  # noqa: S311 - test data, no secrets
    while True:
        maker = Maker(rng, TINY)
        catalogue, vehicle = _catalogue(maker), maker.vehicle()
        drawn = [_possible(maker, catalogue, vehicle, f"brief {number}", most) for number in range(promotions)]
        if all(drawn):
            break
    briefs, systems = zip(*(one for one in drawn if one), strict=True)
    catalogue = replace(catalogue, vehicles=(vehicle,), briefs=briefs)
    near = [rng.choice(some) for some in systems]
    named = [_promotion(rng, catalogue, brief, one) for brief, one in zip(briefs, near, strict=True)]
    pieces: Counter[str] = Counter()
    for one, (promotion, _) in zip(near, named, strict=True):
        if rng.random() < POSSIBLE:
            taken = Counter({sku: count * promotion.sets for sku, count in one.pieces.items()})
            pieces = Counter(pieces + taken if rng.random() < 0.5 else pieces | taken)
    catalogue = _covering(catalogue, pieces, costed=rng.random() < 0.7)
    tiers = tuple(
        Tier(name=f"tier of {brief.name}", budget=int(one.listed * rng.choice((1.0, 1.1, 1.3))), allowance=Fraction(0))
        for brief, one in zip(briefs, near, strict=True)
    )
    found = replace(
        catalogue,
        tiers=tiers,
        discounts=(*(ceiling for _, some in named for ceiling in some), *_common_ceilings(rng, catalogue)),
        promotions=tuple(
            replace(one, tier=tier.name) if one.price is None else one
            for (one, _), tier in zip(named, tiers, strict=True)
        ),
    )
    tight = [_tight(rng, found, one, about) for one, about in zip(found.promotions, near, strict=True)]
    return Instance(replace(found, promotions=tuple(tight)), vehicle, systems)


def _possible(
    maker: Maker, catalogue: Catalogue, vehicle: Vehicle, name: str, most: int
) -> tuple[Brief, tuple[System, ...]] | None:
    """A brief that can be met, in few ways, with every system that meets it."""
    for _ in range(BRIEFS):
        brief = _brief(maker, catalogue, name)
        try:
            systems = every_system(catalogue, brief, vehicle, most)
        except TooManyError:
            continue
        if any(system.lines for system in systems):
            return brief, tuple(systems)
    return None


def _covering(catalogue: Catalogue, pieces: Counter[str], *, costed: bool) -> Catalogue:
    """The catalogue with at least so many pieces in stock, and a cost of each product where told."""

    def covered(row: Product) -> Product:
        stock = None if row.stock is None else max(row.stock, pieces[row.sku])
        return replace(row, stock=stock, cost=row.price // 2 if costed and row.cost is None else row.cost)

    changed: dict[str, Any] = {
        one.name: tuple(covered(row) if pieces[row.sku] else row for row in rows)
        for one in fields(catalogue)
        if isinstance(rows := getattr(catalogue, one.name), tuple) and rows and isinstance(rows[0], Product)
    }
    return replace(catalogue, **changed)


def _catalogue(maker: Maker) -> Catalogue:
    rng = maker.rng
    made = Catalogue(
        head_units=maker.some(2, maker.head_unit),
        converters=maker.some(2, maker.converter),
        speakers=maker.some(rng.choice((2, 3)), maker.speaker),
        subwoofers=maker.some(2, maker.subwoofer),
        boxes=maker.some(1, maker.box),
        amplifiers=maker.some(rng.choice((1, 2, 2)), maker.amplifier),
        power_kits=maker.some(2, maker.power_kit),
        signal_leads=maker.some(2, maker.lead),
        speaker_cables=maker.some(rng.choice((1, 2)), maker.cable),
        aerials=maker.some(2, maker.aerial),
        fitting_kits=maker.fitting_kits(),
        deadening=maker.some(1, maker.sheet),
        labour_hours={work: Fraction(rng.choice((1, 2, 3, 5)), rng.choice((2, 3))) for work in Work},
        settings=Settings(labour_rate=rng.choice((5500, 7333)), tax_rate=rng.choice(RATES)),
    )
    tax = made.settings.tax_rate or Fraction(0)
    costed = rng.random() < 0.6
    changed: dict[str, Any] = {
        one.name: tuple(_stocked(rng, row, tax, costed=costed) for row in rows)
        for one in fields(made)
        if isinstance(rows := getattr(made, one.name), tuple) and rows and isinstance(rows[0], Product)
    }
    return replace(made, **changed)


def _stocked(rng: random.Random, row: Product, tax: Fraction, *, costed: bool) -> Product:
    cost = int(row.price / (1 + tax) * Fraction(rng.randint(40, 105), 100))
    unknown = not costed and rng.random() < 0.25
    return replace(row, cost=None if unknown else cost, stock=rng.choice((None, 1, 2, 3, 4, 6)))


def _brief(maker: Maker, catalogue: Catalogue, name: str) -> Brief:
    rng, knobs = maker.rng, maker.knobs
    front, rear, bass, amplifier, deadening = (rng.choices(tuple(Want), weights)[0] for weights in knobs.wants)
    terms: tuple[str, ...] = ()
    if rng.random() < 0.2:
        barred = () if deadening is not Want.NONE else catalogue.deadening
        product = rng.choice([one for one in catalogue.products() if one not in barred])
        terms = (rng.choice((product.sku, product.brand)),)
    return Brief(
        name=name,
        vehicle=NAME,
        head_unit=HeadUnitMode(rng.choice(knobs.modes)),
        own_preout_pairs=rng.choice((1, 2, 3)),
        own_internal_w=rng.choice((0.0, 20.0)),
        front=front,
        rear=rear,
        bass=bass,
        amplifier=amplifier,
        deadening=deadening,
        fitted=rng.random() < 0.3,
        one_brand=rng.choice((OneBrand.NO, OneBrand.NO, OneBrand.NO, OneBrand.PREFER)),
        must_include=terms,
    )


def _promotion(
    rng: random.Random, catalogue: Catalogue, brief: Brief, near: System
) -> tuple[Promotion, tuple[DiscountCeiling, ...]]:
    """A promotion near some system, with ceilings of its own; its floor comes later."""
    name = f"promotion of {brief.name}"
    clear = rng.sample([one.sku for one in catalogue.products()], 2)
    if near.lines and rng.random() < POSSIBLE:
        clear.insert(rng.choice((0, 2)), rng.choice([sku for (_, sku), _ in near.lines]))
    clear = list(dict.fromkeys(clear)) if rng.random() < 0.4 else []
    one = Promotion(
        name=name,
        brief=brief.name,
        price=None if rng.random() < 0.4 else max(1, int(near.listed * Fraction(rng.randint(85, 101), 100))),
        sets=rng.choice((1, 1, 2, 3)),
        clear=tuple(clear),
        clear_least=rng.choice((1, 1, 2)) if clear else 0,
    )
    most = Fraction(rng.choice((5, 15, 15, 20, 30)), 100)
    ceilings = (DiscountCeiling(promotions=(name,), about="all", most=most),) if rng.random() < 0.5 else ()
    return one, ceilings


def _common_ceilings(rng: random.Random, catalogue: Catalogue) -> tuple[DiscountCeiling, ...]:
    """Ceilings for all promotions: of a kind of part, of a brand, of a SKU."""
    products = catalogue.products()
    names = ("amplifier", "Speakers", "rear", "adapter", rng.choice(products).brand, rng.choice(products).sku)
    chosen = rng.sample(names, rng.choice((0, 1, 2, 3)))
    return tuple(DiscountCeiling(about=name, most=Fraction(rng.choice((0, 7, 12, 125)), 1000) * 8) for name in chosen)


def _tight(rng: random.Random, catalogue: Catalogue, one: Promotion, near: System) -> Promotion:
    """A floor that a system meets to the cent, or misses by one; none now and then."""
    draw = rng.random()
    if draw < 0.3:
        return one
    money = money_of(catalogue, one, near, counts=True)
    margin = money.margin or 0
    if draw < 0.7 or money.revenue <= 0:
        return replace(one, floor=margin + rng.choice((-2000, -1, 0, 0, 1)))
    share = Fraction(margin) / money.revenue
    exact = rng.random() < 0.3
    return replace(one, floor_share=share if exact else Fraction(round(share * 1000), 1000))
