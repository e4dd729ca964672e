"""Brute force for upgrade paths: every sequence of complete systems, taken at the words of the rules.

A path's step has spent the price of every piece that it or a step before used, the greatest number of each product used
at once, and the fitting work: that of its own system less what stood from the step before. Shares no rule code.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field, replace
from itertools import product
from typing import TYPE_CHECKING, Any, NamedTuple

from budgetbuild.catalogue.items import SignalLead
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, Want, Work
from tests.oracle import accessories, rules
from tests.oracle.catalogues import drawn_by
from tests.oracle.choices import Chosen, Shop, Source, Usage, amplifications, brand_points, sources
from tests.oracle.enumerate import Driven, Workshop, cheapest
from tests.oracle.knobs import PROFILES

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from tests.oracle.knobs import Knobs

FEW = {
    "head_units": 2, "speakers": 3, "subwoofers": 2, "boxes": 1, "amplifiers": 2, "power_kits": 2, "signal_leads": 2,
    "speaker_cables": 2,
}  # fmt: skip
Skus = tuple[str, ...]


class Fitted(NamedTuple):
    """What stands in the vehicle: the parts of the source and of each location, amplifiers, sheets of deadening."""

    places: tuple[Skus, ...]
    amplifiers: Skus
    sheets: Skus


@dataclass(frozen=True)
class Whole:
    """A complete system: thousandths, pieces, what is fitted where, and cents of all its work."""

    points: int
    fitted: Fitted
    skus: Skus
    work: int
    pieces: Counter[str] = field(compare=False)

    def cents(self, prices: dict[str, int]) -> int:
        """What its products cost."""
        return sum(prices[sku] * pieces for sku, pieces in self.pieces.items())


class Told(NamedTuple):
    """A path, smallest is best: minus the weighted thousandths, spent from the last step to the first, pieces, SKUs."""

    worth: int
    spent: tuple[int, ...]
    used: int
    skus: Skus


@dataclass(frozen=True)
class Climb:
    """A shop's question: caps from the lowest up, weights, and whether nothing may be put aside."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    caps: tuple[int, ...]
    weights: tuple[int, ...]
    keep: bool

    def best(self) -> Told | None:
        """By trying every sequence; `None` where not even the first step has a system."""
        shop, prices = Shop(self.catalogue, self.brief, self.vehicle), _prices(self.catalogue)
        found = [one for one in wholes(shop, self.caps[-1]) if one.cents(prices) + one.work <= self.caps[-1]]
        best: Told | None = None
        for path in self._paths(shop, prices, found, (), Counter(), 0):
            told = self.told(shop, prices, path)
            best = told if best is None else min(best, told)
        return best

    def told(self, shop: Shop, prices: dict[str, int], path: Sequence[Whole]) -> Told:
        """What a sequence comes to."""
        worth = sum(weight * one.points for weight, one in zip(self.weights, path, strict=True))
        spent: list[int] = []
        owned, work = Counter[str](), 0
        for k, one in enumerate(path):
            owned |= one.pieces
            work += paid(shop, path[k - 1] if k else None, one)
            spent.append(sum(prices[sku] * pieces for sku, pieces in owned.items()) + work)
        skus = tuple(sorted(sku for one in path for sku in one.skus))
        return Told(-worth, tuple(reversed(spent)), len(skus), skus)

    def _paths(
        self,
        shop: Shop,
        prices: dict[str, int],
        found: Sequence[Whole],
        before: tuple[Whole, ...],
        owned: Counter[str],
        work: int,
    ) -> Iterator[tuple[Whole, ...]]:
        if len(before) == len(self.caps):
            yield before
            return
        last = before[-1] if before else None
        for one in found:
            if self.keep and last and last.pieces - one.pieces:
                continue
            now, done = owned | one.pieces, work + paid(shop, last, one)
            if sum(prices[sku] * pieces for sku, pieces in now.items()) + done <= self.caps[len(before)]:
                yield from self._paths(shop, prices, found, (*before, one), now, done)


