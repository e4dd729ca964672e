"""Random tampering with a system: what a careless hand or a defect might change."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.build import SUBWOOFER_DEVICE, CableRun, Drive, Driver, Feed, Mode, Part, Role
from budgetbuild.catalogue.kinds import Location

if TYPE_CHECKING:
    import random

    from budgetbuild.catalogue.items import Product
    from tests.audit.sound import Sound

OHMS = (None, 0.0, -4.0, math.nan, math.inf, 0.5, 1.0, 2.0, 4.0, 8.0)
DEVICES = ((), (0,), (1,), (0, 1), (SUBWOOFER_DEVICE,), (0, SUBWOOFER_DEVICE), (7,), (0, 0))
AMPLIFIERS = (None, -1, 0, 1, 2)


def tampered(sound: Sound, rng: random.Random) -> Sound:
    """The system with one to four things changed."""
    for _ in range(rng.randint(1, 4)):
        sound = rng.choice((_swapped, _swapped, _swapped, _fewer, _more, _recounted, _redriven, _refed, _recabled))(
            sound, rng
        )
    return sound


def _like(sound: Sound, sku: str) -> list[Product]:
    """Products of the same sheet."""
    products = sound.catalogue.products()
    kinds = {type(product) for product in products if product.sku == sku}
    return [product for product in products if type(product) in kinds]


def _swapped(sound: Sound, rng: random.Random) -> Sound:
    """Another product of the same sheet in the place of one."""
    if not sound.system.parts:
        return sound
    sku = rng.choice(sound.system.parts).sku
    return sound.exchanged(sku, rng.choice([product.sku for product in _like(sound, sku)] or ["NO-SUCH"]))


def _fewer(sound: Sound, rng: random.Random) -> Sound:
    """A line less, wherever it is connected."""
    if not sound.system.parts:
        return sound
    part, system = rng.choice(sound.system.parts), sound.system
    return sound.with_system(
        parts=tuple(other for other in system.parts if other is not part),
        cables=tuple(run for run in system.cables if run.sku != part.sku),
        feeds=tuple(feed for feed in system.feeds if feed.sku != part.sku),
        drives=tuple(drive for drive in system.drives if drive.location.value != part.role.value),
    )


def _more(sound: Sound, rng: random.Random) -> Sound:
    return sound.with_more(
        Part(rng.choice(tuple(Role)), rng.choice(sound.catalogue.products()).sku, rng.choice((1, 2)))
    )


def _recounted(sound: Sound, rng: random.Random) -> Sound:
    if not sound.system.parts:
        return sound
    part = rng.choice(sound.system.parts)
    return sound.with_quantity(part, part.quantity + rng.choice((-1, 1, -part.quantity, 0.5)))


def _redriven(sound: Sound, rng: random.Random) -> Sound:
    location = rng.choice(tuple(Location))
    drive = sound.drive(location) or Drive(location, Driver.SELF)
    change = rng.choice(("by", "amplifier", "mode", "ohm", "wiring", "all"))
    values = {
        "by": rng.choice(tuple(Driver)),
        "amplifier": rng.choice(AMPLIFIERS),
        "mode": rng.choice((None, *Mode)),
        "ohm": rng.choice(OHMS),
        "wiring": rng.choice(("", "coils in series", "coils in parallel")),
    }
    changed = replace(drive, **(values if change == "all" else {change: values[change]}))
    others = tuple(other for other in sound.system.drives if other.location is not location)
    return sound.with_system(drives=(*others, changed), amplifiers=rng.choice((sound.system.amplifiers, ("NO-SUCH",))))


def _refed(sound: Sound, rng: random.Random) -> Sound:
    """One kit for some of the devices, bought or not."""
    kit = rng.choice(sound.catalogue.power_kits).sku
    fed = sound.with_system(feeds=(Feed(kit, rng.choice(DEVICES)), *sound.system.feeds[2:]))
    return fed.without(Role.POWER_KIT).with_more(Part(Role.POWER_KIT, kit)) if rng.random() < 0.7 else fed


def _recabled(sound: Sound, rng: random.Random) -> Sound:
    """One cable for every location that has one, or for one more."""
    sku = rng.choice(sound.catalogue.speaker_cables).sku
    runs = tuple(CableRun(run.location, sku) for run in sound.system.cables)
    if rng.random() < 0.3:
        runs = (*runs, CableRun(rng.choice(tuple(Location)), sku))
    bought = sound.without(Role.SPEAKER_CABLE).with_more(Part(Role.SPEAKER_CABLE, sku, rng.randint(1, 30)))
    return bought.with_system(cables=runs)
