"""Brute force over every system of a small catalogue: which changes the fewest parts of an earlier list, and is best.

A part is a product in its place. Where one thing of a kind stands, or none, its line counts with its quantity; speaker
cables and signal leads are compared line by line too, amplifiers and power kits piece by piece. In each place as many
parts change as go or come, whichever are more.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product as every
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import (
    Aerial,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    Product,
    Speaker,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import Location, Work
from tests.oracle import rules
from tests.oracle.choices import Chosen, Shop, Source, Usage, amplifications, brand_points, sources, taken
from tests.oracle.enumerate import Driven, Workshop

if TYPE_CHECKING:
    from fractions import Fraction

    from budgetbuild.build import System
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

Listed = Mapping[str, Counter[str]]
"""Pieces by SKU, by the name of their place."""
Bundle = tuple[int, tuple[str, ...]]
"""Cents and sorted SKUs."""
Menu = dict[tuple[int, int], Bundle]
"""The cheapest accessories for each number of changes and each set of must-include terms (bits)."""
Needs = tuple[int, tuple[float, ...], tuple[tuple[Location, "Fraction"], ...]]
"""Pairs to connect, currents to feed, loads to run speaker cable to."""
PIECEWISE = {"amplifier", "power kit"}
SOURCE: Mapping[type[Product], str] = {
    HeadUnit: "head unit", Converter: "converter", FittingKit: "fitting kit", Aerial: "aerial",
}  # fmt: skip
BASS: Mapping[type[Product], str] = {Subwoofer: "bass", Box: "box"}


@dataclass(frozen=True, order=True)
class Repaired:
    """The best system that changes the fewest parts; of two the lesser is the better."""

    changes: int
    minus_score: int
    total: int
    skus: tuple[str, ...]


def listed(system: System) -> Listed:
    """What a proposed system has in each place."""
    found: dict[str, Counter[str]] = defaultdict(Counter)
    for part in system.parts:
        found[part.role.value][part.sku] += part.quantity
    return found


def changes_in(place: str, before: Counter[str], now: Counter[str]) -> int:
    """Parts that go or come in a place, whichever are more."""
    if place in PIECEWISE:
        return max((before - now).total(), (now - before).total())
    was, is_now = set(before.items()), set(now.items())
    return max(len(was - is_now), len(is_now - was))


@dataclass
class _Bench:
    """One search: what is looked through, what it is compared with, and the best so far."""

    work: Workshop
    before: Listed
    cap: int
    best: Repaired | None = None
    bundles: dict[Needs, Menu] = field(default_factory=dict)

    @property
    def shop(self) -> Shop:
        return self.work.shop

    def changed(self, places: Mapping[str, Counter[str]]) -> int:
        """Changes in some places."""
        return sum(changes_in(place, self.before.get(place, Counter()), now) for place, now in places.items())

    def hopeless(self, changes: int, points: int, cost: int) -> bool:
        """Whether nothing with so many changes, so many points at most and such a price at least can be the best."""
        best = self.best
        worse = best is not None and (changes, -points, cost) > (best.changes, best.minus_score, best.total)
        return worse or cost > self.cap


def fewest(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int, before: System) -> Repaired | None:
    """The answer, by trying everything; `None` where there is no system within the cap (cents)."""
    bench = _Bench(Workshop(Shop(catalogue, brief, vehicle)), listed(before), cap)
    shop = bench.shop
    for usages in filter(bench.work.can_wire, amplifications(shop)):
        amps = taken(shop, *(u.amplifier for u in usages), labour=shop.labour(Work.AMPLIFIER) * len(usages))
        held = {"amplifier": Counter(u.amplifier.sku for u in usages)}
        for source in sources(shop):
            with_source = held | _placed(shop, source.chosen, SOURCE)
            if bench.best is None or bench.changed(with_source) <= bench.best.changes:
                for driven in _fillings(bench, usages, source, bench.changed(with_source)):
                    _finish(bench, usages, source, driven, (amps, with_source))
    return bench.best


def _products(shop: Shop) -> dict[str, Product]:
    return {p.sku: p for p in shop.catalogue.products()}


def _filling_places(shop: Shop, location: Location, chosen: Chosen) -> dict[str, Counter[str]]:
    name = location.value
    return _placed(shop, chosen, BASS if location is Location.BASS else {Speaker: name, FittingKit: f"{name} adapter"})


def _placed(shop: Shop, chosen: Chosen, names: Mapping[type[Product], str]) -> dict[str, Counter[str]]:
    """What was taken together, by place; places that stay empty among them."""
    products = _products(shop)
    found: dict[str, Counter[str]] = {place: Counter() for place in names.values()}
    for sku in chosen.skus:
        found[names[type(products[sku])]][sku] += 1
    return found


def _fillings(bench: _Bench, usages: tuple[Usage, ...], source: Source, changed: int) -> Iterator[list[Driven]]:
    """Every filling of the three locations that changes few enough parts."""
    slots = {location: (slot, mode) for slot, usage in enumerate(usages) for location, mode in usage.way}
    found: list[tuple[list[Driven], int]] = [([], changed)]
    for location in Location:
        if location in slots:
            slot, mode = slots[location]
            some = bench.work.amplified(location, slot, usages[slot].amplifier, mode)
        else:
            some = bench.work.unamplified(location, source.internal_w)
        each = [(d, bench.changed(_filling_places(bench.shop, location, d.filling.chosen))) for d in some]
        most = math.inf if bench.best is None else bench.best.changes
        found = [([*others, d], so_far + more) for others, so_far in found for d, more in each if so_far + more <= most]
    yield from (driven for driven, _ in sorted(found, key=lambda entry: entry[1]))


def _finish(
    bench: _Bench,
    usages: tuple[Usage, ...],
    source: Source,
    driven: list[Driven],
    begun: tuple[Chosen, Mapping[str, Counter[str]]],
) -> None:
    """Every treatment and every set of accessories with these choices."""
    shop, (amps, held) = bench.shop, begun
    pairs = sum(d.slot is not None or d.filling.powered is not None for d in driven)
    if pairs > source.pairs or (source.converter is not None and source.converter != (pairs > 0)):
        return
    brands = {d.filling.location: d.filling.brand for d in driven}
    extra = brand_points(shop, brands, (u.amplifier for u in usages))
    if extra is None:
        return
    places = dict(held)
    for d in driven:
        places |= _filling_places(shop, d.filling.location, d.filling.chosen)
    points = extra + source.chosen.points + sum(d.points for d in driven)
    for treatment in bench.work.treatments:
        treated = _placed(shop, treatment, {Deadening: "deadening"})
        chosen = [amps, source.chosen, *(d.filling.chosen for d in driven), treatment]
        changed, cost = bench.changed(places | treated), sum(c.cost for c in chosen)
        if not bench.hopeless(changed, points + treatment.points, cost):
            _with_accessories(bench, _needs(shop, usages, pairs, driven), chosen, (changed, points + treatment.points))


def _needs(shop: Shop, usages: tuple[Usage, ...], pairs: int, driven: list[Driven]) -> Needs:
    limits = shop.catalogue.settings.limits
    currents = [
        rules.amplifier_current(usage.amplifier, (d.watt for d in driven if d.slot == slot), limits)
        for slot, usage in enumerate(usages)
    ]
    currents += [rules.powered_current(d.filling.powered, limits) for d in driven if d.filling.powered is not None]
    loads = ((d.filling.location, d.filling.ohm) for d in driven if d.slot is not None)
    runs = tuple((location, ohm) for location, ohm in loads if ohm is not None)
    return pairs, tuple(sorted(currents)), runs


def _with_accessories(bench: _Bench, needs: Needs, chosen: list[Chosen], so_far: tuple[int, int]) -> None:
    changed, points = so_far
    terms, wanted = 0, (1 << len(bench.shop.brief.must_include)) - 1
    for c in chosen:
        terms |= c.terms
    cost, skus = sum(c.cost for c in chosen), tuple(sku for c in chosen for sku in c.skus)
    for (more, bits), (extra, others) in _bundles(bench, needs).items():
        if terms | bits == wanted and cost + extra <= bench.cap:
            found = Repaired(changed + more, -points, cost + extra, tuple(sorted(skus + others)))
            if bench.best is None or found < bench.best:
                bench.best = found


def _bundles(bench: _Bench, needs: Needs) -> Menu:
    """The cheapest accessories for each number of changes and each set of must-include terms, by trying all."""
    if needs not in bench.bundles:
        pairs, currents, runs = needs
        menus = [
            _menu(bench, "signal lead", _leads(bench.shop, pairs)),
            _menu(bench, "power kit", _kits(bench.shop, currents)),
            _menu(bench, "speaker cable", _cables(bench.shop, runs)),
        ]
        merged: Menu = {(0, 0): (0, ())}
        for menu in menus:
            joined: Menu = {}
            for ((a, s), (cost, skus)), ((b, t), (extra, others)) in every(merged.items(), menu.items()):
                _keep(joined, (a + b, s | t), (cost + extra, tuple(sorted(skus + others))))
            merged = joined
        bench.bundles[needs] = merged
    return bench.bundles[needs]


def _keep(menu: Menu, key: tuple[int, int], bundle: Bundle) -> None:
    menu[key] = min(menu.get(key, bundle), bundle)


def _menu(bench: _Bench, place: str, choices: Iterator[Counter[str]]) -> Menu:
    products = _products(bench.shop)
    menu: Menu = {}
    for pieces in choices:
        bits = bench.shop.terms(*(products[sku] for sku in pieces))
        cost = sum(products[sku].price * count for sku, count in pieces.items())
        _keep(menu, (bench.changed({place: pieces}), bits), (cost, tuple(sorted(pieces.elements()))))
    return menu


def _leads(shop: Shop, pairs: int) -> Iterator[Counter[str]]:
    """Every set of leads of which none is too many, but one that alone among them meets a term."""
    run = rules.lead_run_m(shop.brief.head_unit, shop.vehicle, shop.catalogue.settings.limits)
    long_enough = [p for p in shop.offered(shop.catalogue.signal_leads) if rules.at_most(run, p.length_m)]
    most = [range(max(1, math.ceil(2 * pairs / lead.channels)) + 1) for lead in long_enough]
    for counts in every(*most):
        some = [(lead, n) for lead, n in zip(long_enough, counts, strict=True) if n]
        channels = sum(lead.channels * n for lead, n in some)
        too_many = [(lead, n) for lead, n in some if channels - lead.channels >= 2 * pairs]
        if channels >= 2 * pairs and all(
            n == 1 and shop.terms(lead) & ~shop.terms(*(other for other, _ in some if other is not lead))
            for lead, n in too_many
        ):
            yield Counter({lead.sku: n for lead, n in some})


def _kits(shop: Shop, currents: tuple[float, ...]) -> Iterator[Counter[str]]:
    """One kit for all devices, or one each."""
    if not currents:
        yield Counter()
        return
    limits = shop.catalogue.settings.limits
    kits = [(k, rules.kit_capacity(k, shop.vehicle, limits)) for k in shop.offered(shop.catalogue.power_kits)]
    for kit, carries in kits:
        if kit.amplifiers_fed >= len(currents) and rules.at_most(sum(currents), carries):
            yield Counter([kit.sku])
    for each in every(kits, repeat=len(currents)):
        if all(rules.at_most(amps, carries) for amps, (_, carries) in zip(currents, each, strict=True)):
            yield Counter(kit.sku for kit, _ in each)


def _cables(shop: Shop, runs: tuple[tuple[Location, Fraction], ...]) -> Iterator[Counter[str]]:
    """One cable to each amplified location, in whole units; beside them one unit of what a term asks for."""
    limits = shop.catalogue.settings.limits
    offered = shop.offered(shop.catalogue.speaker_cables)
    fitting = [
        [c for c in offered if rules.cable_allowed(c, rules.cable_run_m(location, shop.vehicle, limits), ohm, limits)]
        for location, ohm in runs
    ]
    asked = [c for c in offered if shop.terms(c)]
    for serving in every(*fitting):
        metres: dict[str, Fraction] = defaultdict(lambda: rules.exact(0.0))
        for (location, _), cable in zip(runs, serving, strict=True):
            metres[cable.sku] += rules.cable_metres(location, shop.vehicle, limits)
        by_sku = {c.sku: c for c in offered}
        units = {sku: math.ceil(m / rules.exact(by_sku[sku].metres_per_unit)) for sku, m in metres.items()}
        for extra in every((False, True), repeat=len(asked)):
            more = {c.sku: 1 for c, wanted in zip(asked, extra, strict=True) if wanted and c.sku not in units}
            yield Counter(units | more)
