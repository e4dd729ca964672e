"""Candidates for the source: a new head unit with kit and aerial, a converter beside the factory unit, or none."""

from __future__ import annotations

from itertools import product as every
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.items import Aerial, Converter, FittingKit, HeadUnit, Product
from budgetbuild.catalogue.kinds import HeadUnitMode, KitFor, Want, Work
from budgetbuild.program.dominance import undominated
from budgetbuild.program.offer import Offer, rating_of
from budgetbuild.program.options import Option, Source
from budgetbuild.program.useful import useful
from budgetbuild.trade import fit, score

if TYPE_CHECKING:
    from collections.abc import Sequence


def sources(offer: Offer) -> list[Source]:
    """Undominated sources that the brief may buy; empty where it keeps the customer's own unit."""
    found: list[Source]
    match offer.brief.head_unit:
        case HeadUnitMode.REPLACE:
            found = _head_units(offer)
        case HeadUnitMode.KEEP_FACTORY:
            found = _converters(offer) if _may_take_pairs(offer) else []
        case HeadUnitMode.KEEP_OWN:
            found = []
    uses_internal = offer.brief.amplifier is not Want.REQUIRED
    return undominated(
        offer.permitted(found),
        key=lambda source: source.internal_w if uses_internal else 0.0,
        worse=lambda source: (-source.pairs,),
        weighing=offer.weighing,
    )


def _may_take_pairs(offer: Offer) -> bool:
    """Whether the brief allows anything that takes a stereo pair; without any, a converter is of no use."""
    return offer.brief.amplifier is not Want.NONE or offer.brief.bass is not Want.NONE


class KeptUnit(NamedTuple):
    """A unit that stays in the dash: its pre-out pairs, and its internal power in W per channel into 4 ohm."""

    pairs: int
    internal_w: float


def kept_unit(offer: Offer) -> KeptUnit:
    """The customer's own unit, or the factory's."""
    if offer.brief.head_unit is HeadUnitMode.KEEP_OWN:
        return KeptUnit(offer.brief.own_preout_pairs, offer.brief.own_internal_w)
    return KeptUnit(0, offer.catalogue.settings.limits.factory_internal_w)


def fitting_kits(offer: Offer) -> list[FittingKit]:
    """Head-unit fitting kits on offer for the vehicle."""
    return [kit for kit in offer.offered(offer.fitting_kits) if kit.fits is KitFor.HEAD_UNIT]


def converter_kits(offer: Offer) -> list[FittingKit] | None:
    """Converter kits on offer that name the vehicle; `None` where none is needed, since no row names it."""

    def named(kit: FittingKit) -> bool:
        return kit.fits is KitFor.CONVERTER and fit.kit_names(kit, offer.vehicle)

    if not any(map(named, offer.fitting_kits)):
        return None
    return [kit for kit in offer.offered(offer.fitting_kits) if named(kit)]


def aerials(offer: Offer) -> list[Aerial]:
    """Aerials on offer of the kind that a digital-radio head unit needs in the vehicle."""
    use = fit.aerial_use(offer.vehicle)
    return [aerial for aerial in offer.offered(offer.catalogue.aerials) if aerial.use is use]


def fitting_units(offer: Offer) -> list[HeadUnit]:
    """Head units on offer that the vehicle's opening takes."""
    return [
        unit
        for unit in offer.offered(offer.catalogue.head_units)
        if fit.opening_takes(offer.vehicle.opening, unit.opening)
    ]


def accessory(offer: Offer, products: Sequence[Product], role: Role) -> list[Option]:
    """Undominated choices of one accessory: the cheapest, and the cheapest of each set of must-include terms."""
    bought = (((Part(role, product.sku),), product.price) for product in products)
    options = (Option(parts, price, tags=offer.tags(parts)) for parts, price in bought)
    return undominated(options, weighing=offer.weighing)


def _head_units(offer: Offer) -> list[Source]:
    kits = accessory(offer, fitting_kits(offer), Role.SOURCE_KIT)
    with_aerial = accessory(offer, aerials(offer), Role.AERIAL)
    without = [Option((), 0)]
    return [
        _source(offer, unit, (kit, aerial))
        for unit in useful(offer, offer.catalogue.head_units, Role.HEAD_UNIT)
        if fit.opening_takes(offer.vehicle.opening, unit.opening)
        for kit, aerial in every(kits, with_aerial if unit.digital_radio else without)
    ]


def _converters(offer: Offer) -> list[Source]:
    kits = converter_kits(offer)
    choices = [Option((), 0)] if kits is None else accessory(offer, kits, Role.SOURCE_KIT)
    units = useful(offer, offer.catalogue.converters, Role.CONVERTER)
    return [_source(offer, unit, (kit,)) for unit in units for kit in choices]


def _source(offer: Offer, unit: HeadUnit | Converter, extras: Sequence[Option]) -> Source:
    weight = offer.catalogue.weights.source
    if isinstance(unit, HeadUnit):
        role, work, pairs, internal = Role.HEAD_UNIT, Work.HEAD_UNIT, unit.preout_pairs, unit.internal_w
    else:
        role, work, pairs, internal = Role.CONVERTER, Work.CONVERTER, unit.output_pairs, 0.0
        weight *= score.CONVERTER_FACTOR
    parts = (Part(role, unit.sku), *(part for extra in extras for part in extra.parts))
    return Source(
        parts=parts,
        price=unit.price + offer.labour(work) + sum(extra.price for extra in extras),
        points=score.rating_points(weight, rating_of(unit)),
        tags=offer.tags(parts),
        pairs=pairs,
        internal_w=internal,
    )
