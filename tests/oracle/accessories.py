"""The cheapest accessories of a system, exactly, for every set of `Must include` terms that they can meet.

A `Menu` maps a set of terms (bits) to the best accessories meeting exactly that set: least cents, then first SKU list.
Keeping one entry a set is exact: two choices of equal price can never be one a beginning of the other (prices are
above 0), so which of them comes first does not depend on what else is in the build.
"""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import product
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import Location, Want, Work
from tests.oracle import rules
from tests.oracle.choices import Chosen, Shop

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from budgetbuild.catalogue.items import Product, SpeakerCable

Bundle = tuple[int, tuple[str, ...]]
Menu = dict[int, Bundle]
Need = tuple[int, tuple[float, ...], tuple[tuple[Location, Fraction], ...]]
"""Stereo pairs, currents of the fed devices, and amplified locations with their loads."""
Counts = list[tuple["Product", int]]
"""Pieces of each product."""


def offer(menu: Menu, terms: int, cost: int, skus: tuple[str, ...]) -> None:
    """Keep the better of what the menu has for these terms and this."""
    bundle = (cost, tuple(sorted(skus)))
    if terms not in menu or bundle < menu[terms]:
        menu[terms] = bundle


def merged(first: Menu, second: Menu) -> Menu:
    """Something of each menu."""
    menu: Menu = {}
    for (terms, (cost, skus)), (more, (extra, others)) in product(first.items(), second.items()):
        offer(menu, terms | more, cost + extra, skus + others)
    return menu


def bought(shop: Shop, counts: Counts) -> tuple[int, Bundle]:
    """Terms that so many of each product meet; their cents and SKUs."""
    some = [(p, n) for p, n in counts if n]
    skus = tuple(p.sku for p, n in some for _ in range(n))
    return shop.terms(*(p for p, _ in some)), (sum(p.price * n for p, n in some), skus)


def _cheapest(shop: Shop, choices: Iterable[Counts]) -> Menu:
    menu: Menu = {}
    for counts in choices:
        terms, (cost, skus) = bought(shop, counts)
        offer(menu, terms, cost, skus)
    return menu


def leads(shop: Shop, pairs: int) -> Menu:
    """The cheapest signal leads for so many pairs."""
    return _cheapest(shop, lead_choices(shop, pairs))


def lead_choices(shop: Shop, pairs: int) -> Iterator[Counts]:
    """Signal leads for so many pairs; more than needed only pays where a term asks for them."""
    run = rules.lead_run_m(shop.brief.head_unit, shop.vehicle, shop.catalogue.settings.limits)
    long_enough = [p for p in shop.offered(shop.catalogue.signal_leads) if rules.at_most(run, p.length_m)]
    most = [range(max(1, math.ceil(2 * pairs / lead.channels)) + 1) for lead in long_enough]
    for counts in product(*most):
        chosen = list(zip(long_enough, counts, strict=True))
        if sum(lead.channels * n for lead, n in chosen) >= 2 * pairs:
            yield [(lead, n) for lead, n in chosen]


def power_kits(shop: Shop, currents: tuple[float, ...]) -> Menu:
    """The cheapest power kits for these devices."""
    return _cheapest(shop, kit_choices(shop, currents))


def kit_choices(shop: Shop, currents: tuple[float, ...]) -> Iterator[Counts]:
    """One kit that feeds all devices, or one kit each."""
    if not currents:
        yield []
        return
    limits = shop.catalogue.settings.limits
    kits = [(k, rules.kit_capacity(k, shop.vehicle, limits)) for k in shop.offered(shop.catalogue.power_kits)]
    for kit, carries in kits:
        if kit.amplifiers_fed >= len(currents) and rules.at_most(sum(currents), carries):
            yield [(kit, 1)]
    for each in product(kits, repeat=len(currents)):
        if all(rules.at_most(amps, carries) for amps, (_, carries) in zip(currents, each, strict=True)):
            yield [(kit, 1) for kit, _ in each]


def cables(shop: Shop, runs: tuple[tuple[Location, Fraction], ...]) -> Menu:
    """The cheapest speaker cable for these runs."""
    return _cheapest(shop, cable_choices(shop, runs))


def cable_choices(shop: Shop, runs: tuple[tuple[Location, Fraction], ...]) -> Iterator[Counts]:
    """One cable product per amplified location, whole units by product; a unit more only where a term asks for it."""
    limits = shop.catalogue.settings.limits
    offered = shop.offered(shop.catalogue.speaker_cables)
    fitting = [
        [c for c in offered if rules.cable_allowed(c, rules.cable_run_m(location, shop.vehicle, limits), ohm, limits)]
        for location, ohm in runs
    ]
    asked = [c for c in offered if shop.terms(c)]
    for serving in product(*fitting):
        for extra in product((False, True), repeat=len(asked)):
            metres = {c.sku: Fraction(0) for c in offered}
            for (location, _), cable in zip(runs, serving, strict=True):
                metres[cable.sku] += rules.cable_metres(location, shop.vehicle, limits)
            units = {c.sku: _units(c, metres[c.sku]) for c in offered}
            for cable, wanted in zip(asked, extra, strict=True):
                units[cable.sku] = max(units[cable.sku], int(wanted))
            yield [(c, units[c.sku]) for c in offered]


def _units(cable: SpeakerCable, metres: Fraction) -> int:
    return math.ceil(metres / rules.exact(cable.metres_per_unit))


def treatments(shop: Shop) -> list[Chosen]:
    """Sound deadening: none, or so many sheets of one product, best points first."""
    brief, vehicle, catalogue = shop.brief, shop.vehicle, shop.catalogue
    door = rules.exact(catalogue.settings.limits.door_m2 if vehicle.door_m2 is None else vehicle.door_m2)
    found = [] if brief.deadening is Want.REQUIRED else [Chosen()]
    for item in shop.offered(catalogue.deadening) if brief.deadening is not Want.NONE else []:
        sheet = rules.exact(item.sheet_m2)
        for sheets in range(1, math.ceil(door / sheet) + 1):
            coverage = min(Fraction(1), sheets * sheet / door)
            points = rules.rating_points(catalogue.weights.treatment, item.rating, coverage)
            cost = sheets * item.price + shop.labour(Work.DEADENING_PER_M2, sheets * sheet)
            found.append(Chosen((item.sku,) * sheets, cost, points, shop.terms(item)))
    return sorted(found, key=lambda c: (-c.points, c.cost))
