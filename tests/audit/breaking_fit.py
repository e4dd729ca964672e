"""Breakages of fit: dash, fitting kits, aerial, speaker places, boot and box."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.items import Aerial, Box, FittingKit, HeadUnit, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import AerialUse, HeadUnitMode, KitFor, Location, Opening, SpeakerType
from budgetbuild.catalogue.names import fold
from tests.audit.breaking import breaks

if TYPE_CHECKING:
    from tests.audit.sound import Sound

KIT, AERIAL, ADAPTER = "Fitting kit of this vehicle", "Digital-radio aerial", "Adapter for another speaker size"
PLACE, BOOT, BOX = "Speaker fits its place", "Fits the boot", "Box takes the driver"


def _other_use(use: AerialUse) -> AerialUse:
    return AerialUse.SCREEN_MOUNT if use is AerialUse.FACTORY_ADAPTER else AerialUse.FACTORY_ADAPTER


@breaks("Opening takes the head unit")
def dash_without_an_opening(sound: Sound) -> Sound | None:
    return sound.with_vehicle(opening=Opening.NONE) if sound.part(Role.HEAD_UNIT) else None


@breaks("Opening takes the head unit")
def opening_too_small(sound: Sound) -> Sound | None:
    unit = sound.product(HeadUnit, Role.HEAD_UNIT)
    return sound.with_vehicle(opening=Opening.SINGLE).with_product(unit.sku, opening=Opening.DOUBLE) if unit else None


@breaks(KIT)
def fitting_kit_missing(sound: Sound) -> Sound | None:
    return sound.without(Role.SOURCE_KIT) if sound.part(Role.SOURCE_KIT) else None


@breaks(KIT)
def two_fitting_kits(sound: Sound) -> Sound | None:
    kit = sound.part(Role.SOURCE_KIT)
    return sound.with_quantity(kit, 2) if kit else None


@breaks(KIT)
def fitting_kit_of_another_vehicle(sound: Sound) -> Sound | None:
    kit = sound.part(Role.SOURCE_KIT)
    return sound.with_product(kit.sku, vehicles=("another van",), any_vehicle=False) if kit else None


@breaks(KIT)
def fitting_kit_for_something_else(sound: Sound) -> Sound | None:
    kit = sound.part(Role.SOURCE_KIT)
    return sound.with_product(kit.sku, fits=KitFor.SPEAKER) if kit else None


@breaks(KIT)
def converter_kit_that_names_no_vehicle(sound: Sound) -> Sound | None:
    kit = sound.part(Role.SOURCE_KIT)
    kept = sound.brief.head_unit is HeadUnitMode.KEEP_FACTORY
    return sound.with_product(kit.sku, vehicles=(), any_vehicle=True) if kit and kept else None


@breaks(KIT)
def head_unit_kit_sold_for_a_converter(sound: Sound) -> Sound | None:
    return _other_kit(sound, fits=KitFor.HEAD_UNIT)


@breaks(KIT)
def converter_kit_of_another_vehicle_though_this_one_has_its_own(sound: Sound) -> Sound | None:
    return _other_kit(sound, vehicles=("another van",))


def _other_kit(sound: Sound, **changes: Any) -> Sound | None:  # noqa: ANN401 - fields of the kit
    """A changed twin of the converter's kit in its place."""
    kit = sound.product(FittingKit, Role.SOURCE_KIT)
    if kit is None or not sound.part(Role.CONVERTER):
        return None
    kits = (*sound.catalogue.fitting_kits, replace(kit, sku="TWIN", **changes))
    return replace(sound.exchanged(kit.sku, "TWIN"), catalogue=replace(sound.catalogue, fitting_kits=kits))


@breaks(KIT)
def fitting_kit_for_nothing(sound: Sound) -> Sound | None:
    kits = sound.catalogue.fitting_kits
    return sound.with_more(Part(Role.SOURCE_KIT, kits[0].sku)) if not sound.part(Role.SOURCE_KIT) and kits else None


@breaks(KIT)
def converter_kit_needed_though_the_only_one_is_inactive(sound: Sound) -> Sound | None:
    if not sound.part(Role.CONVERTER) or sound.part(Role.SOURCE_KIT):
        return None
    named = (fold(sound.vehicle.name),)
    kit = sound.catalogue.fitting_kits[0]
    return sound.with_product(kit.sku, fits=KitFor.CONVERTER, vehicles=named, any_vehicle=False, active=False)


@breaks(AERIAL)
def aerial_missing(sound: Sound) -> Sound | None:
    return sound.without(Role.AERIAL) if sound.part(Role.AERIAL) else None


@breaks(AERIAL)
def two_aerials(sound: Sound) -> Sound | None:
    aerial = sound.part(Role.AERIAL)
    return sound.with_quantity(aerial, 2) if aerial else None


@breaks(AERIAL)
def aerial_of_the_other_kind(sound: Sound) -> Sound | None:
    aerial = sound.product(Aerial, Role.AERIAL)
    return sound.with_product(aerial.sku, use=_other_use(aerial.use)) if aerial else None


@breaks(AERIAL)
def aerial_of_a_vehicle_that_has_none(sound: Sound) -> Sound | None:
    there = sound.vehicle.factory_digital_aerial
    return sound.with_vehicle(factory_digital_aerial=not there) if sound.part(Role.AERIAL) else None


@breaks(AERIAL)
def aerial_without_digital_radio(sound: Sound) -> Sound | None:
    return None if sound.part(Role.AERIAL) else sound.with_more(Part(Role.AERIAL, sound.catalogue.aerials[0].sku))


