"""What an amplifier gives to a load, the ways of using its channels, and the current it draws.

Ratings are continuous RMS power per channel as CTA-2006 (ANSI/CTA-2006-D) has it: 14.4 V supply, 4 ohm, at most
1 % THD+N. Peak and "max" figures never enter a formula here.
"""

from __future__ import annotations

import itertools
import math
from functools import cache
from typing import TYPE_CHECKING

from budgetbuild.build import Mode
from budgetbuild.catalogue.kinds import AmplifierClass, Location
from budgetbuild.trade.figures import at_least, at_most, same

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.catalogue.items import Amplifier, Subwoofer
    from budgetbuild.catalogue.limits import Limits

Way = tuple[tuple[Location, Mode], ...]
"""One way of using an amplifier: the locations it covers and how, in the order front, rear, bass."""

INTERNAL_MIN_OHM = 4.0
"""Lowest load of a head unit's internal amplifier, in ohm (common practice)."""

PAIR_DB = 3.0
"""Level that the second speaker of a pair adds, in dB: twice the power, 10 log10(2) = 3.01, said as 3."""

_CHOICES: dict[Location, tuple[Mode | None, ...]] = {
    Location.FRONT: (None, Mode.STEREO, Mode.BRIDGED),
    Location.REAR: (None, Mode.STEREO, Mode.BRIDGED),
    Location.BASS: (None, Mode.BRIDGED, Mode.SUB),
}


def rated_power(ratings: Mapping[float, float], min_ohm: float | None, ohm: float) -> float | None:
    """Power of one channel into a load, in W RMS; `None` where the load is not allowed.

    As rated at a rated load; linear in 1/z between two rated loads; above the highest rated load the voltage
    stays, so W x z_rated / z. Not allowed below the lowest rated load, below the stated minimum, or unrated.

    >>> rated_power({4: 75, 2: 120}, None, 4), rated_power({4: 75, 2: 120}, None, 8)
    (75.0, 37.5)
    >>> rated_power({4: 75, 2: 120}, None, 1) is None
    True

    Args:
        ratings: W RMS by load in ohm, both more than 0.
        min_ohm: Lowest load that the sheet allows, where it states one.
        ohm: The load, more than 0.

    Source: P = V^2/R; the reading between ratings is common practice.
    """
    if not ratings or not at_least(ohm, max(min(ratings), min_ohm or 0.0)):
        return None
    loads = sorted(ratings)
    if ohm >= loads[-1]:
        return ratings[loads[-1]] * loads[-1] / ohm
    if ohm <= loads[0]:
        return float(ratings[loads[0]])
    low, high = next(pair for pair in itertools.pairwise(loads) if pair[0] <= ohm < pair[1])
    nearness = (1 / ohm - 1 / high) / (1 / low - 1 / high)
    return (1 - nearness) * ratings[high] + nearness * ratings[low]


def internal_power(watt: float, ohm: float) -> float | None:
    """Power of a head unit's internal amplifier into one speaker, in W RMS: constant voltage from 4 ohm up.

    `None` below 4 ohm, and where the unit has no internal amplifier (`watt` 0 or less).

    >>> internal_power(20, 8), internal_power(20, 2), internal_power(0, 4)
    (10.0, None, None)

    Args:
        watt: W RMS per channel into 4 ohm.
        ohm: One speaker's load.

    Source: P = V^2/R; the 4 ohm floor is common practice.
    """
    return rated_power({INTERNAL_MIN_OHM: watt}, None, ohm) if watt > 0 else None


def section_power(amplifier: Amplifier, mode: Mode, ohm: float) -> float | None:
    """Power of an amplifier's section into a load, in W RMS; `None` where the load or the mode is not allowed.

    At front and rear (stereo or bridged) it is the power of each speaker, at bass (bridged or sub channel) of
    the whole bass.

    Args:
        amplifier: The amplifier.
        mode: How the section is used.
        ohm: One speaker's load at front and rear, the net at bass.
    """
    if mode is Mode.SUB:
        return rated_power(_sub_ratings(amplifier), amplifier.sub_min_ohm, ohm)
    if amplifier.channels < 2:  # noqa: PLR2004 -- a pair is two channels
        return None
    if mode is Mode.BRIDGED:
        return _bridged_power(amplifier, ohm)
    return rated_power(_channel_ratings(amplifier), amplifier.min_ohm, ohm)


