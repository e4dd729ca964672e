"""Candidates for power kits, signal leads, speaker cable and deadening, each as a whole purchase with its price."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, combinations_with_replacement
from typing import TYPE_CHECKING

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.items import Conductor, Location, SignalLead, SpeakerCable, Want, Work
from budgetbuild.program.dominance import undominated
from budgetbuild.program.offer import Offer, rating_of
from budgetbuild.program.options import Cable, Kit, Leads, Option
from budgetbuild.trade import cable as cable_rules
from budgetbuild.trade import power, score, signal, treatment

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence


def kits(offer: Offer) -> list[Kit]:
    """Undominated power kits that reach from the battery to the amplifier."""
    limits = offer.catalogue.settings.limits
    run = power.power_run(offer.vehicle, limits)
    found = (
        Kit(
            parts=(Part(Role.POWER_KIT, kit.sku),),
            price=kit.price,
            tags=offer.tags(kit),
            capacity_a=power.kit_capacity(kit, run, limits),
            feeds=kit.amplifiers_fed,
        )
        for kit in offer.offered(offer.catalogue.power_kits)
        if kit.length_m >= run and (limits.cca_allowed or kit.conductor is not Conductor.CCA)
    )
    return undominated(found, worse=lambda kit: (-kit.capacity_a, -kit.feeds))


def leads(offer: Offer, most_pairs: int) -> list[Leads]:
    """Undominated sets of leads for 1 to `most_pairs` stereo pairs, and for none where a must-include term asks."""
    run = signal.run_m(offer.brief.head_unit, offer.vehicle, offer.catalogue.settings.limits)
    long_enough = [lead for lead in offer.offered(offer.catalogue.signal_leads) if lead.length_m >= run]
    single = [_lead_set(offer, [lead], pairs=0) for lead in long_enough]
    channels = {option.parts[0].sku: lead.channels for option, lead in zip(single, long_enough, strict=True)}
    useful = undominated(single, worse=lambda option: (-channels[option.parts[0].sku],))
    by_sku = {lead.sku: lead for lead in long_enough}
    choice = [by_sku[option.parts[0].sku] for option in useful]
    found = [_lead_set(offer, some, pairs) for pairs in range(1, most_pairs + 1) for some in _covers(choice, pairs)]
    asked = [option for option in useful if option.tags]
    return undominated([*found, *asked], key=lambda option: option.pairs)


def _covers(choice: Sequence[SignalLead], pairs: int) -> Iterator[tuple[SignalLead, ...]]:
    """Sets of leads with enough channels and at most one lead more than needed (which a must-include term may add)."""
    needed = signal.channels_needed(pairs)
    for count in range(1, needed + 2):
        for some in combinations_with_replacement(choice, count):
            if sum(lead.channels for lead in some) >= needed:
                yield some


def _lead_set(offer: Offer, some: Sequence[SignalLead], pairs: int) -> Leads:
    counts: dict[str, int] = {}
    for lead in some:
        counts[lead.sku] = counts.get(lead.sku, 0) + 1
    return Leads(
        parts=tuple(Part(Role.SIGNAL_LEAD, sku, count) for sku, count in counts.items()),
        price=sum(lead.price for lead in some),
        tags=offer.tags(*some),
        pairs=pairs,
    )


def cables(offer: Offer, ohms: Mapping[Location, Sequence[float]]) -> list[Cable]:
    """Undominated purchases of one speaker cable for a set of locations, in whole units.

    Args:
        offer: The catalogue seen through the brief.
        ohms: Distinct loads that an external amplifier may drive at each location, ascending.
    """
    places = [location for location in Location if ohms.get(location)]
    found = [
        purchase
        for cable in offer.offered(offer.catalogue.speaker_cables)
        for count in range(1, len(places) + 1)
        for some in combinations(places, count)
        if (purchase := _cable(offer, cable, some, ohms)) is not None
    ]
    asked = [
        Cable((Part(Role.SPEAKER_CABLE, cable.sku),), cable.price, tags=tags)
        for cable in offer.offered(offer.catalogue.speaker_cables)
        if (tags := offer.tags(cable))
    ]
    return undominated([*found, *asked], key=lambda cable: cable.locations, worse=lambda cable: cable.least_ohm)


def _cable(
    offer: Offer, cable: SpeakerCable, some: tuple[Location, ...], ohms: Mapping[Location, Sequence[float]]
) -> Cable | None:
    limits = offer.catalogue.settings.limits
    least: list[float] = []
    for location in some:
        allowed = [
            ohm for ohm in ohms[location] if cable_rules.cable_allowed(cable, location, ohm, offer.vehicle, limits)
        ]
        if not allowed:
            return None
        least.append(min(allowed))
    units = cable_rules.units_needed(cable, some, offer.vehicle, limits)
    return Cable(
        parts=(Part(Role.SPEAKER_CABLE, cable.sku, units),),
        price=cable.price * units,
        tags=offer.tags(cable),
        locations=some,
        least_ohm=tuple(least),
    )


def deadening(offer: Offer) -> list[Option]:
    """Undominated purchases of sound deadening: one product, whole sheets, up to the area worth treating."""
    if offer.brief.deadening is Want.NONE:
        return []
    area = treatment.door_m2(offer.vehicle, offer.catalogue.settings.limits)
    weight = offer.catalogue.weights.treatment
    found = [
        Option(
            parts=(Part(Role.DEADENING, sheet.sku, count),),
            price=sheet.price * count + offer.labour(Work.DEADENING_PER_M2, count * Fraction(str(sheet.sheet_m2))),
            points=score.rating_points(weight * score.coverage(count * sheet.sheet_m2, area), rating_of(sheet)),
            tags=offer.tags(sheet),
        )
        for sheet in offer.offered(offer.catalogue.deadening)
        for count in range(1, treatment.most_sheets(sheet, area) + 1)
    ]
    return undominated(found)
