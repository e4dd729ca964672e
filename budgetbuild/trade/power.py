"""Power wiring: gauge, resistance, ampacity, and what current a power kit carries.

The resistances are those of the ideal conductor. Real stranded cable is 4 to 16 % above them at nominal area
(IEC 60228 classes 2 and 5, plain copper); reckoning at 60 C and allowing 0.5 V carry that margin.
"""

from __future__ import annotations

import bisect
import csv
import functools
import math
from importlib import resources
from typing import TYPE_CHECKING

from budgetbuild.catalogue.gauge import awg_area
from budgetbuild.catalogue.kinds import Conductor
from budgetbuild.trade.figures import at_most

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import PowerKit, SpeakerCable
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Vehicle

COPPER_RESISTIVITY = 0.017241
"""Annealed copper at 20 C, in ohm mm2/m (IEC 60028: 1/58)."""
COPPER_TEMPERATURE_COEFFICIENT = 0.00393
"""Annealed copper at 20 C, per K (IEC 60028)."""
CCA_CONDUCTIVITY = 0.629
"""Copper-clad aluminium over copper (ASTM B566 class 10A, 62.9 % IACS, as a wire maker's table quotes it)."""

REFERENCE_C = 20.0
"""Temperature of the resistivity, in degrees C."""
AREA_TOLERANCE = 1.01
"""A table size counts as reached where the cable's area times this is at least the table's."""

_RELATIVE_CONDUCTIVITY = {Conductor.COPPER: 1.0, Conductor.CCA: CCA_CONDUCTIVITY}


def area(cable: PowerKit | SpeakerCable) -> float:
    """Cross-section of one conductor of a cable, in mm2.

    Raises:
        ValueError: The cable states neither mm2 nor AWG; a checked catalogue holds no such cable.
    """
    if cable.mm2 is not None:
        return cable.mm2
    if cable.awg is None:
        raise ValueError(f"{cable.sku} states no cross-section")
    return awg_area(cable.awg)


def gauge(cable: PowerKit | SpeakerCable) -> str:
    """A cable's gauge as its sheet states it, AWG sizes with their area.

    >>> from budgetbuild.catalogue.items import PowerKit
    >>> gauge(PowerKit(sku="K", price=1, awg=4, conductor=Conductor.COPPER, length_m=5, fuse_a=100))
    '4 AWG (21.15 mm2)'
    >>> gauge(PowerKit(sku="K", price=1, mm2=16, conductor=Conductor.COPPER, length_m=5, fuse_a=80))
    '16 mm2'
    """
    if cable.awg is None or cable.mm2 is not None:
        return f"{area(cable):g} mm2"
    size = str(cable.awg) if cable.awg > 0 else f"{1 - cable.awg}/0"
    return f"{size} AWG ({area(cable):.2f} mm2)"


def resistance(area_mm2: float, conductor: Conductor, length_m: float, celsius: float = REFERENCE_C) -> float:
    """Resistance of a conductor, in ohm: rho20 x (1 + alpha (T - 20)) x length / area / relative conductivity.

    >>> round(resistance(1.0, Conductor.COPPER, 1000), 3)
    17.241

    Args:
        area_mm2: Cross-section, more than 0.
        conductor: Copper or copper-clad aluminium; the latter takes copper's temperature coefficient.
        length_m: Length of conductor, one way, 0 or more.
        celsius: Conductor temperature.

    Source: IEC 60028 (resistivity, coefficient); ASTM B566 class 10A (copper-clad aluminium).
    """
    warmth = 1 + COPPER_TEMPERATURE_COEFFICIENT * (celsius - REFERENCE_C)
    return COPPER_RESISTIVITY * warmth * length_m / area_mm2 / _RELATIVE_CONDUCTIVITY[conductor]


