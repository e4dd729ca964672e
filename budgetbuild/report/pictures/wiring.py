"""How the parts of a build are connected, in words ready for a picture, a table or a list."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.build import SUBWOOFER_DEVICE, Audited, Build, DeviceFigures, Driver, Feed, LocationFigures, Role
from budgetbuild.catalogue.items import PowerKit, Product, SignalLead, SpeakerCable
from budgetbuild.catalogue.kinds import Location
from budgetbuild.report.words.format import label
from budgetbuild.report.words.notation import gauge
from budgetbuild.report.words.safety import main_fuse

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.report.words.notation import Notation

SOURCES = {
    Driver.HEAD_UNIT: "Head unit",
    Driver.FACTORY_UNIT: "Factory head unit, kept",
    Driver.OWN_UNIT: "Own head unit, kept",
}
CHANNELS_PER_PAIR = 2


@dataclass(frozen=True, slots=True)
class Lead:
    """So many signal leads of one kind, with channels and length."""

    name: str
    quantity: int
    kind: str

    def __str__(self) -> str:
        """The lead in one phrase, for pages."""
        return f"{self.counted}: {self.kind}"

    @property
    def counted(self) -> str:
        """Its name, with the quantity where there are several."""
        return f"{self.quantity} x {self.name}" if self.quantity > 1 else self.name


@dataclass(frozen=True, slots=True)
class Cable:
    """Speaker cable to one location: its product, its length in all, gauge and conductor."""

    name: str
    length: str
    gauge: str
    conductor: str


@dataclass(frozen=True, slots=True)
class Speakers:
    """What plays at one location.

    Attributes:
        mode: How an amplifier drives it; empty on a unit's internal amplifier.
        load: What that amplifier sees; empty for a powered subwoofer, as are power and ratio.
        power: What drives each speaker, at bass all of them.
        about: What to know about it: box, rating, wiring of coils.
        cable: Empty where the factory cable stays or none is needed.
    """

    location: Location
    name: str
    mode: str
    load: str
    power: str
    ratio: str
    about: tuple[str, ...]
    cable: Cable | None

    @property
    def section(self) -> str:
        """What drives it, in one phrase."""
        told = (self.mode, self.load, self.power, self.ratio and f"ratio\u00a0{self.ratio}")
        return ", ".join(part for part in told if part)

    @property
    def facts(self) -> tuple[str, ...]:
        """What to know about it, its cable last."""
        return (*self.about, f"{self.cable.length} of {self.cable.gauge} cable") if self.cable else self.about


@dataclass(frozen=True, slots=True)
class AmplifierSide:
    """One amplifier and what hangs on it; `channels` of signal go in."""

    name: str
    channels: int
    speakers: tuple[Speakers, ...]


class Fed(NamedTuple):
    """A device that a power kit feeds, with the current to design for and what that rests on."""

    name: str
    current: str


@dataclass(frozen=True, slots=True)
class PowerSide:
    """One power kit with its fuse and the devices that it feeds.

    Attributes:
        cable: Gauge and conductor.
        carries: What it is good for on this run.
        earth: Length of the earth lead of each device, of the same cable.
    """

    kit: str
    fuse: str
    cable: str
    length: str
    carries: str
    earth: str
    devices: tuple[Fed, ...]

    @property
    def facts(self) -> tuple[str, ...]:
        """Cable, length and what it is good for."""
        return (self.cable, self.length, f"good for {self.carries} here")


@dataclass(frozen=True, slots=True)
class Wiring:
    """Every connection of one build.

    Attributes:
        source: Kind of source, then its name where it is a part of the build.
        pairs: How many of the pairs of signal outputs are used; empty where none is.
        internal: What hangs on the source's own amplifier.
        powered: The powered subwoofer, where there is one.
    """

    source: str
    source_name: str
    aerial: str
    converter: str
    pairs: str
    leads: tuple[Lead, ...]
    internal: tuple[Speakers, ...]
    amplifiers: tuple[AmplifierSide, ...]
    powered: Speakers | None
    power: tuple[PowerSide, ...]


@dataclass(frozen=True, slots=True)
class _Shop:
    """What the words of a wiring rest on beside the build."""

    audited: Audited
    products: Mapping[str, Product]
    earth_lead_m: float
    notation: Notation

    def name(self, sku: str) -> str:
        """A product as the list of parts names it."""
        return next((label(line.description) for line in self.audited.lines if line.sku == sku), label(sku))

    def in_role(self, role: Role) -> str:
        """The product in a role that one product fills, empty where none does."""
        return next((label(line.description) for line in self.audited.lines if line.role is role), "")


def wiring(
    build: Build, audited: Audited, products: Mapping[str, Product], earth_lead_m: float, notation: Notation
) -> Wiring:
    """The connections of a build, as its audit found them.

    Args:
        build: The build; its brief says which source it has.
        audited: Its audited system.
        products: The catalogue's products by SKU.
        earth_lead_m: Length of the earth lead of each amplifier, in m, as the shop's settings have it.
        notation: How the shop writes figures.

    Raises:
        TypeError: What feeds a device is no power kit.
    """
    shop = _Shop(audited, products, earth_lead_m, notation)
    sides = {place.location: _speakers(place, shop) for place in audited.locations}
    by = {place.location: place.by for place in audited.locations}
    return Wiring(
        source=_source(build),
        source_name=shop.in_role(Role.HEAD_UNIT),
        aerial=shop.in_role(Role.AERIAL),
        converter=shop.in_role(Role.CONVERTER),
        pairs=_pairs(audited),
        leads=_leads(shop),
        internal=tuple(side for location, side in sides.items() if by[location] in SOURCES),
        amplifiers=_amplifiers(sides, shop),
        powered=sides[Location.BASS] if by.get(Location.BASS) is Driver.SELF else None,
        power=tuple(_power_side(feed, fed, shop) for feed, fed in _fed(audited)),
    )


def _source(build: Build) -> str:
    kept = {"keep factory": Driver.FACTORY_UNIT, "keep own": Driver.OWN_UNIT}
    return SOURCES[kept.get(build.brief.head_unit.value, Driver.HEAD_UNIT)]


def _pairs(audited: Audited) -> str:
    if not audited.pairs_needed or not audited.pairs_offered:
        return ""
    return f"{audited.pairs_needed} of {audited.pairs_offered} output pairs used"


def _leads(shop: _Shop) -> tuple[Lead, ...]:
    told: list[Lead] = []
    for line in shop.audited.lines:
        lead = shop.products.get(line.sku)
        if line.role is Role.SIGNAL_LEAD and isinstance(lead, SignalLead):
            kind = f"{lead.channels}-channel, {shop.notation.measure(lead.length_m, 'm')}"
            told.append(Lead(label(line.description), line.quantity, kind))
    return tuple(told)


def _speakers(place: LocationFigures, shop: _Shop) -> Speakers:
    """One location: what drives it, and the facts about it."""
    write, bass = shop.notation, place.location is Location.BASS
    boxed = shop.in_role(Role.BOX) if bass else ""
    drivers = sum(part.quantity for part in shop.audited.system.parts if part.role is Role.BASS)
    name = shop.name(place.sku)
    about = (
        f"in {boxed}" if boxed else "",
        f"{write.measure(place.rms_w, 'W', 1)} RMS{'' if bass else ' each'}",
        place.wiring and f"wired: {place.wiring}",
    )
    mode, load, power, ratio = _driven(place, write)
    return Speakers(
        location=place.location,
        name=f"{drivers} x {name}" if boxed and drivers > 1 else name,
        mode=mode,
        load=load,
        power=power,
        ratio=ratio,
        about=tuple(fact for fact in about if fact),
        cable=_cable(place, shop),
    )


def _driven(place: LocationFigures, write: Notation) -> tuple[str, str, str, str]:
    """Mode, load, power and ratio of one location."""
    if place.power_w is None or place.ohm is None or place.ratio is None:
        return "its own amplifier", "", "", ""
    each = "" if place.location is Location.BASS else " each"
    mode = place.mode.value if place.mode else ""
    return (
        mode,
        write.measure(place.ohm, "ohm"),
        f"{write.measure(place.power_w, 'W', 1)}{each}",
        write.number(place.ratio),
    )


def _cable(place: LocationFigures, shop: _Shop) -> Cable | None:
    cable = shop.products.get(place.cable_sku)
    if place.cable_m is None or not isinstance(cable, SpeakerCable):
        return None
    length = shop.notation.measure(place.cable_m, "m")
    return Cable(shop.name(cable.sku), length, gauge(cable, shop.notation), cable.conductor.value)


def _amplifiers(sides: Mapping[Location, Speakers], shop: _Shop) -> tuple[AmplifierSide, ...]:
    by_amplifier = {drive.location: drive.amplifier for drive in shop.audited.system.drives}
    told: list[AmplifierSide] = []
    for place, name in enumerate(_amplifier_names(shop)):
        driven = tuple(side for location, side in sides.items() if by_amplifier.get(location) == place)
        told.append(AmplifierSide(name, CHANNELS_PER_PAIR * len(driven), driven))
    return tuple(told)


def _amplifier_names(shop: _Shop) -> list[str]:
    """Names of the amplifiers, told apart by a number where one product stands twice."""
    skus = shop.audited.system.amplifiers
    often = Counter(skus)
    return [
        f"{shop.name(sku)} ({skus[: place + 1].count(sku)}\u00a0of\u00a0{often[sku]})"
        if often[sku] > 1
        else shop.name(sku)
        for place, sku in enumerate(skus)
    ]


def _fed(audited: Audited) -> list[tuple[Feed, list[tuple[int, DeviceFigures]]]]:
    """Each feed with its devices; two devices of one product are taken in the order of the audit."""
    waiting: dict[str, list[DeviceFigures]] = {}
    for device in audited.devices:
        waiting.setdefault(device.sku, []).append(device)
    subwoofer = next((part.sku for part in audited.system.parts if part.role is Role.BASS), "")
    skus = {SUBWOOFER_DEVICE: subwoofer, **dict(enumerate(audited.system.amplifiers))}
    return [(feed, [(n, waiting[skus[n]].pop(0)) for n in feed.devices]) for feed in audited.system.feeds]


def _power_side(feed: Feed, fed: list[tuple[int, DeviceFigures]], shop: _Shop) -> PowerSide:
    kit, write = shop.products[feed.sku], shop.notation
    if not isinstance(kit, PowerKit):
        raise TypeError(f"{feed.sku} is no power kit")
    amplifiers = _amplifier_names(shop)
    return PowerSide(
        kit=shop.name(feed.sku),
        fuse=main_fuse(kit, shop.audited, write),
        cable=f"{gauge(kit, write)}, {kit.conductor.value}",
        length=write.measure(kit.length_m, "m"),
        carries=write.measure(min(device.kit_carries_a for _, device in fed), "A", 1),
        earth=write.measure(shop.earth_lead_m, "m"),
        devices=tuple(
            Fed(
                shop.name(device.sku) if n == SUBWOOFER_DEVICE else amplifiers[n],
                f"{write.measure(device.current_a, 'A', 1)}, {device.current_basis}",
            )
            for n, device in fed
        ),
    )
