"""Candidates of one system for several vehicles: the same products in each, but for what belongs to the vehicle.

A candidate is what the vehicles have in common (a head unit, a pair of speakers, an enclosure, a power kit). What each
vehicle adds to it (fitting kit, aerial, speaker adapters, units of speaker cable) makes its *versions* there; where it
has none, it does not fit. One candidate makes another superfluous where it fits every vehicle that the other fits, is
dearer in none of them and no worse otherwise: so no best choice is lost, whichever vehicles are covered.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.build import OWN_ROLES, Part, Role
from budgetbuild.catalogue.kinds import Location, OneBrand, Want
from budgetbuild.program import accessories
from budgetbuild.program.candidates import Candidates, external_ohms, match
from budgetbuild.program.dominance import undominated_by_row
from budgetbuild.program.offer import Offer
from budgetbuild.program.options import Cable, Kit, Leads, Option
from budgetbuild.program.sources import sources
from budgetbuild.program.speakers import sounders
from budgetbuild.trade.figures import at_most

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.program.options import Tags

T = TypeVar("T", bound=Option)
Versions = tuple[tuple[Option, ...], ...]
"""For each vehicle what fills a slot there, its own parts included, cheapest first; nothing where it does not fit."""
Fits = tuple[bool, ...]
"""For each vehicle whether something fits it."""
Enough = Callable[[Fits], bool]
"""Whether so many vehicles could still be enough."""


@dataclass(frozen=True)
class Common(Candidates):
    """Candidates that several vehicles have in common.

    Attributes:
        offers: The catalogue seen through the brief, for each vehicle.
        versions: What a candidate is in each vehicle; those that are the same in all are missing.
        capacities: Current in A that each power kit carries over the run of each vehicle; 0 where it does not reach.
    """

    offers: tuple[Offer, ...]
    versions: Mapping[Option, Versions]
    capacities: Mapping[Kit, tuple[float, ...]]

    def alone(self, current_a: float) -> list[Kit]:
        """Power kits for a device that has one of its own; a dearer one only where it serves vehicles more."""
        kept: list[tuple[Tags, Fits, Kit]] = []
        for kit in sorted(self.kits, key=lambda kit: (kit.price, kit.sku_order)):
            fits = self.carrying(kit, current_a)
            if any(fits) and not any(tags == kit.tags and _within(fits, others) for tags, others, _ in kept):
                kept.append((kit.tags, fits, kit))
        return [kit for _, _, kit in kept]

    def carrying(self, kit: Kit, current_a: float) -> Fits:
        """Where a power kit carries a current, in A."""
        return tuple(capacity > 0 and at_most(current_a, capacity) for capacity in self.capacities[kit])

    def fits(self, option: Option) -> Fits:
        """Where a candidate fits, as far as it decides alone."""
        if isinstance(option, Kit):
            return tuple(capacity > 0 for capacity in self.capacities[option])
        return fits_of(self.versions[option]) if option in self.versions else (True,) * len(self.offers)

    def prices(self, option: Option) -> tuple[int, ...]:
        """What a candidate costs in each vehicle, in cents; the least where it does not fit."""
        versions = self.versions.get(option, ((),) * len(self.offers))
        return tuple(some[0].price if some else option.price for some in versions)


def fits_of(versions: Versions) -> Fits:
    """Where there is a version."""
    return tuple(map(bool, versions))


def _within(fits: Fits, others: Fits) -> bool:
    """Whether everything fits the others that fits these."""
    return all(other for one, other in zip(fits, others, strict=True) if one)


def common(catalogue: Catalogue, brief: Brief, vehicles: Sequence[Vehicle], enough: Enough) -> Common:
    """Gather and prune what several vehicles may have in common.

    Args:
        catalogue: The checked catalogue.
        brief: What the customers want.
        vehicles: At least one.
        enough: Whether so many vehicles could still be enough; candidates that fit fewer are left out.
    """
    offers = tuple(Offer(catalogue, brief, vehicle) for vehicle in vehicles)
    apart = tuple(replace(offer, watched=_apart(catalogue)) for offer in offers)
    by_internal, by_brand = brief.amplifier is not Want.REQUIRED, brief.one_brand is not OneBrand.NO
    units = _unbeaten(
        _gathered(map(sources, apart), enough),
        key=lambda source: source.internal_w if by_internal else 0.0,
        worse=lambda source, _: (-source.pairs,),
    )
    places = {
        location: _unbeaten(
            _gathered((sounders(offer, location) for offer in apart), enough),
            key=lambda sounder: (sounder.load, sounder.brand if by_brand else ""),
            worse=lambda sounder, _: (sounder.current_a,),
        )
        for location in Location
    }
    sounding = {sounder: versions for found in places.values() for sounder, versions in found.items()}
    listed = {location: list(found) for location, found in places.items()}
    matched = match(offers[0], list(units), listed, lambda sounder: _prices(sounding[sounder]))
    ohms = external_ohms(matched.pairings)
    kits, leads = _kits(apart, enough), _leads(offers, enough)
    cables = _cables((accessories.cables(offer, ohms) for offer in apart), enough)
    deadening = _unbeaten(_levels(map(accessories.deadening, apart), enough))
    versions: list[tuple[Option, Versions]] = [*units.items(), *sounding.items(), *cables.items()]
    versions += [*deadening.items(), *leads.items()]
    return Common(
        offer=offers[0],
        sources=tuple(units),
        sounders=matched.sounders,
        arrangements=matched.arrangements,
        pairings=matched.pairings,
        kits=tuple(kits),
        leads=tuple(leads),
        cables=tuple(cables),
        deadening=tuple(deadening),
        offers=offers,
        versions=dict(versions),
        capacities=kits,
    )


def _apart(catalogue: Catalogue) -> frozenset[str]:
    """Products that one vehicle alone cannot tell to be superfluous; leads and what is the vehicle's own it can."""
    several = (
        catalogue.head_units,
        catalogue.converters,
        catalogue.speakers,
        catalogue.subwoofers,
        catalogue.boxes,
        catalogue.power_kits,
        catalogue.speaker_cables,
        catalogue.deadening,
    )
    return frozenset(product.sku for products in several for product in products)


