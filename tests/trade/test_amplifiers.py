"""What an amplifier gives to a load, how it may be used, what it draws."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.build import Mode
from budgetbuild.catalogue.kinds import AmplifierClass, Location, SubwooferType
from budgetbuild.catalogue.limits import Limits
from budgetbuild.trade.amplifiers import (
    Way,
    current,
    internal_power,
    level_db,
    pairs_used,
    powered_current,
    rated_power,
    ratio_allowed,
    section_power,
    ways_of_use,
)
from tests.trade.make import amplifier, five_channel, subwoofer
from tests.trade.published import Row, name_of, section, value

FRONT, REAR, BASS = Location
STEREO, BRIDGED, SUB = Mode
LIMITS = Limits()

WATT = st.floats(1, 2000)
RATINGS = st.dictionaries(st.sampled_from([1.0, 2.0, 4.0]), WATT, min_size=1)
LOAD = st.floats(0.25, 64)


@pytest.mark.parametrize(
    ("identifier", "watt", "ohm"),
    [
        ("L0016", 50, 4),
        ("L0017", 50, 4),
        ("L0018", 100, 4),
        ("L0019", 300, 2),
        ("L0020", 500, 1),
    ],
)
def test_published_voltages_stay_the_same_above_the_highest_rated_load(
    identifier: str, watt: float, ohm: float
) -> None:
    # P = V^2/R: the voltage printed for the rated load also gives the power at twice that load.
    volts = value("loads", identifier)
    assert volts == pytest.approx(math.sqrt(watt * ohm), rel=0.004)
    assert rated_power({ohm: watt}, None, 2 * ohm) == pytest.approx(volts**2 / (2 * ohm), rel=0.007)


def test_ohms_law_example_holds_for_power_at_a_resistance() -> None:
    # 240 V and 20 A: 4,800 W at 12 ohm, so half of that at 24 ohm.
    assert rated_power({value("loads", "L0015"): value("loads", "L0014")}, None, 24) == 240**2 / 24


def test_sensitivity_at_a_fixed_voltage_is_one_watt_into_eight_and_two_into_four_ohm() -> None:
    assert rated_power({4: value("loads", "L0028")}, None, 8) == pytest.approx(value("loads", "L0027"), rel=1e-12)


def test_a_rated_load_gives_the_rated_power() -> None:
    ratings = {4.0: 75.0, 2.0: 120.0, 1.0: 180.0}
    assert [rated_power(ratings, None, ohm) for ohm in (4, 2, 1)] == [75, 120, 180]


@given(ratings=RATINGS)
def test_every_rated_load_gives_just_its_rated_power(ratings: dict[float, float]) -> None:
    assert {ohm: rated_power(ratings, None, ohm) for ohm in ratings} == ratings


def test_without_a_stated_minimum_the_lowest_rated_load_is_the_least_however_low() -> None:
    assert rated_power({0.5: 1500}, None, 0.5) == 1500
    assert rated_power({0.5: 1500}, None, 0.4) is None


def test_power_between_two_rated_loads_is_linear_in_the_reciprocal_of_the_load() -> None:
    # 1/3 lies a third of the way from 1/4 to 1/2.
    assert rated_power({4: 90, 2: 150}, None, 3) == pytest.approx(90 + (150 - 90) / 3, rel=1e-12)


def test_a_load_below_the_lowest_rated_or_the_stated_minimum_is_not_allowed() -> None:
    assert rated_power({4: 75, 2: 120}, None, 1.9) is None
    assert rated_power({4: 75, 2: 120}, 4, 2) is None
    assert rated_power({4: 75}, 2, 2) is None
    assert rated_power({}, None, 4) is None


def test_a_load_that_misses_the_minimum_by_the_last_bit_is_allowed() -> None:
    assert rated_power({4: 75, 2: 120}, 2, 2 - 1e-12) == 120


def test_the_four_ohm_version_of_a_subwoofer_gets_clearly_less_than_the_two_ohm_one() -> None:
    # Common practice: "order exactly the 2 ohm version".
    two, four = (section_power(five_channel(), SUB, ohm) for ohm in (2, 4))
    assert two == 300
    assert four == 180
    unrated = section_power(five_channel(sub_w_at_4=None), SUB, 4)
    assert unrated == 150


def test_an_internal_amplifier_drives_four_ohm_or_more_and_nothing_else() -> None:
    assert internal_power(15, 4) == 15
    assert internal_power(15, 6) == 10
    assert internal_power(15, 3.9) is None
    assert internal_power(0, 4) is None
    assert internal_power(0.5, 4) == 0.5


def test_a_stated_minimum_binds_the_full_range_channels_but_not_the_sub_channel() -> None:
    five = five_channel(min_ohm=4.0)
    assert section_power(five, STEREO, 2) is None
    assert section_power(five, SUB, 2) == 300
    assert section_power(five_channel(sub_min_ohm=4.0), SUB, 2) is None


def test_a_mono_amplifier_has_a_sub_channel_and_no_pairs() -> None:
    mono = amplifier(sub_w_at_1=800.0, sub_w_at_2=500.0)
    assert section_power(mono, SUB, 1) == 800
    assert section_power(mono, STEREO, 4) is None
    assert section_power(mono, BRIDGED, 4) is None


def test_an_amplifier_without_sub_ratings_has_no_sub_channel() -> None:
    assert section_power(amplifier(channels=4, w_at_4=75.0), SUB, 4) is None


def test_each_bridged_half_sees_half_the_load() -> None:
    # 8 ohm bridged needs channels that drive 4 ohm; each half at half the load gives its own power.
    plain = amplifier(channels=4, w_at_4=75.0)
    assert value("loads", "L0021") == 0.5
    assert section_power(plain, BRIDGED, 8) == 2 * 75
    assert section_power(plain, BRIDGED, 4) is None


def test_bridging_gives_at_most_four_times_one_channel_into_the_same_load() -> None:
    # Bridged voltage is at most twice one channel's; the supply limits it, so real ratings stay below.
    ideal = amplifier(channels=2, w_at_4=75.0, w_at_2=150.0)
    bound = value("loads", "L0022") ** 2 * 75
    assert section_power(ideal, BRIDGED, 4) == pytest.approx(bound, rel=1e-12)
    real = section_power(five_channel(), BRIDGED, 4)
    assert real is not None
    assert real < bound


def test_a_stated_bridged_rating_holds_at_four_ohm_only() -> None:
    stated = amplifier(channels=4, w_at_4=75.0, w_at_2=110.0, bridged_w_at_4=240.0)
    assert section_power(stated, BRIDGED, 4) == 240
    assert section_power(stated, BRIDGED, 8) == 150


def test_a_stated_bridged_minimum_takes_the_place_of_the_doubled_one() -> None:
    low = amplifier(channels=4, w_at_4=75.0, bridged_w_at_4=240.0, min_bridged_ohm=4.0)
    assert section_power(low, BRIDGED, 4) == 240
    high = five_channel(min_bridged_ohm=8.0)
    assert section_power(high, BRIDGED, 4) is None
    assert section_power(high, BRIDGED, 8) == 150


def test_a_stated_single_channel_minimum_doubles_when_bridged() -> None:
    assert section_power(five_channel(min_ohm=4.0), BRIDGED, 4) is None
    assert section_power(five_channel(min_ohm=4.0), BRIDGED, 8) == 150


def test_a_bridged_load_whose_half_is_not_rated_is_not_allowed() -> None:
    assert section_power(five_channel(min_bridged_ohm=2.0), BRIDGED, 2) is None


def test_an_amplifier_that_rates_no_load_drives_none() -> None:
    assert section_power(amplifier(channels=4), BRIDGED, 4) is None
    assert section_power(amplifier(channels=4), STEREO, 4) is None


@pytest.mark.parametrize(
    ("way", "pairs"),
    [
        (((FRONT, STEREO),), 1),
        (((FRONT, BRIDGED),), 2),
        (((REAR, BRIDGED),), 2),
        (((BASS, BRIDGED),), 1),
        (((BASS, SUB),), 0),
        (((FRONT, STEREO), (REAR, STEREO), (BASS, SUB)), 2),
        (((FRONT, BRIDGED), (REAR, STEREO), (BASS, BRIDGED)), 4),
    ],
)
def test_pairs_used_are_counted_as_the_trade_wires_them(way: Way, pairs: int) -> None:
    assert pairs_used(way) == pairs


def test_a_two_channel_amplifier_has_three_ways_of_use() -> None:
    assert ways_of_use(amplifier(channels=2, w_at_4=75.0)) == (
        ((BASS, BRIDGED),),
        ((REAR, STEREO),),
        ((FRONT, STEREO),),
    )


def test_a_five_channel_amplifier_drives_front_rear_and_bass_at_once() -> None:
    ways = ways_of_use(five_channel())
    assert ((FRONT, STEREO), (REAR, STEREO), (BASS, SUB)) in ways
    assert ((FRONT, BRIDGED), (BASS, SUB)) in ways
    assert ((REAR, STEREO), (BASS, BRIDGED)) in ways
    assert all(pairs_used(way) <= 2 for way in ways)


@pytest.mark.parametrize(
    ("channels", "has_sub", "count"),
    [
        # Counted by hand from: front and rear 0, 1 or 2 pairs each; bass 0 or 1 pair, or the sub channel for 0 pairs.
        (0, True, 1),
        (2, False, 3),
        (2, True, 6),
        (4, False, 8),
        (4, True, 14),
        (6, False, 13),
    ],
)
def test_every_covering_that_the_pairs_allow_is_offered_once(channels: int, count: int, *, has_sub: bool) -> None:
    ways = ways_of_use(amplifier(channels=channels, w_at_4=75.0, sub_w_at_4=200.0 if has_sub else None))
    assert len(ways) == len(set(ways)) == count


def test_current_is_the_amplifiers_own_fuse_rating() -> None:
    assert current(five_channel(fuse_a=60.0), ((FRONT, STEREO),), {FRONT: 4}, LIMITS) == (60.0, "own fuse rating")


def test_current_without_a_fuse_rating_counts_both_speakers_and_the_bass_once() -> None:
    way: Way = ((FRONT, STEREO), (REAR, STEREO), (BASS, SUB))
    amps, basis = current(five_channel(amplifier_class=AmplifierClass.D), way, {FRONT: 4, REAR: 4, BASS: 2}, LIMITS)
    assert amps == pytest.approx((2 * 75 + 2 * 75 + 300) / (0.80 * 13.8), rel=1e-12)
    assert basis == "from rated output"


def test_current_of_bridged_fronts_counts_two_bridged_pairs() -> None:
    amps, _ = current(five_channel(amplifier_class=AmplifierClass.AB), ((FRONT, BRIDGED),), {FRONT: 4}, LIMITS)
    assert amps == pytest.approx(2 * 220 / (0.55 * 13.8), rel=1e-12)


def test_an_unknown_class_counts_as_the_hungrier_one() -> None:
    unknown, hungry = (
        current(five_channel(amplifier_class=kind), ((BASS, SUB),), {BASS: 2}, LIMITS)[0]
        for kind in (None, AmplifierClass.AB)
    )
    assert unknown == hungry


def test_current_at_a_load_that_is_not_allowed_is_a_defect_that_raises() -> None:
    with pytest.raises(ValueError, match="FIVE does not drive"):
        current(five_channel(), ((FRONT, STEREO),), {FRONT: 1}, LIMITS)


def test_a_powered_subwoofer_draws_its_fuse_rating_or_the_cautious_figure() -> None:
    powered = subwoofer(type=SubwooferType.POWERED, ohm=None, rms_w=150.0)
    amps, basis = powered_current(powered, LIMITS)
    assert amps == pytest.approx(150 / (0.55 * 13.8))
    assert basis == "from rated output"
    assert powered_current(subwoofer(fuse_a=20.0), LIMITS) == (20.0, "own fuse rating")


@pytest.mark.parametrize("row", section("loads", "B5 efficiency"), ids=name_of)
def test_assumed_efficiencies_stay_on_the_cautious_side_of_published_ones(row: Row) -> None:
    # Weak sources: single secondary pages; so only the direction is tested, never a value.
    highest = float(row["value"].split("-")[-1])
    percent = highest * 100 if row["unit"] == "1" else highest
    if row["item"] == "class D":
        assert LIMITS.efficiency_d * 100 < percent
    if row["item"] == "class AB" and row["quantity"] == "typical upper":
        assert LIMITS.efficiency_ab * 100 < percent
    assert LIMITS.efficiency_ab * 100 < value("loads", "L0030")


@pytest.mark.parametrize(
    ("location", "ratio", "allowed"),
    [
        (FRONT, 0.25, True),
        (FRONT, 0.2499, False),
        (FRONT, 1.5, True),
        (FRONT, 1.5001, False),
        (REAR, 0.3, True),
        (BASS, 0.3, False),
        (BASS, 0.5, True),
        (BASS, 1.5, True),
        (BASS, 1.5001, False),
    ],
)
def test_power_ratios_are_held_to_the_limits_of_the_location(
    location: Location, ratio: float, *, allowed: bool
) -> None:
    assert ratio_allowed(location, ratio, LIMITS) is allowed


def test_a_ratio_that_misses_its_limit_by_the_last_bit_is_allowed() -> None:
    assert ratio_allowed(FRONT, math.nextafter(1.5, 2), LIMITS)
    assert ratio_allowed(BASS, math.nextafter(0.5, 0), LIMITS)


@pytest.mark.parametrize(("identifier", "ratio"), [("L0023", 2), ("L0024", 4), ("L0025", 10)])
def test_level_rises_with_power_by_the_published_decibels(identifier: str, ratio: float) -> None:
    step = level_db(90, 10 * ratio, 1000) - level_db(90, 10, 1000)
    assert step == pytest.approx(value("loads", identifier), abs=0.0001)


def test_twice_the_voltage_is_four_times_the_power_in_decibels() -> None:
    assert value("loads", "L0026") == value("loads", "L0024")


def test_level_counts_the_pair_and_no_more_than_the_speaker_takes() -> None:
    assert level_db(91, 1, 60) == pytest.approx(94)
    assert level_db(91, 500, 60) == level_db(91, 60, 60)


@given(ratings=RATINGS, low=LOAD, high=LOAD)
def test_power_never_rises_with_the_load_above_the_highest_rated_one(
    ratings: dict[float, float], low: float, high: float
) -> None:
    top = max(ratings)
    low, high = sorted((top + low, top + high))
    less, more = rated_power(ratings, None, high), rated_power(ratings, None, low)
    assert less is not None
    assert more is not None
    assert less <= more


@given(ratings=RATINGS, ohm=LOAD)
def test_power_between_rated_loads_stays_between_their_ratings(ratings: dict[float, float], ohm: float) -> None:
    power = rated_power(ratings, None, ohm)
    if ohm < min(ratings) * (1 - 1e-9):
        assert power is None
    elif min(ratings) <= ohm <= max(ratings):
        assert power is not None
        below, above = max(load for load in ratings if load <= ohm), min(load for load in ratings if load >= ohm)
        ends = sorted((ratings[below], ratings[above]))
        assert ends[0] * (1 - 1e-9) <= power <= ends[1] * (1 + 1e-9)


@given(at_4=WATT, at_2=WATT, ohm=st.floats(4, 32))
def test_bridged_power_is_twice_one_channel_at_half_the_load(at_4: float, at_2: float, ohm: float) -> None:
    plain = amplifier(channels=4, w_at_4=at_4, w_at_2=at_2)
    half = section_power(plain, STEREO, ohm / 2)
    assert half is not None
    assert section_power(plain, BRIDGED, ohm) == 2 * half
