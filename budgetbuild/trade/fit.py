"""Whether parts fit a vehicle: opening, speaker places, adapters, boot, box, aerial.

An unknown dimension never refuses a part; it asks for a measurement. All rules are common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import AerialUse, KitFor, Location, Opening, SpeakerType, SubwooferType
from budgetbuild.catalogue.names import fold
from budgetbuild.trade.figures import at_least, at_most, same

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import Box, FittingKit, Speaker, Subwoofer
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Place, Vehicle

_TAKES = {
    Opening.SINGLE: frozenset({Opening.SINGLE, Opening.FLOATING}),
    Opening.DOUBLE: frozenset({Opening.SINGLE, Opening.DOUBLE, Opening.FLOATING}),
}


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether something fits.

    Attributes:
        allowed: Nothing known forbids it.
        unknown: What to measure first, each in words.
        reason: Which rule forbids it, with the figures, in words; empty where it is allowed.
    """

    allowed: bool
    unknown: tuple[str, ...] = ()
    reason: str = ""


def opening_takes(vehicle_opening: Opening, unit: Opening) -> bool:
    """Whether a dash opening takes a head unit; the fitting kit fills what is left.

    A single unit fits a single or double opening, a double unit a double one; a floating screen stands on a
    single chassis, so it fits both. No opening takes none.

    >>> opening_takes(Opening.DOUBLE, Opening.SINGLE), opening_takes(Opening.SINGLE, Opening.DOUBLE)
    (True, False)

    Source: ISO 7736 for the single opening (panel 180 x 50 mm, as secondary pages quote it); that the double one,
    twice as high, is practice and not in that standard is from memory.
    """
    return unit in _TAKES.get(vehicle_opening, frozenset())


def place(vehicle: Vehicle, location: Location) -> Place:
    """Where the speakers of a location go.

    Raises:
        ValueError: Bass has no speaker place; it goes in the boot.
    """
    if location is Location.BASS:
        raise ValueError("bass has no speaker place")
    return vehicle.front if location is Location.FRONT else vehicle.rear


def speaker_fits(speaker: Speaker, vehicle: Vehicle, location: Location) -> Fit:
    """Whether a speaker fits its place by depth, and a component set by the tweeter's place.

    Size is another question, since an adapter may answer it: see `adapter_needed` and `size_unknown`.
    """
    where = place(vehicle, location)
    depths, reason = _depth(speaker, where, location)
    tweeters: tuple[str, ...] = ()
    if speaker.type is SpeakerType.COMPONENT:
        if where.tweeter_place is None:
            tweeters = (f"tweeter place at {location}",)
        elif not where.tweeter_place:
            reason = reason or f"a component set needs a tweeter place, and {location} has none"
    return Fit(not reason, depths + tweeters, reason)


def _depth(speaker: Speaker, where: Place, location: Location) -> tuple[tuple[str, ...], str]:
    """What is unknown about the depth, and what forbids the speaker, if anything."""
    if speaker.depth_mm is not None and where.depth_mm is not None:
        fits = at_most(speaker.depth_mm, where.depth_mm)
        return (), "" if fits else f"speaker depth {speaker.depth_mm:g} mm, {location} place {where.depth_mm:g} mm"
    unknown = []
    if where.depth_mm is None:
        unknown.append(f"depth of the {location} speaker place")
    if speaker.depth_mm is None:
        unknown.append(f"depth of the {location} speaker")
    return tuple(unknown), ""


def size_unknown(vehicle: Vehicle, location: Location) -> bool:
    """Whether the vehicle's speaker size is unknown there, so that it must be measured first."""
    return place(vehicle, location).size_mm is None


def adapter_needed(speaker: Speaker, vehicle: Vehicle, location: Location) -> bool:
    """Whether a speaker's size differs from the vehicle's; an unknown vehicle size asks for none."""
    size = place(vehicle, location).size_mm
    return size is not None and not same(speaker.size_mm, size)


