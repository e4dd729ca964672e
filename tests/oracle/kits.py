"""Brute force over systems that several vehicles have in common: the exact answer, by trying everything.

The products and their numbers are the same in every vehicle, but for fitting kits, adapters, aerials and the units of
speaker cable. Of such a system a vehicle is right or not, and has its own price and points (deadening covers more of a
smaller door). The score of the system is the lowest of the vehicles that it covers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.catalogue.kinds import Location, Want, Work
from tests.oracle import accessories, rules
from tests.oracle.choices import Shop, amplifications, brand_points, sources, taken
from tests.oracle.enumerate import Workshop

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from budgetbuild.build import Mode
    from budgetbuild.catalogue.items import SpeakerCable
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from tests.oracle.choices import Source, Usage
    from tests.oracle.enumerate import Driven

Prices = tuple[float, ...]
"""Cents in each vehicle; infinite where something does not fit."""
Skus = tuple[str, ...]


@dataclass(frozen=True)
class Fleet:
    """Several vehicles at one shop, and a brief for as many of them as it says."""

    catalogue: Catalogue
    brief: Brief

    @property
    def vehicles(self) -> tuple[Vehicle, ...]:
        """All of the catalogue's."""
        return self.catalogue.vehicles

    @property
    def weights(self) -> list[Fraction]:
        """How much each vehicle counts."""
        return [rules.exact(vehicle.weight) for vehicle in self.vehicles]

    @property
    def asked(self) -> Fraction:
        """How much the vehicles covered must count together."""
        return self.brief.share * sum(self.weights)

    @property
    def shops(self) -> list[Shop]:
        """The shop as each vehicle sees it."""
        return [Shop(self.catalogue, self.brief, vehicle) for vehicle in self.vehicles]

    def weight(self, some: Iterable[bool]) -> Fraction:
        """How much some of the vehicles count together."""
        return sum((weight for weight, one in zip(self.weights, some, strict=True) if one), Fraction(0))


@dataclass(frozen=True)
class Kit:
    """One system for all: cents and thousandths of a point in each vehicle, and the SKUs that they have in common."""

    prices: Prices
    points: tuple[int, ...]
    skus: Skus


class Best(NamedTuple):
    """The best system, smallest best: minus thousandths, minus weight covered, highest price, sum of prices, SKUs."""

    minus_score: int
    minus_weight: Fraction
    highest: int
    total: int
    skus: Skus
    covered: tuple[int, ...]


class Part(NamedTuple):
    """Something that all vehicles have in common: cents in each, must-include terms met, SKUs."""

    prices: Prices
    terms: int
    skus: Skus


Core = tuple[object, ...]
"""Source, what stands at each location with its load, and amplifiers with their ways: the same for every vehicle."""


@dataclass(frozen=True)
class Needs:
    """What a core asks for: its points, stereo pairs, currents of the fed devices, amplified locations with loads."""

    points: int
    pairs: int
    currents: tuple[float, ...]
    runs: tuple[tuple[Location, Fraction], ...]
    skus: Skus


def best(fleet: Fleet, cap: int) -> Best | None:
    """The best system that covers as many vehicles as asked, in each of them within the cap in cents."""
    found: Best | None = None
    for kit in kits(fleet):
        within = [price <= cap for price in kit.prices]
        for level in sorted({points for points, ok in zip(kit.points, within, strict=True) if ok}, reverse=True):
            covers = [ok and points >= level for ok, points in zip(within, kit.points, strict=True)]
            if fleet.weight(covers) >= fleet.asked:
                covered = tuple(number for number, ok in enumerate(covers) if ok)
                paid = [int(kit.prices[number]) for number in covered]
                here = Best(-level, -fleet.weight(covers), max(paid), sum(paid), kit.skus, covered)
                found = here if found is None else min(found, here)
                break
    return found


def greatest(fleet: Fleet, cap: int) -> Fraction:
    """The most that any one system within the cap covers; 0 where none fits any vehicle."""
    return max((fleet.weight(price <= cap for price in kit.prices) for kit in kits(fleet)), default=Fraction(0))


def least_cap(fleet: Fleet) -> int | None:
    """The lowest cap within which some system covers as many as asked; `None` where none does at any price."""
    enough = (
        price
        for kit in kits(fleet)
        for price in kit.prices
        if price < math.inf and fleet.weight(other <= price for other in kit.prices) >= fleet.asked
    )
    least = min(enough, default=None)
    return None if least is None else int(least)


