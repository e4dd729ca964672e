"""Breakages that a careful eye may pass over: the right part in the wrong place, a figure missed by a hair, a swap."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.build import CableRun, Drive, Driver, Feed, Mode, Part, Role
from budgetbuild.catalogue.items import (
    Amplifier,
    Box,
    FittingKit,
    PowerKit,
    SignalLead,
    Speaker,
    SpeakerCable,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import AmplifierClass, Conductor, Location, OneBrand, SubwooferType, Want, Work
from tests.audit.breaking import breaks

if TYPE_CHECKING:
    from tests.audit.sound import Sound

KNOWN = "Every part is an active product of the right sheet, in whole pieces"
AT_THE_PLACE, LABOUR = "Products at the location", "Labour priced"
CHANNELS, LOAD, RATIO = "Amplifier has the channels", "Amplifier stands the load", "Power ratio"
CURRENT, UNITS, RUNS = "Current to design for", "Speaker cable in whole units", "Speaker cables"
LOSS, KITS = "Speaker cable's loop resistance", "One kit for all, or one each"
ADAPTER, AERIAL = "Adapter for another speaker size", "Digital-radio aerial"


def _in_role(sound: Sound, old: Role, new: Role) -> Sound | None:
    """What fills one role listed in another."""
    part = sound.part(old)
    return sound.without(old).with_more(replace(part, role=new)) if part else None


@breaks(KNOWN)
def power_kit_listed_as_a_lead(sound: Sound) -> Sound | None:
    return _in_role(sound, Role.POWER_KIT, Role.SIGNAL_LEAD)


@breaks(KNOWN)
def head_unit_listed_as_a_converter(sound: Sound) -> Sound | None:
    return _in_role(sound, Role.HEAD_UNIT, Role.CONVERTER)


@breaks(KNOWN)
def box_listed_as_the_bass(sound: Sound) -> Sound | None:
    box = sound.part(Role.BOX)
    return sound.with_more(replace(box, role=Role.BASS)) if box else None


@breaks(KNOWN)
def sku_with_a_space_behind_it(sound: Sound) -> Sound | None:
    lead = sound.part(Role.SIGNAL_LEAD)
    return sound.exchanged(lead.sku, f"{lead.sku} ") if lead else None


@breaks(KNOWN)
def front_speakers_of_which_one_is_bought(sound: Sound) -> Sound | None:
    front = sound.part(Role.FRONT)
    return sound.with_quantity(front, 0.5) if front else None


@breaks("Driven exactly once")
def front_speakers_listed_at_the_rear(sound: Sound) -> Sound | None:
    return None if sound.part(Role.REAR) else _in_role(sound, Role.FRONT, Role.REAR)


@breaks(ADAPTER)
def rear_adapter_listed_at_the_front(sound: Sound) -> Sound | None:
    return _in_role(sound, Role.REAR_ADAPTER, Role.FRONT_ADAPTER)


@breaks(ADAPTER)
def two_adapters_for_one_pair(sound: Sound) -> Sound | None:
    adapter = sound.part(Role.REAR_ADAPTER)
    return sound.with_quantity(adapter, 2) if adapter else None


@breaks(ADAPTER)
def adapter_that_is_a_head_units_kit(sound: Sound) -> Sound | None:
    adapter, kit = sound.part(Role.REAR_ADAPTER), sound.product(FittingKit, Role.SOURCE_KIT)
    return sound.exchanged(adapter.sku, kit.sku) if adapter and kit else None


@breaks(AERIAL)
def an_aerial_of_each_kind(sound: Sound) -> Sound | None:
    aerial = sound.part(Role.AERIAL)
    other = next((a.sku for a in sound.catalogue.aerials if aerial and a.sku != aerial.sku), None)
    return sound.with_more(Part(Role.AERIAL, other)) if other else None


@breaks(AT_THE_PLACE)
def two_products_at_the_front(sound: Sound) -> Sound | None:
    front = sound.part(Role.FRONT)
    other = next((s.sku for s in sound.catalogue.speakers if front and s.sku != front.sku), None)
    return sound.with_more(Part(Role.FRONT, other)) if other else None


@breaks(AT_THE_PLACE)
def an_enclosure_beside_the_bass(sound: Sound) -> Sound | None:
    bass = sound.part(Role.BASS)
    other = next((s.sku for s in sound.catalogue.subwoofers if bass and s.sku != bass.sku), None)
    return sound.with_more(Part(Role.BASS, other)) if other else None


@breaks("Boxes")
def a_box_of_each_size(sound: Sound) -> Sound | None:
    box = sound.part(Role.BOX)
    other = next((b.sku for b in sound.catalogue.boxes if box and b.sku != box.sku), None)
    return sound.with_more(Part(Role.BOX, other)) if other else None


@breaks("Box takes the driver")
def box_of_as_many_litres_as_one_driver_wants_for_two(sound: Sound) -> Sound | None:
    box, driver = sound.product(Box, Role.BOX), sound.product(Subwoofer, Role.BASS)
    shared = box and driver and box.drivers > 1 and driver.box_litres_min
    return sound.with_product(box.sku, litres=float(driver.box_litres_min or 0)) if box and driver and shared else None


@breaks("Fits the boot")
def enclosure_upright_though_only_lying_fits(sound: Sound) -> Sound | None:
    """Its base may be turned, the box may not be laid on its side."""
    bass = sound.product(Subwoofer, Role.BASS)
    if bass is None or bass.type is SubwooferType.DRIVER:
        return None
    boot = sound.with_vehicle(boot_width_mm=900.0, boot_height_mm=300.0, boot_depth_mm=900.0)
    return boot.with_product(bass.sku, width_mm=250.0, height_mm=500.0, depth_mm=250.0)


@breaks("Includes what the brief asks for")
def brand_that_was_asked_for_is_missing(sound: Sound) -> Sound | None:
    return sound.with_brief(must_include=(*sound.brief.must_include, "A brand that nobody sells"))


@breaks("Nothing that the brief leaves out")
def cable_of_a_brand_that_is_left_out(sound: Sound) -> Sound | None:
    cable = sound.product(SpeakerCable, Role.SPEAKER_CABLE)
    named = sound.with_product(cable.sku, brand="Other Copper") if cable else None
    return named.with_brief(leave_out=("other copper",)) if named else None


@breaks("One brand")
def rear_speakers_of_another_brand(sound: Sound) -> Sound | None:
    front, rear = sound.part(Role.FRONT), sound.part(Role.REAR)
    if not front or not rear or front.sku == rear.sku:
        return None
    return sound.with_product(rear.sku, brand="Another").with_brief(one_brand=OneBrand.MUST)


@breaks(CHANNELS)
def front_and_rear_bridged_on_four_channels(sound: Sound) -> Sound | None:
    """Two pairs each: four are needed, there are two."""
    drives = [drive for drive in sound.system.drives if drive.mode is Mode.STEREO]
    if len(drives) != 2 or drives[0].amplifier != drives[1].amplifier:
        return None
    bridged = sound.with_drive(drives[0].location, mode=Mode.BRIDGED).with_drive(drives[1].location, mode=Mode.BRIDGED)
    return bridged.with_product(sound.system.amplifiers[drives[0].amplifier or 0], channels=4)


@breaks(CHANNELS)
def bass_bridged_where_every_pair_is_taken(sound: Sound) -> Sound | None:
    bass, amplifiers = sound.drive(Location.BASS), sound.system.amplifiers
    external = [drive for drive in sound.system.drives if drive.by is Driver.AMPLIFIER]
    if bass is None or bass.mode is not Mode.SUB or len(external) != 3 or len(amplifiers) != 1:
        return None
    return sound.with_drive(Location.BASS, mode=Mode.BRIDGED).with_product(amplifiers[0], channels=4)


@breaks(CHANNELS)
def front_on_a_mono_amplifier(sound: Sound) -> Sound | None:
    bass, front = sound.drive(Location.BASS), sound.drive(Location.FRONT)
    if not bass or not front or sound.drive(Location.REAR):
        return None
    if bass.mode is not Mode.SUB or front.by is not Driver.AMPLIFIER or front.amplifier == bass.amplifier:
        return None
    return sound.with_drive(Location.FRONT, amplifier=bass.amplifier)


@breaks(CHANNELS)
def two_locations_on_one_sub_channel(sound: Sound) -> Sound | None:
    bass, rear = sound.drive(Location.BASS), sound.drive(Location.REAR)
    both = bass and rear and bass.mode is Mode.SUB and rear.by is Driver.AMPLIFIER
    return sound.with_drive(Location.REAR, mode=Mode.SUB, amplifier=bass.amplifier) if bass and both else None


@breaks("Amplifiers bought are those connected")
def one_amplifier_connected_as_two(sound: Sound) -> Sound | None:
    if len(sound.system.amplifiers) != 1 or len(sound.system.drives) < 2:
        return None
    last = sound.system.drives[-1]
    twice = sound.with_system(amplifiers=sound.system.amplifiers * 2)
    return twice.with_drive(last.location, amplifier=1) if last.by is Driver.AMPLIFIER else None


@breaks("External amplifiers")
def amplifier_in_a_shop_that_fits_none(sound: Sound) -> Sound | None:
    return sound.with_limits(max_amplifiers=0) if sound.system.amplifiers else None


@breaks(LOAD)
def coils_wired_below_what_the_sub_channel_stands(sound: Sound) -> Sound | None:
    """A load that the driver can be wired to, and that its amplifier cannot drive."""
    bass, driver = sound.drive(Location.BASS), sound.product(Subwoofer, Role.BASS)
    if not bass or not driver or bass.mode is not Mode.SUB or driver.coils != 2 or sound.part(Role.BOX) is None:
        return None
    box = sound.product(Box, Role.BOX)
    if box is None or box.drivers != 1 or driver.ohm is None or bass.ohm == driver.ohm / 2:
        return None
    low = sound.with_drive(Location.BASS, ohm=driver.ohm / 2, wiring="coils in parallel")
    return low.with_product(sound.system.amplifiers[bass.amplifier or 0], sub_min_ohm=driver.ohm)


@breaks(LOAD)
def three_ohm_on_an_internal_amplifier(sound: Sound) -> Sound | None:
    drive = sound.driven_by(Driver.HEAD_UNIT, Driver.FACTORY_UNIT, Driver.OWN_UNIT)
    part = drive and sound.part(Role.FRONT if drive.location is Location.FRONT else Role.REAR)
    return sound.with_product(part.sku, ohm=3.0).with_drive(drive.location, ohm=3.0) if drive and part else None


@breaks(LOAD)
def two_ohm_where_only_four_is_rated(sound: Sound) -> Sound | None:
    """No minimum is stated: below the lowest rated load nothing is allowed all the same."""
    drive, speaker = sound.drive(Location.FRONT), sound.product(Speaker, Role.FRONT)
    if not drive or not speaker or drive.mode is not Mode.STEREO:
        return None
    amplifier = sound.system.amplifiers[drive.amplifier or 0]
    unstated = sound.with_product(amplifier, w_at_2=None, min_ohm=None)
    return unstated.with_product(speaker.sku, ohm=2.0).with_drive(Location.FRONT, ohm=2.0)


def _ratio(sound: Sound, location: Location) -> float | None:
    figures = next((one for one in sound.audited().locations if one.location is location), None)
    return figures.ratio if figures else None


@breaks(RATIO)
def front_just_below_the_least_ratio(sound: Sound) -> Sound | None:
    ratio = _ratio(sound, Location.FRONT)
    return sound.with_limits(ratio_min=ratio + 0.001) if ratio else None


@breaks(RATIO)
def bass_just_above_the_greatest_ratio(sound: Sound) -> Sound | None:
    ratio = _ratio(sound, Location.BASS)
    return sound.with_limits(bass_ratio_max=ratio - 0.001) if ratio else None


@breaks(RATIO)
def bass_just_below_the_least_ratio(sound: Sound) -> Sound | None:
    ratio = _ratio(sound, Location.BASS)
    return sound.with_limits(bass_ratio_min=ratio + 0.001) if ratio else None


@breaks(RATIO)
def second_driver_for_which_the_power_does_not_reach(sound: Sound) -> Sound | None:
    """The box takes two, the load is as before, and each gets half."""
    box, driver = sound.product(Box, Role.BOX), sound.product(Subwoofer, Role.BASS)
    ratio, drive = _ratio(sound, Location.BASS), sound.drive(Location.BASS)
    part = sound.part(Role.BASS)
    if not box or not driver or not part or not drive or not ratio or box.drivers != 1 or not drive.ohm:
        return None
    twice = sound.with_product(box.sku, drivers=2, litres=2 * box.litres).with_quantity(part, 2)
    one_coil = twice.with_product(driver.sku, coils=1, ohm=2 * drive.ohm).with_drive(Location.BASS, wiring="")
    return one_coil.with_limits(bass_ratio_min=0.75 * ratio)


@breaks("Every device is fed by one power kit")
def kit_that_feeds_one_of_two(sound: Sound) -> Sound | None:
    first = next((feed for feed in sound.system.feeds if len(feed.devices) == 2), None)
    return sound.with_system(feeds=(replace(first, devices=first.devices[:1]),)) if first else None


@breaks(CURRENT)
def large_amplifier_on_the_small_kit(sound: Sound) -> Sound | None:
    """Two kits, each fused for what it feeds, exchanged."""
    feeds, draws = sound.system.feeds, {device.kit_sku: device.current_a for device in sound.audited().devices}
    if len(feeds) != 2 or len(set(draws.values())) != 2:
        return None
    fused = sound
    for sku, current in draws.items():
        fused = fused.with_product(sku, fuse_a=current + 0.1, mm2=100.0, awg=None, conductor=Conductor.COPPER)
    swapped = (replace(feeds[0], devices=feeds[1].devices), replace(feeds[1], devices=feeds[0].devices))
    return fused.with_system(feeds=swapped)


@breaks(CURRENT)
def main_fuse_an_ampere_too_small(sound: Sound) -> Sound | None:
    current, kit = sum(device.current_a for device in sound.audited().devices), sound.part(Role.POWER_KIT)
    one = kit and len(sound.system.feeds) == 1
    return sound.with_product(kit.sku, fuse_a=current - 1) if kit and one else None


@breaks(CURRENT)
def copper_clad_of_the_same_area(sound: Sound) -> Sound | None:
    """What copper just carries."""
    kit = sound.product(PowerKit, Role.POWER_KIT)
    current = max((device.current_a for device in sound.audited().devices), default=0.0)
    if kit is None or not current or len(sound.system.feeds) != 1:
        return None
    unfused = sound.with_product(kit.sku, fuse_a=900.0)
    copper = _just_thick_enough(unfused, kit.sku, CURRENT)
    return copper.with_product(kit.sku, conductor=Conductor.CCA)


def _just_thick_enough(sound: Sound, sku: str, rule: str) -> Sound:
    """The cable or kit in the thinnest copper that the rule passes, of areas a tenth apart."""
    areas = (0.2 * 1.1**step for step in range(80))
    thick = (sound.with_product(sku, mm2=mm2, awg=None, conductor=Conductor.COPPER) for mm2 in areas)
    return next(one for one in thick if rule not in one.refused())


@breaks(CURRENT)
def amplifier_of_a_poorer_class_without_a_fuse_rating(sound: Sound) -> Sound | None:
    """Its current then follows from its power: class AB draws half as much again as class D."""
    amplifier = sound.product(Amplifier, Role.AMPLIFIER)
    if amplifier is None or len(sound.system.feeds) != 1:
        return None
    efficient = sound.with_product(amplifier.sku, fuse_a=None, amplifier_class=AmplifierClass.D)
    kit, current = efficient.part(Role.POWER_KIT), sum(d.current_a for d in efficient.audited().devices)
    if kit is None:
        return None
    just = efficient.with_product(kit.sku, fuse_a=current + 1, mm2=100.0, awg=None, conductor=Conductor.COPPER)
    return just.with_product(amplifier.sku, amplifier_class=AmplifierClass.AB) if not just.refused() else None


@breaks(CURRENT)
def cable_warmer_than_the_kit_was_chosen_for(sound: Sound) -> Sound | None:
    kit, devices = sound.part(Role.POWER_KIT), sound.audited().devices
    return sound.with_limits(conductor_c=4000.0) if kit and devices else None


@breaks("Power kit reaches")
def power_kit_a_centimetre_too_short(sound: Sound) -> Sound | None:
    kit, run = sound.part(Role.POWER_KIT), sound.vehicle.power_run_m
    return sound.with_product(kit.sku, length_m=run - 0.01) if kit and run else None


@breaks(KITS)
def kit_of_its_own_beside_the_one_for_all(sound: Sound) -> Sound | None:
    """Three devices: one kit for two of them, one for the third."""
    devices = [device for feed in sound.system.feeds for device in feed.devices]
    if len(devices) != 3:
        return None
    sku = sound.system.feeds[0].sku
    return sound.with_system(feeds=(Feed(sku, tuple(devices[:2])), Feed(sku, tuple(devices[2:]))))


@breaks(RUNS)
def both_speaker_cables_to_the_front(sound: Sound) -> Sound | None:
    cables = sound.system.cables
    moved = tuple(CableRun(Location.FRONT, run.sku) for run in cables)
    return sound.with_system(cables=moved) if len(cables) == 2 else None


@breaks(LOSS)
def speaker_cable_of_copper_clad_where_copper_just_does(sound: Sound) -> Sound | None:
    cable = sound.product(SpeakerCable, Role.SPEAKER_CABLE)
    if cable is None or not sound.system.cables:
        return None
    return _just_thick_enough(sound, cable.sku, LOSS).with_product(cable.sku, conductor=Conductor.CCA)


@breaks(LOSS)
def two_ohm_speakers_on_the_cable_for_four(sound: Sound) -> Sound | None:
    front, drive = sound.product(Speaker, Role.FRONT), sound.drive(Location.FRONT)
    run = next((run for run in sound.system.cables if run.location is Location.FRONT), None)
    if not front or not drive or not run or drive.mode is not Mode.STEREO or drive.ohm != 4:
        return None
    alone = sound.with_vehicle(rear_run_m=0.1, bass_run_m=0.1)
    thin = _just_thick_enough(alone, run.sku, LOSS)
    return thin.with_product(front.sku, ohm=2.0).with_drive(Location.FRONT, ohm=2.0)


@breaks(UNITS)
def cable_for_a_longer_run_than_was_bought(sound: Sound) -> Sound | None:
    runs = {run.location for run in sound.system.cables}
    metres = sound.vehicle.front_run_m
    return sound.with_vehicle(front_run_m=metres + 30.0) if Location.FRONT in runs and metres else None


@breaks(UNITS)
def no_metre_to_spare(sound: Sound) -> Sound | None:
    return sound.with_limits(cable_spare_share=9.0) if sound.system.cables else None


@breaks(UNITS)
def each_location_on_reels_of_its_own(sound: Sound) -> Sound | None:
    """Units rounded up location by location, not once for the product."""
    cable = sound.part(Role.SPEAKER_CABLE)
    shared = cable and len({run.sku for run in sound.system.cables}) == 1 < len(sound.system.cables)
    many = sound.with_brief(must_include=())
    return many.with_quantity(cable, cable.quantity + len(sound.system.cables) - 1) if cable and shared else None


@breaks("No signal lead too many")
def six_channels_and_a_pair_beside_them(sound: Sound) -> Sound | None:
    lead = sound.product(SignalLead, Role.SIGNAL_LEAD)
    other = next((one.sku for one in sound.catalogue.signal_leads if lead and one.sku != lead.sku), None)
    return sound.with_brief(must_include=()).with_more(Part(Role.SIGNAL_LEAD, other)) if other else None


@breaks("Signal lead channels")
def lead_one_channel_short(sound: Sound) -> Sound | None:
    lead, needed = sound.part(Role.SIGNAL_LEAD), 2 * sound.audited().pairs_needed
    one = lead and lead.quantity == 1 and sum(p.role is Role.SIGNAL_LEAD for p in sound.system.parts) == 1
    return sound.with_product(lead.sku, channels=needed - 1) if lead and one else None


@breaks("Signal lead reaches")
def lead_a_centimetre_too_short(sound: Sound) -> Sound | None:
    lead, run = sound.part(Role.SIGNAL_LEAD), sound.vehicle.signal_run_m
    replaced = lead and run and not sound.part(Role.CONVERTER)
    return sound.with_product(lead.sku, length_m=run - 0.01) if lead and run and replaced else None


@breaks("Stereo pairs from the source")
def powered_subwoofer_beside_a_unit_without_pre_outs(sound: Sound) -> Sound | None:
    own = sound.driven_by(Driver.SELF) and sound.brief.own_preout_pairs and not sound.part(Role.HEAD_UNIT)
    return sound.with_brief(own_preout_pairs=0) if own and not sound.part(Role.CONVERTER) else None


@breaks("Converters")
def converter_where_everything_hangs_on_the_factory_unit(sound: Sound) -> Sound | None:
    """Its location went back to the factory unit, the converter stayed."""
    if not sound.part(Role.CONVERTER) or sound.part(Role.BASS) is None:
        return None
    drive = sound.drive(Location.FRONT)
    alone = sound.with_system(drives=(Drive(Location.FRONT, Driver.FACTORY_UNIT, ohm=drive.ohm),)) if drive else None
    return alone.without(Role.BASS).without(Role.BOX) if alone else None


@breaks("Deadening sheets")
def one_sheet_more_than_the_doors_take(sound: Sound) -> Sound | None:
    sheets, covered = sound.part(Role.DEADENING), sound.audited().coverage
    return sound.with_quantity(sheets, sheets.quantity + 1) if sheets and covered >= 1 else None


@breaks("Total within the cap")
def fitting_that_was_not_in_the_price(sound: Sound) -> Sound | None:
    """A cap that the parts just keep, and then the shop fits them."""
    works = sound.part(Role.FRONT) and sound.catalogue.settings.labour_rate
    plain = replace(sound.with_brief(fitted=False), cap=None)
    return replace(plain.with_brief(fitted=True), cap=plain.audited().total) if works else None


@breaks("Total within the cap")
def budget_without_its_allowance(sound: Sound) -> Sound | None:
    """Within 1 % above the budget, held against the budget itself."""
    return replace(sound, cap=100 * sound.audited().total // 101) if sound.system.parts else None


def _without_hours(sound: Sound, work: Work, role: Role) -> Sound | None:
    hours = {one: some for one, some in sound.catalogue.labour_hours.items() if one is not work}
    fitted = sound.with_brief(fitted=True)
    return replace(fitted, catalogue=replace(sound.catalogue, labour_hours=hours)) if sound.part(role) else None


@breaks(LABOUR)
def fitted_without_hours_for_the_head_unit(sound: Sound) -> Sound | None:
    return _without_hours(sound, Work.HEAD_UNIT, Role.HEAD_UNIT)


@breaks(LABOUR)
def fitted_without_hours_for_the_converter(sound: Sound) -> Sound | None:
    return _without_hours(sound, Work.CONVERTER, Role.CONVERTER)


@breaks(LABOUR)
def fitted_without_hours_for_the_rear(sound: Sound) -> Sound | None:
    return _without_hours(sound, Work.REAR, Role.REAR)


@breaks(LABOUR)
def fitted_without_hours_for_an_amplifier(sound: Sound) -> Sound | None:
    return _without_hours(sound, Work.AMPLIFIER, Role.AMPLIFIER)


@breaks("Every passive location is on an external amplifier")
def rear_left_on_the_dash_though_an_amplifier_is_required(sound: Sound) -> Sound | None:
    """The front is on an amplifier, the rear is not."""
    front, rear = sound.drive(Location.FRONT), sound.drive(Location.REAR)
    mixed = front and rear and front.by is Driver.AMPLIFIER and rear.by not in (Driver.AMPLIFIER, Driver.SELF)
    return sound.with_brief(amplifier=Want.REQUIRED) if mixed else None
