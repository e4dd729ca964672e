"""Brute force over whole systems of a small catalogue: the exact answer, by trying everything.

Pruning drops only what can neither beat nor tie: points and cents are bounded by plain sums.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import reduce
from typing import TYPE_CHECKING, Literal

from budgetbuild.catalogue.kinds import Location, OneBrand, Want, Work
from tests.oracle import accessories, rules
from tests.oracle.choices import (
    Chosen,
    Filling,
    Shop,
    Source,
    Usage,
    amplifications,
    brand_points,
    fillings,
    sources,
    taken,
)

if TYPE_CHECKING:
    from budgetbuild.build import Mode
    from budgetbuild.catalogue.items import Amplifier
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

Key = tuple[int, int, tuple[str, ...]]
"""Of a complete system, smallest best: minus thousandths, cents, sorted SKUs."""
Hopeless = Callable[[int, int], bool]
"""Whether nothing with at most these thousandths and at least these cents can matter any more."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The best build: score in whole thousandths, total in cents, SKUs sorted with repeats."""

    status: Literal["optimal", "infeasible"]
    score: int | None = None
    total: int | None = None
    skus: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Driven:
    """A filling with what drives it. `watt` is what its amplifier section puts out in all."""

    filling: Filling
    points: int
    slot: int | None = None
    watt: Fraction = Fraction(0)

    @property
    def cost(self) -> int:
        """Cents."""
        return self.filling.chosen.cost


