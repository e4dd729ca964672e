"""Breakages of what drives what: loads, modes, channels, pairs, power ratios."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from budgetbuild.build import Drive, Driver, Mode, Part, Role
from budgetbuild.catalogue.items import HeadUnit, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, SubwooferType, Want
from tests.audit.breaking import breaks

if TYPE_CHECKING:
    from tests.audit.sound import Sound

LOAD, NET, CHANNELS, RATIO = (
    "Amplifier stands the load",
    "Load can be wired",
    "Amplifier has the channels",
    "Power ratio",
)
NAMED, BOUGHT = "Amplifier and mode are named", "Amplifiers bought are those connected"
REQUIRED = "Every passive location is on an external amplifier"
INTERNAL = (Driver.HEAD_UNIT, Driver.FACTORY_UNIT, Driver.OWN_UNIT)


def _external(sound: Sound, *locations: Location) -> Drive | None:
    """A drive by an external amplifier, at one of the locations if any are given."""
    wanted = locations or tuple(Location)
    return next((d for d in sound.system.drives if d.by is Driver.AMPLIFIER and d.location in wanted), None)


def _amplifier(sound: Sound, drive: Drive) -> str:
    return sound.system.amplifiers[drive.amplifier or 0]


@breaks(LOAD)
def load_below_the_channels_minimum(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.mode is Mode.STEREO), None)
    return sound.with_product(_amplifier(sound, drive), min_ohm=(drive.ohm or 0) + 0.5) if drive else None


@breaks(LOAD)
def load_below_the_bridged_minimum(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.mode is Mode.BRIDGED), None)
    return sound.with_product(_amplifier(sound, drive), min_bridged_ohm=(drive.ohm or 0) + 0.5) if drive else None


@breaks(LOAD)
def load_below_half_the_bridged_minimum_where_none_is_stated(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.mode is Mode.BRIDGED), None)
    return sound.with_product(_amplifier(sound, drive), min_bridged_ohm=None, min_ohm=drive.ohm) if drive else None


@breaks(LOAD)
def load_below_the_sub_channels_minimum(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.mode is Mode.SUB), None)
    return sound.with_product(_amplifier(sound, drive), sub_min_ohm=(drive.ohm or 0) + 0.5) if drive else None


@breaks(LOAD)
def load_below_the_lowest_rated_one(sound: Sound) -> Sound | None:
    drive, speaker = sound.driven_by(Driver.AMPLIFIER), sound.product(Speaker, Role.FRONT)
    if not drive or not speaker or drive.location is not Location.FRONT:
        return None
    return sound.with_product(speaker.sku, ohm=1.0).with_drive(Location.FRONT, ohm=1.0)


@breaks(LOAD)
def channels_without_a_rating(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.mode is Mode.STEREO), None)
    return sound.with_product(_amplifier(sound, drive), w_at_4=None, w_at_2=None) if drive else None


@breaks(LOAD)
def mode_not_said(sound: Sound) -> Sound | None:
    drive = _external(sound)
    return sound.with_drive(drive.location, mode=None) if drive else None


@breaks(LOAD)
def amplifier_number_that_does_not_exist(sound: Sound) -> Sound | None:
    drive = _external(sound)
    return sound.with_drive(drive.location, amplifier=7) if drive else None


@breaks(LOAD)
def amplifier_number_below_nought(sound: Sound) -> Sound | None:
    drive = _external(sound)
    return sound.with_drive(drive.location, amplifier=-1) if drive else None


@breaks(LOAD)
def internal_amplifier_drives_the_bass(sound: Sound) -> Sound | None:
    drive = _external(sound, Location.BASS)
    return sound.with_drive(Location.BASS, by=_inside(sound), amplifier=None, mode=None) if drive else None


@breaks(LOAD)
def internal_amplifier_drives_two_ohm(sound: Sound) -> Sound | None:
    drive = sound.driven_by(*INTERNAL)
    part = drive and sound.part(Role.FRONT if drive.location is Location.FRONT else Role.REAR)
    return sound.with_product(part.sku, ohm=2.0).with_drive(drive.location, ohm=2.0) if drive and part else None


@breaks(LOAD)
def internal_amplifier_of_another_unit(sound: Sound) -> Sound | None:
    drive = sound.driven_by(*INTERNAL)
    return sound.with_drive(drive.location, by=next(d for d in INTERNAL if d is not drive.by)) if drive else None


@breaks(LOAD)
def head_unit_without_an_internal_amplifier(sound: Sound) -> Sound | None:
    unit = sound.product(HeadUnit, Role.HEAD_UNIT)
    return sound.with_product(unit.sku, internal_w=0.0) if unit and sound.driven_by(Driver.HEAD_UNIT) else None


@breaks(LOAD)
def own_unit_without_an_internal_amplifier(sound: Sound) -> Sound | None:
    return sound.with_brief(own_internal_w=0.0) if sound.driven_by(Driver.OWN_UNIT) else None


def _inside(sound: Sound) -> Driver:
    modes = (HeadUnitMode.REPLACE, HeadUnitMode.KEEP_FACTORY, HeadUnitMode.KEEP_OWN)
    return dict(zip(modes, INTERNAL, strict=True))[sound.brief.head_unit]


@breaks(NET)
def net_that_no_wiring_reaches(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.ohm is not None), None)
    return sound.with_drive(drive.location, ohm=(drive.ohm or 0) * 1.37) if drive else None


@breaks(NET)
def load_not_said(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.ohm is not None), None)
    return sound.with_drive(drive.location, ohm=None) if drive else None


@breaks(NET)
def load_that_is_no_number(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.ohm is not None), None)
    return sound.with_drive(drive.location, ohm=math.nan) if drive else None


@breaks(NET)
def load_below_nought(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.ohm is not None), None)
    return sound.with_drive(drive.location, ohm=-(drive.ohm or 0)) if drive else None


@breaks(NET)
def wiring_that_gives_another_load(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.ohm is not None), None)
    return sound.with_drive(drive.location, wiring="coils as they come") if drive else None


@breaks(NET)
def powered_subwoofer_on_an_amplifier(sound: Sound) -> Sound | None:
    drive = _external(sound, Location.BASS)
    bass = sound.part(Role.BASS)
    return sound.with_product(bass.sku, type=SubwooferType.POWERED, ohm=None) if drive and bass else None


@breaks("Own amplifier")
def passive_bass_said_to_drive_itself(sound: Sound) -> Sound | None:
    drive = _external(sound, Location.BASS)
    alone = {"by": Driver.SELF, "amplifier": None, "mode": None, "ohm": None}
    return sound.with_drive(Location.BASS, **alone) if drive else None


@breaks("Own amplifier")
def speakers_said_to_drive_themselves(sound: Sound) -> Sound | None:
    drive = sound.drive(Location.FRONT)
    return sound.with_drive(Location.FRONT, by=Driver.SELF, amplifier=None, mode=None, ohm=None) if drive else None


@breaks("Something to drive")
def driver_of_unknown_impedance(sound: Sound) -> Sound | None:
    bass = sound.product(Subwoofer, Role.BASS)
    return sound.with_product(bass.sku, ohm=None) if bass and _external(sound, Location.BASS) else None


@breaks("Something to drive")
def location_driven_with_nothing_there(sound: Sound) -> Sound | None:
    return None if sound.drive(Location.REAR) else _driven_too(sound, Drive(Location.REAR, _inside(sound), ohm=4.0))


def _driven_too(sound: Sound, drive: Drive) -> Sound:
    return sound.with_system(drives=(*sound.system.drives, drive))


@breaks("Driven exactly once")
def location_not_driven(sound: Sound) -> Sound | None:
    return sound.with_system(drives=sound.system.drives[1:]) if sound.system.drives else None


@breaks("Driven exactly once")
def location_driven_twice(sound: Sound) -> Sound | None:
    return _driven_too(sound, sound.system.drives[-1]) if sound.system.drives else None


@breaks(NAMED)
def amplifier_named_where_none_drives(sound: Sound) -> Sound | None:
    drive = sound.driven_by(*INTERNAL)
    return sound.with_drive(drive.location, amplifier=0) if drive else None


@breaks(NAMED)
def mode_named_where_no_amplifier_drives(sound: Sound) -> Sound | None:
    drive = sound.driven_by(*INTERNAL, Driver.SELF)
    return sound.with_drive(drive.location, mode=Mode.STEREO) if drive else None


@breaks(NAMED)
def amplifier_not_named(sound: Sound) -> Sound | None:
    drive = _external(sound)
    return sound.with_drive(drive.location, amplifier=None) if drive else None


@breaks(NAMED)
def load_of_a_powered_subwoofer(sound: Sound) -> Sound | None:
    drive = sound.driven_by(Driver.SELF)
    return sound.with_drive(drive.location, ohm=4.0) if drive else None


@breaks(CHANNELS)
def sub_channel_at_the_front(sound: Sound) -> Sound | None:
    return sound.with_drive(Location.FRONT, mode=Mode.SUB) if _external(sound, Location.FRONT) else None


@breaks(CHANNELS)
def bass_on_a_stereo_pair(sound: Sound) -> Sound | None:
    return sound.with_drive(Location.BASS, mode=Mode.STEREO) if _external(sound, Location.BASS) else None


@breaks(CHANNELS)
def sub_channel_that_is_not_there(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.mode is Mode.SUB), None)
    blank = {"sub_w_at_4": None, "sub_w_at_2": None, "sub_w_at_1": None}
    return sound.with_product(_amplifier(sound, drive), **blank) if drive else None


@breaks(CHANNELS)
def too_many_pairs(sound: Sound) -> Sound | None:
    drive = next((d for d in sound.system.drives if d.mode in (Mode.STEREO, Mode.BRIDGED)), None)
    return sound.with_product(_amplifier(sound, drive), channels=0) if drive else None


@breaks(CHANNELS)
def one_pair_too_many(sound: Sound) -> Sound | None:
    stereo = [d for d in sound.system.drives if d.mode is Mode.STEREO]
    twice = len(stereo) == 2 and stereo[0].amplifier == stereo[1].amplifier
    return sound.with_product(_amplifier(sound, stereo[0]), channels=2) if twice else None


@breaks(CHANNELS)
def front_bridged_on_one_pair(sound: Sound) -> Sound | None:
    drive = _external(sound, Location.FRONT)
    bridged = drive and sound.with_drive(Location.FRONT, mode=Mode.BRIDGED)
    return bridged.with_product(_amplifier(sound, drive), channels=2) if bridged and drive else None


@breaks(CHANNELS)
def amplifier_bought_and_connected_to_nothing(sound: Sound) -> Sound | None:
    sku = sound.catalogue.amplifiers[0].sku
    more = sound.with_system(amplifiers=(*sound.system.amplifiers, sku))
    there = next((p for p in sound.system.parts if p.role is Role.AMPLIFIER and p.sku == sku), None)
    return more.with_quantity(there, there.quantity + 1) if there else more.with_more(Part(Role.AMPLIFIER, sku))


@breaks(BOUGHT)
def amplifier_bought_and_not_connected(sound: Sound) -> Sound | None:
    there = sound.part(Role.AMPLIFIER)
    return sound.with_quantity(there, there.quantity + 1) if there else None


@breaks(BOUGHT)
def amplifier_connected_and_not_bought(sound: Sound) -> Sound | None:
    return sound.without(Role.AMPLIFIER) if sound.part(Role.AMPLIFIER) else None


@breaks(BOUGHT)
def another_amplifier_connected_than_bought(sound: Sound) -> Sound | None:
    first, *others = sound.system.amplifiers or ("",)
    other = next(a.sku for a in sound.catalogue.amplifiers if a.sku != first)
    return sound.with_system(amplifiers=(other, *others)) if first else None


@breaks("External amplifiers")
def three_amplifiers(sound: Sound) -> Sound | None:
    return sound.with_system(amplifiers=sound.system.amplifiers * 3) if sound.system.amplifiers else None


@breaks("External amplifiers")
def more_amplifiers_than_the_shop_fits(sound: Sound) -> Sound | None:
    most = len(sound.system.amplifiers) - 1
    return sound.with_limits(max_amplifiers=most) if most > 0 else None


@breaks(REQUIRED)
def internal_where_an_amplifier_is_required(sound: Sound) -> Sound | None:
    return sound.with_brief(amplifier=Want.REQUIRED) if sound.driven_by(*INTERNAL) else None


@breaks("No external amplifier")
def amplifier_where_none_is_wanted(sound: Sound) -> Sound | None:
    return sound.with_brief(amplifier=Want.NONE) if sound.system.amplifiers else None


@breaks(RATIO)
def too_little_power(sound: Sound) -> Sound | None:
    return _rated(sound, 1000)


@breaks(RATIO)
def too_much_power(sound: Sound) -> Sound | None:
    return _rated(sound, 0.001)


def _rated(sound: Sound, factor: float) -> Sound | None:
    """The first passive thing rated for so many times as much."""
    for drive in sound.system.drives:
        role = {Location.FRONT: Role.FRONT, Location.REAR: Role.REAR, Location.BASS: Role.BASS}[drive.location]
        thing = sound.product(Subwoofer, role) or sound.product(Speaker, role)
        if thing and drive.by is not Driver.SELF:
            return sound.with_product(thing.sku, rms_w=thing.rms_w * factor)
    return None


@breaks(RATIO)
def just_outside_the_shops_limit(sound: Sound) -> Sound | None:
    drive = _external(sound, Location.FRONT)
    figures = next((f for f in sound.audited().locations if f.location is Location.FRONT), None)
    return sound.with_limits(ratio_max=(figures.ratio or 0) - 0.001) if drive and figures else None
