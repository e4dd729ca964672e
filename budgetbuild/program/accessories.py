"""Candidates for power kits, signal leads, speaker cable and deadening, each as a whole purchase with its price."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.kinds import Location, Want, Work
from budgetbuild.program.dominance import undominated
from budgetbuild.program.offer import Offer, rating_of
from budgetbuild.program.options import Cable, Kit, Leads, Option
from budgetbuild.program.useful import useful
from budgetbuild.trade import cable as cable_rules
from budgetbuild.trade import power, score, signal, treatment
from budgetbuild.trade.figures import exact

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from budgetbuild.catalogue.items import SignalLead, SpeakerCable
    from budgetbuild.program.options import Tags


def kits(offer: Offer) -> list[Kit]:
    """Undominated power kits that reach from the battery to the amplifier."""
    limits = offer.catalogue.settings.limits
    run = power.power_run(offer.vehicle, limits)
    found = (
        Kit(
            parts=parts,
            price=kit.price,
            tags=offer.tags(parts),
            capacity_a=power.kit_capacity(kit, run, limits),
            feeds=kit.amplifiers_fed,
        )
        for kit in useful(offer, offer.catalogue.power_kits, Role.POWER_KIT)
        if kit.length_m >= run and power.conductor_allowed(kit, limits)
        for parts in ((Part(Role.POWER_KIT, kit.sku),),)
    )
    return undominated(found, worse=lambda kit: (-kit.capacity_a, -kit.feeds), weighing=offer.weighing)


def leads(offer: Offer, most_pairs: int) -> list[Leads]:
    """The cheapest set of leads for every number of stereo pairs and every set of must-include terms that leads meet.

    For no pairs at all there is one only where a term asks for it.
    """
    run = lead_run(offer)
    most = signal.channels_needed(most_pairs)
    chosen = _useful_leads(offer, run)
    # Only sets of the same products and channels stand in for each other here: of others one may be too many where the
    # other is not, and with one lead more they may come to other numbers of lines. Where more than the price counts,
    # none does: all that are just enough are compared at the end.
    sets: dict[tuple[int, Tags, frozenset[str | Part]], Leads] = {(0, frozenset(), frozenset()): Leads((), 0)}
    for lead in chosen:
        news = list(sets.items())
        while news:  # a set with the lead once more, as long as that is any set's cheapest
            (channels, tags, held), some = news.pop()
            if channels >= most and offer.terms_met(lead) <= tags:
                continue  # nothing is left to connect, and no term asks for it
            more = _one_more(offer, some, lead)
            now: frozenset[str | Part] = held | {lead.sku} if offer.weighing is None else frozenset(more.parts)
            key = channels + lead.channels, more.tags, now
            if key not in sets or _order(more) < _order(sets[key]):
                sets[key] = more
                news.append((key, more))
    by_sku = {lead.sku: lead for lead in chosen}
    found = (
        replace(some, pairs=pairs)
        for some in sets.values()
        for pairs in range(most_pairs + 1)
        if some.parts and _just_enough(offer, [(by_sku[part.sku], part.quantity) for part in some.parts], pairs)
    )
    return undominated(found, key=lambda option: option.pairs, weighing=offer.weighing)


def _just_enough(offer: Offer, some: Sequence[tuple[SignalLead, int]], pairs: int) -> bool:
    """Whether leads serve so many pairs, and none is too many but one that alone among them meets a term.

    A lead too many makes a set dearer, so only where products are watched does nothing else rule it out.
    """
    needed, channels = signal.channels_needed(pairs), sum(lead.channels * count for lead, count in some)
    spare = [(lead, count) for lead, count in some if channels - lead.channels >= needed]
    return channels >= needed and all(count == 1 and _meets_alone(offer, lead, some) for lead, count in spare)


def _meets_alone(offer: Offer, lead: SignalLead, some: Iterable[tuple[SignalLead, int]]) -> bool:
    """Whether a lead meets a must-include term that no other one of these meets."""
    others = {term for other, _ in some if other is not lead for term in offer.terms_met(other)}
    return not offer.terms_met(lead) <= others


def lead_run(offer: Offer) -> float:
    """How long a signal lead must be, in m."""
    return signal.run_m(offer.brief.head_unit, offer.vehicle, offer.catalogue.settings.limits)


def _useful_leads(offer: Offer, run_m: float) -> list[SignalLead]:
    """Leads that are long enough, unless another with as many channels is no dearer.

    Where more than the price counts, or lines do, one with more channels is no stand-in: it may make another lead one
    too many.
    """
    leads_on_offer = useful(offer, offer.catalogue.signal_leads, Role.SIGNAL_LEAD)
    by_sku = {lead.sku: lead for lead in leads_on_offer if lead.length_m >= run_m}
    single = [_one_more(offer, Leads((), 0), lead) for lead in by_sku.values()]

    def channels(option: Leads) -> int:
        return by_sku[option.parts[0].sku].channels

    kept = (
        undominated(single, worse=lambda option: (-channels(option),))
        if offer.weighing is None and not offer.lines_count
        else undominated(single, key=channels, weighing=offer.weighing)
    )
    return [by_sku[option.parts[0].sku] for option in kept]


def _one_more(offer: Offer, some: Leads, lead: SignalLead) -> Leads:
    counts = {part.sku: part.quantity for part in some.parts}
    counts[lead.sku] = counts.get(lead.sku, 0) + 1
    parts = tuple(Part(Role.SIGNAL_LEAD, sku, count) for sku, count in counts.items())
    return Leads(parts, some.price + lead.price, tags=offer.tags(parts))


def _order(some: Leads) -> tuple[int, tuple[str, ...]]:
    return some.price, some.sku_order


def cables(offer: Offer, ohms: Mapping[Location, Sequence[float]]) -> list[Cable]:
    """Undominated purchases of one speaker cable for a set of locations, in whole units.

    Args:
        offer: The catalogue seen through the brief.
        ohms: Distinct loads that an external amplifier may drive at each location, ascending.
    """
    places = [location for location in Location if ohms.get(location)]
    found = []
    for cable in useful(offer, offer.catalogue.speaker_cables, Role.SPEAKER_CABLE):
        least = {place: ohm for place in places if (ohm := _least_ohm(offer, cable, place, ohms[place])) is not None}
        for count in range(1, len(least) + 1):
            found += [_cable(offer, cable, some, least) for some in combinations(least, count)]
    asked = [
        Cable(parts, cable.price, tags=offer.tags(parts))
        for cable in offer.offered(offer.catalogue.speaker_cables)
        if offer.terms_met(cable)
        for parts in ((Part(Role.SPEAKER_CABLE, cable.sku),),)
    ]
    bought = [*found, *asked]
    # One cable in the place of another joins what is bought of it elsewhere: fewer units, so it may earn less.
    if offer.weighing is None:
        bought = undominated(bought, key=lambda cable: cable.locations, worse=lambda cable: cable.least_ohm)
    return sorted(bought, key=fixed_order)


def fixed_order(cable: Cable) -> tuple[tuple[str, ...], list[int]]:
    """An order that does not turn on what else is on sale: it says which of two bought cables serves a location."""
    return cable.sku_order, [list(Location).index(place) for place in cable.locations]


def _least_ohm(offer: Offer, cable: SpeakerCable, location: Location, ohms: Sequence[float]) -> float | None:
    """The lowest of some loads, ascending, that a cable may serve at a location; `None` where it may serve none."""
    limits = offer.catalogue.settings.limits
    allowed = (ohm for ohm in ohms if cable_rules.cable_allowed(cable, location, ohm, offer.vehicle, limits))
    return next(allowed, None)


def _cable(offer: Offer, cable: SpeakerCable, some: tuple[Location, ...], least_ohm: Mapping[Location, float]) -> Cable:
    units = cable_rules.units_needed(cable, some, offer.vehicle, offer.catalogue.settings.limits)
    parts = (Part(Role.SPEAKER_CABLE, cable.sku, units),)
    return Cable(
        parts=parts,
        price=cable.price * units,
        tags=offer.tags(parts),
        locations=some,
        least_ohm=tuple(least_ohm[place] for place in some),
    )


def deadening(offer: Offer) -> list[Option]:
    """Undominated purchases of sound deadening: one product, whole sheets, up to the area worth treating."""
    if offer.brief.deadening is Want.NONE:
        return []
    area = treatment.door_m2(offer.vehicle, offer.catalogue.settings.limits)
    weight = offer.catalogue.weights.treatment
    found = (
        Option(
            parts=parts,
            price=sheet.price * count + offer.labour(Work.DEADENING_PER_M2, treated),
            points=score.rating_points(weight * score.coverage(float(treated), area), rating_of(sheet)),
            tags=offer.tags(parts),
        )
        for sheet in useful(offer, offer.catalogue.deadening, Role.DEADENING)
        for count in range(1, treatment.most_sheets(sheet, area) + 1)
        for treated in (count * exact(sheet.sheet_m2),)
        for parts in ((Part(Role.DEADENING, sheet.sku, count),),)
    )
    return undominated(offer.permitted(found), weighing=offer.weighing)
