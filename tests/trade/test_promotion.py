"""Discount ceilings, and tax by the line against published worked examples."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.build import Role
from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.promotion import DiscountCeiling, Discounted
from budgetbuild.trade.money import without_tax
from budgetbuild.trade.promotion import ceiling, ceilings_of, room

AMPLIFIER = Product(sku="A-1", price=100_00, brand="Harbourline")


def most(about: str, percent: int, *promotions: str) -> DiscountCeiling:
    """A ceiling in percent."""
    return DiscountCeiling(promotions=promotions, about=about, most=Fraction(percent, 100))


@pytest.mark.parametrize(
    ("gross", "tax_part", "rate"),
    [
        # United Kingdom, VAT Act 1994 s. 19: of a sum with the tax in it the tax is 1/6 at 20 %, 3/23 at 15 %
        # (library.croneri.co.uk, bvr/14-200); 7/47 at 17.5 % (a bookkeepers' forum, bookkeepers.org.uk).
        (120_00, Fraction(1, 6), "0.2"),
        (230_00, Fraction(3, 23), "0.15"),
        (235_00, Fraction(7, 47), "0.175"),
    ],
)
def test_the_tax_in_a_price_is_the_fraction_of_the_tables(gross: int, tax_part: Fraction, rate: str) -> None:
    assert gross - without_tax(gross, Fraction(rate)) == gross * tax_part


def test_a_line_is_rounded_half_up_as_in_a_published_invoice() -> None:
    """9 pieces of 9.99 at 20 %: 89.91, without tax 74.925, rounded to 74.93, tax 14.98; by the total it were 14.99.

    Worked example of line-by-line rounding in support.caterbook.net, "How is VAT calculated on invoices".
    """
    assert without_tax(9 * 999, Fraction(1, 5)) == 74_93
    assert 9 * 999 - without_tax(9 * 999, Fraction(1, 5)) == 14_98
    assert 9 * without_tax(999, Fraction(1, 5)) != without_tax(9 * 999, Fraction(1, 5))


@given(
    lines=st.lists(st.integers(1, 10**6), min_size=1, max_size=12),
    percent=st.integers(0, 30),
    share=st.integers(0, 100),
)
def test_lines_and_their_discount_come_to_the_price_within_half_a_cent_each(
    lines: list[int], percent: int, share: int
) -> None:
    """What a bundle brings without tax differs from its price without tax by the roundings alone."""
    rate, listed = Fraction(percent, 100), sum(lines)
    price = listed * share // 100
    revenue = sum(without_tax(line, rate) for line in lines) - without_tax(listed - price, rate)
    assert abs(revenue - price / (1 + rate)) <= Fraction(len(lines) + 1, 2)


def test_the_ceiling_of_a_sku_comes_before_all_others() -> None:
    ceilings = [most("a-1", 40), most("amplifier", 15), most("Harbourline", 10), most("all", 5)]
    assert ceiling(ceilings, Role.AMPLIFIER, AMPLIFIER) == Fraction(2, 5)


@pytest.mark.parametrize(("kind", "brand", "lower"), [(15, 10, 10), (10, 15, 10)])
def test_of_kind_and_brand_the_lower_holds(kind: int, brand: int, lower: int) -> None:
    ceilings = [most("Amplifiers", kind), most("HARBOURLINE", brand), most("all", 50)]
    assert ceiling(ceilings, Role.AMPLIFIER, AMPLIFIER) == Fraction(lower, 100)


def test_all_holds_for_what_nothing_else_names_and_without_it_nothing_does() -> None:
    assert ceiling([most("amplifier", 15), most("all", 5)], Role.BASS, AMPLIFIER) == Fraction(1, 20)
    assert ceiling([most("amplifier", 15)], Role.BASS, AMPLIFIER) == 1


SEVERAL_LINES = {
    Discounted.ALL: set(Role) - {Role.LABOUR},
    Discounted.SPEAKERS: {Role.FRONT, Role.REAR},
    Discounted.ADAPTER: {Role.FRONT_ADAPTER, Role.REAR_ADAPTER},
}


@pytest.mark.parametrize("kind", Discounted)
def test_a_kind_of_part_means_the_line_of_its_name_speakers_and_adapters_two_and_all_every_one(
    kind: Discounted,
) -> None:
    parts = set(Role) - {Role.LABOUR}
    bound = {role for role in parts if ceiling([most(kind, 20)], role, AMPLIFIER) == Fraction(1, 5)}
    assert bound == (SEVERAL_LINES.get(kind) or {Role(kind)})
    assert all(ceiling([most(kind, 20)], role, AMPLIFIER) == 1 for role in parts - bound)


def test_a_promotions_own_ceiling_replaces_the_one_for_all_about_the_same() -> None:
    ceilings = [most("amplifier", 15), most("Amplifiers", 30, "spring", "Autumn"), most("all", 5)]
    own = ceilings_of(ceilings, "Spring")
    assert ceiling(own, Role.AMPLIFIER, AMPLIFIER) == Fraction(3, 10)
    assert ceiling(own, Role.BOX, AMPLIFIER) == Fraction(1, 20)
    assert ceiling(ceilings_of(ceilings, "Winter"), Role.AMPLIFIER, AMPLIFIER) == Fraction(3, 20)


def test_a_promotions_own_ceiling_for_a_part_leaves_those_for_other_parts_alone() -> None:
    own = ceilings_of([most("A-1", 40, "Spring"), most("A-1", 10), most("B-2", 5)], "Spring")
    assert own == (most("A-1", 40, "Spring"), most("B-2", 5))


def test_a_ceiling_binds_nothing_of_another_brand_or_kind_and_no_part_without_a_brand() -> None:
    ceilings = [most("Silverquay", 5), most("Z-9", 5), most("box", 5)]
    assert ceiling(ceilings, Role.AMPLIFIER, AMPLIFIER) == 1
    assert ceiling([most("Silverquay", 5)], Role.AMPLIFIER, Product(sku="A-2", price=100_00)) == 1


@given(total=st.integers(0, 10**7), permille=st.integers(0, 1000))
def test_room_is_rounded_down_so_that_no_ceiling_is_passed(total: int, permille: int) -> None:
    most_of_it = Fraction(permille, 1000)
    found = room(total, most_of_it)
    assert found <= total * most_of_it < found + 1
