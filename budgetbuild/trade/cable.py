"""Speaker cable: how thick for a load, how long for a vehicle, how many selling units."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import Location
from budgetbuild.trade.figures import at_most, exact
from budgetbuild.trade.power import area, resistance

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.catalogue.items import SpeakerCable
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Vehicle

TENTH_MM_PER_M = 10_000
"""Lengths of cable are counted in whole tenths of a millimetre, so that units add up exactly."""

_RUNS = {Location.FRONT: 2, Location.REAR: 2, Location.BASS: 1}


def run_m(location: Location, vehicle: Vehicle, limits: Limits) -> float:
    """Length from the amplifier to one speaker, in m; unknown ones count as 5.5, 3.0 and 1.5 m by default.

    >>> from budgetbuild.catalogue.shop import Vehicle
    >>> from budgetbuild.catalogue.limits import Limits
    >>> run_m(Location.REAR, Vehicle(name="V", opening="double"), Limits())
    3.0

    Source: common practice.
    """
    known, assumed = {
        Location.FRONT: (vehicle.front_run_m, limits.front_run_m),
        Location.REAR: (vehicle.rear_run_m, limits.rear_run_m),
        Location.BASS: (vehicle.bass_run_m, limits.bass_run_m),
    }[location]
    return assumed if known is None else known


def loop_resistance(cable: SpeakerCable, run_m: float) -> float:
    """Resistance of both cores of a speaker cable over a run, in ohm at 20 C.

    Source: IEC 60028; ASTM B258 for AWG sizes.
    """
    return resistance(area(cable), cable.conductor, 2 * run_m)


def cable_allowed(cable: SpeakerCable, location: Location, ohm: float, vehicle: Vehicle, limits: Limits) -> bool:
    """Whether a speaker cable's loop adds at most 5 % (the shop's limit) to the load.

    Args:
        cable: The cable.
        location: Which run it covers.
        ohm: One speaker's load at front and rear, the net at bass.
        vehicle: The vehicle.
        limits: The share allowed, and runs where unknown.

    Source: common practice.
    """
    return at_most(loop_resistance(cable, run_m(location, vehicle, limits)), limits.cable_loss_share * ohm)


def full_current(power_w: float, ohm: float) -> float:
    """RMS current in A in a speaker cable at full rated power into a load.

    >>> full_current(400, 4)
    10.0

    Source: P = I2 R (Ohm's law). Music draws about a third of it on average (common practice).
    """
    return math.sqrt(power_w / ohm)


def tenth_mm(location: Location, vehicle: Vehicle, limits: Limits) -> int:
    """Cable that a location needs, spare included, in whole tenths of a millimetre, never short.

    Two runs at front and rear, one at bass, plus 10 % by default; exact on the decimals as written.

    >>> from budgetbuild.catalogue.shop import Vehicle
    >>> from budgetbuild.catalogue.limits import Limits
    >>> tenth_mm(Location.FRONT, Vehicle(name="V", opening="double"), Limits())
    121000

    Source: common practice.
    """
    return _tenth_mm(run_m(location, vehicle, limits), _RUNS[location], limits.cable_spare_share)


@lru_cache(maxsize=1024)
def _tenth_mm(run_m: float, runs: int, spare_share: float) -> int:
    """Whole builds ask for the same few lengths over and over, and exact decimals take their time."""
    return math.ceil(exact(run_m) * runs * (1 + exact(spare_share)) * TENTH_MM_PER_M)


def unit_tenth_mm(cable: SpeakerCable) -> int:
    """Cable in one selling unit, in whole tenths of a millimetre, never more than is in it."""
    return math.floor(exact(cable.metres_per_unit) * TENTH_MM_PER_M)


def units_needed(cable: SpeakerCable, locations: Iterable[Location], vehicle: Vehicle, limits: Limits) -> int:
    """Whole selling units of one cable for all the locations it serves: their metres add up first.

    Raises:
        ZeroDivisionError: The selling unit is shorter than a tenth of a millimetre.
    """
    need = sum(tenth_mm(location, vehicle, limits) for location in locations)
    return -(-need // unit_tenth_mm(cable))
