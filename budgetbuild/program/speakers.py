"""Candidates for front, rear and bass: speakers with adapter, enclosures, powered subwoofers, boxed drivers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.kinds import KitFor, Location, OneBrand, SubwooferType, Want, Work
from budgetbuild.catalogue.names import fold
from budgetbuild.program.dominance import undominated
from budgetbuild.program.offer import Offer, rating_of
from budgetbuild.program.options import Load, Option, Sounder
from budgetbuild.program.sources import accessory
from budgetbuild.program.useful import useful
from budgetbuild.trade import amplifiers, fit, loads, score

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.catalogue.items import FittingKit, Speaker, Subwoofer

ROLES = {Location.FRONT: Role.FRONT, Location.REAR: Role.REAR, Location.BASS: Role.BASS}
ADAPTERS = {Location.FRONT: Role.FRONT_ADAPTER, Location.REAR: Role.REAR_ADAPTER}
WORKS = {Location.FRONT: Work.FRONT, Location.REAR: Work.REAR, Location.BASS: Work.BASS}


def want(offer: Offer, location: Location) -> Want:
    """How the brief wants a location."""
    brief = offer.brief
    return {Location.FRONT: brief.front, Location.REAR: brief.rear, Location.BASS: brief.bass}[location]


def sounders(offer: Offer, location: Location) -> list[Sounder]:
    """Undominated candidates of one location; empty where the brief wants none there."""
    if want(offer, location) is Want.NONE:
        return []
    found = _bass(offer) if location is Location.BASS else _pairs(offer, location)
    by_brand = offer.brief.one_brand is not OneBrand.NO
    return undominated(
        offer.permitted(found),
        key=lambda sounder: (sounder.load, sounder.brand if by_brand else ""),
        worse=lambda sounder: (sounder.current_a,),
        weighing=offer.weighing,
    )


def _pairs(offer: Offer, location: Location) -> Iterator[Sounder]:
    weights = offer.catalogue.weights
    weight = weights.front if location is Location.FRONT else weights.rear
    listed = location_kits(offer, location)
    chosen: dict[float, list[Option]] = {}  # adapters by the only thing that they ask of a speaker, its size
    for speaker in useful(offer, offer.catalogue.speakers, ROLES[location]):
        if not fit.speaker_fits(speaker, offer.vehicle, location).allowed:
            continue
        if speaker.size_mm not in chosen:
            chosen[speaker.size_mm] = adapters(offer, speaker, location, listed)
        for adapter in chosen[speaker.size_mm]:
            parts = (Part(ROLES[location], speaker.sku), *adapter.parts)
            yield Sounder(
                parts=parts,
                price=speaker.price + adapter.price + offer.labour(WORKS[location]),
                points=score.rating_points(weight, rating_of(speaker)),
                tags=offer.tags(parts),
                location=location,
                load=Load(speaker.ohm, speaker.rms_w),
                brand=fold(speaker.brand),
            )


def location_kits(offer: Offer, location: Location) -> list[FittingKit]:
    """Speaker adapters on offer for a location of the vehicle, whatever size they take."""
    return [kit for kit in offer.offered(offer.fitting_kits) if kit.fits is KitFor.SPEAKER and kit.location is location]


def adapters(offer: Offer, speaker: Speaker, location: Location, listed: Sequence[FittingKit]) -> list[Option]:
    """Adapter choices of a speaker at a location: one free choice where none is needed, none where none is listed.

    Args:
        offer: The catalogue seen through the brief.
        speaker: The speaker.
        location: Front or rear.
        listed: The adapters on offer there, see `location_kits`.
    """
    if not fit.adapter_needed(speaker, offer.vehicle, location):
        return [Option((), 0)]
    suited = [kit for kit in listed if fit.adapter_fits(kit, speaker, offer.vehicle, location)]
    return accessory(offer, suited, ADAPTERS[location])


def _bass(offer: Offer) -> Iterator[Sounder]:
    chosen: BoxChoices = {}
    for subwoofer in useful(offer, offer.catalogue.subwoofers, Role.BASS):
        if subwoofer.type is SubwooferType.DRIVER:
            yield from _boxed(offer, subwoofer, chosen)
        elif offer.goes_into_boot(subwoofer):
            yield (
                _powered(offer, subwoofer) if subwoofer.type is SubwooferType.POWERED else _enclosure(offer, subwoofer)
            )


BoxChoices = dict[tuple[float | None, ...], dict[int, list[Option]]]
"""Undominated boxes by their number of cut-outs, for all drivers that ask the same of a box."""


def _boxed(offer: Offer, driver: Subwoofer, chosen: BoxChoices) -> Iterator[Sounder]:
    asked = (driver.size_mm, driver.box_litres_min, driver.box_litres_max)
    if asked not in chosen:
        taking = [box for box in offer.catalogue.boxes if fit.box_takes(box, driver)]
        suited = list(filter(offer.goes_into_boot, useful(offer, taking, Role.BOX)))
        chosen[asked] = {
            count: accessory(offer, [box for box in suited if box.drivers == count], Role.BOX)
            for count in sorted({box.drivers for box in suited})
        }
    for count, choices in chosen[asked].items():
        for net in loads.nets(ohm_of(driver), driver.coils, count):
            for box in choices:
                parts = (Part(Role.BASS, driver.sku, count), *box.parts)
                yield Sounder(
                    parts=parts,
                    price=driver.price * count + box.price + offer.labour(Work.BASS),
                    points=score.rating_points(offer.catalogue.weights.bass, rating_of(driver)),
                    tags=offer.tags(parts),
                    location=Location.BASS,
                    load=Load(net.ohm, driver.rms_w * count),
                    brand=fold(driver.brand),
                    wiring=net.wiring,
                )


def _enclosure(offer: Offer, enclosure: Subwoofer) -> Sounder:
    parts = (Part(Role.BASS, enclosure.sku),)
    return Sounder(
        parts=parts,
        price=enclosure.price + offer.labour(Work.BASS),
        points=score.rating_points(offer.catalogue.weights.bass, rating_of(enclosure)),
        tags=offer.tags(parts),
        location=Location.BASS,
        load=Load(ohm_of(enclosure), enclosure.rms_w),
        brand=fold(enclosure.brand),
    )


def _powered(offer: Offer, subwoofer: Subwoofer) -> Sounder:
    weights, rating = offer.catalogue.weights, rating_of(subwoofer)
    current, _ = amplifiers.powered_current(subwoofer, offer.catalogue.settings.limits)
    points = (
        score.rating_points(weights.bass, rating),
        score.rating_points(score.share(weights, "amplification", Location.BASS), rating),
        int(score.thousandths(score.share(weights, "match", Location.BASS))),
    )
    parts = (Part(Role.BASS, subwoofer.sku),)
    return Sounder(
        parts=parts,
        price=subwoofer.price + offer.labour(Work.BASS),
        points=sum(points),
        tags=offer.tags(parts),
        location=Location.BASS,
        brand=fold(subwoofer.brand),
        current_a=current,
    )


def ohm_of(subwoofer: Subwoofer) -> float:
    """The stated load of a driver or enclosure.

    Raises:
        ValueError: It states none; the catalogue checks refuse that earlier.
    """
    if subwoofer.ohm is None:
        raise ValueError(f"{subwoofer.sku} states no load")
    return subwoofer.ohm
