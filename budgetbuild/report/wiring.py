"""How the parts of a build are connected, in words ready for a picture or a list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import SUBWOOFER_DEVICE, Audited, Build, DeviceFigures, Driver, Feed, LocationFigures, Role
from budgetbuild.catalogue.items import PowerKit, Product, SignalLead, SpeakerCable
from budgetbuild.catalogue.kinds import Location
from budgetbuild.report.format import counted, gauge, label, measure, number

if TYPE_CHECKING:
    from collections.abc import Mapping

SOURCES = {
    Driver.HEAD_UNIT: "Head unit",
    Driver.FACTORY_UNIT: "Factory head unit, kept",
    Driver.OWN_UNIT: "Own head unit, kept",
}


@dataclass(frozen=True, slots=True)
class Speakers:
    """What plays at one location.

    Attributes:
        section: What drives it: mode, load, power and ratio.
        facts: What to know about it: rating, wiring, cable.
    """

    location: Location
    name: str
    section: str
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AmplifierSide:
    """One amplifier and what hangs on it."""

    name: str
    speakers: tuple[Speakers, ...]


@dataclass(frozen=True, slots=True)
class PowerSide:
    """One power kit with its fuse and the devices that it feeds, each with the current to design for."""

    kit: str
    fuse: str
    facts: tuple[str, ...]
    devices: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Wiring:
    """Every connection of one build.

    Attributes:
        source: Kind of source, then its name where it is a part of the build.
        internal: What hangs on the source's own amplifier.
        powered: The powered subwoofer, where there is one.
    """

    source: str
    source_name: str
    converter: str
    leads: tuple[str, ...]
    internal: tuple[Speakers, ...]
    amplifiers: tuple[AmplifierSide, ...]
    powered: Speakers | None
    power: tuple[PowerSide, ...]


def wiring(build: Build, audited: Audited, products: Mapping[str, Product]) -> Wiring:
    """The connections of a build, as its audit found them."""
    names = {line.sku: label(line.description) for line in audited.lines if line.sku}
    figures = {place.location: place for place in audited.locations}
    by_amplifier = {drive.location: drive.amplifier for drive in audited.system.drives}
    sides = {location: _speakers(place, audited, names, products) for location, place in figures.items()}
    own = figures.get(Location.BASS)
    return Wiring(
        source=_source(build),
        source_name=_in_role(audited, Role.HEAD_UNIT),
        converter=_in_role(audited, Role.CONVERTER),
        leads=_leads(audited, products),
        internal=tuple(side for location, side in sides.items() if figures[location].by in SOURCES),
        amplifiers=tuple(
            AmplifierSide(
                names.get(sku, label(sku)), tuple(side for at, side in sides.items() if by_amplifier.get(at) == n)
            )
            for n, sku in enumerate(audited.system.amplifiers)
        ),
        powered=sides[Location.BASS] if own and own.by is Driver.SELF else None,
        power=_power(audited, names, products),
    )


def _source(build: Build) -> str:
    kept = {"keep factory": Driver.FACTORY_UNIT, "keep own": Driver.OWN_UNIT}
    return SOURCES[kept.get(build.brief.head_unit.value, Driver.HEAD_UNIT)]


def _in_role(audited: Audited, role: Role) -> str:
    """The product in a role that one product fills, empty where none does."""
    return next((label(line.description) for line in audited.lines if line.role is role), "")


def _leads(audited: Audited, products: Mapping[str, Product]) -> tuple[str, ...]:
    told: list[str] = []
    for line in audited.lines:
        lead = products.get(line.sku)
        if line.role is Role.SIGNAL_LEAD and isinstance(lead, SignalLead):
            kind = f"{lead.channels}-channel, {measure(lead.length_m, 'm')}"
            told.append(f"{line.quantity} x {label(line.description)}: {kind}")
    return tuple(told)


def _speakers(
    place: LocationFigures, audited: Audited, names: Mapping[str, str], products: Mapping[str, Product]
) -> Speakers:
    """One location: what drives it in one phrase, and the facts about it."""
    each = "" if place.location is Location.BASS else " each"
    boxed = _in_role(audited, Role.BOX) if place.location is Location.BASS else ""
    drivers = sum(part.quantity for part in audited.system.parts if part.role is Role.BASS)
    name = names.get(place.sku, label(place.sku))
    facts = (
        f"in {boxed}" if boxed else "",
        f"{measure(place.rms_w, 'W', 1)} RMS{each}",
        place.wiring and f"wired: {place.wiring}",
        _cable(place, products),
    )
    return Speakers(
        location=place.location,
        name=f"{drivers} x {name}" if boxed and drivers > 1 else name,
        section=_section(place),
        facts=tuple(fact for fact in facts if fact),
    )


def _section(place: LocationFigures) -> str:
    if place.power_w is None or place.ratio is None or place.ohm is None:
        return "its own amplifier"
    mode = f"{place.mode.value}, " if place.mode else ""
    return f"{mode}{measure(place.ohm, 'ohm')}, {measure(place.power_w, 'W', 1)}, ratio\u00a0{number(place.ratio)}"


def _cable(place: LocationFigures, products: Mapping[str, Product]) -> str:
    cable = products.get(place.cable_sku)
    if place.cable_m is None or not isinstance(cable, SpeakerCable):
        return ""
    return f"{measure(place.cable_m, 'm')} of {gauge(cable)} cable"


def _power(audited: Audited, names: Mapping[str, str], products: Mapping[str, Product]) -> tuple[PowerSide, ...]:
    """Each feed with its kit; two devices of one product are taken in the order of the audit."""
    waiting: dict[str, list[DeviceFigures]] = {}
    for device in audited.devices:
        waiting.setdefault(device.sku, []).append(device)
    sides: list[PowerSide] = []
    for feed in audited.system.feeds:
        kit = products[feed.sku]
        if not isinstance(kit, PowerKit):
            raise TypeError(f"{feed.sku} is no power kit")
        fed = [waiting[sku].pop(0) for sku in _fed(feed, audited)]
        facts = [f"good for {measure(device.kit_carries_a, 'A', 1)} here" for device in fed[:1]]
        facts = [f"{gauge(kit)}, {kit.conductor.value}", measure(kit.length_m, "m"), *facts]
        devices = [(names.get(d.sku, label(d.sku)), f"{measure(d.current_a, 'A', 1)}, {d.current_basis}") for d in fed]
        sides.append(
            PowerSide(names.get(feed.sku, label(feed.sku)), main_fuse(kit, audited), tuple(facts), tuple(devices))
        )
    return tuple(sides)


def main_fuse(kit: PowerKit, audited: Audited) -> str:
    """The fuse that protects the kit's cable: its own, or a smaller one where the audit found its own too large."""
    for caution in audited.cautions:
        if caution.code == "kit-fuse-above-ampacity" and caution.subject == kit.sku:
            return f"at most {measure(float(caution.figures['ampacity_a']), 'A')}"
    return measure(kit.fuse_a, "A")


def _fed(feed: Feed, audited: Audited) -> list[str]:
    """SKUs of the devices of a feed."""
    subwoofer = next((part.sku for part in audited.system.parts if part.role is Role.BASS), "")
    return [subwoofer if n == SUBWOOFER_DEVICE else audited.system.amplifiers[n] for n in feed.devices]


def described(told: Wiring) -> str:
    """The wiring as running text, for those who do not see the picture."""
    source = f"{told.source} {told.source_name}".strip()
    sentences = [f"{source}{f' with converter {told.converter}' if told.converter else ''}."]
    sentences += [f"Signal leads: {lead}." for lead in told.leads]
    sentences += [f"It drives {side.location} itself: {side.name}, {side.section}." for side in told.internal]
    for amplifier in told.amplifiers:
        sentences += [
            f"{amplifier.name} drives {side.location}: {side.name}, {side.section}." for side in amplifier.speakers
        ]
    if told.powered:
        sentences.append(f"{told.powered.name} has its own amplifier.")
    for side in told.power:
        fed = counted(len(side.devices), "device")
        sentences.append(f"Battery, main fuse {side.fuse}, {side.kit}, {', '.join(side.facts)}, to {fed}.")
    return " ".join(sentences)
