"""Sound systems made by hand from the small shop, one for each way of building one."""

from __future__ import annotations

from dataclasses import replace

from budgetbuild.build import SUBWOOFER_DEVICE, CableRun, Drive, Driver, Feed, Mode, Part, Role, System
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, OneBrand, Want
from budgetbuild.catalogue.shop import Brief
from tests.audit.shop import SHOP, WAGON
from tests.audit.sound import Sound

FRONT, REAR, BASS = Location.FRONT, Location.REAR, Location.BASS


def _cables(*runs: tuple[Location, str]) -> tuple[CableRun, ...]:
    return tuple(CableRun(location, sku) for location, sku in runs)


FIVE_CHANNELS = Sound(
    "five channels",
    SHOP,
    Brief(
        name="all new",
        vehicle=WAGON.name,
        head_unit=HeadUnitMode.REPLACE,
        rear=Want.REQUIRED,
        bass=Want.REQUIRED,
        amplifier=Want.REQUIRED,
        deadening=Want.REQUIRED,
        fitted=True,
        one_brand=OneBrand.PREFER,
        must_include=("orvane", "AE-S"),
    ),
    WAGON,
    190_000,
    System(
        parts=(
            Part(Role.HEAD_UNIT, "HU-2"),
            Part(Role.SOURCE_KIT, "FK-H"),
            Part(Role.AERIAL, "AE-S"),
            Part(Role.FRONT, "SP-F"),
            Part(Role.REAR, "SP-S"),
            Part(Role.REAR_ADAPTER, "FK-A"),
            Part(Role.BASS, "SW-D"),
            Part(Role.BOX, "BX-1"),
            Part(Role.AMPLIFIER, "AM-5"),
            Part(Role.POWER_KIT, "PK-B"),
            Part(Role.SIGNAL_LEAD, "SL-6"),
            Part(Role.SPEAKER_CABLE, "SC-1", 19),
            Part(Role.DEADENING, "DD-1", 3),
        ),
        amplifiers=("AM-5",),
        drives=(
            Drive(FRONT, Driver.AMPLIFIER, 0, Mode.STEREO, 4.0),
            Drive(REAR, Driver.AMPLIFIER, 0, Mode.STEREO, 4.0),
            Drive(BASS, Driver.AMPLIFIER, 0, Mode.SUB, 4.0, "coils in series"),
        ),
        feeds=(Feed("PK-B", (0,)),),
        cables=_cables((FRONT, "SC-1"), (REAR, "SC-1"), (BASS, "SC-1")),
    ),
)
"""Everything new, on one five-channel amplifier, fitted by the shop."""

TWO_AMPLIFIERS = Sound(
    "two amplifiers",
    SHOP,
    Brief(name="factory look", vehicle=WAGON.name, head_unit=HeadUnitMode.KEEP_FACTORY, rear=Want.NONE),
    WAGON,
    None,
    System(
        parts=(
            Part(Role.CONVERTER, "CV-1"),
            Part(Role.SOURCE_KIT, "FK-C"),
            Part(Role.FRONT, "SP-F"),
            Part(Role.BASS, "SW-E"),
            Part(Role.AMPLIFIER, "AM-1"),
            Part(Role.AMPLIFIER, "AM-4"),
            Part(Role.POWER_KIT, "PK-A"),
            Part(Role.POWER_KIT, "PK-C"),
            Part(Role.SIGNAL_LEAD, "SL-K"),
            Part(Role.SPEAKER_CABLE, "SC-2", 2),
        ),
        amplifiers=("AM-4", "AM-1"),
        drives=(
            Drive(FRONT, Driver.AMPLIFIER, 0, Mode.STEREO, 4.0),
            Drive(BASS, Driver.AMPLIFIER, 1, Mode.SUB, 4.0),
        ),
        feeds=(Feed("PK-C", (0,)), Feed("PK-A", (1,))),
        cables=_cables((FRONT, "SC-2"), (BASS, "SC-2")),
    ),
)
"""The factory unit stays behind a converter; two amplifiers, each with a kit of its own."""

SHARED_KIT = TWO_AMPLIFIERS.without(Role.POWER_KIT).with_more(Part(Role.POWER_KIT, "PK-B"))
SHARED_KIT = replace(SHARED_KIT.with_system(feeds=(Feed("PK-B", (0, 1)),)), name="shared kit")
"""The same two amplifiers on one kit."""

