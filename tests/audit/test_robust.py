"""Prices that may rise: the dearest case by the audit's own reckoning, against figures worked out by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from budgetbuild.audit.rises import risen
from budgetbuild.audit.robust import IF_PRICES_RISE, passed_protected
from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.catalogue.shop import Tier
from tests.audit.handmade import INTERNAL

if TYPE_CHECKING:
    from budgetbuild.build import Audited

RISING = INTERNAL.with_product("SP-S", price_high=8_000).with_product("FK-A", price_high=1_150)
"""Two pairs at 70.00 that may cost 80.00, and an adapter at 11.00 that may cost 11.50: 151.00 in all today."""


def held(cap: int, rising: int) -> Audited:
    """The system, held against a cap in cents where so many prices rise."""
    audited = RISING.audited()
    tier = Tier(name="tier", budget=cap, allowance=Fraction(0))
    proposed = RISING.system, audited.score, audited.total
    return passed_protected(RISING.catalogue, RISING.brief, RISING.vehicle, proposed, tier, rising)


def test_the_greatest_rises_come_first_and_a_products_pieces_together() -> None:
    products = RISING.catalogue.by_sku()
    first, second = risen(products, RISING.system.parts)
    assert (first.sku, first.quantity, first.price, first.price_high, first.cents) == ("SP-S", 2, 7_000, 8_000, 2_000)
    assert (second.sku, second.quantity, second.cents) == ("FK-A", 1, 50)
    assert risen(products, RISING.system.parts, 1) == (first,)
    assert risen(products, RISING.system.parts, 0) == ()


@pytest.mark.parametrize(("rising", "dearest"), [(1, 17_100), (2, 17_150), (3, 17_150)])
def test_a_cap_that_holds_to_the_cent_is_told_with_its_figure(rising: int, dearest: int) -> None:
    check = held(dearest, rising).checks[-1]
    assert (check.rule, check.subject) == (IF_PRICES_RISE, f"any {rising} of its products")
    assert (check.figure, check.limit, check.unit) == (f"{dearest / 100:.2f}", f"at most {dearest / 100:.2f}", "EUR")
    assert check.ok


@pytest.mark.parametrize(("rising", "dearest"), [(1, 17_100), (2, 17_150)])
def test_a_cent_less_is_refused(rising: int, dearest: int) -> None:
    with pytest.raises(AuditRefusedError, match=IF_PRICES_RISE):
        held(dearest - 1, rising)


def test_what_any_build_is_refused_for_this_one_is_too() -> None:
    with pytest.raises(AuditRefusedError, match="Total within the cap"):
        held(15_099, 1)
