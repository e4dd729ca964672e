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
from budgetbuild.report.format import capital, counted, gauge, label, listed, measure, number

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from budgetbuild.catalogue.shop import Catalogue


@dataclass(frozen=True, slots=True)
class Subject:
    """What a reason is about."""

    line: PricedLine
    build: Build
    audited: Audited
    product: Product | None
    catalogue: Catalogue


UNNEEDED = "Asked for by the brief; it connects nothing in this system."


def why(line: PricedLine, build: Build, product: Product | None, catalogue: Catalogue) -> str:
    """The reason for a line: one to three short sentences from the figures of the build.

    Raises:
        ValueError: The build has no audited system, so it has no lines.
    """
    if build.audited is None:
        raise ValueError("a build without a system has no lines")
    subject = Subject(line, build, build.audited, product, catalogue)
    return " ".join(capital(sentence) for sentence in REASONS[line.role](subject) if sentence)


def power_said(figures: LocationFigures) -> str:
    """What drives a location, against what it is rated for; a powered subwoofer has no such figures."""
    if figures.power_w is None or figures.ratio is None:
        return f"has its own amplifier, {measure(figures.rms_w, 'W', 0)} RMS."
    each = "the whole bass" if figures.location is Location.BASS else "each speaker"
    given, rated = measure(figures.power_w, "W", 1), measure(figures.rms_w, "W", 1)
    by = f"from the {driven_by(figures)}"
    return f"{given} for {each} {by}, against an RMS rating of {rated} (ratio {number(figures.ratio)})."


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
    rating = subject.product.rating if subject.product else None
    return "" if rating is None else f"shop rating {number(rating, 1)} of 10."


def _head_unit(subject: Subject) -> list[str]:
    unit, needed = subject.product, subject.audited.pairs_needed
    if not isinstance(unit, HeadUnit):
        return [_rated(subject)]
    pairs = f"{counted(unit.preout_pairs, 'pre-out pair')}, of which this system uses {needed}." if needed else ""
    inside = [figures.location.value for figures in subject.audited.locations if figures.by is Driver.HEAD_UNIT]
    own = f"Its own amplifier drives {listed(inside)}." if inside else ""
    return [pairs, own, _rated(subject)]


def _converter(subject: Subject) -> list[str]:
    offered = subject.product.output_pairs if isinstance(subject.product, Converter) else subject.audited.pairs_offered
    return [
        "makes low-level outputs from the factory speaker wires, so that the factory unit can stay.",
        f"{counted(offered, 'pair')}, of which this system uses {subject.audited.pairs_needed}.",
        _rated(subject),
    ]


def _source_kit(subject: Subject) -> list[str]:
    vehicle = label(subject.build.vehicle.name)
    what = "converter" if subject.build.brief.head_unit is HeadUnitMode.KEEP_FACTORY else "head unit"
    listed_by_name = isinstance(subject.product, FittingKit) and not subject.product.any_vehicle
    return [f"fits the {what} to the {vehicle}{'' if listed_by_name else '; this kit is for any vehicle'}."]


def _aerial(subject: Subject) -> list[str]:
    vehicle = label(subject.build.vehicle.name)
    if isinstance(subject.product, Aerial) and subject.product.use is AerialUse.FACTORY_ADAPTER:
        return [f"connects the factory digital aerial of the {vehicle} to the new head unit."]
    return [f"digital radio needs it: the {vehicle} has no factory digital aerial."]


def _adapter(subject: Subject) -> list[str]:
    front = subject.line.role is Role.FRONT_ADAPTER
    place = subject.build.vehicle.front if front else subject.build.vehicle.rear
    size = subject.product.size_mm if isinstance(subject.product, FittingKit) else None
    if size is None or place.size_mm is None:
        return ["the speakers are of another size than the vehicle's opening."]
    return [f"lets {measure(size, 'mm', 0)} speakers go where the vehicle has {measure(place.size_mm, 'mm', 0)}."]


