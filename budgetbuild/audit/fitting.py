"""Checks of what goes where in the vehicle: opening, fitting kit, aerial, speaker size and depth, boot, box."""

from __future__ import annotations

from budgetbuild.audit.case import CONTRACT, Case, total_quantity
from budgetbuild.build import Role
from budgetbuild.catalogue.items import Aerial, Box, Converter, FittingKit, HeadUnit, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import HeadUnitMode, KitFor, Location, SubwooferType
from budgetbuild.trade import fit

ADAPTER_ROLES = {Location.FRONT: Role.FRONT_ADAPTER, Location.REAR: Role.REAR_ADAPTER}
SPEAKER_ROLES = {Location.FRONT: Role.FRONT, Location.REAR: Role.REAR}
HEAVY_BOX = "a box in the boot must be strapped down"


def check_fitting(case: Case) -> None:
    """Check every fit; unknown dimensions become cautions to measure first."""
    _head_unit(case)
    _source_kit(case)
    _aerial(case)
    for location in SPEAKER_ROLES:
        _speaker(case, location)
    _bass(case)


def _head_unit(case: Case) -> None:
    unit = case.one(HeadUnit, Role.HEAD_UNIT)
    if unit:
        case.notes.check(
            "Opening takes the head unit",
            unit.sku,
            f"{unit.opening} in {case.vehicle.opening}",
            "taken",
            ok=fit.opening_takes(case.vehicle.opening, unit.opening),
            source="ISO 7736 openings; double size: common practice",
        )


def _source_kit(case: Case) -> None:
    kits = case.bought(FittingKit, Role.SOURCE_KIT)
    count = total_quantity(case.parts(Role.SOURCE_KIT))
    if case.brief.head_unit is HeadUnitMode.REPLACE:
        suited = all(kit.fits is KitFor.HEAD_UNIT and fit.kit_fits(kit, case.vehicle) for kit, _ in kits)
        wanted = 1
    else:
        suited = all(kit.fits is KitFor.CONVERTER and fit.kit_names(kit, case.vehicle) for kit, _ in kits)
        offered = case.catalogue.has_kit(KitFor.CONVERTER, case.vehicle.name)
        wanted = 1 if offered and case.one(Converter, Role.CONVERTER) else 0
    case.notes.check(
        "Fitting kit of this vehicle",
        case.vehicle.name,
        count,
        f"exactly {wanted}",
        ok=count == wanted and suited,
        source=CONTRACT,
    )


def _aerial(case: Case) -> None:
    unit = case.one(HeadUnit, Role.HEAD_UNIT)
    wanted = 1 if unit and unit.digital_radio else 0
    use = fit.aerial_use(case.vehicle)
    suited = all(aerial.use is use for aerial, _ in case.bought(Aerial, Role.AERIAL))
    count = total_quantity(case.parts(Role.AERIAL))
    case.notes.check(
        "Digital-radio aerial",
        str(use) if wanted else "",
        count,
        f"exactly {wanted}",
        ok=count == wanted and suited,
        source=CONTRACT,
    )
    if wanted and case.vehicle.factory_digital_aerial is None:
        case.notes.caution("measure-first", "aerial", what="whether the car has a digital-radio aerial", where="aerial")


def _speaker(case: Case, location: Location) -> None:
    speaker = case.one(Speaker, SPEAKER_ROLES[location])
    adapters = case.bought(FittingKit, ADAPTER_ROLES[location])
    count = total_quantity(case.parts(ADAPTER_ROLES[location]))
    wanted = 1 if speaker and fit.adapter_needed(speaker, case.vehicle, location) else 0
    suited = all(speaker and fit.adapter_fits(kit, speaker, case.vehicle, location) for kit, _ in adapters)
    case.notes.check(
        "Adapter for another speaker size",
        str(location),
        count,
        f"exactly {wanted}",
        ok=count == wanted and suited,
        source=CONTRACT,
    )
    if speaker is None:
        return
    fitted = fit.speaker_fits(speaker, case.vehicle, location)
    case.notes.check(
        "Speaker fits its place", str(location), fitted.reason or "fits", "depth and tweeter place", ok=fitted.allowed
    )
    unknown = [
        *fitted.unknown,
        *([f"size of the {location} speaker place"] if fit.size_unknown(case.vehicle, location) else []),
    ]
    if unknown:
        case.notes.caution("measure-first", str(location), what=", ".join(unknown), where=str(location))


def _bass(case: Case) -> None:
    subwoofer, box = case.one(Subwoofer, Role.BASS), case.one(Box, Role.BOX)
    boxes, count = total_quantity(case.parts(Role.BOX)), total_quantity(case.parts(Role.BASS))
    if subwoofer is None:
        case.notes.check("Boxes", "bass", boxes, "none", ok=boxes == 0, source=CONTRACT)
        return
    boxed = subwoofer.type is SubwooferType.DRIVER
    case.notes.check("Boxes", "bass", boxes, f"exactly {int(boxed)}", ok=boxes == int(boxed), source=CONTRACT)
    if boxed:
        suited = box is not None and fit.box_takes(box, subwoofer)
        wanted = box.drivers if box else 0
        case.notes.check(
            "Box takes the driver", "bass", "taken" if suited else "not taken", "cut-out and litres", ok=suited
        )
        case.notes.check("As many drivers as cut-outs", "bass", count, f"exactly {wanted}", ok=count == wanted)
    else:
        case.notes.check("Pieces", "bass", count, "exactly 1", ok=count == 1, source=CONTRACT)
    outside = box if boxed else subwoofer
    if outside is None:
        return
    fitted = fit.boot_fits(outside.width_mm, outside.height_mm, outside.depth_mm, case.vehicle, case.limits)
    case.notes.check(
        "Fits the boot",
        "bass",
        fitted.reason or "fits",
        f"{case.limits.boot_spare_mm:g} mm to spare",
        ok=fitted.allowed,
    )
    if fitted.unknown:
        case.notes.caution("measure-first", "bass", what=", ".join(fitted.unknown), where="boot")
    case.notes.caution("heavy-box", "bass", why=HEAVY_BOX)