def paid(shop: Shop, before: Whole | None, now: Whole) -> int:
    """Fitting work of a step, in cents: what stood before is not paid again."""
    if not shop.brief.fitted or before is None:
        return now.work
    head = Work.HEAD_UNIT if shop.brief.head_unit is HeadUnitMode.REPLACE else Work.CONVERTER
    works = (head, Work.FRONT, Work.REAR, Work.BASS)
    cents = now.work
    for work, was, here in zip(works, before.fitted.places, now.fitted.places, strict=True):
        cents -= shop.labour(work) if here and was == here else 0
    both = Counter(before.fitted.amplifiers) & Counter(now.fitted.amplifiers)
    cents -= both.total() * shop.labour(Work.AMPLIFIER)
    same = Counter(before.fitted.sheets) & Counter(now.fitted.sheets)
    areas = {item.sku: rules.exact(item.sheet_m2) for item in shop.catalogue.deadening}
    for sku, pieces in same.items():
        cents -= shop.labour(Work.DEADENING_PER_M2, pieces * areas[sku])
    return cents


def wholes(shop: Shop, cap: int) -> list[Whole]:
    """Every complete system up to a price (cents), the best-scoring of those that differ in wiring alone."""
    work = Workshop(shop)
    found: dict[tuple[Fitted, Skus], Whole] = {}
    for usages in filter(work.can_wire, amplifications(shop)):
        for source in sources(shop):
            for driven in _driven(work, usages, source):
                for one in _complete(work, usages, source, driven, cap):
                    key = one.fitted, one.skus
                    if key not in found or found[key].points < one.points:
                        found[key] = one
    return list(found.values())


def _driven(work: Workshop, usages: tuple[Usage, ...], source: Source) -> Iterator[tuple[Driven, ...]]:
    slots = {location: (slot, mode) for slot, usage in enumerate(usages) for location, mode in usage.way}
    lists = [
        work.amplified(place, slots[place][0], usages[slots[place][0]].amplifier, slots[place][1])
        if place in slots
        else work.unamplified(place, source.internal_w)
        for place in Location
    ]
    yield from product(*lists)


def _complete(
    work: Workshop, usages: tuple[Usage, ...], source: Source, driven: tuple[Driven, ...], cap: int
) -> Iterator[Whole]:
    shop = work.shop
    pairs = sum(d.slot is not None or d.filling.powered is not None for d in driven)
    if pairs > source.pairs or (source.converter is not None and source.converter != (pairs > 0)):
        return
    brands = {d.filling.location: d.filling.brand for d in driven}
    extra = brand_points(shop, brands, (usage.amplifier for usage in usages))
    if extra is None:
        return
    amps = tuple(usage.amplifier.sku for usage in usages)
    points = extra + source.chosen.points + sum(d.points for d in driven)
    prices = _prices(shop.catalogue)
    base = [source.chosen, *(d.filling.chosen for d in driven)]
    for treatment, wires in product(work.treatments, _wires(work, usages, pairs, driven)):
        chosen: list[Chosen] = [*base, treatment]
        skus = tuple(sorted((*amps, *wires, *(sku for one in chosen for sku in one.skus))))
        if not _meets_all(shop, skus):
            continue
        labour = sum(one.cost - sum(prices[sku] for sku in one.skus) for one in chosen)
        labour += len(amps) * shop.labour(Work.AMPLIFIER)
        places = tuple(tuple(sorted(one.skus)) for one in base)
        whole = Whole(
            points + treatment.points, Fitted(places, tuple(sorted(amps)), treatment.skus), skus, labour, Counter(skus)
        )
        if whole.cents(prices) + labour <= cap:
            yield whole


def _wires(
    work: Workshop, usages: tuple[Usage, ...], pairs: int, driven: tuple[Driven, ...]
) -> Iterator[tuple[str, ...]]:
    """Leads, power kits and speaker cable, every set that the rules allow."""
    shop, limits = work.shop, work.shop.catalogue.settings.limits
    currents = [
        rules.amplifier_current(usage.amplifier, (d.watt for d in driven if d.slot == slot), limits)
        for slot, usage in enumerate(usages)
    ]
    currents += [rules.powered_current(d.filling.powered, limits) for d in driven if d.filling.powered is not None]
    runs = tuple((d.filling.location, d.filling.ohm) for d in driven if d.slot is not None and d.filling.ohm)
    leads = [one for one in accessories.lead_choices(shop, pairs) if _none_spare(one, pairs)]
    kits = accessories.kit_choices(shop, tuple(sorted(currents)))
    cables = accessories.cable_choices(shop, runs)
    sets = ({_listed(one) for one in some} for some in (leads, kits, cables))
    for each in product(*sets):
        yield tuple(sku for some in each for sku in some)