def _bridged_power(amplifier: Amplifier, ohm: float) -> float | None:
    """Power of a bridged pair into a load, in W RMS.

    Each half sees half the load, so the minimum doubles unless the sheet states one. At 4 ohm the stated rating
    holds where there is one; else twice one channel's power at half the load.

    Source: bridge-tied load, V doubles; common practice for the ratings.
    """
    ratings = _channel_ratings(amplifier)
    least = amplifier.min_bridged_ohm
    if least is None:
        half = amplifier.min_ohm if amplifier.min_ohm is not None else min(ratings, default=math.inf)
        least = 2 * half
    if not at_least(ohm, least):
        return None
    if amplifier.bridged_w_at_4 is not None and same(ohm, 4.0):
        return amplifier.bridged_w_at_4
    half_power = rated_power(ratings, None, ohm / 2)
    return None if half_power is None else 2 * half_power


def _channel_ratings(amplifier: Amplifier) -> dict[float, float]:
    """W RMS of one full-range channel by load in ohm, as far as the sheet rates it."""
    return _stated({4.0: amplifier.w_at_4, 2.0: amplifier.w_at_2})


def _sub_ratings(amplifier: Amplifier) -> dict[float, float]:
    """W RMS of the sub channel by load in ohm, as far as the sheet rates it."""
    return _stated({4.0: amplifier.sub_w_at_4, 2.0: amplifier.sub_w_at_2, 1.0: amplifier.sub_w_at_1})


def _stated(ratings: Mapping[float, float | None]) -> dict[float, float]:
    """The ratings that are stated; a rating of 0 W says that the load is not for this amplifier."""
    return {ohm: watt for ohm, watt in ratings.items() if watt}


def pairs_used(way: Way) -> int:
    """Channel pairs that a way of use takes.

    A stereo pair takes one; front or rear bridged takes two, one for each speaker; bass bridged takes one; the
    own sub channel none.

    >>> pairs_used(((Location.FRONT, Mode.BRIDGED), (Location.BASS, Mode.SUB)))
    2
    """
    return sum(_pairs(location, mode) for location, mode in way)


def _pairs(location: Location, mode: Mode) -> int:
    """Channel pairs that one covered location takes."""
    if mode is Mode.SUB:
        return 0
    return 2 if mode is Mode.BRIDGED and location is not Location.BASS else 1


