"""Channels and lengths of the low-level signal; every figure here is common practice."""

from __future__ import annotations

from budgetbuild.catalogue.kinds import HeadUnitMode
from budgetbuild.catalogue.limits import Limits
from budgetbuild.trade.signal import channels_needed, pairs_needed, run_m
from tests.trade.make import vehicle

LIMITS = Limits()


def test_a_five_channel_system_takes_three_stereo_pairs_six_channels() -> None:
    pairs = pairs_needed(external_locations=3, powered_subwoofers=0)
    assert pairs == 3
    assert channels_needed(pairs) == 6


def test_a_powered_subwoofer_takes_a_pair_of_its_own() -> None:
    assert pairs_needed(external_locations=0, powered_subwoofers=1) == 1
    assert pairs_needed(external_locations=2, powered_subwoofers=1) == 3


def test_no_pair_needs_no_channel() -> None:
    assert channels_needed(pairs_needed(0, 0)) == 0


def test_five_and_a_half_metres_reach_from_dash_to_boot_where_the_run_is_unknown() -> None:
    assert run_m(HeadUnitMode.REPLACE, vehicle(), LIMITS) == 5.5
    assert run_m(HeadUnitMode.KEEP_OWN, vehicle(), LIMITS) == 5.5


def test_a_known_run_counts_where_the_head_unit_feeds_the_amplifier() -> None:
    assert run_m(HeadUnitMode.REPLACE, vehicle(signal_run_m=4.2), LIMITS) == 4.2
    assert run_m(HeadUnitMode.KEEP_OWN, vehicle(signal_run_m=4.2), LIMITS) == 4.2


def test_half_a_metre_reaches_from_a_converter_to_the_amplifier_beside_it() -> None:
    assert run_m(HeadUnitMode.KEEP_FACTORY, vehicle(signal_run_m=4.2), LIMITS) == 0.5