def _listed(counts: accessories.Counts) -> Skus:
    return tuple(sorted(item.sku for item, pieces in counts for _ in range(pieces)))


def _none_spare(leads: accessories.Counts, pairs: int) -> bool:
    """Whether taking any lead away would leave too few channels; no brief here asks for a lead by name."""
    each = [lead.channels for lead, pieces in leads if isinstance(lead, SignalLead) for _ in range(pieces)]
    return all(sum(each) - channels < 2 * pairs for channels in each)


def _meets_all(shop: Shop, skus: Skus) -> bool:
    products = shop.catalogue.by_sku()
    return all(any(rules.meets(term, products[sku]) for sku in skus) for term in shop.brief.must_include)


def _prices(catalogue: Catalogue) -> dict[str, int]:
    return {item.sku: item.price for item in catalogue.products()}


LARGEST = {2: 180, 3: 40}
"""Systems to choose from at most, by the number of steps: every sequence of them is tried."""
NOTHING = 0.08
"""How often a question may be one without any system."""
PATIENCE = 60
PLAIN_DOORS = 0.6
AS_IN_A_SHOP = 0.8
SCORED = ("head_units", "converters", "speakers", "subwoofers", "amplifiers", "deadening")
LARGE = 0.75
"""Sheets of so many m2: a few of them treat the doors."""


def tiny(seed: int, profile: str, steps: int, *, keep: bool) -> Climb:
    """A question small enough to try every sequence of systems; now and then the first cap buys nothing."""
    rng = random.Random(f"{profile}/{seed}/{steps}/{keep}")  # noqa: S311 - test data, not secrets
    knobs = replace(PROFILES[profile], counts=FEW, must=0.0, twins=0.4)
    any_will_do = rng.random() < NOTHING
    tries = 0
    while True:
        tries += 1
        asked = _asked(rng, profile, knobs, steps, keep=keep)
        found = wholes(Shop(asked.catalogue, asked.brief, asked.vehicle), asked.caps[-1])
        if len(found) <= LARGEST[steps] and (found or any_will_do or tries > PATIENCE):
            return asked


def _dearer_is_better(catalogue: Catalogue) -> Catalogue:
    """The same with the prices of each sheet in the order of its ratings, so that there is something to climb to."""
    sheets: dict[str, Any] = {}
    for name in SCORED:
        items = sorted(getattr(catalogue, name), key=lambda item: (item.rating or 0.0, item.sku))
        prices = sorted(item.price for item in items)
        sheets[name] = tuple(replace(item, price=price) for item, price in zip(items, prices, strict=True))
    return replace(catalogue, **sheets)


def _asked(rng: random.Random, profile: str, knobs: Knobs, steps: int, *, keep: bool) -> Climb:
    catalogue, brief, vehicle = drawn_by(rng, profile, knobs)
    if brief.deadening is not Want.REQUIRED and rng.random() < PLAIN_DOORS:
        brief = replace(brief, deadening=Want.NONE)
    catalogue = replace(catalogue, deadening=tuple(replace(item, sheet_m2=LARGE) for item in catalogue.deadening))
    if rng.random() < AS_IN_A_SHOP:
        catalogue = _dearer_is_better(catalogue)
    least = cheapest(catalogue, brief, vehicle)
    caps = [100_000 if least is None else max(1, int(least * rng.choice((0.99, 1.0, 1.05, 1.1, 1.2, 1.3))))]
    for _ in range(steps - 1):
        caps.append(int(caps[-1] * rng.choice((1.0, 1.3, 1.6, 2.0, 2.5))))
    weights = tuple(rng.choice((1, 1, 2, 5)) for _ in caps)
    return Climb(catalogue, brief, vehicle, tuple(caps), weights, keep)