POWERED = Sound(
    "powered",
    SHOP,
    Brief(
        name="own deck",
        vehicle=WAGON.name,
        head_unit=HeadUnitMode.KEEP_OWN,
        own_preout_pairs=1,
        own_internal_w=18,
        amplifier=Want.NONE,
        leave_out=("AM-4", "Quellin"),
        fitted=True,
    ),
    WAGON,
    50_000,
    System(
        parts=(
            Part(Role.FRONT, "SP-S"),
            Part(Role.BASS, "SW-P"),
            Part(Role.POWER_KIT, "PK-A"),
            Part(Role.SIGNAL_LEAD, "SL-2"),
        ),
        drives=(Drive(FRONT, Driver.OWN_UNIT, ohm=4.0), Drive(BASS, Driver.SELF)),
        feeds=(Feed("PK-A", (SUBWOOFER_DEVICE,)),),
    ),
)
"""Front speakers on the customer's own unit, and a powered subwoofer."""

INTERNAL = Sound(
    "internal",
    SHOP,
    Brief(name="speakers only", vehicle=WAGON.name, head_unit=HeadUnitMode.KEEP_FACTORY, bass=Want.NONE),
    WAGON,
    20_000,
    System(
        parts=(Part(Role.FRONT, "SP-S"), Part(Role.REAR, "SP-S"), Part(Role.REAR_ADAPTER, "FK-A")),
        drives=(Drive(FRONT, Driver.FACTORY_UNIT, ohm=4.0), Drive(REAR, Driver.FACTORY_UNIT, ohm=4.0)),
    ),
)
"""New speakers on the factory unit, and nothing else."""

TWO_DRIVERS = Sound(
    "two drivers",
    SHOP,
    Brief(
        name="bass first",
        vehicle=WAGON.name,
        head_unit=HeadUnitMode.REPLACE,
        front=Want.OPTIONAL,
        bass=Want.REQUIRED,
        one_brand=OneBrand.MUST,
    ),
    WAGON,
    120_000,
    System(
        parts=(
            Part(Role.HEAD_UNIT, "HU-2"),
            Part(Role.SOURCE_KIT, "FK-H"),
            Part(Role.AERIAL, "AE-S"),
            Part(Role.FRONT, "SP-F"),
            Part(Role.BASS, "SW-D", 2),
            Part(Role.BOX, "BX-2"),
            Part(Role.AMPLIFIER, "AM-1"),
            Part(Role.POWER_KIT, "PK-A"),
            Part(Role.SIGNAL_LEAD, "SL-2"),
            Part(Role.SPEAKER_CABLE, "SC-1", 2),
        ),
        amplifiers=("AM-1",),
        drives=(Drive(FRONT, Driver.HEAD_UNIT, ohm=4.0), Drive(BASS, Driver.AMPLIFIER, 0, Mode.SUB, 2.0)),
        feeds=(Feed("PK-A", (0,)),),
        cables=_cables((BASS, "SC-1")),
    ),
)
"""Two drivers in one box on a mono amplifier, front speakers on the new head unit."""

THREE_DEVICES = Sound(
    "three devices",
    SHOP,
    Brief(
        name="own deck, loud",
        vehicle=WAGON.name,
        head_unit=HeadUnitMode.KEEP_OWN,
        own_preout_pairs=3,
        amplifier=Want.REQUIRED,
        fitted=True,
        must_include=("PK-C",),
    ),
    WAGON,
    140_000,
    System(
        parts=(
            Part(Role.FRONT, "SP-F"),
            Part(Role.REAR, "SP-S"),
            Part(Role.REAR_ADAPTER, "FK-A"),
            Part(Role.BASS, "SW-P"),
            Part(Role.AMPLIFIER, "AM-4", 2),
            Part(Role.POWER_KIT, "PK-C", 3),
            Part(Role.SIGNAL_LEAD, "SL-2", 3),
            Part(Role.SPEAKER_CABLE, "SC-1", 7),
            Part(Role.SPEAKER_CABLE, "SC-2", 2),
        ),
        amplifiers=("AM-4", "AM-4"),
        drives=(
            Drive(FRONT, Driver.AMPLIFIER, 0, Mode.STEREO, 4.0),
            Drive(REAR, Driver.AMPLIFIER, 1, Mode.STEREO, 4.0),
            Drive(BASS, Driver.SELF),
        ),
        feeds=(Feed("PK-C", (0,)), Feed("PK-C", (1,)), Feed("PK-C", (SUBWOOFER_DEVICE,))),
        cables=_cables((FRONT, "SC-2"), (REAR, "SC-1")),
    ),
)
"""The same amplifier twice beside a powered subwoofer, each on a kit of its own."""

HANDMADE = (FIVE_CHANNELS, TWO_AMPLIFIERS, SHARED_KIT, POWERED, INTERNAL, TWO_DRIVERS, THREE_DEVICES)