def _gathered(found: Iterable[Sequence[T]], enough: Enough) -> dict[T, Versions]:
    """Candidates that are the same but for the vehicle's own parts, brought together: found[vehicle][candidate]."""
    each = list(found)
    by_bare: dict[T, list[list[T]]] = {}
    for number, options in enumerate(each):
        for option in options:
            by_bare.setdefault(_bare(option), [[] for _ in each])[number].append(option)
    marks: dict[Hashable, int] = {}
    together: dict[T, Versions] = {}
    for bare, some in by_bare.items():
        versions = tuple(tuple(sorted(options, key=lambda one: (one.price, one.sku_order))) for options in some)
        if enough(fits_of(versions)):
            price = min(option.price for option in chain(*versions))
            together[replace(bare, price=price, tags=_tags(versions, marks))] = versions
    return together


def _bare(option: T) -> T:
    """A candidate without what differs between vehicles."""
    parts = tuple(
        Part(part.role, part.sku) if part.role is Role.SPEAKER_CABLE else part
        for part in option.parts
        if part.role not in OWN_ROLES
    )
    bare = replace(option, parts=parts, price=0, tags=frozenset())
    return replace(bare, least_ohm=()) if isinstance(bare, Cable) else bare


def _tags(versions: Versions, marks: dict[Hashable, int]) -> Tags:
    """Must-include terms that a candidate can meet, and a mark of its own where that depends on the vehicle."""
    met = {terms_met(option) for option in chain(*versions)}
    if len(met) == 1 and all(len(some) <= 1 for some in versions):
        return met.pop()
    own = tuple(tuple((terms_met(option), option.price - some[0].price) for option in some) for some in versions)
    return frozenset(chain(*met, [("own parts", marks.setdefault(own, len(marks)))]))


def terms_met(option: Option) -> Tags:
    """Positions of the must-include terms that a version meets."""
    return frozenset(tag for tag in option.tags if isinstance(tag, int))


def _unbeaten(
    options: Mapping[T, Versions],
    *,
    key: Callable[[T], Hashable] = lambda _: 0,
    worse: Callable[[T, Versions], Sequence[float]] = lambda *_: (),
) -> dict[T, Versions]:
    """The candidates that no other makes superfluous: dearer in no vehicle that the other fits, no worse otherwise.

    Args:
        options: Candidates with their versions.
        key: What else a constraint can see of a candidate.
        worse: Further figures of which less is better.
    """
    if not options:
        return {}
    listed = list(options)
    rows = [[-figure for figure in (*_prices(options[one]), *worse(one, options[one]))] for one in listed]
    return {listed[i]: options[listed[i]] for i in undominated_by_row(listed, rows, key=key)}


