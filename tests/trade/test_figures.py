"""Comparing and rounding figures."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.trade.figures import at_least, at_most, exact, half_up, same

FIGURE = st.floats(1e-3, 1e6)


@given(limit=FIGURE)
def test_a_figure_may_miss_its_limit_by_a_billionth_and_no_more(limit: float) -> None:
    assert at_most(limit * (1 + 5e-10), limit)
    assert not at_most(limit * (1 + 2e-9), limit)
    assert at_least(limit * (1 - 5e-10), limit)
    assert not at_least(limit * (1 - 2e-9), limit)


def test_nothing_meets_a_limit_of_nothing() -> None:
    assert at_most(0, 0)
    assert at_least(0, 0)


@given(figure=FIGURE)
def test_figures_further_apart_than_a_billionth_are_not_the_same(figure: float) -> None:
    assert same(figure, figure * (1 + 5e-10))
    assert not same(figure, figure * (1 + 2e-9))


@given(first=FIGURE, second=FIGURE)
def test_same_is_the_same_both_ways(first: float, second: float) -> None:
    assert same(first, second) is same(second, first)
    assert same(first, first)


@given(decimal=st.decimals(0, 10_000, places=4))
def test_a_number_is_as_it_was_written(decimal: object) -> None:
    assert exact(float(str(decimal))) == Fraction(str(decimal))


def test_a_number_that_is_none_is_a_defect_that_raises() -> None:
    with pytest.raises(ValueError, match="nan"):
        exact(float("nan"))


@given(number=st.fractions(-1000, 1000))
def test_half_up_is_the_nearest_whole_number(number: Fraction) -> None:
    assert -Fraction(1, 2) < half_up(number) - number <= Fraction(1, 2)