def kits(fleet: Fleet) -> Iterator[Kit]:
    """Every complete system that fits some vehicle; accessories that are dearer in every vehicle are left out."""
    shops = fleet.shops
    wanted = (1 << len(fleet.brief.must_include)) - 1
    cores: dict[Core, Needs] = {}
    ways: dict[Core, list[list[tuple[int, int]]]] = {}
    for number, shop in enumerate(shops):
        for core, needs, way in _cores(shop):
            assert cores.setdefault(core, needs) == needs
            ways.setdefault(core, [[] for _ in shops])[number].append(way)
    sheets = _treatments(shops)
    menus: dict[object, list[Part]] = {}
    for core, needs in cores.items():
        need = needs.pairs, needs.currents, needs.runs
        if need not in menus:
            menus[need] = _accessories(shops, *need)
        for points, sheet in sheets:
            for bought in menus[need]:
                common = sheet.terms | bought.terms
                own = [min((c for c, t in some if t | common == wanted), default=math.inf) for some in ways[core]]
                prices = tuple(map(sum, zip(own, sheet.prices, bought.prices, strict=True)))
                if min(prices) < math.inf:
                    skus = tuple(sorted(needs.skus + sheet.skus + bought.skus))
                    yield Kit(prices, tuple(needs.points + more for more in points), skus)


def _cores(shop: Shop) -> Iterator[tuple[Core, Needs, tuple[int, int]]]:
    """Every core that fits one vehicle, with cents and terms for each choice of the vehicle's own parts."""
    work = Workshop(shop)
    labour = shop.labour(Work.AMPLIFIER)
    for usages in amplifications(shop):
        amps = taken(shop, *(usage.amplifier for usage in usages), labour=labour * len(usages))
        for source in sources(shop):
            for driven in product(*_lists(work, usages, source)):
                pairs = sum(one.slot is not None or one.filling.powered is not None for one in driven)
                if pairs > source.pairs or (source.converter is not None and source.converter != (pairs > 0)):
                    continue
                brands = {one.filling.location: one.filling.brand for one in driven}
                extra = brand_points(shop, brands, (usage.amplifier for usage in usages))
                if extra is not None:
                    chosen = [amps, source.chosen, *(one.filling.chosen for one in driven)]
                    terms = 0
                    for one in chosen:
                        terms |= one.terms
                    points = extra + source.chosen.points + sum(one.points for one in driven)
                    core, needs = _described(shop, usages, source, driven, points, pairs)
                    yield core, needs, (sum(one.cost for one in chosen), terms)


def _lists(work: Workshop, usages: tuple[Usage, ...], source: Source) -> list[list[Driven]]:
    slots: dict[Location, tuple[int, Mode]] = {
        location: (slot, mode) for slot, usage in enumerate(usages) for location, mode in usage.way
    }
    return [
        work.amplified(location, slots[location][0], usages[slots[location][0]].amplifier, slots[location][1])
        if location in slots
        else work.unamplified(location, source.internal_w)
        for location in Location
    ]


def _described(
    shop: Shop, usages: tuple[Usage, ...], source: Source, driven: Sequence[Driven], points: int, pairs: int
) -> tuple[Core, Needs]:
    """What is the same in every vehicle: the first SKU of a source or speaker is its own, kits and adapters follow."""
    limits = shop.catalogue.settings.limits
    places = tuple(
        one.filling.chosen.skus if one.filling.location is Location.BASS else one.filling.chosen.skus[:1]
        for one in driven
    )
    unit = source.chosen.skus[:1]
    loads = tuple(one.filling.ohm for one in driven)
    amplifiers = tuple((usage.amplifier.sku, usage.way) for usage in usages)
    currents = [
        rules.amplifier_current(usage.amplifier, (one.watt for one in driven if one.slot == slot), limits)
        for slot, usage in enumerate(usages)
    ]
    currents += [rules.powered_current(sub, limits) for one in driven if (sub := one.filling.powered) is not None]
    runs = tuple((one.filling.location, one.filling.ohm) for one in driven if one.slot is not None and one.filling.ohm)
    skus = (*unit, *(sku for some in places for sku in some), *(sku for sku, _ in amplifiers))
    return (unit, places, loads, amplifiers), Needs(points, pairs, tuple(sorted(currents)), runs, skus)


