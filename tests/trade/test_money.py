"""Money in whole cents: labour, tax, margin; rounded once, half up."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.trade.money import labour_price, margin, margin_share, without_tax


def test_labour_is_hours_times_rate() -> None:
    assert labour_price(Fraction(3, 2), 7200) == 10_800


def test_labour_by_the_square_metre_is_rounded_once() -> None:
    # 0.35 h/m2 x 65.00 x 3 sheets of 0.37 m2 = 25.2525, not three times a rounded sheet.
    assert labour_price(Fraction(35, 100), 6500, 3 * Fraction(37, 100)) == 2525


@pytest.mark.parametrize(
    ("hours", "rate", "cents"),
    [
        (Fraction(1, 8), 100, 13),
        (Fraction(1, 8), 99, 12),
        (Fraction(1, 2), 1, 1),
        (Fraction(0), 6500, 0),
    ],
)
def test_half_a_cent_of_labour_goes_up(hours: Fraction, rate: int, cents: int) -> None:
    assert labour_price(hours, rate) == cents


@pytest.mark.parametrize(
    ("gross", "percent", "net"),
    [
        (11_900, 19, 10_000),
        (12_300, 23, 10_000),
        (10_000, 19, 8_403),
        (129_900, 21, 107_355),
        (5_000, 0, 5_000),
    ],
)
def test_a_price_without_tax_is_rounded_to_a_cent(gross: int, percent: int, net: int) -> None:
    assert without_tax(gross, Fraction(percent, 100)) == net


@given(gross=st.integers(0, 10**7), rate=st.integers(0, 30))
def test_without_tax_agrees_with_decimal_arithmetic(gross: int, rate: int) -> None:
    net = (Decimal(gross) / (1 + Decimal(rate) / 100)).quantize(Decimal(1), rounding=ROUND_HALF_UP)
    assert without_tax(gross, Fraction(rate, 100)) == int(net)


def test_margin_is_what_the_cost_leaves_and_a_loss_is_negative() -> None:
    assert margin(10_000, 6_500) == 3_500
    assert margin(5_000, 6_000) == -1_000


def test_margin_share_is_exact_and_unknown_for_a_price_of_nothing() -> None:
    assert margin_share(10_000, 6_500) == Fraction(35, 100)
    assert margin_share(0, 100) is None
