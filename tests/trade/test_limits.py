"""What the trade assumes where a shop says nothing; common practice, each asked through the rule that it serves.

Limits that a figure of another test would betray (lengths, wiring, ratios allowed) stand there.
"""

from __future__ import annotations

import pytest

from budgetbuild.catalogue.kinds import Location
from budgetbuild.catalogue.limits import Limits
from budgetbuild.trade.amplifiers import PAIR_DB, internal_power
from budgetbuild.trade.cable import cable_allowed, tenth_mm
from budgetbuild.trade.power import alternator_strained
from budgetbuild.trade.score import CONVERTER_FACTOR, match_factor, rating_points, thousandths
from tests.trade.make import speaker_cable, vehicle
from tests.trade.published import value

LIMITS = Limits()


@pytest.mark.parametrize(
    ("ratio", "factor"), [(0.79, 0.98), (0.8, 1.0), (1.25, 1.0), (1.26, 0.98), (1.5, 0.5), (0.525, 0.5)]
)
def test_a_speaker_is_well_matched_from_four_fifths_to_five_quarters_of_its_power(ratio: float, factor: float) -> None:
    found = match_factor(ratio, LIMITS.ratio_full_match, LIMITS.ratio_full_match_to)
    assert found == pytest.approx(factor, abs=0.002)


def test_a_factory_unit_is_taken_to_give_fifteen_watt_into_four_ohm() -> None:
    assert internal_power(LIMITS.factory_internal_w, 4) == 15
    assert internal_power(LIMITS.factory_internal_w, 8) == 7.5


def test_a_build_has_two_external_amplifiers_at_most() -> None:
    assert LIMITS.max_amplifiers == 2


def test_one_brand_earns_a_whole_point_for_each_of_rear_bass_and_amplifier() -> None:
    assert thousandths(LIMITS.one_brand_points / 3) == 1000


def test_a_converter_earns_three_fifths_of_what_a_head_unit_of_its_rating_does() -> None:
    assert rating_points(20 * CONVERTER_FACTOR, 8.0) == 9_600
    assert rating_points(20, 8.0) == 16_000


def test_a_second_speaker_adds_the_decibels_of_twice_the_power_said_in_whole_ones() -> None:
    assert round(value("loads", "L0023")) == PAIR_DB


def test_speaker_cable_is_bought_with_a_tenth_to_spare() -> None:
    assert tenth_mm(Location.BASS, vehicle(bass_run_m=10.0), LIMITS) == 110_000


def test_a_cable_may_add_a_twentieth_of_the_load_and_no_more() -> None:
    # 0.2 ohm of 4: 1 mm2 of copper reaches 0.1 / 0.017241 = 5.80 m out and back.
    reach = vehicle(front_run_m=5.80), vehicle(front_run_m=5.81)
    assert [cable_allowed(speaker_cable(mm2=1.0), Location.FRONT, 4, car, LIMITS) for car in reach] == [True, False]


def test_music_strains_an_alternator_of_a_hundred_ampere_above_a_hundred_and_twenty() -> None:
    # A third on average, 40 % of the rating.
    car = vehicle(alternator_a=100.0)
    assert [alternator_strained(amps, car, LIMITS) for amps in (120.0, 120.5)] == [False, True]