def _treatments(shops: Sequence[Shop]) -> list[tuple[tuple[int, ...], Part]]:
    """None, or so many sheets of one product: points in each vehicle, and cents (infinite where a door takes fewer)."""
    brief, catalogue = shops[0].brief, shops[0].catalogue
    nothing = ((0,) * len(shops), Part((0,) * len(shops), 0, ()))
    found = [] if brief.deadening is Want.REQUIRED else [nothing]
    usual = catalogue.settings.limits.door_m2
    doors = [rules.exact(usual if shop.vehicle.door_m2 is None else shop.vehicle.door_m2) for shop in shops]
    for item in shops[0].offered(catalogue.deadening) if brief.deadening is not Want.NONE else []:
        sheet = rules.exact(item.sheet_m2)
        for count in range(1, math.ceil(max(doors) / sheet) + 1):
            cost = count * item.price + shops[0].labour(Work.DEADENING_PER_M2, count * sheet)
            points = tuple(
                rules.rating_points(catalogue.weights.treatment, item.rating, min(Fraction(1), count * sheet / door))
                for door in doors
            )
            prices = tuple(cost if count <= math.ceil(door / sheet) else math.inf for door in doors)
            found.append((points, Part(prices, shops[0].terms(item), (item.sku,) * count)))
    return found


def _accessories(
    shops: Sequence[Shop],
    pairs: int,
    currents: tuple[float, ...],
    runs: tuple[tuple[Location, Fraction], ...],
) -> list[Part]:
    """Leads, power kits and speaker cable together, but for those that are dearer in every vehicle."""
    menus = [_unbeaten(some) for some in (_leads(shops, pairs), _kits(shops, currents), _cables(shops, runs))]
    return _unbeaten(_added(some) for some in product(*menus))


def _added(some: Sequence[Part]) -> Part:
    terms = 0
    for one in some:
        terms |= one.terms
    prices = tuple(map(sum, zip(*(one.prices for one in some), strict=True)))
    return Part(prices, terms, tuple(sorted(sku for one in some for sku in one.skus)))


def _unbeaten(parts: Iterable[Part]) -> list[Part]:
    """Without those for which another meets the same terms and is no dearer anywhere; of equal ones the first."""
    kept: list[Part] = []
    for one in sorted(set(parts), key=lambda part: (part.terms, part.prices, part.skus)):
        beaten = (
            other.terms == one.terms and all(a <= b for a, b in zip(other.prices, one.prices, strict=True))
            for other in kept
        )
        if min(one.prices) < math.inf and not any(beaten):
            kept.append(one)
    return kept


def _leads(shops: Sequence[Shop], pairs: int) -> Iterator[Part]:
    each = [_by_skus(shop, accessories.lead_choices(shop, pairs)) for shop in shops]
    yield from _together(each)


def _kits(shops: Sequence[Shop], currents: tuple[float, ...]) -> Iterator[Part]:
    each = [_by_skus(shop, accessories.kit_choices(shop, currents)) for shop in shops]
    yield from _together(each)


def _by_skus(shop: Shop, choices: Iterable[accessories.Counts]) -> dict[Skus, tuple[int, int]]:
    """Cents and terms of each choice in one vehicle, by its SKUs."""
    found = {}
    for counts in choices:
        terms, (cost, skus) = accessories.bought(shop, counts)
        found[tuple(sorted(skus))] = cost, terms
    return found


def _together(each: Sequence[dict[Skus, tuple[int, int]]]) -> Iterator[Part]:
    for skus in {skus for some in each for skus in some}:
        terms = next(some[skus][1] for some in each if skus in some)
        yield Part(tuple(some[skus][0] if skus in some else math.inf for some in each), terms, skus)


def _cables(shops: Sequence[Shop], runs: tuple[tuple[Location, Fraction], ...]) -> Iterator[Part]:
    """One product for each run, the same in every vehicle; a unit of another where a term asks for it."""
    offered = shops[0].offered(shops[0].catalogue.speaker_cables)
    asked = [cable for cable in offered if shops[0].terms(cable)]
    for serving in product(offered, repeat=len(runs)):
        for extra in product((False, True), repeat=len(asked)):
            more = [cable for cable, wanted in zip(asked, extra, strict=True) if wanted and cable not in serving]
            prices = tuple(_cable_price(shop, runs, serving) + sum(one.price for one in more) for shop in shops)
            skus = tuple(sorted({one.sku for one in (*serving, *more)}))
            yield Part(prices, shops[0].terms(*serving, *more), skus)


def _cable_price(shop: Shop, runs: tuple[tuple[Location, Fraction], ...], serving: Sequence[SpeakerCable]) -> float:
    """Cents of whole units in one vehicle; infinite where a cable is too thin there."""
    limits, metres = shop.catalogue.settings.limits, dict.fromkeys(serving, Fraction(0))
    for (location, ohm), cable in zip(runs, serving, strict=True):
        if not rules.cable_allowed(cable, rules.cable_run_m(location, shop.vehicle, limits), ohm, limits):
            return math.inf
        metres[cable] += rules.cable_metres(location, shop.vehicle, limits)
    return sum(cable.price * math.ceil(length / rules.exact(cable.metres_per_unit)) for cable, length in metres.items())