def _prices(versions: Versions) -> tuple[float, ...]:
    """What a candidate costs in each vehicle, in cents; without end where it does not fit."""
    return tuple(some[0].price if some else math.inf for some in versions)


def _cables(found: Iterable[Sequence[Cable]], enough: Enough) -> dict[Cable, Versions]:
    """Speaker cables; `least_ohm` is the lowest load in any vehicle, and the versions have that of their own."""
    unbeaten = _unbeaten(_gathered(found, enough), key=lambda cable: cable.locations, worse=_least_ohms)
    return {
        replace(cable, least_ohm=tuple(map(min, zip(*_loads(versions), strict=True)))): versions
        for cable, versions in sorted(unbeaten.items(), key=lambda pair: accessories.fixed_order(pair[0]))
    }


def _loads(versions: Versions) -> list[tuple[float, ...]]:
    """The lowest load at each location, of every version of a speaker cable."""
    return [option.least_ohm for option in chain(*versions) if isinstance(option, Cable)]


def _least_ohms(cable: Cable, versions: Versions) -> list[float]:
    """The lowest load that a cable may serve at each location, vehicle by vehicle; without end where it may none."""
    none, elsewhere = (math.inf,) * len(cable.locations), (0.0,) * (len(Location) - len(cable.locations))
    each = (some[0].least_ohm if some and isinstance(some[0], Cable) else none for some in versions)
    return [ohm for least in each for ohm in (*least, *elsewhere)]


def _levels(found: Iterable[Sequence[Option]], enough: Enough) -> dict[Option, Versions]:
    """Purchases of deadening, once for each number of points: those count that the largest doors among them leave."""
    each = list(found)
    points = {(number, one.parts): one.points for number, options in enumerate(each) for one in options}
    levels: dict[Option, Versions] = {}
    for bare, versions in _gathered([[replace(one, points=0) for one in some] for some in each], enough).items():
        earned = [points.get((number, bare.parts), 0) for number in range(len(each))]
        here = [tuple(replace(one, points=earned[number]) for one in some) for number, some in enumerate(versions)]
        for level in sorted({one.points for one in chain(*here)}):
            fitting = tuple(some if earned[number] >= level else () for number, some in enumerate(here))
            if enough(fits_of(fitting)):
                levels[replace(bare, points=level)] = fitting
    return levels


def _kits(apart: Sequence[Offer], enough: Enough) -> dict[Kit, tuple[float, ...]]:
    """Power kits with what each carries in every vehicle; `capacity_a` of a kit is the most in any."""
    carried: dict[Kit, list[float]] = {}
    for number, offer in enumerate(apart):
        for kit in accessories.kits(offer):
            bare = replace(kit, capacity_a=0.0, tags=terms_met(kit))
            carried.setdefault(bare, [0.0] * len(apart))[number] = kit.capacity_a
    kits = {
        replace(bare, capacity_a=max(capacities)): tuple(capacities)
        for bare, capacities in carried.items()
        if enough(tuple(capacity > 0 for capacity in capacities))
    }
    if not kits:
        return {}
    listed = list(kits)
    stay = undominated_by_row(listed, [(*kits[kit], kit.feeds) for kit in listed], key=lambda _: 0)
    return {listed[i]: kits[listed[i]] for i in stay}


def _leads(offers: Sequence[Offer], enough: Enough) -> dict[Leads, Versions]:
    """Sets of signal leads that are best for some vehicle.

    No others are needed: of the vehicles covered the one with the longest run decides, and a set that is long enough
    there is so in all.
    """
    found: dict[Leads, Versions] = {}
    runs = [accessories.lead_run(offer) for offer in offers]
    lengths = {lead.sku: lead.length_m for lead in offers[0].catalogue.signal_leads}
    for offer in offers:
        for leads in accessories.leads(offer, len(Location)):
            shortest = min(lengths[part.sku] for part in leads.parts)
            versions = tuple((leads,) if shortest >= run else () for run in runs)
            if enough(fits_of(versions)):
                found[leads] = versions
    return found
