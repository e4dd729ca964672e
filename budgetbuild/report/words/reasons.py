"""Why each line is in a build, said from its computed figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import Audited, Build, DeviceFigures, Driver, LocationFigures, Mode, PricedLine, Role
from budgetbuild.catalogue.items import (
    Aerial,
    Box,
    Converter,
    FittingKit,
    HeadUnit,
    PowerKit,
    Product,
    SignalLead,
    SpeakerCable,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import AerialUse, HeadUnitMode, Location
from budgetbuild.report.words.format import capital, counted, label, listed
from budgetbuild.report.words.notation import gauge
from budgetbuild.report.words.ratings import rated

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.voice import Voice


@dataclass(frozen=True, slots=True)
class Subject:
    """What a reason is about."""

    line: PricedLine
    build: Build
    audited: Audited
    product: Product | None
    catalogue: Catalogue
    voice: Voice

    def say(self, name: str, /, **figures: str) -> str:
        """A sentence of the reasons."""
        return self.voice.say(TOPIC, name, **figures)


TOPIC = "reasons"
RECKONED = "from rated output"
"""How a current was found that no fuse rating states."""
HALF = 0.5
"""Match factor under which a speaker is said to be left well below what it could use."""


def why(line: PricedLine, build: Build, product: Product | None, catalogue: Catalogue, voice: Voice) -> str:
    """The reason for a line: one to four short sentences from the figures of the build.

    Raises:
        ValueError: The build has no audited system, so it has no lines.
    """
    if build.audited is None:
        raise ValueError("a build without a system has no lines")
    subject = Subject(line, build, build.audited, product, catalogue, voice)
    return " ".join(capital(sentence) for sentence in REASONS[line.role](subject) if sentence)


def power_said(figures: LocationFigures, voice: Voice) -> str:
    """What drives a location, against what it is rated for; a powered subwoofer has no such figures."""
    write = voice.notation
    if figures.power_w is None or figures.ratio is None:
        return voice.say(TOPIC, "own-amplifier", rated=write.measure(figures.rms_w, "W", 0))
    return voice.say(
        TOPIC,
        "power-bass" if figures.location is Location.BASS else "power-each",
        given=write.measure(figures.power_w, "W", 1),
        by=driven_by(figures),
        rated=write.measure(figures.rms_w, "W", 1),
        ratio=write.number(figures.ratio),
        match=voice.say(TOPIC, _match(figures.match, figures.ratio)),
    )


def _match(factor: float, ratio: float) -> str:
    """How power and rating go together."""
    if factor >= 1:
        return "match-full"
    below = "match-below" if factor >= HALF else "match-low"
    return below if ratio < 1 else "match-above"


def driven_by(figures: LocationFigures) -> str:
    """What drives a location, in words."""
    if figures.by is Driver.AMPLIFIER:
        return {
            Mode.STEREO: "amplifier (stereo pair)",
            Mode.BRIDGED: "amplifier (bridged)",
            Mode.SUB: "amplifier (sub channel)",
        }[figures.mode or Mode.STEREO]
    return "head unit kept" if figures.by is Driver.OWN_UNIT else figures.by.value


def _rated(subject: Subject) -> str:
    return rated(subject.product, subject.catalogue, subject.voice) if subject.product else ""


def _head_unit(subject: Subject) -> list[str]:
    unit, needed = subject.product, subject.audited.pairs_needed
    if not isinstance(unit, HeadUnit):
        return [_rated(subject)]
    inside = [figures.location.value for figures in subject.audited.locations if figures.by is Driver.HEAD_UNIT]
    return [
        subject.say("pairs", offered=counted(unit.preout_pairs, "pre-out pair"), needed=str(needed)) if needed else "",
        subject.say("drives-itself", locations=listed(inside)) if inside else "",
        _rated(subject),
    ]


def _converter(subject: Subject) -> list[str]:
    offered = subject.product.output_pairs if isinstance(subject.product, Converter) else subject.audited.pairs_offered
    needed = str(subject.audited.pairs_needed)
    return [
        subject.say("converter"),
        subject.say("pairs", offered=counted(offered, "pair"), needed=needed),
        _rated(subject),
    ]


def _source_kit(subject: Subject) -> list[str]:
    any_vehicle = not isinstance(subject.product, FittingKit) or subject.product.any_vehicle
    what = "converter" if subject.build.brief.head_unit is HeadUnitMode.KEEP_FACTORY else "head unit"
    return [subject.say("kit-any" if any_vehicle else "kit", what=what, vehicle=label(subject.build.vehicle.name))]


def _aerial(subject: Subject) -> list[str]:
    factory = isinstance(subject.product, Aerial) and subject.product.use is AerialUse.FACTORY_ADAPTER
    return [
        subject.say("aerial-factory" if factory else "aerial-screen", vehicle=label(subject.build.vehicle.name)),
    ]


def _adapter(subject: Subject) -> list[str]:
    front = subject.line.role is Role.FRONT_ADAPTER
    place = subject.build.vehicle.front if front else subject.build.vehicle.rear
    size = subject.product.size_mm if isinstance(subject.product, FittingKit) else None
    if size is None or place.size_mm is None:
        return [subject.say("adapter")]
    measure = subject.voice.notation.measure
    return [subject.say("adapter-sizes", speaker=measure(size, "mm", 0), place=measure(place.size_mm, "mm", 0))]


def _location(subject: Subject) -> list[str]:
    """Front, rear or bass: rating, power against rating, and the level where it is known."""
    told: list[str] = []
    for figures in subject.audited.locations:
        if figures.location.value == subject.line.role.value:
            told.append(power_said(figures, subject.voice))
            if figures.level_db is not None:
                told.append(subject.say("level", level=subject.voice.notation.measure(figures.level_db, "dB", 0)))
    return [*told, _rated(subject)]


def _box(subject: Subject) -> list[str]:
    if not isinstance(subject.product, Box):
        return [subject.say("box")]
    box, measure = subject.product, subject.voice.notation.measure
    drivers = [part.sku for part in subject.audited.system.parts if part.role is Role.BASS]
    products = {product.sku: product for product in subject.catalogue.subwoofers}
    driver = products.get(drivers[0]) if drivers else None
    return [
        subject.say(
            "box-litres",
            cutouts=counted(box.drivers, "cut-out"),
            size=measure(box.cutout_mm, "mm", 0),
            litres=measure(box.litres / box.drivers, "litres", 1),
            asked=_asked(driver, subject),
        )
    ]


def _asked(driver: Subwoofer | None, subject: Subject) -> str:
    """The litres that a driver asks for, as far as its maker states them."""
    stated = (driver.box_litres_min, driver.box_litres_max) if driver else (None, None)
    least, most = (None if litres is None else subject.voice.notation.number(litres, 1) for litres in stated)
    if least is None and most is None:
        return ""
    name = "asked-most" if least is None else "asked-least" if most is None else "asked-range"
    return subject.say(name, least=least or "", most=most or "")


def _amplifier(subject: Subject) -> list[str]:
    measure = subject.voice.notation.measure
    uses = [
        subject.say(
            "use",
            location=figures.location.value,
            mode=figures.mode.value if figures.mode else "",
            power=measure(figures.power_w, "W", 1),
            load=measure(figures.ohm, "ohm"),
        )
        for figures in subject.audited.locations
        if figures.amplifier_sku == subject.line.sku and figures.power_w is not None and figures.ohm is not None
    ]
    return [subject.say("uses", uses="; ".join(uses)) if uses else "", _rated(subject)]


def _power_kit(subject: Subject) -> list[str]:
    fed = [device for device in subject.audited.devices if device.kit_sku == subject.line.sku]
    size = ""
    if isinstance(subject.product, PowerKit):
        size = subject.say("gauge", gauge=gauge(subject.product, subject.voice.notation))
    return [size, _carried(fed, subject)]


def _carried(fed: list[DeviceFigures], subject: Subject) -> str:
    """What the kit carries over this vehicle's run, against what hangs on it."""
    if not fed:
        return ""
    together = fed[0].shared or len(fed) == 1
    drawn = sum(device.current_a for device in fed) if fed[0].shared else max(device.current_a for device in fed)
    measure = subject.voice.notation.measure
    stated = all(device.current_basis != RECKONED for device in fed)
    name = "carries-reckoned" if not stated else "carries" if together else "carries-each"
    return subject.say(name, carries=measure(fed[0].kit_carries_a, "A", 1), drawn=measure(drawn, "A", 1))