@breaks(ADAPTER)
def adapter_missing(sound: Sound) -> Sound | None:
    return None if sound.part(Role.FRONT_ADAPTER) else _in_front(sound, size_mm=100.0)


@breaks(ADAPTER)
def rear_adapter_missing(sound: Sound) -> Sound | None:
    return sound.without(Role.REAR_ADAPTER) if sound.part(Role.REAR_ADAPTER) else None


@breaks(ADAPTER)
def adapter_of_another_size(sound: Sound) -> Sound | None:
    adapter = sound.part(Role.FRONT_ADAPTER) or sound.part(Role.REAR_ADAPTER)
    return sound.with_product(adapter.sku, size_mm=87.0) if adapter else None


@breaks(ADAPTER)
def adapter_of_another_location(sound: Sound) -> Sound | None:
    adapter = sound.part(Role.REAR_ADAPTER)
    return sound.with_product(adapter.sku, location=Location.FRONT) if adapter else None


@breaks(ADAPTER)
def adapter_of_another_vehicle(sound: Sound) -> Sound | None:
    adapter = sound.part(Role.FRONT_ADAPTER) or sound.part(Role.REAR_ADAPTER)
    return sound.with_product(adapter.sku, vehicles=("another van",), any_vehicle=False) if adapter else None


@breaks(ADAPTER)
def adapter_that_nothing_needs(sound: Sound) -> Sound | None:
    speaker, kits = sound.product(Speaker, Role.FRONT), sound.catalogue.fitting_kits
    if not speaker or sound.part(Role.FRONT_ADAPTER) or not kits:
        return None
    fitting = sound.with_product(kits[0].sku, fits=KitFor.SPEAKER, size_mm=speaker.size_mm, any_vehicle=True)
    fitting = fitting.with_product(kits[0].sku, location=Location.FRONT)
    return fitting.with_more(Part(Role.FRONT_ADAPTER, kits[0].sku))


@breaks(ADAPTER)
def adapter_without_a_speaker(sound: Sound) -> Sound | None:
    kits = sound.catalogue.fitting_kits
    return sound.with_more(Part(Role.REAR_ADAPTER, kits[0].sku)) if not sound.part(Role.REAR) and kits else None


def _in_front(sound: Sound, **place: Any) -> Sound | None:  # noqa: ANN401 - fields of the place
    return sound.with_vehicle(front=replace(sound.vehicle.front, **place)) if sound.part(Role.FRONT) else None


@breaks(PLACE)
def speaker_too_deep(sound: Sound) -> Sound | None:
    front = sound.part(Role.FRONT)
    shallow = _in_front(sound, depth_mm=60.0)
    return shallow.with_product(front.sku, depth_mm=60.5) if shallow and front else None


@breaks(PLACE)
def rear_speaker_too_deep(sound: Sound) -> Sound | None:
    rear = sound.part(Role.REAR)
    shallow = sound.with_vehicle(rear=replace(sound.vehicle.rear, depth_mm=40.0))
    return shallow.with_product(rear.sku, depth_mm=41.0) if rear else None


@breaks(PLACE)
def component_set_without_a_tweeter_place(sound: Sound) -> Sound | None:
    front = sound.part(Role.FRONT)
    placeless = _in_front(sound, tweeter_place=False)
    return placeless.with_product(front.sku, type=SpeakerType.COMPONENT) if placeless and front else None


def _outside(sound: Sound) -> str | None:
    """What stands in the boot."""
    thing = sound.part(Role.BOX) or sound.part(Role.BASS)
    return thing.sku if thing else None


@breaks(BOOT)
def box_too_high_for_the_boot(sound: Sound) -> Sound | None:
    sku = _outside(sound)
    spare = sound.catalogue.settings.limits.boot_spare_mm
    return sound.with_vehicle(boot_height_mm=400.0).with_product(sku, height_mm=400.5 - spare) if sku else None


@breaks(BOOT)
def box_too_wide_either_way_round(sound: Sound) -> Sound | None:
    sku = _outside(sound)
    boot = sound.with_vehicle(boot_width_mm=900.0, boot_depth_mm=500.0)
    return boot.with_product(sku, width_mm=500.0, depth_mm=500.0) if sku and _spare(sound) else None


def _spare(sound: Sound) -> float:
    return sound.catalogue.settings.limits.boot_spare_mm


@breaks(BOX)
def driver_in_a_box_of_another_cut_out(sound: Sound) -> Sound | None:
    box = sound.part(Role.BOX)
    return sound.with_product(box.sku, cutout_mm=200.0) if box else None


@breaks(BOX)
def driver_in_too_small_a_box(sound: Sound) -> Sound | None:
    box, driver = sound.product(Box, Role.BOX), sound.part(Role.BASS)
    return sound.with_product(driver.sku, box_litres_min=box.litres / box.drivers + 0.1) if box and driver else None


@breaks(BOX)
def driver_in_too_large_a_box(sound: Sound) -> Sound | None:
    box, driver = sound.product(Box, Role.BOX), sound.part(Role.BASS)
    return sound.with_product(driver.sku, box_litres_max=box.litres / box.drivers - 0.1) if box and driver else None


@breaks(BOX)
def driver_of_unknown_size(sound: Sound) -> Sound | None:
    driver = sound.product(Subwoofer, Role.BASS)
    return sound.with_product(driver.sku, size_mm=None) if driver and sound.part(Role.BOX) else None