def ways_of_use(amplifier: Amplifier) -> tuple[Way, ...]:
    """Every way of using an amplifier that covers at least one location with the pairs and sub channel it has.

    Idle channels are allowed. The order is fixed, so that equal answers stay equal on every machine. Whether the
    loads are allowed is another question: see `section_power`.

    >>> from budgetbuild.catalogue.items import Amplifier
    >>> mono = Amplifier(sku="A", price=1, sub_w_at_2=300)
    >>> [[(str(location), str(mode)) for location, mode in way] for way in ways_of_use(mono)]
    [[('bass', 'sub channel')]]
    """
    return _ways(amplifier.channels // 2, bool(_sub_ratings(amplifier)))


@cache
def _ways(pairs: int, has_sub: bool) -> tuple[Way, ...]:  # noqa: FBT001 - a key of the cache, never written out
    """Ways of use by what they depend on: a price list has hundreds of amplifiers, but only a few of these."""
    return tuple(
        way for way in _every_way() if pairs_used(way) <= pairs and (has_sub or (Location.BASS, Mode.SUB) not in way)
    )


def _every_way() -> tuple[Way, ...]:
    """Every non-empty covering, whatever the amplifier."""
    ways = (
        tuple((location, mode) for location, mode in zip(_CHOICES, modes, strict=True) if mode is not None)
        for modes in itertools.product(*_CHOICES.values())
    )
    return tuple(way for way in ways if way)


def current(amplifier: Amplifier, way: Way, ohms: Mapping[Location, float], limits: Limits) -> tuple[float, str]:
    """Current to design the power wiring for, in A, and what it rests on.

    The amplifier's own fuse rating; where that is blank, the rated output of all driven channels at the connected
    load / (efficiency x supply voltage). A blank class counts as AB, the hungrier one.

    Args:
        amplifier: The amplifier.
        way: How it is used.
        ohms: Load of each location in `way`, in ohm.
        limits: Efficiencies and supply voltage.

    Raises:
        ValueError: The amplifier does not allow one of the loads.

    Source: common practice; efficiencies are typical figures from secondary pages (a weak source).
    """
    if amplifier.fuse_a is not None:
        return amplifier.fuse_a, "own fuse rating"
    output = math.fsum(_output(amplifier, location, mode, ohms[location]) for location, mode in way)
    return output / (_efficiency(amplifier.amplifier_class, limits) * limits.supply_v), "from rated output"


def _output(amplifier: Amplifier, location: Location, mode: Mode, ohm: float) -> float:
    """Rated output of all channels that drive one location, in W RMS: two speakers at front and rear."""
    power = section_power(amplifier, mode, ohm)
    if power is None:
        raise ValueError(f"{amplifier.sku} does not drive {ohm} ohm at {location}, {mode}")
    return power if location is Location.BASS else 2 * power


def powered_current(subwoofer: Subwoofer, limits: Limits) -> tuple[float, str]:
    """Current of a powered subwoofer, in A, and what it rests on.

    Its own fuse rating; where blank, RMS / (efficiency x supply voltage) with the efficiency of class AB: the
    sheet does not say which class it is, and AB is the cautious guess.

    Source: common practice.
    """
    if subwoofer.fuse_a is not None:
        return subwoofer.fuse_a, "own fuse rating"
    return subwoofer.rms_w / (_efficiency(None, limits) * limits.supply_v), "from rated output"


def _efficiency(amplifier_class: AmplifierClass | None, limits: Limits) -> float:
    """Output over input power of a class, as a share; class AB where the class is unknown."""
    return limits.efficiency_d if amplifier_class is AmplifierClass.D else limits.efficiency_ab


def ratio_limits(location: Location, limits: Limits) -> tuple[float, float]:
    """Least and greatest power ratio allowed at a location. Source: common practice."""
    if location is Location.BASS:
        return limits.bass_ratio_min, limits.bass_ratio_max
    return limits.ratio_min, limits.ratio_max


def ratio_allowed(location: Location, ratio: float, limits: Limits) -> bool:
    """Whether a power ratio lies within the limits of its location, both included.

    >>> from budgetbuild.catalogue.limits import Limits
    >>> ratio_allowed(Location.FRONT, 0.25, Limits()), ratio_allowed(Location.BASS, 0.25, Limits())
    (True, False)
    """
    low, high = ratio_limits(location, limits)
    return at_least(ratio, low) and at_most(ratio, high)


def level_db(sensitivity_db: float, power_w: float, rms_w: float) -> float:
    """Estimated level of a pair of speakers at 1 m, in dB; shown, never scored.

    Sensitivity (1 W, 1 m) + 10 log10 of the power that the speaker takes + 3 dB for the pair. More power than the
    speaker's RMS rating counts as its rating.

    >>> level_db(90, 100, 50) == level_db(90, 50, 50)
    True
    >>> round(level_db(90, 10, 50), 6)
    103.0

    Raises:
        ValueError: A power of 0 or less.

    Source: definition of the decibel (IEC 60027-3); the pair's 3 dB is common practice.
    """
    return sensitivity_db + 10 * math.log10(min(power_w, rms_w)) + PAIR_DB
