"""What each location gets: load, power, ratio, match and level, each held against its limit."""

from __future__ import annotations

from dataclasses import dataclass

from budgetbuild.audit.cabling import cable_of
from budgetbuild.audit.case import CONTRACT, Case
from budgetbuild.build import Drive, Driver, LocationFigures, Role
from budgetbuild.catalogue.items import Amplifier, Box, HeadUnit, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, SubwooferType
from budgetbuild.trade import amplifiers, loads, score
from budgetbuild.trade.figures import at_least, at_most, same

RATINGS = "CTA-2006 ratings; linear in 1/z between rated loads (common practice)"
INTERNAL = {
    HeadUnitMode.REPLACE: Driver.HEAD_UNIT,
    HeadUnitMode.KEEP_FACTORY: Driver.FACTORY_UNIT,
    HeadUnitMode.KEEP_OWN: Driver.OWN_UNIT,
}
LOW_RATIO = 0.5
"""Power ratio below which front and rear are told to be short of power (common practice)."""


@dataclass(frozen=True, slots=True)
class Sounding:
    """Something that sounds at a location: its possible loads with their wiring, and its RMS rating in all."""

    sku: str
    rms_w: float
    nets: tuple[loads.Net, ...]
    sensitivity_db: float | None = None


def location_figures(case: Case) -> tuple[LocationFigures, ...]:
    """Recompute and check every driven location, and the ways in which the amplifiers are used."""
    _ways(case)
    figures = [_figures(case, location, drive) for location in Location if (drive := case.drive(location))]
    return tuple(found for found in figures if found)


def sounding(case: Case, location: Location) -> Sounding | None:
    """What sounds at a location; `None` where nothing fit to be driven is there."""
    if location is Location.BASS:
        subwoofer = case.one(Subwoofer, Role.BASS)
        return _bass(case, subwoofer) if subwoofer else None
    speaker = case.one(Speaker, Role.FRONT if location is Location.FRONT else Role.REAR)
    if speaker is None:
        return None
    return Sounding(speaker.sku, speaker.rms_w, (loads.Net(speaker.ohm, ""),), speaker.sensitivity_db)


def _bass(case: Case, subwoofer: Subwoofer) -> Sounding | None:
    if subwoofer.type is SubwooferType.POWERED:
        return Sounding(subwoofer.sku, subwoofer.rms_w, ())
    if subwoofer.ohm is None:
        return None
    if subwoofer.type is SubwooferType.ENCLOSURE:
        return Sounding(subwoofer.sku, subwoofer.rms_w, (loads.Net(subwoofer.ohm, ""),))
    box = case.one(Box, Role.BOX)
    count = box.drivers if box else 1
    return Sounding(subwoofer.sku, subwoofer.rms_w * count, loads.nets(subwoofer.ohm, subwoofer.coils, count))


def _ways(case: Case) -> None:
    """Each amplifier is used in a way that it can be used."""
    for number, amplifier in enumerate(case.amplifiers()):
        way = case.way(number)
        ok = amplifier is not None and way in amplifiers.ways_of_use(amplifier)
        used = amplifiers.pairs_used(way)
        offered = amplifier.channels // 2 if amplifier else 0
        case.notes.check(
            "Amplifier has the channels",
            f"amplifier {number + 1}",
            used,
            f"at most {offered} pairs, each way possible",
            ok=ok,
            unit="pairs",
        )


def _figures(case: Case, location: Location, drive: Drive) -> LocationFigures | None:
    _connection(case, drive)
    thing = sounding(case, location)
    if thing is None:
        case.notes.check("Something to drive", str(location), "nothing", "a product", ok=False, source=CONTRACT)
        return None
    if drive.by is Driver.SELF:
        ok = not thing.nets and location is Location.BASS
        case.notes.check("Own amplifier", str(location), thing.sku, "powered subwoofer", ok=ok)
        return LocationFigures(location, drive.by, thing.sku, None, None, thing.rms_w, None, 1.0)
    net = next((net for net in thing.nets if drive.ohm is not None and same(net.ohm, drive.ohm)), None)
    case.notes.check(
        "Load can be wired",
        str(location),
        drive.ohm or 0.0,
        " or ".join(f"{n.ohm:g}" for n in thing.nets) or "none: it drives itself",
        unit="ohm",
        ok=net is not None and drive.wiring in {"", net.wiring},
        source="series and parallel nets (Ohm's law)",
    )
    return None if net is None else _driven(case, location, drive, thing, net)


