"""Power wiring: current of each fed device, the kit that feeds it, and what it means for fuse and alternator."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from budgetbuild.audit.case import CONTRACT, Case
from budgetbuild.build import SUBWOOFER_DEVICE, DeviceFigures, Driver, Feed, Role
from budgetbuild.catalogue.items import Amplifier, PowerKit, Subwoofer
from budgetbuild.catalogue.kinds import Conductor, Location
from budgetbuild.trade import amplifiers, power
from budgetbuild.trade.figures import at_most

AMPACITY_SOURCE = (
    "33 CFR 183.425 Table 5 in the engine space; drop by IEC 60028 and ASTM B258 at 60 C "
    "(stranded cable is 4 to 16 % above rho/A, IEC 60228: the 60 C and the 0.5 V carry that margin)"
)


class Draw(NamedTuple):
    """What a device draws: current to design for in A, what that rests on, and the device's SKU."""

    current_a: float
    basis: str
    sku: str


Currents = dict[int, Draw]
"""What each device draws, by its number as in `Feed`."""


def device_figures(case: Case) -> tuple[DeviceFigures, ...]:
    """Recompute and check the feeding of every amplifier and powered subwoofer."""
    currents = _currents(case)
    _feeds_match(case, currents)
    if currents and case.vehicle.power_run_m is None:
        what = f"power run, taken as {power.power_run(case.vehicle, case.limits):g} m"
        case.notes.caution("measure-first", "power kit", what=what, where="battery to amplifier")
    figures = [figure for feed in case.system.feeds for figure in _feed(case, feed, currents)]
    _alternator(case, sum(draw.current_a for draw in currents.values()))
    return tuple(figures)


def _feeds_match(case: Case, currents: Currents) -> None:
    """Every device is fed once, by one kit for all or one each, and those kits are bought."""
    feeds = case.system.feeds
    fed = [device for feed in feeds for device in feed.devices]
    case.notes.check(
        "Every device is fed by one power kit",
        "",
        len(fed),
        f"exactly {len(currents)}",
        ok=Counter(fed) == Counter(currents.keys()),
        source=CONTRACT,
    )
    case.notes.check(
        "One kit for all, or one each",
        "",
        len(feeds),
        f"1 or {len(currents)}" if currents else "none",
        ok=len(feeds) in {min(1, len(currents)), len(currents)} and all(feed.devices for feed in feeds),
        unit="kits",
    )
    bought = Counter({part.sku: part.quantity for part in case.parts(Role.POWER_KIT)})
    case.notes.check(
        "Power kits bought are those connected",
        "",
        sum(bought.values()),
        f"exactly {len(feeds)}",
        ok=bought == Counter(feed.sku for feed in feeds),
        source=CONTRACT,
    )


def _currents(case: Case) -> Currents:
    found: Currents = {}
    for number, amplifier in enumerate(case.amplifiers()):
        way = case.way(number)
        ohms = {drive.location: drive.ohm for drive in case.driven_by(number) if drive.ohm}
        if amplifier is None or not way or len(ohms) != len(way) or not _rated(amplifier, way, ohms):
            continue
        current, basis = amplifiers.current(amplifier, way, ohms, case.limits)
        found[number] = Draw(current, basis, amplifier.sku)
        if amplifier.fuse_a is None:
            case.notes.caution("amplifier-current-estimated", amplifier.sku, sku=amplifier.sku, current_a=current)
    drive = case.drive(Location.BASS)
    subwoofer = case.one(Subwoofer, Role.BASS)
    if drive and drive.by is Driver.SELF and subwoofer:
        current, basis = amplifiers.powered_current(subwoofer, case.limits)
        found[SUBWOOFER_DEVICE] = Draw(current, basis, subwoofer.sku)
        if subwoofer.fuse_a is None:
            case.notes.caution("powered-fuse-assumed", subwoofer.sku, current_a=current)
    return found


def _rated(amplifier: Amplifier, way: amplifiers.Way, ohms: dict[Location, float]) -> bool:
    """Whether the amplifier is rated at each load that it is said to drive."""
    return all(amplifiers.section_power(amplifier, mode, ohms[location]) is not None for location, mode in way)


def _feed(case: Case, feed: Feed, currents: Currents) -> list[DeviceFigures]:
    kit = case.products.get(feed.sku)
    if not isinstance(kit, PowerKit):
        case.notes.check("Power kit", feed.sku, "unknown", "a power kit", ok=False, source=CONTRACT)
        return []
    run = power.power_run(case.vehicle, case.limits)
    draws = [currents[device] for device in feed.devices if device in currents]
    total = sum(draw.current_a for draw in draws)
    by_drop, by_ampacity, by_fuse = power.kit_limits(kit, run, case.limits)
    capacity = power.kit_capacity(kit, run, case.limits)
    case.notes.check(
        "Current to design for",
        kit.sku,
        total,
        f"at most {capacity:.1f} (drop {by_drop:.1f}, cable {by_ampacity:.1f}, fuse {by_fuse:g})",
        unit="A",
        ok=at_most(total, capacity),
        source=f"{power.gauge(kit)} {kit.conductor}; {AMPACITY_SOURCE}",
    )
    _kit_suits(case, kit, run, len(feed.devices))
    shared = len(feed.devices) > 1
    return [
        DeviceFigures(draw.sku, draw.current_a, draw.basis, kit.sku, capacity, shared, by_ampacity) for draw in draws
    ]


def _kit_suits(case: Case, kit: PowerKit, run_m: float, count: int) -> None:
    """Check a kit's length, distribution and conductor; caution what it asks care for."""
    case.notes.check(
        "Power kit reaches", kit.sku, kit.length_m, f"at least {run_m:g}", ok=kit.length_m >= run_m, unit="m"
    )
    enough = count == 1 or kit.amplifiers_fed >= count
    case.notes.check("Power kit feeds so many", kit.sku, count, f"at most {max(1, kit.amplifiers_fed)}", ok=enough)
    case.notes.check(
        "Conductor allowed",
        kit.sku,
        str(kit.conductor),
        "any" if case.limits.cca_allowed else "copper",
        ok=power.conductor_allowed(kit, case.limits),
        source="the shop's settings",
    )
    if kit.conductor is Conductor.CCA:
        case.notes.caution("cca-kit", kit.sku, kit=kit.sku, conductivity_percent=power.CCA_CONDUCTIVITY * 100)
    if not power.fuse_protects_cable(kit):
        _, ampacity, fuse = power.kit_limits(kit, run_m, case.limits)
        case.notes.caution("kit-fuse-above-ampacity", kit.sku, fuse_a=fuse, ampacity_a=ampacity, kit=kit.sku)


def _alternator(case: Case, current: float) -> None:
    if not current:
        return
    average = power.average_current(current, case.limits)
    if case.vehicle.alternator_a is None:
        case.notes.caution("alternator-unknown", case.vehicle.name, average_a=average)
        return
    if power.alternator_strained(current, case.vehicle, case.limits):
        case.notes.caution(
            "alternator",
            case.vehicle.name,
            average_a=average,
            alternator_a=case.vehicle.alternator_a,
            share_percent=100 * average / case.vehicle.alternator_a,
            limit_percent=100 * case.limits.alternator_share,
        )
