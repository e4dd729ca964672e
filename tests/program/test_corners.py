"""Corners of the trade rules that random catalogues seldom reach, each with an answer worked out by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Status
from budgetbuild.catalogue.kinds import HeadUnitMode, Want, Work
from budgetbuild.catalogue.shop import Settings
from tests.oracle.enumerate import best as best_by_brute_force
from tests.program.small import (
    PLENTY,
    answer,
    cable,
    converter,
    front,
    lead,
    power_kit,
    powered,
    sheet,
    skus,
    stock,
    wants,
)

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Brief, Catalogue


def bought(catalogue: Catalogue, brief: Brief) -> str:
    """SKUs of the answer, in a line; brute force agrees."""
    found = answer(catalogue, brief)
    expected = best_by_brute_force(catalogue, brief, catalogue.vehicle(brief.vehicle), PLENTY)
    assert (found.status, found.score, found.total) == (Status(expected.status), expected.score, expected.total)
    assert skus(found.system) == expected.skus
    return " ".join(skus(found.system))


@pytest.mark.parametrize("head_unit", [HeadUnitMode.KEEP_OWN, HeadUnitMode.KEEP_FACTORY])
def test_where_nothing_is_required_and_nothing_is_on_sale_the_best_build_is_empty(head_unit: HeadUnitMode) -> None:
    """Nought points for nothing."""
    found = answer(stock(), wants(head_unit=head_unit))
    assert (found.status, found.score, found.total) == (Status.OPTIMAL, 0, 0)
    assert bought(stock(), wants(head_unit=head_unit)) == ""


@pytest.mark.parametrize("count", [1, 2, 3])
def test_leads_that_are_asked_for_are_bought_where_none_is_needed(count: int) -> None:
    """One for each term, without a single pair taken."""
    leads = [lead(sku=f"L{i}") for i in range(4)]
    brief = wants(must_include=tuple(f"L{i}" for i in range(count)))
    assert bought(stock(*leads, sheet()), brief) == " ".join(["D", *(f"L{i}" for i in range(count))])


@pytest.mark.parametrize("count", [2, 4, 5])
def test_as_many_leads_as_are_asked_for_are_bought_where_one_would_do(count: int) -> None:
    """A powered subwoofer takes one pair."""
    leads = [lead(sku=f"L{i}") for i in range(6)]
    brief = wants(must_include=tuple(f"L{i}" for i in range(count)))
    expected = " ".join(["K", *(f"L{i}" for i in range(count)), "P"])
    assert bought(stock(powered(), power_kit(), *leads), brief) == expected


def test_a_lead_that_is_asked_for_counts_towards_the_channels() -> None:
    """Two channels are needed: the one asked for has one, so one more of the cheaper kind is bought beside it."""
    leads = lead(sku="L1", channels=1, price=25_00), lead(sku="L2", channels=2, price=10_00)
    assert bought(stock(powered(), power_kit(), *leads), wants(must_include=("L1",))) == "K L1 L2 P"


def test_cables_that_are_asked_for_are_bought_where_none_is_needed() -> None:
    """A unit of each."""
    products = front(), cable(sku="C1"), cable(sku="C2")
    assert bought(stock(*products), wants(own_internal_w=20.0, must_include=("C1", "C2"))) == "C1 C2 F"


def test_a_brand_term_is_met_by_any_product_of_the_brand() -> None:
    """The cheapest of the brand that adds nothing, since the better speakers are of another."""
    products = front(brand="Orvane"), lead(brand="Quellin"), cable(brand="Quellin")
    brief = wants(own_internal_w=20.0, must_include=(" quellin ",))
    assert bought(stock(*products), brief) == "C F"


def test_a_converter_that_nothing_can_use_needs_no_hours() -> None:
    """Neither amplifier nor bass in the brief, so no converter, and its fitting need not be priced: 100 + 50."""
    catalogue = stock(
        front(), converter(), labour_hours={Work.FRONT: Fraction(1)}, settings=Settings(labour_rate=50_00)
    )
    brief = wants(head_unit=HeadUnitMode.KEEP_FACTORY, amplifier=Want.NONE, bass=Want.NONE, fitted=True)
    assert bought(catalogue, brief) == "F"
    assert answer(catalogue, brief).total == 150_00