def _connection(case: Case, drive: Drive) -> None:
    """A drive names an amplifier and its mode exactly where an external amplifier drives."""
    external = drive.by is Driver.AMPLIFIER
    named = (drive.amplifier is not None, drive.mode is not None)
    case.notes.check(
        "Amplifier and mode are named",
        str(drive.location),
        "both" if all(named) else "one" if any(named) else "neither",
        "both" if external else "neither",
        ok=named == (external, external) and not (drive.by is Driver.SELF and drive.ohm is not None),
        source=CONTRACT,
    )


def _driven(case: Case, location: Location, drive: Drive, thing: Sounding, net: loads.Net) -> LocationFigures:
    watt, amplifier_sku = _power(case, location, drive, net.ohm)
    ratio = (watt or 0.0) / thing.rms_w
    low, high = amplifiers.ratio_limits(location, case.limits)
    case.notes.check(
        "Power ratio",
        str(location),
        ratio,
        f"{low:g} to {high:g}",
        ok=amplifiers.ratio_allowed(location, ratio, case.limits),
    )
    _cautions(case, location, drive, net, ratio)
    cable_sku, cable_m = cable_of(case, drive, net.ohm, watt or 0.0)
    return LocationFigures(
        location=location,
        by=drive.by,
        sku=thing.sku,
        ohm=net.ohm,
        power_w=watt,
        rms_w=thing.rms_w,
        ratio=ratio,
        match=float(score.match_factor(ratio, case.limits.ratio_full_match, case.limits.ratio_full_match_to)),
        level_db=_level(thing, watt),
        wiring=net.wiring,
        amplifier_sku=amplifier_sku,
        mode=drive.mode,
        cable_sku=cable_sku,
        cable_m=cable_m,
    )


def _level(thing: Sounding, watt: float | None) -> float | None:
    """Level estimate in dB at 1 m; `None` where the sensitivity or the power is unknown."""
    if thing.sensitivity_db is None or not watt:
        return None
    return amplifiers.level_db(thing.sensitivity_db, watt, thing.rms_w)


def _power(case: Case, location: Location, drive: Drive, ohm: float) -> tuple[float | None, str]:
    """Power of what is said to drive a location, per speaker at front and rear; `None` where it may not."""
    if drive.by is Driver.AMPLIFIER:
        found = amplifier_of(case, drive)
        watt = amplifiers.section_power(found, drive.mode, ohm) if found and drive.mode else None
        sku, what = (found.sku if found else ""), f"load for {drive.mode}"
    else:
        ok = drive.by is INTERNAL[case.brief.head_unit] and location is not Location.BASS
        watt, sku, what = (
            (amplifiers.internal_power(internal_watt(case), ohm) if ok else None),
            "",
            f"load for {drive.by}",
        )
    case.notes.check(
        "Amplifier stands the load", str(location), ohm, what, ok=watt is not None, unit="ohm", source=RATINGS
    )
    return watt, sku


def internal_watt(case: Case) -> float:
    """Power per channel into 4 ohm of the internal amplifier in the dash; 0 where there is none."""
    if case.brief.head_unit is HeadUnitMode.REPLACE:
        unit = case.one(HeadUnit, Role.HEAD_UNIT)
        return unit.internal_w if unit else 0.0
    if case.brief.head_unit is HeadUnitMode.KEEP_OWN:
        return case.brief.own_internal_w
    return case.limits.factory_internal_w


def _cautions(case: Case, location: Location, drive: Drive, net: loads.Net, ratio: float) -> None:
    if drive.by is Driver.FACTORY_UNIT:
        case.notes.caution(
            "factory-internal-assumed", str(location), watt=case.limits.factory_internal_w, location=str(location)
        )
    if net.wiring:
        case.notes.caution("wiring-net", str(location), ohm=net.ohm, wiring=net.wiring)
    if not at_least(ratio, LOW_RATIO) and location is not Location.BASS:
        case.notes.caution("low-power", str(location), ratio=ratio, location=str(location))
    if not at_most(ratio, case.limits.ratio_full_match_to):
        case.notes.caution("high-power", str(location), ratio=ratio, location=str(location))


def amplifier_of(case: Case, drive: Drive) -> Amplifier | None:
    """The external amplifier that drives a location."""
    found = case.amplifiers()
    return found[drive.amplifier] if drive.amplifier is not None and 0 <= drive.amplifier < len(found) else None
