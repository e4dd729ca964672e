"""A build with one product exchanged for another version of it, all else as it was, audited again."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.audit import audit
from budgetbuild.audit.case import Case
from budgetbuild.audit.locations import sounding
from budgetbuild.build import Audited, Check, Part, Role, System
from budgetbuild.catalogue.kinds import Location

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

LOCATIONS = {Role.FRONT: Location.FRONT, Role.REAR: Location.REAR, Role.BASS: Location.BASS}
"""Where a product of a role sounds."""

NOT_OF_THE_CAR = frozenset(
    {
        "Every part is an active product of the right sheet, in whole pieces",
        "No signal lead too many",
    }
)
"""Checks that a sister may fail and still do its work: whether it is on offer, and whether a lead is left over."""


@dataclass(frozen=True, slots=True)
class Bench:
    """A published build with what it was made from, on which sisters are tried."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    before: Audited

    @property
    def limits(self) -> Limits:
        """The shop's limits."""
        return self.catalogue.settings.limits

    def case(self, system: System) -> Case:
        """A system as the audit sees it; the price is no matter here, so there is no cap."""
        return Case(self.catalogue, self.brief, self.vehicle, None, system)


@dataclass(frozen=True, slots=True)
class Trial:
    """A product of the build, its sister, and the audit of the build with the sister in its place.

    Attributes:
        part: The line of the build that is exchanged, with all its pieces.
        case: The exchanged system, to look things up in.
    """

    bench: Bench
    part: Part
    product: Product
    sister: Product
    case: Case
    after: Audited

    @property
    def before(self) -> Audited:
        """The build as published."""
        return self.bench.before

    @property
    def refused(self) -> tuple[Check, ...]:
        """What the audit refuses about the car with the sister in it."""
        return tuple(check for check in self.after.refused if check.rule not in NOT_OF_THE_CAR)


def trials(bench: Bench, part: Part, product: Product, sister: Product) -> list[Trial]:
    """The sister in the product's place, once for each way in which its coils and drivers can be wired."""
    bare = exchanged(bench.before.system, part, sister.sku)
    return [
        Trial(
            bench,
            part,
            product,
            sister,
            bench.case(system),
            audit(bench.catalogue, bench.brief, bench.vehicle, None, system),
        )
        for system in _wired(bench, part, bare)
    ]


def exchanged(system: System, part: Part, sku: str) -> System:
    """The system with another SKU in one line, and wherever that line is connected; loads are left as they are."""
    pieces: Counter[tuple[Role, str]] = Counter()
    for other in system.parts:
        pieces[other.role, sku if other == part else other.sku] += other.quantity
    amplifiers, feeds = system.amplifiers, system.feeds
    if part.role is Role.AMPLIFIER:
        amplifiers = tuple(sku if one == part.sku else one for one in amplifiers)
    if part.role is Role.POWER_KIT:
        feeds = tuple(replace(feed, sku=sku) if feed.sku == part.sku else feed for feed in feeds)
    parts = tuple(Part(role, name, quantity) for (role, name), quantity in pieces.items())
    return replace(system, parts=parts, amplifiers=amplifiers, feeds=feeds)


def _wired(bench: Bench, part: Part, system: System) -> list[System]:
    """The system with each load that the new product can be wired to; unchanged where it has no load of its own."""
    location = LOCATIONS.get(part.role)
    thing = sounding(bench.case(system), location) if location else None
    if thing is None or not thing.nets:
        return [system]
    return [
        replace(
            system,
            drives=tuple(
                replace(drive, ohm=net.ohm, wiring=net.wiring) if drive.location is location else drive
                for drive in system.drives
            ),
        )
        for net in thing.nets
    ]
