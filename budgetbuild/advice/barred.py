"""Which rule forbids a product in a brief and vehicle altogether, whatever the budget, as far as one rule does."""

from __future__ import annotations

from collections.abc import Iterator
from functools import singledispatch
from typing import TYPE_CHECKING

from budgetbuild.build import Caution, Part, Role
from budgetbuild.catalogue.items import (
    Aerial,
    Amplifier,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    PowerKit,
    Product,
    SignalLead,
    Speaker,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import HeadUnitMode, KitFor, Location, SubwooferType, Want
from budgetbuild.catalogue.names import fold
from budgetbuild.program.accessories import kits
from budgetbuild.program.candidates import candidates, carries
from budgetbuild.program.offer import Narrowing, Offer
from budgetbuild.program.sources import aerials, fitting_units
from budgetbuild.program.speakers import ADAPTERS, ROLES, adapters, location_kits, want
from budgetbuild.trade import amplifiers, fit, power, signal

if TYPE_CHECKING:
    from budgetbuild.advice.entry import Market
    from budgetbuild.catalogue.shop import Brief


RATED = (HeadUnit, Converter, Speaker, Subwoofer, Amplifier, Deadening)
"""Kinds of product whose rating earns points."""


def barred(market: Market, product: Product) -> tuple[Caution, ...]:
    """Rules that forbid a product; empty where it is forbidden by several things together."""
    offer = Offer(market.catalogue, market.brief, market.vehicle)
    found = tuple(_offered(offer, product))
    return found or tuple(_of_kind(product, offer))


def _offered(offer: Offer, product: Product) -> Iterator[Caution]:
    if not product.active:
        unrated = product.rating is None and isinstance(product, RATED)
        yield Caution("unrated" if unrated else "not-offered", product.sku)
    left_out = {fold(term) for term in offer.brief.leave_out}
    for term in (product.sku, product.brand):
        if fold(term) in left_out:
            yield Caution("left-out", product.sku, {"term": term})


@singledispatch
def _of_kind(product: Product, offer: Offer) -> Iterator[Caution]:
    """What one kind of product is held against; nothing for kinds that every brief may use."""
    del product, offer
    return iter(())


def _unwanted(product: Product, what: str) -> Caution:
    return Caution("unwanted", product.sku, {"what": what})


def _does_not_fit(product: Product, reason: str) -> Caution:
    return Caution("does-not-fit", product.sku, {"reason": reason})


@_of_kind.register
def _head_unit(unit: HeadUnit, offer: Offer) -> Iterator[Caution]:
    if offer.brief.head_unit is not HeadUnitMode.REPLACE:
        yield _unwanted(unit, "a new head unit")
    elif not fit.opening_takes(offer.vehicle.opening, unit.opening):
        yield _does_not_fit(unit, f"a {unit.opening} unit, where the dash opening is {offer.vehicle.opening}")
    else:
        if unit.digital_radio and not aerials(offer):
            yield _does_not_fit(unit, "no aerial on offer for its digital radio suits the vehicle")
        yield from _enough_pairs(unit, unit.preout_pairs, offer.brief)


def _enough_pairs(unit: HeadUnit | Converter, pairs: int, brief: Brief) -> Iterator[Caution]:
    """Held against a source: bass always takes a pair, front and rear do on an external amplifier."""
    external = (brief.front, brief.rear) if brief.amplifier is Want.REQUIRED else ()
    needed = [*external, brief.bass].count(Want.REQUIRED)
    if pairs < needed:
        yield _does_not_fit(unit, f"what the brief requires takes {needed} stereo pairs from it, and it has {pairs}")


@_of_kind.register
def _speaker(speaker: Speaker, offer: Offer) -> Iterator[Caution]:
    wanted = [location for location in ADAPTERS if want(offer, location) is not Want.NONE]
    if not wanted:
        yield _unwanted(speaker, "front or rear speakers")
    reasons = {location: _misfit(offer, speaker, location) for location in wanted}
    if wanted and all(reasons.values()):
        for reason in dict.fromkeys(reasons.values()):
            yield _does_not_fit(speaker, reason)
    fitting = [location for location in wanted if not reasons[location]]
    if fitting and not any(_driven(offer, location, Part(ROLES[location], speaker.sku)) for location in fitting):
        yield Caution("not-driven", speaker.sku, {"ohm": speaker.ohm, "rms_w": speaker.rms_w})


def _misfit(offer: Offer, speaker: Speaker, location: Location) -> str:
    fitted = fit.speaker_fits(speaker, offer.vehicle, location)
    if not fitted.allowed:
        return fitted.reason
    if not adapters(offer, speaker, location, location_kits(offer, location)):
        place = fit.place(offer.vehicle, location).size_mm
        return f"{speaker.size_mm:g} mm speakers, {location} place {place:g} mm, and no adapter is listed"
    return ""


def _driven(offer: Offer, location: Location, *parts: Part) -> bool:
    """Whether anything on offer drives one of these parts at a location."""
    only = Narrowing({ROLES[location]: frozenset(parts)})
    return bool(candidates(Offer(offer.catalogue, offer.brief, offer.vehicle, only)).sounders[location])


@_of_kind.register
def _subwoofer(subwoofer: Subwoofer, offer: Offer) -> Iterator[Caution]:
    if offer.brief.bass is Want.NONE:
        yield _unwanted(subwoofer, "bass")
        return
    limits = offer.catalogue.settings.limits
    if subwoofer.type is SubwooferType.DRIVER:
        boxes = [box for box in offer.offered(offer.catalogue.boxes) if fit.box_takes(box, subwoofer)]
        if not boxes:
            yield _does_not_fit(subwoofer, "no box on offer has its cut-out and litres")
            return
        if not any(_in_boot(offer, box).allowed for box in boxes):
            yield _does_not_fit(subwoofer, "no box on offer that suits it goes into the boot")
            return
    else:
        fitted = fit.boot_fits(subwoofer.width_mm, subwoofer.height_mm, subwoofer.depth_mm, offer.vehicle, limits)
        if not fitted.allowed:
            yield _does_not_fit(subwoofer, fitted.reason)
            return
    counts = (Part(Role.BASS, subwoofer.sku, count) for count in range(1, 5))
    if not _driven(offer, Location.BASS, *counts):
        yield Caution("not-driven", subwoofer.sku, {"ohm": subwoofer.ohm or 0.0, "rms_w": subwoofer.rms_w})
    elif subwoofer.type is SubwooferType.POWERED:
        current, _ = amplifiers.powered_current(subwoofer, limits)
        yield from _carried(offer, subwoofer, current)


def _in_boot(offer: Offer, box: Box) -> fit.Fit:
    limits = offer.catalogue.settings.limits
    return fit.boot_fits(box.width_mm, box.height_mm, box.depth_mm, offer.vehicle, limits)


@_of_kind.register
def _box(box: Box, offer: Offer) -> Iterator[Caution]:
    fitted = _in_boot(offer, box)
    if offer.brief.bass is Want.NONE:
        yield _unwanted(box, "bass")
        return
    if not fitted.allowed:
        yield _does_not_fit(box, fitted.reason)
        return
    drivers = [driver for driver in offer.offered(offer.catalogue.subwoofers) if fit.box_takes(box, driver)]
    if not drivers:
        yield _does_not_fit(box, "no driver on offer has its cut-out and suits its litres")
    elif not _driven(offer, Location.BASS, *(Part(Role.BASS, driver.sku, box.drivers) for driver in drivers)):
        yield _does_not_fit(box, "no amplifier on offer gives the drivers that suit it the right power")


@_of_kind.register
def _amplifier(amplifier: Amplifier, offer: Offer) -> Iterator[Caution]:
    if offer.brief.amplifier is Want.NONE:
        yield _unwanted(amplifier, "an external amplifier")
        return
    only = Narrowing({Role.AMPLIFIER: frozenset({Part(Role.AMPLIFIER, amplifier.sku)})})
    uses = candidates(Offer(offer.catalogue, offer.brief, offer.vehicle, only)).arrangements
    if not uses:
        yield Caution("drives-nothing", amplifier.sku)
        return
    yield from _carried(offer, amplifier, min(use.current_a for use in uses))


def _carried(offer: Offer, product: Product, current_a: float) -> Iterator[Caution]:
    """Held against a device: no power kit that may be used carries its current alone."""
    able = kits(offer)
    if not any(carries(kit, current_a) for kit in able):
        most = max((kit.capacity_a for kit in able), default=0.0)
        yield Caution("current-not-carried", product.sku, {"current_a": current_a, "carries_a": most})


@_of_kind.register
def _converter(converter: Converter, offer: Offer) -> Iterator[Caution]:
    if not _converting(offer):
        yield _unwanted(converter, "a line-output converter")
    else:
        yield from _enough_pairs(converter, converter.output_pairs, offer.brief)


def _converting(offer: Offer) -> bool:
    """Whether a converter may come in: the factory unit stays, and something may take a stereo pair."""
    wanted = offer.brief.amplifier is not Want.NONE or offer.brief.bass is not Want.NONE
    return offer.brief.head_unit is HeadUnitMode.KEEP_FACTORY and wanted


@_of_kind.register
def _deadening(sheet: Deadening, offer: Offer) -> Iterator[Caution]:
    if offer.brief.deadening is Want.NONE:
        yield _unwanted(sheet, "sound deadening")


@_of_kind.register
def _power_kit(kit: PowerKit, offer: Offer) -> Iterator[Caution]:
    limits = offer.catalogue.settings.limits
    yield from _too_short(kit, power.power_run(offer.vehicle, limits))
    if not power.conductor_allowed(kit, limits):
        yield Caution("copper-clad-barred", kit.sku)


@_of_kind.register
def _signal_lead(lead: SignalLead, offer: Offer) -> Iterator[Caution]:
    yield from _too_short(lead, signal.run_m(offer.brief.head_unit, offer.vehicle, offer.catalogue.settings.limits))


def _too_short(product: PowerKit | SignalLead, run_m: float) -> Iterator[Caution]:
    if product.length_m < run_m:
        yield Caution("too-short", product.sku, {"length_m": product.length_m, "run_m": run_m})


@_of_kind.register
def _aerial(aerial: Aerial, offer: Offer) -> Iterator[Caution]:
    needed = fit.aerial_use(offer.vehicle)
    if offer.brief.head_unit is not HeadUnitMode.REPLACE:
        yield _unwanted(aerial, "a new head unit")
    elif aerial.use is not needed:
        yield _does_not_fit(aerial, f"a {aerial.use} aerial, where the vehicle needs a {needed} one")
    elif not any(unit.digital_radio for unit in fitting_units(offer)):
        yield _does_not_fit(aerial, "no head unit on offer for the vehicle has digital radio")


@_of_kind.register
def _fitting_kit(kit: FittingKit, offer: Offer) -> Iterator[Caution]:
    brief = offer.brief
    if kit.fits is KitFor.HEAD_UNIT and brief.head_unit is not HeadUnitMode.REPLACE:
        yield _unwanted(kit, "a new head unit")
    elif kit.fits is KitFor.CONVERTER and not _converting(offer):
        yield _unwanted(kit, "a line-output converter")
    elif kit.fits is KitFor.SPEAKER and kit.location and want(offer, kit.location) is Want.NONE:
        yield _unwanted(kit, f"{kit.location} speakers")
    # A converter needs no kit where none names the vehicle, so one for any vehicle is never used.
    elif not (fit.kit_names if kit.fits is KitFor.CONVERTER else fit.kit_fits)(kit, offer.vehicle):
        yield _does_not_fit(kit, f"it is not listed for the {offer.vehicle.name}")
    elif kit.fits is KitFor.SPEAKER and kit.location and not _adapts(offer, kit, kit.location):
        yield _does_not_fit(kit, f"no speakers on offer for the {kit.location} need an adapter of its size")


def _adapts(offer: Offer, kit: FittingKit, location: Location) -> bool:
    """Whether some speakers on offer that go to a location otherwise need an adapter like this one."""
    return any(
        fit.adapter_needed(speaker, offer.vehicle, location)
        and fit.adapter_fits(kit, speaker, offer.vehicle, location)
        and fit.speaker_fits(speaker, offer.vehicle, location).allowed
        for speaker in offer.offered(offer.catalogue.speakers)
    )