def ampacity(area_mm2: float, conductor: Conductor) -> float:
    """Current that a single conductor may carry for good, in A; 0 below the smallest table size (18 AWG).

    105 C insulation, inside the engine space (50 C; the table's own ambient is 30 C). The largest table size whose
    area is at most 1.01 x the cable's counts: nothing is read between sizes. Copper-clad aluminium carries the square
    root of its relative conductivity, which makes the same heat; that figure is not rounded.

    >>> ampacity(21.15, Conductor.COPPER), ampacity(16.0, Conductor.COPPER), ampacity(0.5, Conductor.COPPER)
    (136.0, 102.0, 0.0)

    Source: 33 CFR 183.425 Table 5, column 105 C, x 0.85 by its note 1, rounded down to whole amperes. It is a rule
    for boats: no road-vehicle table was open.
    """
    areas, amps = _table()
    reached = bisect.bisect_right(areas, AREA_TOLERANCE * area_mm2)
    return amps[reached - 1] * math.sqrt(_RELATIVE_CONDUCTIVITY[conductor]) if reached else 0.0


@functools.cache
def _table() -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Areas in mm2, ascending, and their ampacities in A inside the engine space."""
    text = resources.files(__package__).joinpath("tables", "ampacity.csv").read_text(encoding="utf-8")
    rows = sorted(
        (float(row["mm2"]), float(row["amps_105C_engine_space"])) for row in csv.DictReader(text.splitlines())
    )
    return tuple(mm2 for mm2, _ in rows), tuple(amps for _, amps in rows)


def power_run(vehicle: Vehicle, limits: Limits) -> float:
    """Length from battery to amplifier, in m; an unknown one counts as 5 m unless the shop says otherwise.

    Source: common practice.
    """
    return limits.power_run_m if vehicle.power_run_m is None else vehicle.power_run_m


def kit_limits(kit: PowerKit, run_m: float, limits: Limits) -> tuple[float, float, float]:
    """What limits the current of a power kit, in A: voltage drop, ampacity, fuse.

    The drop counts the run and the earth lead, warm (60 C): allowed drop / resistance.

    Args:
        kit: The power kit.
        run_m: Battery to amplifier, in m; the earth lead is added here.
        limits: Allowed drop, conductor temperature, earth lead.

    Source: Ohm's law; IEC 60028; 33 CFR 183.425 Table 5; the 0.5 V is common practice.
    """
    mm2 = area(kit)
    ohm = resistance(mm2, kit.conductor, run_m + limits.earth_lead_m, limits.conductor_c)
    by_drop = limits.allowed_drop_v / ohm if ohm > 0 else math.inf
    return by_drop, ampacity(mm2, kit.conductor), kit.fuse_a


def kit_capacity(kit: PowerKit, run_m: float, limits: Limits) -> float:
    """Current that a power kit carries over a run, in A: the least of its three limits (see `kit_limits`)."""
    return min(kit_limits(kit, run_m, limits))


def conductor_allowed(kit: PowerKit, limits: Limits) -> bool:
    """Whether the shop sells power kits of that metal: it may forbid copper-clad aluminium."""
    return limits.cca_allowed or kit.conductor is Conductor.COPPER


def fuse_protects_cable(kit: PowerKit) -> bool:
    """Whether a kit's main fuse is at most its cable's ampacity, so that it blows before the cable overheats.

    Source: 33 CFR 183.425 Table 5 for the ampacity; that the fuse protects the cable is common practice.
    """
    return at_most(kit.fuse_a, ampacity(area(kit), kit.conductor))


def average_current(current_a: float, limits: Limits) -> float:
    """Current that music draws on average, in A: a third of the current to design for.

    Source: common practice.
    """
    return current_a * limits.music_share


def alternator_strained(current_a: float, vehicle: Vehicle, limits: Limits) -> bool:
    """Whether the average current exceeds 40 % (the shop's limit) of the alternator's rating.

    An unknown alternator strains nothing; it is a thing to look up.

    Args:
        current_a: Current to design for, all fed devices together, in A.
        vehicle: The vehicle, for its alternator.
        limits: Share of music, share of the alternator.

    Source: common practice.
    """
    if vehicle.alternator_a is None:
        return False
    return not at_most(average_current(current_a, limits), limits.alternator_share * vehicle.alternator_a)
