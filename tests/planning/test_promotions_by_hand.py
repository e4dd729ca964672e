"""Promotions small enough to work out on paper: a cent more or less, shared stock, clearance, unknown costs, no time.

Tax 25 %. Front speakers alone on the customer's own unit: F-1 at 100.00 scores 15 and what its match earns, F-2 at
150.00 more, F-3 at 200.00 most. Deadening at 50.00 earns 2.5 points.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.audit.promotion import check_bundle, check_stock
from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Status
from budgetbuild.catalogue.kinds import Want, Work
from budgetbuild.catalogue.promotion import DiscountCeiling, Promotion
from budgetbuild.catalogue.shop import Settings
from budgetbuild.planning.promotion.promotions import Solving, solve_promotions
from budgetbuild.program.solver import Solver
from tests.program.small import cable, front, lead, power_kit, rear, sheet, stereo, stock, tier, wants

if TYPE_CHECKING:
    from budgetbuild.build import Bundle, Promotions
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue

TAX = Fraction(1, 4)
ALONE = wants(front=Want.REQUIRED, rear=Want.NONE, bass=Want.NONE, deadening=Want.NONE, own_internal_w=20.0)
SPEAKERS = (
    front(sku="F-1", price=100_00, rating=5.0, cost=40_00),
    front(sku="F-2", price=150_00, rating=6.0, cost=70_00),
    front(sku="F-3", price=200_00, rating=7.0, cost=130_00),
)


def shop(*products: Product, brief: Brief = ALONE, **columns: Any) -> Catalogue:  # noqa: ANN401 - any column
    """A catalogue of these products with one brief."""
    settings = Settings(tax_rate=TAX, labour_rate=6000)
    return stock(
        *products, briefs=(brief,), settings=settings, labour_hours={work: Fraction(1) for work in Work}, **columns
    )


def promoted(name: str = "spring", **columns: Any) -> Promotion:  # noqa: ANN401 - any column
    """A promotion of the brief."""
    return Promotion(name=name, brief=ALONE.name, **columns)


def solved(catalogue: Catalogue, *promotions: Promotion, limit: float | None = None) -> Promotions:
    """All promotions, solved."""
    return solve_promotions(replace(catalogue, promotions=promotions), Solving(Solver(), limit))


def skus(bundle: Bundle) -> tuple[str, ...]:
    """What is in a bundle, each SKU as often as it is taken."""
    return tuple(shelf.sku for shelf in bundle.shelves for _ in range(shelf.each))


def only(told: Promotions) -> Bundle:
    """The one promotion."""
    (bundle,) = told.bundles
    return bundle


def test_the_money_of_a_bundle_line_by_line() -> None:
    """F-3 lists for 200.00, sold at 180.00: 160.00 - 16.00 without tax, less 130.00: 14.00."""
    sale = only(solved(shop(*SPEAKERS), promoted(price=180_00, floor=0))).sale
    assert sale is not None
    assert (sale.list_total, sale.price, sale.discount, sale.discount_net) == (200_00, 180_00, 20_00, 16_00)
    assert (sale.revenue, sale.cost, sale.margin) == (144_00, 130_00, 14_00)


@pytest.mark.parametrize(("floor", "sku"), [(14_00, "F-3"), (14_01, ""), (0, "F-3")])
def test_a_floor_in_money_is_met_to_the_cent(floor: int, sku: str) -> None:
    """At 180.00 only F-3 lists for enough; it leaves 14.00."""
    bundle = only(solved(shop(*SPEAKERS), promoted(price=180_00, floor=floor)))
    assert skus(bundle) == ((sku,) if sku else ())


@pytest.mark.parametrize(("share", "sku"), [(Fraction(14, 144), "F-3"), (Fraction(14, 144) + Fraction(1, 10**6), "")])
def test_a_floor_in_percent_is_met_exactly(share: Fraction, sku: str) -> None:
    bundle = only(solved(shop(*SPEAKERS), promoted(price=180_00, floor_share=share)))
    assert skus(bundle) == ((sku,) if sku else ())


def test_an_impossible_floor_is_told_with_the_best_margin_and_the_nearest_price() -> None:
    """At 180.00 the best is 14.00; 15.00 is left from 181.25 on, for 18.76 off is 15.01 without tax."""
    bundle = only(solved(shop(*SPEAKERS), promoted(price=180_00, floor=15_00)))
    assert bundle.status is Status.INFEASIBLE
    assert bundle.no_bundle is not None
    waivers = {waiver.code: waiver for waiver in bundle.no_bundle.waivers}
    assert set(waivers) == {"price", "floor"}
    assert waivers["floor"].cents == 14_00
    assert waivers["floor"].share == Fraction(14, 144)
    assert waivers["price"].cents == 181_25


def test_half_a_cent_of_the_discount_goes_against_the_shop() -> None:
    """A discount of 0.02 is 0.016 without tax, 0.02 rounded: 160.00 - 0.02 - 130.00 = 29.98; of 0.01, 0.008: 0.01."""
    for price, margin in ((199_98, 29_98), (199_99, 29_99), (200_00, 30_00)):
        sale = only(solved(shop(*SPEAKERS), promoted(price=price, floor=margin))).sale
        assert sale is not None
        assert sale.margin == margin
        assert only(solved(shop(*SPEAKERS), promoted(price=price, floor=margin + 1))).sale is None


def test_two_amplifiers_of_a_kind_are_rounded_on_one_line() -> None:
    """Two at 99.99: 199.98 without 20 % is 166.65; each alone 83.325, rounded 83.33, would make 166.66.

    Front and rear take a stereo amplifier each. The floor is met to the cent by the line, missed by a cent more.
    """
    brief = wants(front=Want.REQUIRED, rear=Want.REQUIRED, bass=Want.NONE, deadening=Want.NONE, amplifier=Want.REQUIRED)
    products = (
        front(cost=0), rear(cost=0), stereo(price=99_99, cost=0), power_kit(cost=0), lead(cost=0), cable(cost=0),
    )  # fmt: skip
    catalogue = shop(*products, brief=brief, tiers=(tier(10_000_00),))
    catalogue = replace(catalogue, settings=replace(catalogue.settings, tax_rate=Fraction(1, 5)))
    others = sum(
        round(price / 1.2) for price in (100_00, 80_00, 80_00, 30_00, 20_00)
    )  # front, rear, two kits, lead, cable
    margin = others + 166_65
    for floor, possible in ((margin, True), (margin + 1, False)):
        bundle = only(solved(catalogue, promoted(tier="tier", floor=floor)))
        assert (bundle.sale is not None) is possible
        if bundle.sale is not None:
            assert bundle.sale.margin == margin
            assert skus(bundle).count("A") == 2


def test_the_trade_off_lists_every_choice_that_nothing_beats() -> None:
    """Sold at list within 200.00: F-3 leaves 30.00, F-2 50.00, F-1 40.00 and a lower score."""
    bundle = only(solved(shop(*SPEAKERS, tiers=(tier(200_00),)), promoted(tier="tier", floor=0)))
    assert bundle.trade_off is not None
    assert bundle.trade_off.whole
    assert [(choice.sale.margin, choice.sale.list_total) for choice in bundle.trade_off.choices] == [
        (30_00, 200_00),
        (50_00, 150_00),
    ]


def test_at_equal_score_the_shop_earns_most_and_at_equal_margin_the_list_is_lowest() -> None:
    twins = (
        front(sku="D", price=120_00, cost=50_00),
        front(sku="C", price=110_00, cost=42_00),
        front(sku="E", price=115_00, cost=46_00),
    )
    bundle = only(solved(shop(*twins, tiers=(tier(200_00),)), promoted(tier="tier", floor=0)))
    assert skus(bundle) == ("C",)  # each earns 46.00
    dearer = replace(twins[0], cost=49_99)
    assert skus(only(solved(shop(dearer, *twins[1:], tiers=(tier(200_00),)), promoted(tier="tier", floor=0)))) == ("D",)


@pytest.mark.parametrize(("percent", "possible"), [(10, True), (9, False)])
def test_the_discount_stays_under_the_ceilings(percent: int, possible: bool) -> None:  # noqa: FBT001 - what is expected
    """20.00 off 200.00 takes 10 %."""
    ceiling = DiscountCeiling(about="speakers", most=Fraction(percent, 100))
    bundle = only(solved(shop(*SPEAKERS, discounts=(ceiling,)), promoted(price=180_00, floor=0)))
    assert (bundle.sale is not None) is possible
    if bundle.no_bundle is not None:
        assert {waiver.code for waiver in bundle.no_bundle.waivers} == {"ceiling", "price"}
        assert next(waiver.cents for waiver in bundle.no_bundle.waivers if waiver.code == "price") == 182_00


def test_labour_is_in_the_price_but_neither_in_the_margin_nor_in_the_room() -> None:
    """F-1 with 60.00 of fitting lists for 160.00. At 70.00 the discount is 90.00 of parts at 100.00."""
    brief = replace(ALONE, fitted=True)
    catalogue = shop(SPEAKERS[0], brief=brief, discounts=(DiscountCeiling(about="all", most=Fraction(9, 10)),))
    sale = only(solved(catalogue, promoted(price=70_00))).sale
    assert sale is not None
    assert (sale.list_total, sale.labour, sale.discount, sale.room) == (160_00, 60_00, 90_00, 90_00)
    assert sale.margin == 80_00 - 72_00 - 40_00
    assert only(solved(catalogue, promoted(price=69_99))).sale is None


def test_stock_covers_the_sets() -> None:
    low = replace(SPEAKERS[2], stock=3)
    assert skus(only(solved(shop(*SPEAKERS[:2], low), promoted(price=90_00, sets=3, floor=-100_00)))) == ("F-3",)
    bundle = only(solved(shop(*SPEAKERS[:2], low), promoted(price=90_00, sets=4, floor=-100_00)))
    assert skus(bundle) == ("F-2",)
    assert bundle.scarce == ("F-3",)


def test_a_stock_that_is_not_tracked_limits_nothing() -> None:
    assert skus(only(solved(shop(*SPEAKERS), promoted(price=90_00, sets=10_000, floor=-100_00)))) == ("F-3",)


def test_two_promotions_do_not_promise_the_same_piece() -> None:
    """Two F-3 for one set and for two: the two sets together lose more by F-2, so the one gives way."""
    low = replace(SPEAKERS[2], stock=2)
    one, two = promoted("one", price=90_00, floor=-100_00), promoted("two", price=90_00, sets=2, floor=-100_00)
    told = solved(shop(*SPEAKERS[:2], low), one, two)
    assert [skus(bundle) for bundle in told.bundles] == [("F-2",), ("F-3",)]
    assert told.contested == ("F-3",)
    shelf = told.bundles[1].shelves[0]
    assert (shelf.taken, shelf.others, shelf.stock, shelf.left) == (2, 0, 2, 0)


def test_a_promotion_that_finds_no_stock_beside_another_says_beside_which_and_what_to_order() -> None:
    catalogue = shop(replace(SPEAKERS[0], stock=3))
    first, second = promoted("first", price=90_00, sets=2, floor=0), promoted("second", price=90_00, sets=2, floor=0)
    told = solved(catalogue, first, second)
    assert told.bundles[0].audited is not None
    assert told.bundles[1].no_bundle is not None
    assert told.bundles[1].no_bundle.beside == ("first",)
    assert [(one.sku, one.pieces) for one in told.bundles[1].no_bundle.missing] == [("F-1", 1)]


def test_what_the_shop_wants_gone_is_in_it() -> None:
    """F-1 scores least of all, but it is to go."""
    bundle = only(solved(shop(*SPEAKERS), promoted(price=90_00, floor=-100_00, clear=("f-1", "F-2"), clear_least=1)))
    assert skus(bundle) == ("F-2",)
    assert bundle.cleared == ("F-2",)
    both = only(solved(shop(*SPEAKERS), promoted(price=90_00, floor=-100_00, clear=("F-1", "F-2"), clear_least=2)))
    assert both.no_bundle is not None
    assert [(waiver.code, waiver.count) for waiver in both.no_bundle.waivers] == [("clear", 1)]


def test_a_product_without_a_cost_is_left_out_where_margins_count_and_told() -> None:
    unknown = replace(SPEAKERS[2], cost=None)
    counting = only(solved(shop(*SPEAKERS[:2], unknown), promoted(price=90_00, floor=-100_00)))
    assert (skus(counting), counting.uncosted, counting.counts) == (("F-2",), ("F-3",), True)
    ceilings = (DiscountCeiling(about="all", most=Fraction(9, 10)),)
    free = only(solved(shop(*SPEAKERS[:2], unknown, discounts=ceilings), promoted(price=90_00)))
    assert (skus(free), free.uncosted, free.counts, free.trade_off) == (("F-3",), ("F-3",), False, None)


def test_a_promotion_in_a_tier_without_floor_or_costs_is_the_tiers_best_within_the_stock() -> None:
    plain = [replace(speaker, cost=None) for speaker in SPEAKERS]
    bundle = only(solved(shop(*plain, tiers=(tier(160_00),)), promoted(tier="tier")))
    assert (skus(bundle), bundle.sale and bundle.sale.price) == (("F-2",), 150_00)


def test_a_brief_that_nothing_meets_says_why() -> None:
    brief = replace(ALONE, bass=Want.REQUIRED)
    bundle = only(solved(shop(*SPEAKERS, brief=brief), promoted(price=90_00, floor=0)))
    assert bundle.no_bundle is not None
    assert bundle.no_bundle.no_build is not None
    assert bundle.no_bundle.no_build.least_total is None


def test_nothing_is_left_over_for_the_sake_of_margin() -> None:
    """Deadening is wanted and earns points; a second product of it, or more sheets than the doors take, is no part."""
    brief = replace(ALONE, deadening=Want.OPTIONAL)
    sheets = (sheet(sku="D-1", cost=1_00), sheet(sku="D-2", cost=1_00, rating=1.0))
    bundle = only(solved(shop(*SPEAKERS, *sheets, brief=brief, tiers=(tier(1000_00),)), promoted(tier="tier", floor=0)))
    assert skus(bundle) == ("D-1", "F-3")


def test_a_search_without_time_proves_nothing_and_says_so() -> None:
    told = solved(shop(*SPEAKERS), promoted(price=90_00, floor=-100_00), limit=0.0)
    assert told.bundles[0].status is Status.TIME_LIMIT
    assert told.bundles[0].trade_off is None


def test_the_audit_refuses_a_bundle_that_is_not_what_it_says() -> None:
    """Another price, a margin that is a cent too good, a stock that is short."""
    catalogue = replace(shop(*SPEAKERS), promotions=(promoted(price=180_00, floor=14_00),))
    bundle = only(solve_promotions(catalogue, Solving(Solver())))
    assert bundle.audited is not None
    assert bundle.sale is not None
    with pytest.raises(AuditRefusedError, match="Price of the bundle"):
        check_bundle(catalogue, bundle.promotion, bundle.audited, replace(bundle.sale, price=181_00))
    with pytest.raises(AuditRefusedError, match="Margin of a set"):
        check_bundle(catalogue, bundle.promotion, bundle.audited, replace(bundle.sale, discount_net=15_99))
    for spoilt, rule in (
        (replace(bundle.promotion, floor=14_01), "Margin of a set"),
        (replace(bundle.promotion, floor_share=Fraction(1, 10)), "share"),
        (replace(bundle.promotion, clear=("F-1",), clear_least=1), "Products to clear"),
    ):
        with pytest.raises(AuditRefusedError, match=rule):
            check_bundle(catalogue, spoilt, bundle.audited, bundle.sale)
    ceiling = DiscountCeiling(about="front", most=Fraction(9, 100))
    with pytest.raises(AuditRefusedError, match="ceilings"):
        check_bundle(replace(catalogue, discounts=(ceiling,)), bundle.promotion, bundle.audited, bundle.sale)
    with pytest.raises(AuditRefusedError, match="Pieces for all promotions"):
        check_stock(
            replace(catalogue, speakers=(*SPEAKERS[:2], replace(SPEAKERS[2], stock=0))),
            [(bundle.promotion, bundle.audited)],
        )
