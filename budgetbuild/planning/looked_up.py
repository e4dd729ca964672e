"""What today's list has of a published build: its tier, its brief, its vehicle, each by its name."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.build import Drift, Weight
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.shop import Tier
from budgetbuild.faults import Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.build import PublishedBuild
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle


@dataclass(frozen=True, slots=True)
class LookedUp:
    """What a published build is held against.

    Attributes:
        tier: Today's, or one of the published budget and cap where the list has none of its name.
        brief: `None` where the list has none that can be solved; likewise `vehicle`.
        drifts: What of it is not as it was published.
    """

    tier: Tier
    brief: Brief | None
    vehicle: Vehicle | None
    drifts: tuple[Drift, ...]


def look_up(catalogue: Catalogue, build: PublishedBuild) -> LookedUp:
    """Find tier, brief and vehicle of a published build in today's list."""
    tier = next((tier for tier in catalogue.tiers if fold(tier.name) == fold(build.tier)), None)
    brief = next((brief for brief in catalogue.briefs if fold(brief.name) == fold(build.brief)), None)
    vehicle = next((vehicle for vehicle in catalogue.vehicles if fold(vehicle.name) == fold(build.vehicle)), None)
    asked = brief if brief and _asked_for(catalogue, brief) else None
    sound = vehicle if vehicle and _sound(catalogue, vehicle, asked) else None
    drifts = (*_of_tier(tier, build), *_of_brief(tier, brief, asked, build), *_of_vehicle(vehicle, sound, build))
    if asked and sound and asked.is_kit:
        asked = asked.in_vehicle(sound.name)
    return LookedUp(tier or as_published(build), asked, sound, drifts)


def as_published(build: PublishedBuild) -> Tier:
    """A tier of the published budget and cap."""
    allowance = Fraction(build.cap - build.budget, build.budget) if build.budget else Fraction(0)
    return Tier(name=build.tier, budget=build.budget, allowance=allowance)


def _asked_for(catalogue: Catalogue, brief: Brief) -> bool:
    """Whether some tier names the brief: of others the list's reader has left out what it cannot read."""
    names = [{fold(name) for name in tier.briefs} for tier in catalogue.tiers]
    return not names or any(not some or fold(brief.name) in some for some in names)


def _sound(catalogue: Catalogue, vehicle: Vehicle, brief: Brief | None) -> bool:
    """Whether the vehicle's row holds all that was written there; that of the brief's own vehicle always does."""
    if brief and fold(vehicle.name) in {fold(name) for name in brief.named()}:
        return True
    here = [
        fault for fault in catalogue.warnings if (fault.at.sheet, fault.at.row) == (vehicle.at.sheet, vehicle.at.row)
    ]
    return not any(fault.severity is Severity.WARNING or fault.code == "blank-assumed" for fault in here)


def typed_at_the_counter(build: PublishedBuild) -> bool:
    """Whether the tier's name is its budget, written as an amount, as in a quote: no list has such a tier."""
    return "".join(filter(str.isdigit, build.tier)) == str(build.budget)


def _of_tier(tier: Tier | None, build: PublishedBuild) -> Iterator[Drift]:
    if tier is None and typed_at_the_counter(build):
        return
    if tier is None:
        yield Drift("tier-gone", build.tier, build.tier, None, Weight.PRINTED, {})
        return
    if tier.budget != build.budget:
        yield Drift("budget", tier.name, build.budget, tier.budget, Weight.PRINTED, {})
    if tier.cap != build.cap:
        yield Drift("cap", tier.name, build.cap, tier.cap, Weight.PRINTED, {})


def _of_brief(tier: Tier | None, brief: Brief | None, asked: Brief | None, build: PublishedBuild) -> Iterator[Drift]:
    if brief is None:
        yield Drift("brief-gone", build.brief, build.brief, None, Weight.BREAKS, {})
    elif asked is None:
        yield Drift("brief-unused", build.brief, build.brief, None, Weight.BREAKS, {})
    elif tier and tier.briefs and fold(brief.name) not in {fold(name) for name in tier.briefs}:
        yield Drift("brief-left-tier", build.brief, build.tier, None, Weight.PRINTED, {})
    if asked and not _same_vehicle(asked, build):
        yield Drift("other-vehicle", build.brief, build.vehicle, ", ".join(asked.named()), Weight.PRINTED, {})


def _same_vehicle(asked: Brief, build: PublishedBuild) -> bool:
    """Whether a brief for one vehicle is for the published one; one for several was published for several."""
    if asked.is_kit or build.covered:
        return asked.is_kit and bool(build.covered)
    return fold(asked.vehicle) == fold(build.vehicle)


def _of_vehicle(vehicle: Vehicle | None, sound: Vehicle | None, build: PublishedBuild) -> Iterator[Drift]:
    if vehicle is None:
        yield Drift("vehicle-gone", build.vehicle, build.vehicle, None, Weight.BREAKS, {})
    elif sound is None:
        yield Drift("vehicle-unread", build.vehicle, build.vehicle, None, Weight.BREAKS, {})
