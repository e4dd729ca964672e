"""All candidates of one brief and vehicle, and the figures between them that the constraints need."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import itemgetter
from typing import TYPE_CHECKING

import numpy as np

from budgetbuild.catalogue.kinds import HeadUnitMode, Location, OneBrand, Want
from budgetbuild.program import accessories
from budgetbuild.program.arrangements import Arrangement, Powers, Supply, arrangements, internal_supply, match_points
from budgetbuild.program.dominance import Sorts, undominated, undominated_by_row
from budgetbuild.program.options import Sounder
from budgetbuild.program.sources import kept_unit, sources
from budgetbuild.program.speakers import sounders
from budgetbuild.trade.figures import at_most

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from budgetbuild.program.offer import Offer
    from budgetbuild.program.options import Cable, Kit, Leads, Load, Option, Source
    from budgetbuild.program.sources import KeptUnit

Worse = Callable[[Sounder], Sequence[float]]
"""Figures of a sounder of which less is better, beside those that everybody looks at."""


@dataclass(frozen=True)
class Pairing:
    """Loads against supplies at one location.

    Attributes:
        loads: Of the candidates there, lowest first.
        supplies: What may drive them.
        match: Match points, shape (loads, supplies), whole thousandths; -1 where the power ratio is not allowed.
    """

    loads: tuple[Load, ...]
    supplies: tuple[Supply, ...]
    match: NDArray[np.int64]

    @cached_property
    def external(self) -> dict[Powers, int]:
        """Position of every supply of external amplifiers, by the powers that it gives."""
        return {supply.powers: j for j, supply in enumerate(self.supplies) if supply.external}


@dataclass(frozen=True)
class Candidates:
    """Everything that may enter a build of one brief, freed of dominated candidates; independent of any budget."""

    offer: Offer
    sources: tuple[Source, ...]
    sounders: dict[Location, tuple[Sounder, ...]]
    arrangements: tuple[Arrangement, ...]
    pairings: dict[Location, Pairing]
    kits: tuple[Kit, ...]
    leads: tuple[Leads, ...]
    cables: tuple[Cable, ...]
    deadening: tuple[Option, ...]

    @property
    def mode(self) -> HeadUnitMode:
        """What the brief does with the head unit."""
        return self.offer.brief.head_unit

    @property
    def kept(self) -> KeptUnit:
        """The unit that stays in the dash, where one does."""
        return kept_unit(self.offer)

    def alone(self, current_a: float) -> list[Kit]:
        """Power kits for a device that has one of its own: the cheapest that carries its current, by what it meets."""
        return next((kits for capacity_a, kits in self._alone if at_most(current_a, capacity_a)), [])

    @cached_property
    def _alone(self) -> list[tuple[float, list[Kit]]]:
        """By the least current that a kit must carry: every capacity, ascending, with the kits for it."""
        found = []
        for capacity_a in sorted({kit.capacity_a for kit in self.kits}):
            able = (kit for kit in self.kits if kit.capacity_a >= capacity_a)
            some = undominated(able, weighing=self.offer.weighing)
            found.append((capacity_a, sorted(some, key=lambda kit: (kit.price, kit.sku_order))))
        return found


def carries(kit: Kit, current_a: float) -> bool:
    """Whether a kit carries a current, in A."""
    return at_most(current_a, kit.capacity_a)


def candidates(offer: Offer) -> Candidates:
    """Gather and prune the candidates of a brief."""
    units = sources(offer)
    matched = match(offer, units, {location: sounders(offer, location) for location in Location})
    return Candidates(
        offer=offer,
        sources=tuple(units),
        sounders=matched.sounders,
        arrangements=matched.arrangements,
        pairings=matched.pairings,
        kits=tuple(accessories.kits(offer)),
        leads=tuple(accessories.leads(offer, len(Location))),
        cables=tuple(accessories.cables(offer, external_ohms(matched.pairings))),
        deadening=tuple(accessories.deadening(offer)),
    )


@dataclass(frozen=True, slots=True)
class Matched:
    """What sounds and what drives it, freed of what nothing drives or needs, and of dominated candidates."""

    sounders: dict[Location, tuple[Sounder, ...]]
    arrangements: tuple[Arrangement, ...]
    pairings: dict[Location, Pairing]


def match(
    offer: Offer, units: Sequence[Source], found: dict[Location, list[Sounder]], worse: Worse = lambda _: ()
) -> Matched:
    """Bring together what sounds at each location and what may drive it.

    Args:
        offer: The catalogue seen through the brief; its vehicle is not looked at.
        units: The sources.
        found: Candidates of each location.
        worse: Further figures by which a sounder may be better than another.
    """
    places = dict(found)
    rated = {location: _rated(some) for location, some in places.items()}
    uses: list[Arrangement] = [] if offer.brief.amplifier is Want.NONE else arrangements(offer, rated)
    watts = _internal_watts(offer, units)

    def pair(location: Location) -> Pairing:
        return _pairing(offer, location, places[location], tuple(rated[location]), given[location], watts)

    given = _given(uses)
    for location in Location:
        places[location] = _unbeaten_sounders(offer, places[location], pair(location), worse)
    uses = _unbeaten_uses(offer, uses, {location: pair(location) for location in Location})
    given = _given(uses)
    pairings = {location: pair(location) for location in Location}
    return Matched({location: tuple(some) for location, some in places.items()}, tuple(uses), pairings)


def _unbeaten_sounders(offer: Offer, found: Sequence[Sounder], pairing: Pairing, worse: Worse) -> list[Sounder]:
    """Sounders that can be driven, and that no other of any load makes superfluous.

    Another load stands in for this one where it earns no fewer match points from any supply, and where its cable need
    be no thicker.
    """
    powered = [sounder for sounder in found if sounder.load is None]
    driven = {load: i for i, load in enumerate(pairing.loads) if (pairing.match[i] >= 0).any()}
    passive = [(driven[s.load], s) for s in found if s.load in driven]
    if not passive:
        return powered
    passive.sort(key=itemgetter(0))  # of equals the first stays, and that shall be the one of the lowest load
    some = [sounder for _, sounder in passive]
    ohms = np.array([[load.ohm] for load in pairing.loads])
    loads = Sorts(np.array([i for i, _ in passive]), _no_worse(np.column_stack([pairing.match, ohms])))
    further = [[-figure for figure in worse(sounder)] for sounder in some]
    by_brand = offer.brief.one_brand is not OneBrand.NO
    stay = undominated_by_row(
        some, further, key=lambda sounder: sounder.brand if by_brand else "", sorts=[loads], weighing=offer.weighing
    )
    return [some[i] for i in stay] + powered


def _unbeaten_uses(offer: Offer, uses: Sequence[Arrangement], pairings: dict[Location, Pairing]) -> list[Arrangement]:
    """Arrangements that can drive something everywhere they cover, and that no other makes superfluous.

    Another one that covers the same locations stands in where it earns no fewer match points with any load, draws no
    more current and is bridged no more often.
    """
    driving = {
        place: {powers for powers, j in pairing.external.items() if (pairing.match[:, j] >= 0).any()}
        for place, pairing in pairings.items()
    }
    some = [
        use
        for use in uses
        if all(powers in driving[place] for place, powers in zip(use.covers, use.powers, strict=True))
    ]
    rows = [(-use.current_a, -use.bridged) for use in some]
    by_brand = offer.brief.one_brand is not OneBrand.NO
    kept = undominated_by_row(
        some,
        rows,
        key=lambda use: (use.covers, use.brand if by_brand else ""),
        sorts=[_supplies(some, place, pairing) for place, pairing in pairings.items()],
        weighing=offer.weighing,
    )
    return sorted((some[i] for i in kept), key=_fixed_order)


def _supplies(uses: Sequence[Arrangement], place: Location, pairing: Pairing) -> Sorts:
    """What arrangements give at a location, as sorts of supply; those that do not cover it are all of one sort."""
    powers = (dict(zip(use.covers, use.powers, strict=True)).get(place) for use in uses)
    stands_in = np.zeros((len(pairing.supplies) + 1,) * 2, dtype=bool)
    stands_in[:-1, :-1], stands_in[-1, -1] = _no_worse(pairing.match.T), True
    return Sorts(np.array([-1 if some is None else pairing.external[some] for some in powers]), stands_in)


def _no_worse(rows: NDArray[np.float64] | NDArray[np.int64]) -> NDArray[np.bool_]:
    """Shape (rows, rows): whether the first is nowhere less than the second."""
    return np.array([(row >= rows).all(axis=1) for row in rows]).reshape(len(rows), len(rows))


def _fixed_order(use: Arrangement) -> tuple[object, ...]:
    """By amplifier, then front before rear before bass: so what else is on sale never decides between equal builds."""
    places = list(Location)
    return use.sku_order, [places.index(place) for place in use.covers], use.way, use.powers


def _rated(found: Iterable[Sounder]) -> dict[float, list[float]]:
    """RMS powers that sounders are rated for, by their load, ascending."""
    rated: dict[float, list[float]] = {}
    for load in sorted({sounder.load for sounder in found if sounder.load}, key=lambda load: (load.ohm, load.rms_w)):
        rated.setdefault(load.ohm, []).append(load.rms_w)
    return rated


def _internal_watts(offer: Offer, units: Sequence[Source]) -> tuple[float, ...]:
    if offer.brief.amplifier is Want.REQUIRED:
        return ()
    bought = offer.brief.head_unit is HeadUnitMode.REPLACE
    watts = {unit.internal_w for unit in units} if bought else {kept_unit(offer).internal_w}
    return tuple(sorted(watt for watt in watts if watt > 0))


def _given(uses: Iterable[Arrangement]) -> dict[Location, set[Powers]]:
    """What external amplifiers give at each location."""
    given: dict[Location, set[Powers]] = {location: set() for location in Location}
    for use in uses:
        for place, powers in zip(use.covers, use.powers, strict=True):
            given[place].add(powers)
    return given


def _pairing(
    offer: Offer,
    location: Location,
    found: Sequence[Sounder],
    ohms: Sequence[float],
    given: Iterable[Powers],
    watts: Sequence[float],
) -> Pairing:
    loads = tuple(sorted({s.load for s in found if s.load}, key=lambda load: (load.ohm, load.rms_w)))
    supplies = [Supply(powers) for powers in sorted(given)]
    if location is not Location.BASS:
        supplies += [supply for watt in watts if (supply := internal_supply(watt, ohms))]
    settings = offer.catalogue.settings
    match = match_points(location, loads, ohms, supplies, offer.catalogue.weights, settings.limits)
    return Pairing(loads, tuple(supplies), match)


def external_ohms(pairings: dict[Location, Pairing]) -> dict[Location, tuple[float, ...]]:
    """Loads at each location that some external amplifier may drive."""
    found: dict[Location, tuple[float, ...]] = {}
    for location, pairing in pairings.items():
        driven = np.flatnonzero((pairing.match[:, list(pairing.external.values())] >= 0).any(axis=1))
        found[location] = tuple(sorted({pairing.loads[i].ohm for i in driven}))
    return found
