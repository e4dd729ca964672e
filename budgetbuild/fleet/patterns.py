"""Which vehicles share their budget curves: models of one pattern, that differ in name, weight or alternator alone."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import NOWHERE
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Hashable, Sequence

    from budgetbuild.catalogue.shop import Catalogue, Vehicle

MOST_TOGETHER = 8
"""Vehicles answered in one go at most: what is lost where that is cut off."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """All of a vehicle that decides which systems are best in it.

    Attributes:
        vehicle: The vehicle without what only tells it from others, or is only cautioned of.
        kits: SKUs of the fitting kits that name it, in the order of the sheet.
    """

    vehicle: Vehicle
    kits: tuple[str, ...]


def patterns_of(catalogue: Catalogue, vehicles: Sequence[Vehicle]) -> list[Pattern]:
    """The pattern of each vehicle."""
    named = defaultdict(list)
    for kit in catalogue.fitting_kits:
        for name in kit.vehicles:
            named[name].append(kit.sku)
    return [Pattern(_nameless(vehicle), tuple(named.get(fold(vehicle.name), ()))) for vehicle in vehicles]


def _nameless(vehicle: Vehicle) -> Vehicle:
    return replace(vehicle, at=NOWHERE, name="", weight=1.0, alternator_a=None)


def together(patterns: Sequence[Hashable], numbers: Sequence[int]) -> list[tuple[int, ...]]:
    """Places of vehicles, those of one pattern together, each as soon as the first of its pattern comes.

    >>> together("aba", [0, 1, 2])
    [(0, 2), (1,)]
    """
    alike = defaultdict(list)
    for number in numbers:
        alike[patterns[number]].append(number)
    return [tuple(some[i : i + MOST_TOGETHER]) for some in alike.values() for i in range(0, len(some), MOST_TOGETHER)]