@dataclass
class Workshop:
    """The shop with everything that is worked out once."""

    shop: Shop
    fillings: dict[Location, list[Filling]] = field(init=False)
    treatments: list[Chosen] = field(init=False)
    cache: dict[object, accessories.Menu] = field(default_factory=dict)
    drives: dict[object, list[Driven]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.fillings = {location: fillings(self.shop, location) for location in Location}
        self.treatments = accessories.treatments(self.shop)

    def menu(self, kind: Callable[..., accessories.Menu], need: object) -> accessories.Menu:
        """Accessories of one kind for one need."""
        key = (kind, need)
        if key not in self.cache:
            self.cache[key] = kind(self.shop, need)
        return self.cache[key]

    def bundles_for(self, need: accessories.Need) -> Iterable[tuple[int, accessories.Bundle]]:
        """What is bought to connect it all: terms met, with cents and SKUs; the cheapest for each set of terms."""
        if need not in self.cache:
            pairs, currents, runs = need
            menus = (
                self.menu(accessories.leads, pairs),
                self.menu(accessories.power_kits, currents),
                self.menu(accessories.cables, runs),
            )
            self.cache[need] = reduce(accessories.merged, menus)
        return self.cache[need].items()

    def amplified(self, location: Location, slot: int, amplifier: Amplifier, mode: Mode) -> list[Driven]:
        """Passive fillings that this amplifier section may drive, best points first."""
        key = (location, slot, amplifier.sku, mode)
        if key not in self.drives:
            self.drives[key] = _by_points(self._amplified(location, slot, amplifier, mode))
        return self.drives[key]

    def _amplified(self, location: Location, slot: int, amplifier: Amplifier, mode: Mode) -> Iterator[Driven]:
        weights, limits = self.shop.catalogue.weights, self.shop.catalogue.settings.limits
        for filling in self.fillings[location]:
            watt = None if filling.ohm is None else rules.power(amplifier, mode, filling.ohm)
            if watt is None or not rules.ratio_allowed(location, watt / filling.rms_w, limits):
                continue
            if not self.menu(accessories.cables, ((location, filling.ohm),)):
                continue
            points = filling.chosen.points + rules.amplification_points(weights, location, amplifier.rating)
            points += rules.match_points(weights, location, rules.match_factor(watt / filling.rms_w, limits))
            yield Driven(filling, points, slot, watt if location is Location.BASS else 2 * watt)

    def can_wire(self, usages: tuple[Usage, ...]) -> bool:
        """Whether leads and power kits exist for these amplifiers at the very least that they may need."""
        pairs = sum(len(usage.way) for usage in usages)
        currents = tuple(sorted(usage.amplifier.fuse_a or 0.0 for usage in usages))
        return bool(self.menu(accessories.leads, pairs) and self.menu(accessories.power_kits, currents))

    def unamplified(self, location: Location, internal_w: float) -> list[Driven]:
        """Nothing, a powered subwoofer, or speakers on the internal amplifier, best points first."""
        key = (location, internal_w)
        if key not in self.drives:
            found = (self._unamplified(filling, internal_w) for filling in self.fillings[location])
            self.drives[key] = _by_points(driven for driven in found if driven is not None)
        return self.drives[key]

    def _unamplified(self, filling: Filling, internal_w: float) -> Driven | None:
        weights, location = self.shop.catalogue.weights, filling.location
        points = filling.chosen.points
        if filling.powered is not None:
            points += rules.amplification_points(weights, location, filling.powered.rating)
            return Driven(filling, points + rules.match_points(weights, location, Fraction(1)))
        if filling.ohm is None:
            return Driven(filling, points)
        limits = self.shop.catalogue.settings.limits
        watt = rules.internal_power(internal_w, filling.ohm)
        barred = location is Location.BASS or self.shop.brief.amplifier is Want.REQUIRED
        if barred or watt is None or not rules.ratio_allowed(location, watt / filling.rms_w, limits):
            return None
        match = rules.match_factor(watt / filling.rms_w, limits)
        return Driven(filling, points + rules.match_points(weights, location, match))


def _by_points(found: Iterator[Driven]) -> list[Driven]:
    return sorted(found, key=lambda driven: -driven.points)


def systems(
    catalogue: Catalogue, brief: Brief, vehicle: Vehicle, hopeless: Hopeless, workshop: type[Workshop] = Workshop
) -> Iterator[Key]:
    """Every complete system that is not hopeless when its turn comes, with the accessories that the workshop buys."""
    work = workshop(Shop(catalogue, brief, vehicle))
    if not work.treatments:
        return
    spare = work.treatments[0].points
    if brief.one_brand is OneBrand.PREFER:
        spare += 3 * rules.thousandths(rules.exact(catalogue.settings.limits.one_brand_points) / 3)
    labour = work.shop.labour(Work.AMPLIFIER)
    for usages in filter(work.can_wire, amplifications(work.shop)):
        amps = taken(work.shop, *(u.amplifier for u in usages), labour=labour * len(usages))
        for source in sorted(sources(work.shop), key=lambda s: -s.chosen.points):
            points, cost = source.chosen.points + spare, source.chosen.cost + amps.cost
            bound = _beside(hopeless, points, cost)
            for driven in located(work, usages, source, bound):
                yield from complete(work, usages, source, [amps, source.chosen], driven, hopeless)


def _beside(hopeless: Hopeless, points: int, cost: int) -> Hopeless:
    return lambda more, extra: hopeless(points + more, cost + extra)


def located(work: Workshop, usages: tuple[Usage, ...], source: Source, hopeless: Hopeless) -> Iterator[list[Driven]]:
    slots = {location: (slot, mode) for slot, usage in enumerate(usages) for location, mode in usage.way}
    lists = []
    for location in Location:
        if location in slots:
            slot, mode = slots[location]
            lists.append(work.amplified(location, slot, usages[slot].amplifier, mode))
        else:
            lists.append(work.unamplified(location, source.internal_w))
    if all(lists):
        yield from _picked(lists, 0, 0, hopeless)


def _picked(lists: list[list[Driven]], points: int, cost: int, hopeless: Hopeless) -> Iterator[list[Driven]]:
    if not lists:
        if not hopeless(points, cost):
            yield []
        return
    rest_points = sum(others[0].points for others in lists[1:])
    for driven in lists[0]:
        if hopeless(points + driven.points + rest_points, cost + driven.cost):
            continue
        for others in _picked(lists[1:], points + driven.points, cost + driven.cost, hopeless):
            yield [driven, *others]


def complete(
    work: Workshop,
    usages: tuple[Usage, ...],
    source: Source,
    parts: list[Chosen],
    driven: list[Driven],
    hopeless: Hopeless,
) -> Iterator[Key]:
    """Every complete system of these choices that is not hopeless, with each of the workshop's treatments.

    Args:
        work: The shop.
        usages: The external amplifiers.
        source: What plays the music.
        parts: What amplifiers and source come to.
        driven: What fills each location.
        hopeless: Whether nothing so good at most and so dear at least matters.
    """
    shop = work.shop
    pairs = sum(d.slot is not None or d.filling.powered is not None for d in driven)
    if pairs > source.pairs or (source.converter is not None and source.converter != (pairs > 0)):
        return
    extra = brand_points(shop, {d.filling.location: d.filling.brand for d in driven}, (u.amplifier for u in usages))
    if extra is None:
        return
    parts = [*parts, *(d.filling.chosen for d in driven)]
    bundles = work.bundles_for(_need(work, usages, pairs, driven))
    points = extra + source.chosen.points + sum(d.points for d in driven)
    for treatment in work.treatments:
        chosen = [*parts, treatment]
        cost = sum(c.cost for c in chosen)
        if not hopeless(points + treatment.points, cost):
            yield from _met(shop, bundles, chosen, points + treatment.points, cost)


def _need(work: Workshop, usages: tuple[Usage, ...], pairs: int, driven: list[Driven]) -> accessories.Need:
    limits = work.shop.catalogue.settings.limits
    currents = [
        rules.amplifier_current(usage.amplifier, (d.watt for d in driven if d.slot == slot), limits)
        for slot, usage in enumerate(usages)
    ]
    currents += [rules.powered_current(d.filling.powered, limits) for d in driven if d.filling.powered is not None]
    runs = tuple(
        (d.filling.location, d.filling.ohm) for d in driven if d.slot is not None and d.filling.ohm is not None
    )
    return pairs, tuple(sorted(currents)), runs


def _met(
    shop: Shop, bundles: Iterable[tuple[int, accessories.Bundle]], chosen: list[Chosen], points: int, cost: int
) -> Iterator[Key]:
    wanted = (1 << len(shop.brief.must_include)) - 1
    terms = reduce(lambda bits, c: bits | c.terms, chosen, 0)
    skus = tuple(sku for c in chosen for sku in c.skus)
    for more, (extra, others) in bundles:
        if terms | more == wanted:
            yield -points, cost + extra, tuple(sorted(skus + others))


def best(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int | None) -> Answer:
    """Highest score within the cap (cents; `None` = no budget), then least total, then first SKU list."""
    found: Key | None = None

    def hopeless(points: int, cost: int) -> bool:
        return (cap is not None and cost > cap) or (found is not None and (-points, cost) > found[:2])

    for key in systems(catalogue, brief, vehicle, hopeless):
        if (cap is None or key[1] <= cap) and (found is None or key < found):
            found = key
    return Answer("infeasible") if found is None else Answer("optimal", -found[0], found[1], found[2])


def curve(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int) -> list[Answer]:
    """Every system that is the best at some budget up to the cap (cents), cheapest first."""
    found: dict[tuple[int, int], tuple[str, ...]] = {}

    def hopeless(points: int, cost: int) -> bool:
        return cost > cap or any(
            -other <= -points and price <= cost and (other, price) != (points, cost) for other, price in found
        )

    for minus, total, skus in systems(catalogue, brief, vehicle, hopeless):
        if not hopeless(-minus, total):
            found = {key: some for key, some in found.items() if not (key[0] <= -minus and key[1] > total)}
            found = {key: some for key, some in found.items() if not (key[0] < -minus and key[1] >= total)}
            found[-minus, total] = min(found.get((-minus, total), skus), skus)
    ordered = sorted(found.items(), key=lambda entry: entry[0][1])
    return [Answer("optimal", points, total, skus) for (points, total), skus in ordered]


def cheapest(catalogue: Catalogue, brief: Brief, vehicle: Vehicle) -> int | None:
    """Cents of the cheapest complete system; `None` where none exists at any price."""
    least: int | None = None

    def hopeless(_: int, cost: int) -> bool:
        return least is not None and cost >= least

    for _, total, _ in systems(catalogue, brief, vehicle, hopeless):
        least = total if least is None else min(least, total)
    return least