def _location(subject: Subject) -> list[str]:
    """Front, rear or bass: rating, power against rating, and the level where it is known."""
    told: list[str] = []
    for figures in subject.audited.locations:
        if figures.location.value == subject.line.role.value:
            told.append(power_said(figures))
            if figures.level_db is not None:
                told.append(f"up to about {measure(figures.level_db, 'dB', 0)} at 1\u00a0m.")
    return [*told, _rated(subject)]


def _box(subject: Subject) -> list[str]:
    if not isinstance(subject.product, Box):
        return ["houses the bass drivers."]
    box = subject.product
    drivers = [part.sku for part in subject.audited.system.parts if part.role is Role.BASS]
    products = {product.sku: product for product in subject.catalogue.subwoofers}
    driver = products.get(drivers[0]) if drivers else None
    each = f"{measure(box.litres / box.drivers, 'litres', 1)} for each driver{_range(driver)}."
    return [f"{counted(box.drivers, 'cut-out')} of {measure(box.cutout_mm, 'mm', 0)}; {each}"]


def _range(driver: Subwoofer | None) -> str:
    """The litres that a driver asks for, as far as its maker states them."""
    least, most = (driver.box_litres_min, driver.box_litres_max) if driver else (None, None)
    if least is not None and most is not None:
        return f", which asks for {number(least, 1)} to {number(most, 1)}"
    if least is not None:
        return f", which asks for at least {number(least, 1)}"
    return f", which asks for at most {number(most, 1)}" if most is not None else ""


def _amplifier(subject: Subject) -> list[str]:
    mine = [figures for figures in subject.audited.locations if figures.amplifier_sku == subject.line.sku]
    uses = [
        f"{figures.location.value} ({figures.mode.value if figures.mode else ''}): "
        f"{measure(figures.power_w, 'W', 1)} into {measure(figures.ohm, 'ohm')}"
        for figures in mine
        if figures.power_w is not None and figures.ohm is not None
    ]
    return [f"{'; '.join(uses)}." if uses else "", _rated(subject)]


def _power_kit(subject: Subject) -> list[str]:
    fed = [device for device in subject.audited.devices if device.kit_sku == subject.line.sku]
    size = f"{gauge(subject.product)}." if isinstance(subject.product, PowerKit) else ""
    return [size, *_carried(fed)]


def _carried(fed: list[DeviceFigures]) -> list[str]:
    """What the kit carries over this vehicle's run, against what hangs on it."""
    if not fed:
        return []
    carries = f"good for {measure(fed[0].kit_carries_a, 'A', 1)} over this vehicle's run"
    drawn = sum(device.current_a for device in fed) if fed[0].shared else max(device.current_a for device in fed)
    each = "" if fed[0].shared or len(fed) == 1 else " each"
    return [f"{carries}, and what it feeds draws at most {measure(drawn, 'A', 1)}{each}."]


def _signal_lead(subject: Subject) -> list[str]:
    if not subject.audited.pairs_needed:
        return [UNNEEDED]
    needed = f"the system needs {counted(subject.audited.pairs_needed, 'stereo pair')} in all, two channels to a pair."
    if not isinstance(subject.product, SignalLead):
        return [needed]
    lead = subject.product
    return [f"{measure(lead.length_m, 'm')} with {counted(lead.channels, 'channel')}; {needed}"]


def _speaker_cable(subject: Subject) -> list[str]:
    runs = [
        f"{figures.location.value} {measure(figures.cable_m, 'm')}"
        for figures in subject.audited.locations
        if figures.cable_sku == subject.line.sku and figures.cable_m is not None
    ]
    sold = (
        f"{gauge(subject.product)}, sold in lengths of {measure(subject.product.metres_per_unit, 'm')}."
        if isinstance(subject.product, SpeakerCable)
        else ""
    )
    return [f"{listed(runs)}, some to spare." if runs else UNNEEDED, sold]


def _deadening(subject: Subject) -> list[str]:
    treated, share = subject.audited.treated_m2, subject.audited.coverage
    return [
        f"treats {measure(treated, 'm²')}, {measure(share * 100, '%', 0)} of the door area worth treating.",
        _rated(subject),
    ]


def _labour(_subject: Subject) -> list[str]:
    return ["fitting by the shop, hours at its rate."]


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