def adapter_fits(kit: FittingKit, speaker: Speaker, vehicle: Vehicle, location: Location) -> bool:
    """Whether a fitting kit adapts that speaker's size to that location of that vehicle."""
    return (
        kit.fits is KitFor.SPEAKER
        and kit_fits(kit, vehicle)
        and kit.location is location
        and kit.size_mm is not None
        and same(kit.size_mm, speaker.size_mm)
    )


def kit_fits(kit: FittingKit, vehicle: Vehicle) -> bool:
    """Whether a fitting kit lists the vehicle by name, or any vehicle."""
    return kit.any_vehicle or kit_names(kit, vehicle)


def kit_names(kit: FittingKit, vehicle: Vehicle) -> bool:
    """Whether a fitting kit lists the vehicle by name."""
    return fold(vehicle.name) in kit.vehicles


def boot_fits(width: float | None, height: float | None, depth: float | None, vehicle: Vehicle, limits: Limits) -> Fit:
    """Whether an enclosure goes into the boot with 10 mm (the shop's limit) to spare, width and depth either way round.

    Args:
        width: Outside width in mm, `None` = unknown; likewise height and depth.
        height: Outside height in mm.
        depth: Outside depth in mm.
        vehicle: The vehicle, for its boot.
        limits: Room to spare.

    Returns:
        Refused only by dimensions that are known on both sides.
    """
    spare = limits.boot_spare_mm
    floor = (vehicle.boot_width_mm, vehicle.boot_depth_mm)
    straight = _goes(width, floor[0], spare) and _goes(depth, floor[1], spare)
    turned = _goes(width, floor[1], spare) and _goes(depth, floor[0], spare)
    upright = _goes(height, vehicle.boot_height_mm, spare)
    reason = "" if upright else _too_big("height", f"{height:g}", f"{vehicle.boot_height_mm:g}", spare)
    if not (straight or turned):
        inside = " x ".join(_said(side) for side in floor)
        reason = _too_big("width x depth", f"{_said(width)} x {_said(depth)}", inside, spare)
    return Fit(not reason, _unmeasured(width, height, depth, vehicle), reason)


def _goes(outside: float | None, inside: float | None, spare: float) -> bool:
    """Whether one side goes in with room to spare; an unknown side cannot refuse."""
    return outside is None or inside is None or at_most(outside + spare, inside)


def _said(side: float | None) -> str:
    """A side in mm as one would say it."""
    return "unknown" if side is None else f"{side:g}"


def _too_big(what: str, outside: str, inside: str, spare: float) -> str:
    """Why something does not go into the boot."""
    return f"{what} {outside} mm and {spare:g} mm to spare, boot {inside} mm"


def _unmeasured(width: float | None, height: float | None, depth: float | None, vehicle: Vehicle) -> tuple[str, ...]:
    """The dimensions to measure first, the boot's before the enclosure's."""
    sides = {
        "boot width": vehicle.boot_width_mm,
        "boot height": vehicle.boot_height_mm,
        "boot depth": vehicle.boot_depth_mm,
        "enclosure width": width,
        "enclosure height": height,
        "enclosure depth": depth,
    }
    return tuple(name for name, side in sides.items() if side is None)


def box_takes(box: Box, driver: Subwoofer) -> bool:
    """Whether an empty box suits a driver: cut-out = size, and litres per driver within the driver's range.

    A blank bound of the range does not bind; a driver of unknown size suits no box.
    """
    if driver.type is not SubwooferType.DRIVER or driver.size_mm is None or not same(box.cutout_mm, driver.size_mm):
        return False
    litres = box.litres / box.drivers
    least, most = driver.box_litres_min, driver.box_litres_max
    return (least is None or at_least(litres, least)) and (most is None or at_most(litres, most))


def aerial_use(vehicle: Vehicle) -> AerialUse:
    """The aerial that a digital-radio head unit needs: an adapter to the factory's, else a screen-mount one.

    Where it is unknown whether the vehicle has one, the screen-mount aerial serves either way.
    """
    return AerialUse.FACTORY_ADAPTER if vehicle.factory_digital_aerial else AerialUse.SCREEN_MOUNT
