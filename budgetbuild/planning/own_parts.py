"""A system that was chosen for several vehicles, put into one that it is not for: what would be wrong with it there.

The vehicle gets the best parts of its own that there are, so that nothing is held against it that could be mended.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product as every
from typing import TYPE_CHECKING

from budgetbuild.audit.audit import audit
from budgetbuild.build import OWN_ROLES, Part, Role
from budgetbuild.catalogue.items import HeadUnit, Product, Speaker, SpeakerCable
from budgetbuild.catalogue.kinds import HeadUnitMode, Location
from budgetbuild.program.offer import Offer
from budgetbuild.program.options import Option
from budgetbuild.program.sources import accessory, aerials, converter_kits, fitting_kits
from budgetbuild.program.speakers import ROLES, adapters, location_kits
from budgetbuild.trade import cable

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.build import Audited, System
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle

NOTHING = (Option((), 0),)
"""Where a vehicle needs no part of its own, or has none to choose."""


def in_another(
    catalogue: Catalogue, brief: Brief, home: tuple[Vehicle, System], vehicle: Vehicle, tier: Tier
) -> Audited:
    """The audit of a system in a vehicle that it was not chosen for; its refused checks say what is wrong.

    Args:
        catalogue: The checked catalogue.
        brief: The brief for several vehicles.
        home: A vehicle that the system is right for, and the system there.
        vehicle: The other vehicle.
        tier: The budget.
    """
    alone = brief.in_vehicle(vehicle.name)
    offer = Offer(catalogue, alone, vehicle)
    common = [part for part in home[1].parts if part.role not in OWN_ROLES and part.role is not Role.SPEAKER_CABLE]
    common += _cables(catalogue, home, vehicle)
    tried = (
        audit(
            catalogue, alone, vehicle, tier.cap, replace(home[1], parts=_in_order(common, own)), tier.cap - tier.budget
        )
        for own in every(*_own_choices(offer, home[1]))
    )
    return min(tried, key=lambda audited: (len(audited.refused), audited.total))


def _in_order(common: Sequence[Part], own: Sequence[Option]) -> tuple[Part, ...]:
    roles = {role: place for place, role in enumerate(Role)}
    parts = [*common, *(part for option in own for part in option.parts)]
    return tuple(sorted(parts, key=lambda part: (roles[part.role], part.sku)))


def _own_choices(offer: Offer, system: System) -> Iterator[Sequence[Option]]:
    """What the vehicle may have of its own: for the source, its aerial, and the speakers at front and rear."""
    products = offer.catalogue.by_sku()
    by_role: dict[Role, Product] = {part.role: products[part.sku] for part in system.parts}
    if offer.brief.head_unit is HeadUnitMode.REPLACE:
        yield accessory(offer, fitting_kits(offer), Role.SOURCE_KIT) or NOTHING
    elif Role.CONVERTER in by_role:
        yield accessory(offer, converter_kits(offer) or (), Role.SOURCE_KIT) or NOTHING
    unit = by_role.get(Role.HEAD_UNIT)
    if isinstance(unit, HeadUnit) and unit.digital_radio:
        yield accessory(offer, aerials(offer), Role.AERIAL) or NOTHING
    for location in (Location.FRONT, Location.REAR):
        speaker = by_role.get(ROLES[location])
        if isinstance(speaker, Speaker):
            yield adapters(offer, speaker, location, location_kits(offer, location)) or NOTHING


def _cables(catalogue: Catalogue, home: tuple[Vehicle, System], vehicle: Vehicle) -> Iterator[Part]:
    """As many units of each speaker cable as the vehicle takes, and what was bought beyond that where it was chosen."""
    at_home, system = home
    products, limits = catalogue.by_sku(), catalogue.settings.limits
    for part in system.parts:
        product = products[part.sku]
        if part.role is Role.SPEAKER_CABLE and isinstance(product, SpeakerCable):
            served = [run.location for run in system.cables if run.sku == part.sku]
            beyond = part.quantity - cable.units_needed(product, served, at_home, limits)
            units = cable.units_needed(product, served, vehicle, limits) + beyond
            yield replace(part, quantity=units)
