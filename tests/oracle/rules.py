"""The physics of the trade rules, written a second time, exact where that is cheap (decimals as fractions).

Nothing here imports the tool's own physics, program or audit. Comparisons with a limit carry a relative slack of 1e-9
in favour of "allowed", as the contract has it.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.build import Mode
from budgetbuild.catalogue.kinds import AmplifierClass, Conductor, HeadUnitMode, Location, Opening
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.catalogue.items import Amplifier, Box, PowerKit, Product, Speaker, SpeakerCable, Subwoofer
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Place, Vehicle, Weights

SLACK = Fraction(1, 10**9)
AMPACITY = (
    (0.823, 17), (1.309, 21), (2.081, 29), (3.309, 38), (5.261, 51), (8.366, 68), (13.302, 102), (21.151, 136),
    (26.670, 153), (33.631, 178), (42.408, 208), (53.475, 242), (67.431, 280), (85.029, 327), (107.219, 378),
)  # fmt: skip
"""mm2 and A: 33 CFR 183.425 Table 5, 105 C insulation, engine space (x 0.85, rounded down)."""
CCA = 0.629
RHO20 = 0.017241
ALPHA = 0.00393
AMPLIFICATION = {Location.FRONT: 6, Location.REAR: 1, Location.BASS: 5}
MATCH = {Location.FRONT: 5, Location.REAR: 1, Location.BASS: 4}
PAIRS = {
    (Location.FRONT, Mode.STEREO): 1, (Location.FRONT, Mode.BRIDGED): 2,
    (Location.REAR, Mode.STEREO): 1, (Location.REAR, Mode.BRIDGED): 2,
    (Location.BASS, Mode.BRIDGED): 1, (Location.BASS, Mode.SUB): 0,
}  # fmt: skip


def exact(number: float) -> Fraction:
    """The decimal that a cell shows, as a fraction: 0.35 is 35/100, not its binary neighbour."""
    return Fraction(repr(number))


def at_most(figure: Fraction | float, limit: Fraction | float) -> bool:
    """Whether a figure keeps a limit (both 0 or more), with the agreed slack."""
    return figure <= limit * (1 + SLACK) if isinstance(limit, Fraction) else figure <= limit * (1 + 1e-9)


def thousandths(points: Fraction) -> int:
    """Points in whole thousandths, half up."""
    return math.floor(points * 1000 + Fraction(1, 2) + SLACK)


def rating_points(weight: float, rating: float | None, factor: Fraction = Fraction(1)) -> int:
    """Weight x rating / 10 x factor."""
    return thousandths(exact(weight) * exact(rating or 0.0) / 10 * factor)


def amplification_points(weights: Weights, location: Location, rating: float | None) -> int:
    """Points of the driving amplifier at a location."""
    return thousandths(exact(weights.amplification) * AMPLIFICATION[location] / 12 * exact(rating or 0.0) / 10)


def match_points(weights: Weights, location: Location, factor: Fraction) -> int:
    """Points of the power match at a location."""
    return thousandths(exact(weights.match) * MATCH[location] / 10 * factor)


def _nets_of(ohm: Fraction, count: int) -> set[Fraction]:
    return {ohm * series / (count // series) for series in range(1, count + 1) if count % series == 0}


def nets(ohm: float, coils: int, drivers: int) -> list[Fraction]:
    """Every net load of equal drivers with equal coils, ascending."""
    return sorted({net for coil in _nets_of(exact(ohm), coils) for net in _nets_of(coil, drivers)})


def _rated(pairs: Iterable[tuple[int, float | None]]) -> dict[Fraction, Fraction]:
    return {Fraction(load): exact(watt) for load, watt in pairs if watt is not None}


def curve(rated: Mapping[Fraction, Fraction], load: Fraction) -> Fraction | None:
    """Power at a load: linear in 1 / load between ratings, constant voltage above, nothing below."""
    if not rated or load < min(rated):
        return None
    if load >= max(rated):
        return rated[max(rated)] * max(rated) / load
    low = max(z for z in rated if z <= load)
    high = min(z for z in rated if z > load)
    share = (1 / load - 1 / high) / (1 / low - 1 / high)
    return rated[high] + share * (rated[low] - rated[high])


def power(amplifier: Amplifier, mode: Mode, load: Fraction) -> Fraction | None:
    """W that one section gives into a load, `None` where it may not be used so."""
    if mode is Mode.SUB:
        rated = _rated(((4, amplifier.sub_w_at_4), (2, amplifier.sub_w_at_2), (1, amplifier.sub_w_at_1)))
        if amplifier.sub_min_ohm is not None and load < exact(amplifier.sub_min_ohm):
            return None
        return curve(rated, load)
    rated = _rated(((4, amplifier.w_at_4), (2, amplifier.w_at_2)))
    if mode is Mode.BRIDGED:
        return _bridged(amplifier, rated, load)
    if amplifier.min_ohm is not None and load < exact(amplifier.min_ohm):
        return None
    return curve(rated, load)


def _bridged(amplifier: Amplifier, rated: Mapping[Fraction, Fraction], load: Fraction) -> Fraction | None:
    if amplifier.min_bridged_ohm is not None:
        least = exact(amplifier.min_bridged_ohm)
    elif amplifier.min_ohm is not None:
        least = 2 * exact(amplifier.min_ohm)
    elif rated:
        least = 2 * min(rated)
    else:
        return None
    if load < least:
        return None
    if load == 4 and amplifier.bridged_w_at_4 is not None:
        return exact(amplifier.bridged_w_at_4)
    half = curve(rated, load / 2)
    return None if half is None else 2 * half


def internal_power(watt: float, load: Fraction) -> Fraction | None:
    """W per channel of an internal amplifier rated into 4 ohm."""
    return exact(watt) * 4 / load if watt > 0 and load >= 4 else None


def ratio_allowed(location: Location, ratio: Fraction, limits: Limits) -> bool:
    """Whether a power ratio is within the location's limits."""
    bass = location is Location.BASS
    least = limits.bass_ratio_min if bass else limits.ratio_min
    most = limits.bass_ratio_max if bass else limits.ratio_max
    return at_most(exact(least), ratio) and at_most(ratio, exact(most))


