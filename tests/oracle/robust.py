"""Brute force for prices that may rise: the best system that stays within the cap whichever so many prices do.

A price belongs to a product, so all its pieces rise together. Here the words are taken at their word: every set of so
many products is tried, and every set of accessories, for the cheapest one need not be the safest.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field, fields, replace
from itertools import combinations, product
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.items import Product
from tests.oracle import accessories
from tests.oracle.catalogues import drawn_by
from tests.oracle.enumerate import Answer, Key, Workshop, cheapest, systems
from tests.oracle.knobs import PROFILES

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from tests.oracle.catalogues import Instance

FEWER = {"power_kits": 3, "signal_leads": 3, "speaker_cables": 3}
"""Accessories of each kind at most: every set of them is tried."""
Bundles = list[tuple[int, accessories.Bundle]]


@dataclass
class Thorough(Workshop):
    """A workshop that looks at every set of accessories of which nothing could be left out."""

    bundles: dict[object, Bundles] = field(default_factory=dict)

    def bundles_for(self, need: accessories.Need) -> Bundles:
        """Every set: terms met, with cents and SKUs."""
        if need not in self.bundles:
            pairs, currents, runs = need
            menus = (
                self._whole(accessories.lead_choices(self.shop, pairs)),
                self._whole(accessories.kit_choices(self.shop, currents)),
                self._whole(accessories.cable_choices(self.shop, runs)),
            )
            self.bundles[need] = [
                (a | b | c, (cost + more + rest, skus + others + last))
                for (a, (cost, skus)), (b, (more, others)), (c, (rest, last)) in product(*menus)
            ]
        return self.bundles[need]

    def _whole(self, choices: Iterable[accessories.Counts]) -> Bundles:
        found = {}
        for counts in choices:
            terms, (cost, skus) = accessories.bought(self.shop, counts)
            found[tuple(sorted(skus))] = (terms, (cost, skus))
        pieces = {key: Counter(key) for key in found}
        return [
            one
            for key, one in found.items()
            if not any(found[other][0] == one[0] and pieces[other] < pieces[key] for other in found)
        ]


def dearest(skus: Sequence[str], total: int, rises: Mapping[str, int], rising: int) -> int:
    """What a system costs at most, in cents, where the prices of any so many of its products rise."""
    counts = [(count, rises[sku]) for sku, count in Counter(skus).items() if sku in rises]
    sets = combinations(counts, min(rising, len(counts)))
    return total + max(sum(count * rise for count, rise in some) for some in sets)


def rises_of(catalogue: Catalogue) -> dict[str, int]:
    """By how much one piece may become dearer, in cents, where it may."""
    return {p.sku: p.price_high - p.price for p in catalogue.products() if p.price_high and p.price_high > p.price}


def best_protected(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int, rising: int) -> Answer:
    """Highest score within the cap (cents) whichever so many prices rise, then least total today, then first SKUs."""
    rises = rises_of(catalogue)
    found: Key | None = None

    def hopeless(points: int, cost: int) -> bool:
        return cost > cap or (found is not None and (-points, cost) > found[:2])

    for key in systems(catalogue, brief, vehicle, hopeless, Thorough):
        if key[1] <= cap and (found is None or key < found) and dearest(key[2], key[1], rises, rising) <= cap:
            found = key
    return Answer("infeasible") if found is None else Answer("optimal", -found[0], found[1], found[2])


def least_dearest(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, rising: int) -> int | None:
    """Cents of the system that costs least where the dearest so many rises come; `None` where there is no system."""
    rises = rises_of(catalogue)
    least: int | None = None

    def hopeless(_: int, cost: int) -> bool:
        return least is not None and cost >= least

    for _, total, skus in systems(catalogue, brief, vehicle, hopeless, Thorough):
        if least is None or total < least:
            worst = dearest(skus, total, rises, rising)
            least = worst if least is None else min(least, worst)
    return least


def with_ranges(catalogue: Catalogue, rng: random.Random, certain: float = 0.4) -> Catalogue:
    """The catalogue with random price ranges; `certain` is the share of products without one."""

    def ranged(item: Product) -> Product:
        if rng.random() < certain:
            return item
        return replace(item, price_high=item.price + rng.choice((0, 100, 1000, item.price // 10, item.price // 2)))

    return _changed(catalogue, ranged)


def lowered(catalogue: Catalogue, rng: random.Random) -> Catalogue:
    """The catalogue with every price today somewhere below what it says, and what it says as the high price."""
    return _changed(catalogue, lambda item: replace(item, price=rng.randint(1, item.price), price_high=item.price))


def at_high_prices(catalogue: Catalogue) -> Catalogue:
    """The catalogue with every price at its highest."""
    return _changed(catalogue, lambda item: replace(item, price=item.price_high or item.price, price_high=None))


def _changed(catalogue: Catalogue, change: Callable[[Product], Product]) -> Catalogue:
    sheets: dict[str, Any] = {
        sheet.name: tuple(map(change, items))
        for sheet in fields(catalogue)
        if isinstance(items := getattr(catalogue, sheet.name), tuple) and items and isinstance(items[0], Product)
    }
    return replace(catalogue, **sheets)


def uncertain_catalogue(seed: int, profile: str) -> Instance:
    """A small instance with price ranges; its cap lies around the price of the cheapest complete system or above."""
    rng = random.Random(f"{profile}/{seed}/rising")  # noqa: S311 - test data, not secrets
    knobs = replace(PROFILES[profile], counts={**PROFILES[profile].counts, **FEWER})
    catalogue, brief, vehicle = drawn_by(rng, profile, knobs)
    for _ in range(7):
        if cheapest(catalogue, brief, vehicle) is not None:
            break
        catalogue, brief, vehicle = drawn_by(rng, profile, knobs)
    least = cheapest(catalogue, brief, vehicle)
    cap = rng.randrange(30_000, 200_000) if least is None else int(least * rng.uniform(0.98, 1.9))
    return with_ranges(catalogue, rng), brief, vehicle, cap
