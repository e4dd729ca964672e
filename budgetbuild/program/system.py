"""From chosen columns to a `System`: parts added up, amplifiers in order, who drives and feeds what."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from budgetbuild.build import SUBWOOFER_DEVICE, CableRun, Drive, Driver, Feed, Mode, Part, Role, System
from budgetbuild.catalogue.kinds import HeadUnitMode, Location
from budgetbuild.program.layout import Device, OwnKit
from budgetbuild.program.options import Cable, Kit, Option, Sounder

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

INTERNAL = {
    HeadUnitMode.REPLACE: Driver.HEAD_UNIT,
    HeadUnitMode.KEEP_FACTORY: Driver.FACTORY_UNIT,
    HeadUnitMode.KEEP_OWN: Driver.OWN_UNIT,
}
"""Whose internal amplifier drives a location that no external one does."""

ROLE_ORDER = {role: i for i, role in enumerate(Role)}
PLACE_ORDER = {location: i for i, location in enumerate(Location)}


def system_of(options: Sequence[Option], mode: HeadUnitMode) -> System:
    """The system that a choice of candidates stands for."""
    devices = sorted((o for o in options if isinstance(o, Device)), key=_device_order)
    amplifiers = [device for device in devices if device.use]
    return System(
        parts=parts_of(options),
        amplifiers=tuple(next(p.sku for p in device.parts if p.role is Role.AMPLIFIER) for device in amplifiers),
        drives=tuple(_drive(option, amplifiers, INTERNAL[mode]) for option in _sounders(options)),
        feeds=_feeds(options, devices, amplifiers),
        cables=_cable_runs(options),
    )


def parts_of(options: Iterable[Option]) -> tuple[Part, ...]:
    """Parts of the options, added up by role and SKU, in the order of a conversation, then SKU order."""
    counts: dict[tuple[Role, str], int] = defaultdict(int)
    for option in options:
        for part in option.parts:
            counts[part.role, part.sku] += part.quantity
    ordered = sorted(counts.items(), key=lambda entry: (ROLE_ORDER[entry[0][0]], entry[0][1]))
    return tuple(Part(role, sku, quantity) for (role, sku), quantity in ordered)


def _device_order(device: Device) -> tuple[int, ...]:
    return tuple(PLACE_ORDER[place] for place in device.use.covers) if device.use else (len(PLACE_ORDER),)


def _sounders(options: Iterable[Option]) -> list[Sounder]:
    return sorted((o for o in options if isinstance(o, Sounder)), key=lambda sounder: PLACE_ORDER[sounder.location])


def _drive(sounder: Sounder, amplifiers: Sequence[Device], internal: Driver) -> Drive:
    if sounder.load is None:
        return Drive(sounder.location, Driver.SELF)
    for number, device in enumerate(amplifiers):
        modes: dict[Location, Mode] = dict(device.use.way) if device.use else {}
        if sounder.location in modes:
            return Drive(
                sounder.location, Driver.AMPLIFIER, number, modes[sounder.location], sounder.load.ohm, sounder.wiring
            )
    return Drive(sounder.location, internal, ohm=sounder.load.ohm, wiring=sounder.wiring)


def _feeds(options: Sequence[Option], devices: Sequence[Device], amplifiers: Sequence[Device]) -> tuple[Feed, ...]:
    def number(device: Device) -> int:
        return amplifiers.index(device) if device.use else SUBWOOFER_DEVICE

    own = [
        Feed(part.sku, (number(device),)) for device in devices for part in device.parts if part.role is Role.POWER_KIT
    ]
    at = {device.slot: number(device) for device in devices if device.alone}
    own += [Feed(option.parts[0].sku, (at[option.slot],)) for option in options if isinstance(option, OwnKit)]
    together = tuple(number(device) for device in devices if device.kit is None and not device.alone)
    kits = [option for option in options if isinstance(option, Kit) and not isinstance(option, OwnKit)]
    return tuple(own + [Feed(kit.parts[0].sku, together) for kit in kits])


def _cable_runs(options: Sequence[Option]) -> tuple[CableRun, ...]:
    runs = [
        CableRun(location, option.parts[0].sku)
        for option in options
        if isinstance(option, Cable)
        for location in option.locations
    ]
    return tuple(sorted(runs, key=lambda run: PLACE_ORDER[run.location]))
