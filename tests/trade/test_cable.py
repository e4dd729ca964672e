"""Speaker cable: thickness for a load, metres for a vehicle, whole selling units."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.kinds import Conductor, Location
from budgetbuild.catalogue.limits import Limits
from budgetbuild.trade.cable import (
    cable_allowed,
    full_current,
    loop_resistance,
    run_m,
    tenth_mm,
    unit_tenth_mm,
    units_needed,
)
from tests.trade.make import speaker_cable, vehicle
from tests.trade.published import value

FRONT, REAR, BASS = Location
LIMITS = Limits()
RUN = st.integers(50, 1200).map(lambda hundredths: hundredths / 100)


def test_about_twenty_metres_serve_two_pairs_and_a_subwoofer_where_runs_are_unknown() -> None:
    # Common practice: a 20 m reel, give or take the spare.
    metres = sum(tenth_mm(location, vehicle(), LIMITS) for location in Location) / 10_000
    assert metres == pytest.approx(20, rel=0.02)


def test_known_runs_take_the_place_of_the_assumed_ones() -> None:
    known = vehicle(front_run_m=4.0, rear_run_m=2.5, bass_run_m=1.0)
    assert [run_m(location, known, LIMITS) for location in Location] == [4.0, 2.5, 1.0]
    assert [run_m(location, vehicle(), LIMITS) for location in Location] == [5.5, 3.0, 1.5]


def test_front_and_rear_take_two_runs_and_bass_one() -> None:
    same_runs = vehicle(front_run_m=3.0, rear_run_m=3.0, bass_run_m=3.0)
    assert [tenth_mm(location, same_runs, LIMITS) for location in Location] == [66_000, 66_000, 33_000]


def test_the_loop_is_both_cores_over_the_run_at_20_c() -> None:
    assert loop_resistance(speaker_cable(mm2=2.5), 5.5) == pytest.approx(0.017241 * 11 / 2.5, rel=1e-12)
    clad = loop_resistance(speaker_cable(mm2=2.5, conductor=Conductor.CCA), 5.5)
    assert clad == pytest.approx(0.017241 * 11 / 2.5 / 0.629, rel=1e-12)


def test_a_loop_of_at_most_five_percent_of_the_load_is_allowed() -> None:
    assert cable_allowed(speaker_cable(mm2=1.5), FRONT, 4, vehicle(), LIMITS)
    assert not cable_allowed(speaker_cable(mm2=0.75), FRONT, 4, vehicle(), LIMITS)
    assert not cable_allowed(speaker_cable(mm2=1.5), FRONT, 2, vehicle(), LIMITS)


def test_a_loop_of_just_five_percent_is_allowed() -> None:
    just = 2 * 5.5 * 0.017241 / (0.05 * 4)
    assert cable_allowed(speaker_cable(mm2=just), FRONT, 4, vehicle(), LIMITS)
    assert not cable_allowed(speaker_cable(mm2=just * 0.999), FRONT, 4, vehicle(), LIMITS)


def test_current_of_a_power_into_a_resistance_is_the_published_one() -> None:
    # Trade exam text: 240 V and 20 A are 4,800 W at 12 ohm.
    assert full_current(value("loads", "L0014"), value("loads", "L0015")) == 20


def test_a_low_net_at_bass_asks_for_thicker_cable() -> None:
    thin = speaker_cable(mm2=1.0)
    assert cable_allowed(thin, BASS, 4, vehicle(), LIMITS)
    assert not cable_allowed(thin, BASS, 1, vehicle(), LIMITS)


def test_metres_of_all_locations_add_up_before_whole_units_are_counted() -> None:
    ten_metre_reel = speaker_cable(mm2=2.5, metres_per_unit=10.0)
    runs = vehicle(front_run_m=5.0, rear_run_m=2.0, bass_run_m=2.0)
    assert units_needed(ten_metre_reel, [FRONT], runs, LIMITS) == 2
    assert units_needed(ten_metre_reel, [REAR], runs, LIMITS) == 1
    assert units_needed(ten_metre_reel, [FRONT, REAR, BASS], runs, LIMITS) == 2


def test_a_need_of_just_whole_units_buys_no_more() -> None:
    # 5.5 m x 2 x 1.1 = 12.1 m, which binary fractions would call a little more than 121 units of 0.1 m.
    assert units_needed(speaker_cable(mm2=2.5, metres_per_unit=0.1), [FRONT], vehicle(), LIMITS) == 121


def test_a_run_finer_than_the_count_is_never_short() -> None:
    assert tenth_mm(BASS, vehicle(bass_run_m=1.23456), LIMITS) == 13_581
    assert unit_tenth_mm(speaker_cable(mm2=2.5, metres_per_unit=1.00009)) == 10_000


def test_no_location_needs_no_cable() -> None:
    assert units_needed(speaker_cable(mm2=2.5), [], vehicle(), LIMITS) == 0


@given(front=RUN, rear=RUN, bass=RUN, unit=st.integers(1, 300).map(lambda tenths: tenths / 10))
def test_units_bought_cover_the_metres_and_one_less_would_not(
    front: float, rear: float, bass: float, unit: float
) -> None:
    runs = vehicle(front_run_m=front, rear_run_m=rear, bass_run_m=bass)
    reel = speaker_cable(mm2=2.5, metres_per_unit=unit)
    need = sum(tenth_mm(location, runs, LIMITS) for location in Location)
    units = units_needed(reel, Location, runs, LIMITS)
    assert (units - 1) * unit_tenth_mm(reel) < need <= units * unit_tenth_mm(reel)
    assert units * unit >= (2 * front + 2 * rear + bass) * 1.1 * (1 - 1e-9)