def _signal_lead(subject: Subject) -> list[str]:
    lead, needed = subject.product, subject.audited.pairs_needed
    if not needed:
        return [subject.say("unneeded")]
    pairs = counted(needed, "stereo pair")
    if not isinstance(lead, SignalLead):
        return [subject.say("lead-needs", pairs=pairs)]
    return [
        subject.say(
            "lead",
            length=subject.voice.notation.measure(lead.length_m, "m"),
            channels=counted(lead.channels, "channel"),
            pairs=pairs,
        )
    ]


def _speaker_cable(subject: Subject) -> list[str]:
    notation, cable = subject.voice.notation, subject.product
    runs = [
        subject.say("run", location=figures.location.value, metres=notation.measure(figures.cable_m, "m"))
        for figures in subject.audited.locations
        if figures.cable_sku == subject.line.sku and figures.cable_m is not None
    ]
    told = [subject.say("cable-runs", runs=listed(runs)) if runs else subject.say("unneeded")]
    if isinstance(cable, SpeakerCable):
        length = notation.measure(cable.metres_per_unit, "m")
        told.append(subject.say("cable-sold", gauge=gauge(cable, notation), length=length))
    return told


def _deadening(subject: Subject) -> list[str]:
    measure, audited = subject.voice.notation.measure, subject.audited
    area, share = measure(audited.treated_m2, "m²"), measure(audited.coverage * 100, "%", 0)
    return [subject.say("treats", area=area, share=share), _rated(subject)]


def _labour(subject: Subject) -> list[str]:
    return [subject.say("labour")]


REASONS: Mapping[Role, Callable[[Subject], list[str]]] = {
    Role.HEAD_UNIT: _head_unit,
    Role.CONVERTER: _converter,
    Role.SOURCE_KIT: _source_kit,
    Role.AERIAL: _aerial,
    Role.FRONT: _location,
    Role.FRONT_ADAPTER: _adapter,
    Role.REAR: _location,
    Role.REAR_ADAPTER: _adapter,
    Role.BASS: _location,
    Role.BOX: _box,
    Role.AMPLIFIER: _amplifier,
    Role.POWER_KIT: _power_kit,
    Role.SIGNAL_LEAD: _signal_lead,
    Role.SPEAKER_CABLE: _speaker_cable,
    Role.DEADENING: _deadening,
    Role.LABOUR: _labour,
}
