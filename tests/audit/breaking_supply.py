"""Breakages of supply and money: power kits, speaker cable, labour, cap."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.build import CableRun, Driver, Feed, Part, Role
from budgetbuild.catalogue.items import Amplifier, PowerKit, SpeakerCable
from budgetbuild.catalogue.kinds import Conductor, Location, Work
from tests.audit.breaking import breaks

if TYPE_CHECKING:
    from tests.audit.sound import Sound

FED, KITS, BOUGHT = (
    "Every device is fed by one power kit",
    "One kit for all, or one each",
    "Power kits bought are those connected",
)
CURRENT, UNITS, RUNS = "Current to design for", "Speaker cable in whole units", "Speaker cables"


@breaks(FED)
def device_that_nothing_feeds(sound: Sound) -> Sound | None:
    return sound.with_system(feeds=()).without(Role.POWER_KIT) if sound.system.feeds else None


@breaks(FED)
def feed_of_an_unknown_device(sound: Sound) -> Sound | None:
    first, *others = sound.system.feeds or (Feed("", ()),)
    return sound.with_system(feeds=(replace(first, devices=(5,)), *others)) if first.devices else None


@breaks(FED)
def feed_of_one_device_too_many(sound: Sound) -> Sound | None:
    first, *others = sound.system.feeds or (Feed("", ()),)
    return sound.with_system(feeds=(replace(first, devices=(*first.devices, -9)), *others)) if first.devices else None


@breaks(FED)
def device_fed_twice(sound: Sound) -> Sound | None:
    first, *others = sound.system.feeds or (Feed("", ()),)
    return sound.with_system(feeds=(replace(first, devices=first.devices * 2), *others)) if first.devices else None


@breaks(FED)
def feed_where_nothing_draws(sound: Sound) -> Sound | None:
    if sound.system.feeds:
        return None
    kit = sound.catalogue.power_kits[0].sku
    return sound.with_system(feeds=(Feed(kit, (0,)),)).with_more(Part(Role.POWER_KIT, kit))


@breaks(KITS)
def empty_feed(sound: Sound) -> Sound | None:
    feeds = sound.system.feeds
    return sound.with_system(feeds=(*feeds, Feed(feeds[0].sku, ()))) if feeds else None


@breaks(KITS)
def two_kits_for_three_devices(sound: Sound) -> Sound | None:
    if len(sound.system.feeds) != 3:
        return None
    first, second, third = sound.system.feeds
    both = replace(first, devices=first.devices + second.devices)
    fed = sound.with_product(first.sku, amplifiers_fed=3, fuse_a=300.0, mm2=100.0, awg=None)
    bought = fed.without(Role.POWER_KIT).with_more(Part(Role.POWER_KIT, first.sku, 2))
    return bought.with_system(feeds=(both, third))


@breaks(KITS)
def empty_feed_where_nothing_draws(sound: Sound) -> Sound | None:
    kit = sound.catalogue.power_kits[0].sku
    return None if sound.system.feeds else sound.with_system(feeds=(Feed(kit, ()),))


@breaks(BOUGHT)
def power_kit_missing(sound: Sound) -> Sound | None:
    return sound.without(Role.POWER_KIT) if sound.part(Role.POWER_KIT) else None


@breaks(BOUGHT)
def power_kit_doubled(sound: Sound) -> Sound | None:
    kit = sound.part(Role.POWER_KIT)
    return sound.with_quantity(kit, kit.quantity + 1) if kit else None


@breaks(BOUGHT)
def another_power_kit_connected_than_bought(sound: Sound) -> Sound | None:
    first, *others = sound.system.feeds or (Feed("", ()),)
    other = next(kit.sku for kit in sound.catalogue.power_kits if kit.sku != first.sku)
    return sound.with_system(feeds=(replace(first, sku=other), *others)) if first.devices else None


@breaks(BOUGHT)
def power_kit_that_nothing_needs(sound: Sound) -> Sound | None:
    kit = sound.catalogue.power_kits[0].sku
    return None if sound.part(Role.POWER_KIT) else sound.with_more(Part(Role.POWER_KIT, kit))


@breaks("Power kit")
def feed_by_something_that_is_no_power_kit(sound: Sound) -> Sound | None:
    first, *others = sound.system.feeds or (Feed("", ()),)
    lead = sound.catalogue.signal_leads[0].sku
    return sound.with_system(feeds=(replace(first, sku=lead), *others)) if first.devices else None


@breaks(CURRENT)
def power_kit_too_thin(sound: Sound) -> Sound | None:
    kit = sound.part(Role.POWER_KIT)
    return sound.with_product(kit.sku, mm2=0.5, awg=None) if kit else None


@breaks(CURRENT)
def power_kit_too_thin_for_the_voltage_drop(sound: Sound) -> Sound | None:
    return sound.with_limits(allowed_drop_v=0.001) if sound.part(Role.POWER_KIT) else None


@breaks(CURRENT)
def main_fuse_too_small(sound: Sound) -> Sound | None:
    kit = sound.part(Role.POWER_KIT)
    return sound.with_product(kit.sku, fuse_a=1.0) if kit else None


@breaks(CURRENT)
def amplifier_that_draws_more_than_the_kit_carries(sound: Sound) -> Sound | None:
    amplifier = sound.product(Amplifier, Role.AMPLIFIER)
    return sound.with_product(amplifier.sku, fuse_a=900.0) if amplifier else None


@breaks(CURRENT)
def powered_subwoofer_that_draws_more_than_the_kit_carries(sound: Sound) -> Sound | None:
    bass = sound.part(Role.BASS)
    return sound.with_product(bass.sku, fuse_a=900.0) if bass and sound.driven_by(Driver.SELF) else None


@breaks("Power kit reaches")
def power_kit_too_short(sound: Sound) -> Sound | None:
    kit = sound.part(Role.POWER_KIT)
    return sound.with_product(kit.sku, length_m=3.8) if kit else None


@breaks("Power kit reaches")
def power_kit_too_short_for_this_vehicle(sound: Sound) -> Sound | None:
    return sound.with_vehicle(power_run_m=8.0) if sound.part(Role.POWER_KIT) else None


@breaks("Power kit feeds so many")
def power_kit_that_feeds_one_only(sound: Sound) -> Sound | None:
    kit = sound.product(PowerKit, Role.POWER_KIT)
    shared = any(len(feed.devices) > 1 for feed in sound.system.feeds)
    return sound.with_product(kit.sku, amplifiers_fed=1) if kit and shared else None


@breaks("Conductor allowed")
def copper_clad_where_it_is_barred(sound: Sound) -> Sound | None:
    kit = sound.part(Role.POWER_KIT)
    return sound.with_limits(cca_allowed=False).with_product(kit.sku, conductor=Conductor.CCA) if kit else None


@breaks("Speaker cable's loop resistance")
def speaker_cable_too_thin(sound: Sound) -> Sound | None:
    cable = sound.part(Role.SPEAKER_CABLE)
    return sound.with_product(cable.sku, mm2=0.05, awg=None) if cable and sound.system.cables else None


@breaks("Speaker cable's loop resistance")
def speaker_cable_too_thin_for_this_vehicle(sound: Sound) -> Sound | None:
    far = sound.with_vehicle(front_run_m=90.0, rear_run_m=90.0, bass_run_m=90.0)
    return far if sound.system.cables else None


@breaks(RUNS)
def location_without_a_speaker_cable(sound: Sound) -> Sound | None:
    return sound.with_system(cables=sound.system.cables[1:]) if sound.system.cables else None


@breaks(RUNS)
def location_with_two_speaker_cables(sound: Sound) -> Sound | None:
    cables = sound.system.cables
    return sound.with_system(cables=(*cables, cables[-1])) if cables else None


@breaks(RUNS)
def speaker_cable_for_an_empty_location(sound: Sound) -> Sound | None:
    empty = next((location for location in Location if not sound.drive(location)), None)
    return _cabled(sound, empty) if empty else None


@breaks(RUNS)
def speaker_cable_for_an_internal_amplifier(sound: Sound) -> Sound | None:
    drive = sound.driven_by(Driver.HEAD_UNIT, Driver.FACTORY_UNIT, Driver.OWN_UNIT)
    return _cabled(sound, drive.location) if drive else None


@breaks(RUNS)
def speaker_cable_for_a_powered_subwoofer(sound: Sound) -> Sound | None:
    return _cabled(sound, Location.BASS) if sound.driven_by(Driver.SELF) else None


def _cabled(sound: Sound, location: Location) -> Sound:
    cable = sound.catalogue.speaker_cables[0].sku
    return sound.with_system(cables=(*sound.system.cables, CableRun(location, cable)))


@breaks("Speaker cable bought")
def speaker_cable_connected_and_not_bought(sound: Sound) -> Sound | None:
    return sound.without(Role.SPEAKER_CABLE) if sound.system.cables else None


@breaks("Speaker cable bought")
def something_else_connected_as_speaker_cable(sound: Sound) -> Sound | None:
    first, *others = sound.system.cables or (None,)
    lead = sound.catalogue.signal_leads[0].sku
    return sound.with_system(cables=(replace(first, sku=lead), *others)) if first else None


@breaks(UNITS)
def one_unit_of_speaker_cable_too_few(sound: Sound) -> Sound | None:
    cable = sound.part(Role.SPEAKER_CABLE)
    return sound.with_quantity(cable, cable.quantity - 1) if cable and sound.system.cables else None


@breaks(UNITS)
def one_unit_of_speaker_cable_too_many(sound: Sound) -> Sound | None:
    cable = sound.part(Role.SPEAKER_CABLE)
    return sound.with_brief(must_include=()).with_quantity(cable, cable.quantity + 1) if cable else None


@breaks(UNITS)
def speaker_cable_that_nothing_needs(sound: Sound) -> Sound | None:
    bought = {part.sku for part in sound.system.parts}
    other = next((c.sku for c in sound.catalogue.speaker_cables if c.sku not in bought), None)
    return sound.with_brief(must_include=()).with_more(Part(Role.SPEAKER_CABLE, other)) if other else None


@breaks(UNITS)
def speaker_cable_in_smaller_units(sound: Sound) -> Sound | None:
    cable = sound.product(SpeakerCable, Role.SPEAKER_CABLE)
    if cable is None or not sound.system.cables:
        return None
    return sound.with_product(cable.sku, metres_per_unit=cable.metres_per_unit / 40)


@breaks("Total within the cap")
def one_cent_over_the_cap(sound: Sound) -> Sound | None:
    return replace(sound, cap=sound.audited().total - 1)


@breaks("Total within the cap")
def dearer_than_when_it_was_solved(sound: Sound) -> Sound | None:
    capped = replace(sound, cap=sound.audited().total)
    parts = sound.system.parts
    dearer = {part.sku: p.price for part in parts for p in sound.catalogue.products() if p.sku == part.sku}
    return capped.with_product(parts[0].sku, price=dearer[parts[0].sku] + 1) if parts else None


@breaks("Labour priced")
def fitted_without_a_labour_rate(sound: Sound) -> Sound | None:
    settings = replace(sound.catalogue.settings, labour_rate=None)
    fitted = sound.with_brief(fitted=True)
    return replace(fitted, catalogue=replace(sound.catalogue, settings=settings)) if sound.part(Role.FRONT) else None


def _without_hours(sound: Sound, work: Work) -> Sound:
    hours = dict(sound.catalogue.labour_hours)
    del hours[work]
    return replace(sound.with_brief(fitted=True), catalogue=replace(sound.catalogue, labour_hours=hours))


@breaks("Labour priced")
def fitted_without_hours_for_the_bass(sound: Sound) -> Sound | None:
    return _without_hours(sound, Work.BASS) if sound.part(Role.BASS) else None


@breaks("Labour priced")
def fitted_without_hours_for_deadening(sound: Sound) -> Sound | None:
    return _without_hours(sound, Work.DEADENING_PER_M2) if sound.part(Role.DEADENING) else None
