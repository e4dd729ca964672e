"""Speaker cable: loads classed by the cables that will do for them, and the cheapest cables for each set of classes."""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property
from itertools import product as every
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import Location
from budgetbuild.program.options import Cable

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from budgetbuild.program.layout import Layout


class Cabling:
    """Classes of loads at each location, the least ohm of some cable each; a build's class tells those of all three."""

    def __init__(self, layout: Layout) -> None:
        self._layout = layout
        self._purchases = [(i, cable) for i in layout.cables if isinstance(cable := layout.columns[i].option, Cable)]
        found: dict[Location, set[float]] = {location: set() for location in Location}
        for _, cable in self._purchases:
            for location, ohm in zip(cable.locations, cable.least_ohm, strict=True):
                found[location].add(ohm)
        self._steps = {location: sorted(some) for location, some in found.items()}

    @cached_property
    def _strides(self) -> Mapping[Location, int]:
        strides, stride = {}, 1
        for location, steps in self._steps.items():
            strides[location] = stride
            stride *= max(1, len(steps))
        return strides

    @property
    def count(self) -> int:
        """Number of classes."""
        sizes = [max(1, len(steps)) for steps in self._steps.values()]
        return sizes[0] * sizes[1] * sizes[2]

    def number(self, location: Location, ohm: float) -> int:
        """What a load at a location adds to the class of a build; below 0 where no cable will do."""
        place = bisect_right(self._steps[location], ohm) - 1
        return place * self._strides[location] if place >= 0 else -1

    def classes(self, external: frozenset[Location]) -> Iterator[tuple[int, dict[Location, float]]]:
        """Every class of a build with these locations on external amplifiers, with the load that each stands for."""
        places = [location for location in Location if location in external]
        for chosen in every(*(range(len(self._steps[place])) for place in places)):
            at = zip(places, chosen, strict=True)
            loads = {place: self._steps[place][number] for place, number in at}
            yield sum(self.number(place, ohm) for place, ohm in loads.items()), loads

    def purchases(self, loads: Mapping[Location, float]) -> Iterator[list[int]]:
        """Every set of columns that serves each of these locations once, each product in one purchase."""
        yield from self._serving(tuple(loads), loads, frozenset())

    def _serving(
        self, left: tuple[Location, ...], loads: Mapping[Location, float], skus: frozenset[str]
    ) -> Iterator[list[int]]:
        if not left:
            yield []
            return
        for i, cable in self._purchases:
            sku = cable.parts[0].sku
            if left[0] not in cable.locations or sku in skus or not _will_do(cable, left, loads):
                continue
            rest = tuple(location for location in left if location not in cable.locations)
            for others in self._serving(rest, loads, skus | {sku}):
                yield [i, *others]

    @property
    def asked(self) -> list[int]:
        """Columns of cables that are bought only because a term asks for them."""
        return [i for i, cable in self._purchases if not cable.locations]


def _will_do(cable: Cable, left: tuple[Location, ...], loads: Mapping[Location, float]) -> bool:
    return all(
        location in left and ohm <= loads[location]
        for location, ohm in zip(cable.locations, cable.least_ohm, strict=True)
    )