def match_factor(ratio: Fraction, limits: Limits) -> Fraction:
    """0 to 1: how well a power ratio matches."""
    full = exact(limits.ratio_full_match)
    if ratio <= full:
        return max(Fraction(0), (ratio - Fraction(1, 4)) / (full - Fraction(1, 4)))
    until, half = exact(limits.ratio_full_match_to), Fraction(3, 2)
    return min(Fraction(1), max(Fraction(0), 1 - Fraction(1, 2) * (ratio - until) / (half - until)))


def ways_of_use(amplifier: Amplifier) -> list[dict[Location, Mode]]:
    """Every non-empty covering with its modes that the amplifier has pairs for."""
    sub = any(w is not None for w in (amplifier.sub_w_at_4, amplifier.sub_w_at_2, amplifier.sub_w_at_1))
    ways: list[dict[Location, Mode]] = [{}]
    for location in Location:
        modes = [mode for mode in Mode if (location, mode) in PAIRS and (sub or mode is not Mode.SUB)]
        ways += [{**way, location: mode} for way in ways for mode in modes]
    return [way for way in ways if way and sum(PAIRS[use] for use in way.items()) <= amplifier.channels // 2]


def amplifier_current(amplifier: Amplifier, outputs: Iterable[Fraction], limits: Limits) -> float:
    """A to design for; `outputs` are the W of all channels in use together, one entry per location."""
    if amplifier.fuse_a is not None:
        return amplifier.fuse_a
    digital = amplifier.amplifier_class is AmplifierClass.D
    efficiency = limits.efficiency_d if digital else limits.efficiency_ab
    return float(sum(outputs, Fraction(0)) / (exact(efficiency) * exact(limits.supply_v)))


def powered_current(subwoofer: Subwoofer, limits: Limits) -> float:
    """A to design for of a powered subwoofer."""
    if subwoofer.fuse_a is not None:
        return subwoofer.fuse_a
    return float(exact(subwoofer.rms_w) / (exact(limits.efficiency_ab) * exact(limits.supply_v)))


def area_mm2(cable: PowerKit | SpeakerCable) -> float:
    """Conductor area; AWG by ASTM B258."""
    if cable.mm2 is not None:
        return cable.mm2
    assert cable.awg is not None
    diameter_mm = 0.127 * math.pow(92, (36 - cable.awg) / 39)
    return math.pi / 4 * diameter_mm * diameter_mm


def resistance(cable: PowerKit | SpeakerCable, length_m: float, celsius: float) -> float:
    """Ohm of one conductor of that length."""
    conductivity = CCA if cable.conductor is Conductor.CCA else 1.0
    return RHO20 * (1 + ALPHA * (celsius - 20)) * length_m / area_mm2(cable) / conductivity


def kit_capacity(kit: PowerKit, vehicle: Vehicle, limits: Limits) -> float:
    """A that a power kit carries in this vehicle; 0 where it may not be used there at all."""
    run = limits.power_run_m if vehicle.power_run_m is None else vehicle.power_run_m
    cca = kit.conductor is Conductor.CCA
    if not at_most(run, kit.length_m) or (cca and not limits.cca_allowed):
        return 0.0
    drop = limits.allowed_drop_v / resistance(kit, run + limits.earth_lead_m, limits.conductor_c)
    ampacity = max((amps for size, amps in AMPACITY if size <= 1.01 * area_mm2(kit)), default=0)
    return min(drop, ampacity * (math.sqrt(CCA) if cca else 1.0), kit.fuse_a)


def cable_run_m(location: Location, vehicle: Vehicle, limits: Limits) -> float:
    """Amplifier to one speaker, or to the bass."""
    known, assumed = {
        Location.FRONT: (vehicle.front_run_m, limits.front_run_m),
        Location.REAR: (vehicle.rear_run_m, limits.rear_run_m),
        Location.BASS: (vehicle.bass_run_m, limits.bass_run_m),
    }[location]
    return assumed if known is None else known


def cable_allowed(cable: SpeakerCable, run_m: float, load: Fraction, limits: Limits) -> bool:
    """Whether the loop loses little enough beside the load."""
    return at_most(resistance(cable, 2 * run_m, 20.0), limits.cable_loss_share * float(load))


def cable_metres(location: Location, vehicle: Vehicle, limits: Limits) -> Fraction:
    """Metres to buy for one location, spare included."""
    runs = 1 if location is Location.BASS else 2
    return exact(cable_run_m(location, vehicle, limits)) * runs * (1 + exact(limits.cable_spare_share))


def lead_run_m(mode: HeadUnitMode, vehicle: Vehicle, limits: Limits) -> float:
    """Least length of a signal lead."""
    if mode is HeadUnitMode.KEEP_FACTORY:
        return limits.converter_signal_run_m
    return limits.signal_run_m if vehicle.signal_run_m is None else vehicle.signal_run_m


def opening_takes(vehicle: Opening, unit: Opening) -> bool:
    """Whether a head unit goes into the dash."""
    return vehicle is Opening.DOUBLE or (vehicle is Opening.SINGLE and unit is not Opening.DOUBLE)


def place_takes(place: Place, speaker: Speaker) -> bool:
    """Whether depth and tweeter place allow a speaker; its size is a matter of adapters."""
    deep = place.depth_mm is not None and speaker.depth_mm is not None and not at_most(speaker.depth_mm, place.depth_mm)
    return not deep and not (speaker.type.value == "component" and place.tweeter_place is False)


def boot_takes(thing: Subwoofer | Box, vehicle: Vehicle, limits: Limits) -> bool:
    """Whether the outside goes into the boot, width and depth either way round; unknown never refuses."""

    def fits(inner: float | None, outer: float | None) -> bool:
        return inner is None or outer is None or at_most(inner + limits.boot_spare_mm, outer)

    boot = vehicle.boot_width_mm, vehicle.boot_depth_mm
    turned = any(fits(thing.width_mm, a) and fits(thing.depth_mm, b) for a, b in (boot, boot[::-1]))
    return turned and fits(thing.height_mm, vehicle.boot_height_mm)


def box_takes(box: Box, driver: Subwoofer) -> bool:
    """Whether cut-out and litres per driver suit the driver."""
    litres = exact(box.litres) / box.drivers
    low, high = driver.box_litres_min, driver.box_litres_max
    inside = (low is None or at_most(exact(low), litres)) and (high is None or at_most(litres, exact(high)))
    return box.cutout_mm == driver.size_mm and inside


def labour(hours: Fraction, rate: int, quantity: Fraction = Fraction(1)) -> int:
    """Cents, half up."""
    return math.floor(hours * rate * quantity + Fraction(1, 2))


def meets(term: str, product: Product) -> bool:
    """Whether a term of `Must include` or `Leave out` names this product or its brand."""
    return fold(term) in {fold(product.sku), fold(product.brand)}
