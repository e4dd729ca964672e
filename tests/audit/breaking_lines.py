"""Breakages of the list: what stands on it, in which role, how many of it, and what the brief says about it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.items import Deadening, Subwoofer
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, OneBrand, SubwooferType, Want
from tests.audit.breaking import breaks

if TYPE_CHECKING:
    from tests.audit.sound import Sound

KNOWN = "Every part is an active product of the right sheet, in whole pieces"
ROLES = {Location.FRONT: Role.FRONT, Location.REAR: Role.REAR, Location.BASS: Role.BASS}


def _times(sound: Sound, role: Role, change: float) -> Sound | None:
    part = sound.part(role)
    return sound.with_quantity(part, part.quantity + change) if part else None


@breaks(KNOWN)
def nothing_of_a_part(sound: Sound) -> Sound | None:
    return sound.with_quantity(sound.system.parts[-1], 0) if sound.system.parts else None


@breaks(KNOWN)
def less_than_nothing_of_a_part(sound: Sound) -> Sound | None:
    return sound.with_quantity(sound.system.parts[0], -1) if sound.system.parts else None


@breaks(KNOWN)
def half_a_piece_more(sound: Sound) -> Sound | None:
    return sound.with_quantity(sound.system.parts[-1], 1.5) if sound.system.parts else None


@breaks(KNOWN)
def unknown_sku(sound: Sound) -> Sound | None:
    return sound.exchanged(sound.system.parts[0].sku, "NO-SUCH") if sound.system.parts else None


@breaks(KNOWN)
def sku_in_another_case(sound: Sound) -> Sound | None:
    part = sound.system.parts[-1] if sound.system.parts else None
    return sound.exchanged(part.sku, part.sku.swapcase()) if part else None


@breaks(KNOWN)
def sku_in_the_wrong_role(sound: Sound) -> Sound | None:
    front, lead = sound.part(Role.FRONT), sound.part(Role.SIGNAL_LEAD)
    return sound.exchanged(front.sku, lead.sku) if front and lead else None


@breaks(KNOWN)
def product_sold_as_labour(sound: Sound) -> Sound | None:
    return sound.with_more(replace(sound.system.parts[0], role=Role.LABOUR)) if sound.system.parts else None


@breaks(KNOWN)
def inactive_product(sound: Sound) -> Sound | None:
    return sound.with_product(sound.system.parts[-1].sku, active=False) if sound.system.parts else None


@breaks(KNOWN)
def the_same_line_twice(sound: Sound) -> Sound | None:
    return sound.with_more(sound.system.parts[-1]) if sound.system.parts else None


@breaks("Pairs of speakers")
def two_pairs_at_the_front(sound: Sound) -> Sound | None:
    return _times(sound, Role.FRONT, 1)


@breaks("Pairs of speakers")
def two_pairs_at_the_rear(sound: Sound) -> Sound | None:
    return _times(sound, Role.REAR, 1)


@breaks("Products at the location")
def two_products_at_the_rear(sound: Sound) -> Sound | None:
    rear = sound.part(Role.REAR)
    other = next((p for p in sound.catalogue.speakers if rear and p.sku != rear.sku), None)
    return sound.with_more(Part(Role.REAR, other.sku)) if other else None


@breaks("Boxes")
def one_box_too_many(sound: Sound) -> Sound | None:
    return _times(sound, Role.BOX, 1)


@breaks("Boxes")
def driver_without_a_box(sound: Sound) -> Sound | None:
    return sound.without(Role.BOX) if sound.part(Role.BOX) else None


@breaks("Boxes")
def box_without_a_driver(sound: Sound) -> Sound | None:
    subwoofer = sound.product(Subwoofer, Role.BASS)
    unboxed = subwoofer is None or subwoofer.type is not SubwooferType.DRIVER
    return sound.with_more(Part(Role.BOX, sound.catalogue.boxes[0].sku)) if unboxed else None


@breaks("As many drivers as cut-outs")
def one_driver_too_many(sound: Sound) -> Sound | None:
    return _times(sound, Role.BASS, 1) if sound.part(Role.BOX) else None


@breaks("As many drivers as cut-outs")
def one_driver_too_few(sound: Sound) -> Sound | None:
    return _times(sound, Role.BASS, -1) if sound.part(Role.BOX) else None


@breaks("Pieces")
def two_enclosures(sound: Sound) -> Sound | None:
    return _times(sound, Role.BASS, 1) if not sound.part(Role.BOX) else None


@breaks("Deadening sheets")
def more_sheets_than_the_doors_take(sound: Sound) -> Sound | None:
    return _times(sound, Role.DEADENING, 40)


@breaks("Deadening products")
def no_deadening_where_required(sound: Sound) -> Sound | None:
    return sound.without(Role.DEADENING).with_brief(deadening=Want.REQUIRED)


@breaks("Deadening products")
def deadening_where_none_is_wanted(sound: Sound) -> Sound | None:
    return sound.with_brief(deadening=Want.NONE) if sound.part(Role.DEADENING) else None


@breaks("Deadening products")
def two_kinds_of_deadening(sound: Sound) -> Sound | None:
    sheet = sound.product(Deadening, Role.DEADENING)
    other = next((d for d in sound.catalogue.deadening if sheet and d.sku != sheet.sku), None)
    return sound.with_more(Part(Role.DEADENING, other.sku)) if other else None


@breaks("Products at the location")
def required_location_is_empty(sound: Sound) -> Sound | None:
    empty = next((location for location in ROLES if sound.part(ROLES[location]) is None), None)
    return sound.with_brief(**{str(empty): Want.REQUIRED}) if empty else None


@breaks("Products at the location")
def location_that_is_not_wanted(sound: Sound) -> Sound | None:
    filled = next((location for location in ROLES if sound.part(ROLES[location])), None)
    return sound.with_brief(**{str(filled): Want.NONE}) if filled else None


@breaks("Nothing that the brief leaves out")
def product_left_out_by_sku(sound: Sound) -> Sound | None:
    parts = sound.system.parts
    return sound.with_brief(leave_out=(f" {parts[-1].sku.upper()} ",)) if parts else None


@breaks("Nothing that the brief leaves out")
def product_left_out_by_brand(sound: Sound) -> Sound | None:
    part = sound.part(Role.FRONT)
    brand = next((p.brand for p in sound.catalogue.speakers if part and p.sku == part.sku), None)
    return sound.with_brief(leave_out=(brand.upper(),)) if brand else None


@breaks("Includes what the brief asks for")
def must_include_is_missing(sound: Sound) -> Sound | None:
    bought = {part.sku for part in sound.system.parts}
    other = next(p for p in sound.catalogue.products() if p.sku not in bought)
    return sound.with_brief(must_include=(*sound.brief.must_include, other.sku))


@breaks("One brand")
def two_brands_where_one_is_a_must(sound: Sound) -> Sound | None:
    front, bass = sound.part(Role.FRONT), sound.part(Role.BASS)
    if not front or not bass:
        return None
    other = sound.with_product(bass.sku, brand="Another").with_product(front.sku, brand="One")
    return other.with_brief(one_brand=OneBrand.MUST)


@breaks("One brand")
def amplifier_of_another_brand(sound: Sound) -> Sound | None:
    amplifier = sound.part(Role.AMPLIFIER)
    must = sound.with_brief(one_brand=OneBrand.MUST)
    return must.with_product(amplifier.sku, brand="Another") if amplifier else None


@breaks("Head units")
def head_unit_missing(sound: Sound) -> Sound | None:
    return sound.without(Role.HEAD_UNIT) if sound.part(Role.HEAD_UNIT) else None


@breaks("Head units")
def two_head_units(sound: Sound) -> Sound | None:
    return _times(sound, Role.HEAD_UNIT, 1)


@breaks("Head units")
def head_unit_bought_though_one_stays(sound: Sound) -> Sound | None:
    stays = sound.brief.head_unit is not HeadUnitMode.REPLACE
    return sound.with_more(Part(Role.HEAD_UNIT, sound.catalogue.head_units[0].sku)) if stays else None


@breaks("Converters")
def converter_beside_another_unit(sound: Sound) -> Sound | None:
    other = sound.brief.head_unit is not HeadUnitMode.KEEP_FACTORY
    return sound.with_more(Part(Role.CONVERTER, sound.catalogue.converters[0].sku)) if other else None


@breaks("Converters")
def converter_that_nothing_needs(sound: Sound) -> Sound | None:
    if sound.brief.head_unit is not HeadUnitMode.KEEP_FACTORY or sound.part(Role.CONVERTER):
        return None
    return sound.with_more(Part(Role.CONVERTER, sound.catalogue.converters[0].sku))


@breaks("Converters")
def converter_missing(sound: Sound) -> Sound | None:
    return sound.without(Role.CONVERTER) if sound.part(Role.CONVERTER) else None


@breaks("Converters")
def two_converters(sound: Sound) -> Sound | None:
    return _times(sound, Role.CONVERTER, 1)
