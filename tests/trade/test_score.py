"""Points: rounding, the match factor, shares of a part, coverage."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.kinds import Location
from budgetbuild.catalogue.shop import Weights
from budgetbuild.trade.score import coverage, match_factor, rating_points, share, thousandths

RATIO = st.floats(0, 10, allow_nan=False)
POINTS = st.decimals(0, 100, places=4)


@pytest.mark.parametrize(
    ("ratio", "factor"),
    [
        (0.0, 0.0),
        (0.25, 0.0),
        (0.525, 0.5),
        (0.8, 1.0),
        (1.0, 1.0),
        (1.25, 1.0),
        (1.375, 0.75),
        (1.5, 0.5),
        (1.625, 0.25),
        (1.75, 0.0),
        (3.0, 0.0),
    ],
)
def test_the_match_factor_follows_its_corners(ratio: float, factor: float) -> None:
    assert match_factor(ratio) == pytest.approx(factor, abs=1e-12)


def test_a_shop_may_move_the_ratio_of_full_match() -> None:
    assert match_factor(0.625, full=1.0) == pytest.approx(0.5)
    assert match_factor(1.25, full=1.25) == 1
    assert match_factor(1.45, until=1.4) == pytest.approx(0.75)
    assert match_factor(1.5, until=1.4) == pytest.approx(0.5)


@pytest.mark.parametrize(("full", "until"), [(0.25, 1.25), (0.1, 1.25), (1.3, 1.25), (0.8, 1.5), (0.8, 1.6)])
def test_a_full_match_outside_its_range_is_a_defect_that_raises(full: float, until: float) -> None:
    with pytest.raises(ValueError, match="full match"):
        match_factor(1.0, full, until)


@given(ratio=RATIO, full=st.floats(0.3, 1.25))
def test_the_match_factor_lies_between_nothing_and_one(ratio: float, full: float) -> None:
    assert 0 <= match_factor(ratio, full) <= 1


@given(ratios=st.lists(RATIO, min_size=1, max_size=12), full=st.floats(0.3, 1.25))
def test_the_match_factor_of_an_array_is_that_of_each_number(ratios: list[float], full: float) -> None:
    assert match_factor(np.array(ratios), full).tolist() == [match_factor(ratio, full) for ratio in ratios]


@pytest.mark.parametrize(
    ("points", "whole"),
    [
        (0.0, 0),
        (1.0004, 1000),
        (1.0005, 1001),
        (2.6745, 2675),
        (0.0005, 1),
        (0.5005, 501),
        (17.4, 17400),
    ],
)
def test_points_are_rounded_half_up_where_binary_fractions_lie_just_below(points: float, whole: int) -> None:
    assert thousandths(points) == whole


@given(points=POINTS)
def test_rounding_is_the_decimal_rounding_half_up(points: Decimal) -> None:
    expected = int((points * 1000).to_integral_value(rounding=ROUND_HALF_UP))
    assert thousandths(float(points)) == expected


@given(points=st.lists(POINTS, min_size=1, max_size=12))
def test_rounding_an_array_rounds_each_number(points: list[Decimal]) -> None:
    floats = [float(point) for point in points]
    rounded = thousandths(np.array(floats))
    assert rounded.dtype == np.int64
    assert rounded.tolist() == [thousandths(point) for point in floats]


def test_points_of_a_number_are_a_plain_number() -> None:
    # An array's number is written otherwise (in JSON not at all).
    assert type(thousandths(1.5)) is int
    assert type(match_factor(0.5)) is float


def test_a_rating_whose_points_end_in_a_half_rounds_up() -> None:
    # 25 x 0.087 / 10 is 0.2175 exactly, which binary fractions hold just below.
    assert rating_points(25, 0.087) == 218


def test_rating_points_are_a_tenth_of_the_weight_per_point_of_rating() -> None:
    assert rating_points(20, 10) == 20_000
    assert rating_points(8, 7.3) == 5_840
    assert rating_points(25, 0) == 0


@pytest.mark.parametrize(
    ("location", "amplification", "match"),
    [
        (Location.FRONT, 6, 5),
        (Location.REAR, 1, 1),
        (Location.BASS, 5, 4),
    ],
)
def test_the_default_points_are_split_between_the_locations(
    location: Location, amplification: float, match: float
) -> None:
    assert share(Weights(), "amplification", location) == amplification
    assert share(Weights(), "match", location) == match


@given(weight=st.floats(0, 100))
def test_a_shops_own_weight_is_split_without_loss(weight: float) -> None:
    weights = Weights(amplification=weight, match=weight)
    assert math.fsum(share(weights, "amplification", location) for location in Location) == pytest.approx(weight)
    assert math.fsum(share(weights, "match", location) for location in Location) == pytest.approx(weight)


def test_all_default_parts_add_up_to_a_hundred() -> None:
    weights = Weights()
    total = weights.source + weights.front + weights.rear + weights.bass
    assert total + weights.amplification + weights.match + weights.treatment == 100


def test_coverage_rises_straight_with_area_and_stops_at_the_whole() -> None:
    assert coverage(0, 1.6) == 0
    assert coverage(0.4, 1.6) == 0.25
    assert coverage(1.6, 1.6) == coverage(2.4, 1.6) == 1
