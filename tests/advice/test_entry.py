"""Entry prices against the integer program, which knows nothing of the budget curve, and by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.advice.entry import Market, entries, entry, entry_from
from budgetbuild.catalogue.kinds import HeadUnitMode, Want
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Clock, Solver
from tests.oracle.catalogues import random_catalogue
from tests.oracle.knobs import PROFILES
from tests.program.small import (
    SHEETS,
    box,
    cable,
    driver,
    enclosure,
    front,
    lead,
    power_kit,
    rear,
    sheet,
    stereo,
    stock,
    wants,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue


def at_price(catalogue: Catalogue, product: Product, price: int) -> Catalogue:
    """The catalogue with one product at another price."""
    sheet = SHEETS[type(product)]
    rows: Any = tuple(replace(row, price=price) if row.sku == product.sku else row for row in getattr(catalogue, sheet))
    return replace(catalogue, **{sheet: rows})


def held(market: Market, product: Product, price: int) -> int:
    """How many of a product the program's best build holds, at a price of it."""
    offer = Offer(at_price(market.catalogue, product, price), market.brief, market.vehicle)
    system = best(formulate(candidates(offer)), market.cap, Solver(), Clock()).system
    return sum(part.quantity for part in system.parts if part.sku == product.sku) if system else 0


@dataclass
class Seen:
    """What kinds of cases a test has met."""

    answers: Counter[str]
    several: Counter[str]


def market_of(profile: str, seed: int) -> Market:
    """A random catalogue's brief, vehicle and cap."""
    return Market(*random_catalogue(seed, profile))


def assert_entry_prices(market: Market, products: Iterable[Product], seen: Seen) -> None:
    """At the entry price the best build holds the product, at a cent more it does not; without one, not at a cent."""
    today = market.best()
    for product in products:
        found = entry(market, product, today)
        assert (found.sku, found.price) == (product.sku, product.price)
        assert found.chosen == (held(market, product, product.price) > 0)
        if found.entry is None:
            seen.answers["none"] += 1
            assert (held(market, product, 1), found.reduction) == (0, None), product
            continue
        pieces = held(market, product, found.entry)
        assert pieces > 0, found
        assert held(market, product, found.entry + 1) == 0, found
        assert found.reduction == product.price - found.entry
        assert found.chosen == (found.entry >= product.price)
        seen.answers["chosen" if found.chosen else "not chosen"] += 1
        seen.several[type(product).__name__] += pieces > 1


def offered(market: Market) -> list[Product]:
    """Active products."""
    return [product for product in market.catalogue.products() if product.active]


def test_entry_prices_are_those_of_the_program() -> None:
    """Every eighth product of one catalogue of every profile."""
    seen = Seen(Counter(), Counter())
    for number, profile in enumerate(PROFILES):
        market = market_of(profile, 700)
        assert_entry_prices(market, offered(market)[number % 8 :: 8], seen)
    assert min(seen.answers[kind] for kind in ("none", "chosen", "not chosen")) > 12
    assert sum(seen.several.values()) > 5


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_entry_prices_are_those_of_the_program_for_every_product(profile: str) -> None:
    """One more catalogue of every profile."""
    market = market_of(profile, 701)
    assert_entry_prices(market, offered(market), Seen(Counter(), Counter()))


def entry_of(catalogue: Catalogue, brief: Brief, cap: int, sku: str, pieces: int = 1) -> int | None:
    """The entry price of a product, confirmed by the program, and of how many pieces it is."""
    market = Market(catalogue, brief, catalogue.vehicle(brief.vehicle), cap)
    product = next(product for product in catalogue.products() if product.sku == sku)
    assert_entry_prices(market, [product], Seen(Counter(), Counter()))
    found = entry(market, product, market.best()).entry
    assert found is None or held(market, product, found) == pieces
    return found


INSIDE = wants(own_internal_w=20.0)
"""Speakers may hang on the own unit."""
REQUIRED = replace(INSIDE, front=Want.REQUIRED)


@pytest.mark.parametrize(("sku", "expected"), [("G", 99_99), ("E", 100_00)])
def test_among_equals_the_price_decides_then_the_sku(sku: str, expected: int) -> None:
    """F costs 100; another one as good comes in at as much only where its SKU comes first."""
    assert entry_of(stock(front(), front(sku=sku, price=150_00)), INSIDE, 200_00, sku) == expected


def test_a_chosen_product_may_rise_to_its_rival() -> None:
    """As good as one at 110, and first in SKU order."""
    assert entry_of(stock(front(), front(sku="G", price=110_00)), INSIDE, 200_00, "F") == 110_00


def test_a_chosen_product_without_a_rival_may_rise_to_the_cap() -> None:
    """Deadening at 50 goes for the front's sake, but not the required front for the deadening's."""
    assert entry_of(stock(front(), sheet()), INSIDE, 170_00, "F") == 170_00
    assert entry_of(stock(front(), sheet()), REQUIRED, 170_00, "D") == 70_00


def test_a_better_product_enters_as_soon_as_the_cap_allows() -> None:
    """Rated 9 and not 6, at 300; the cap is 180."""
    assert entry_of(stock(front(), front(sku="G", price=300_00, rating=9.0)), INSIDE, 180_00, "G") == 180_00


def test_a_worse_product_enters_at_no_price_where_the_better_one_is_affordable() -> None:
    """Rated 5 and not 6: it leaves no room for anything else that is on sale."""
    assert entry_of(stock(front(), front(sku="G", rating=5.0)), INSIDE, 180_00, "G") is None


def test_a_worse_product_enters_where_what_it_saves_buys_more() -> None:
    """130 to spend: F alone at 100 earns 15; G, rated 5, earns 12.5, and 2.5 with the deadening at 50.

    That is as much, and D and G come before F, so they may cost as much: 50 are left for G.
    """
    catalogue = stock(front(), front(sku="G", rating=5.0), sheet())
    assert entry_of(catalogue, INSIDE, 130_00, "G") == 50_00


def test_sheets_of_which_several_are_bought() -> None:
    """0.4 m2 each, 1.6 m2 to treat, 90 to spend. Against nothing one sheet is worth all of it.

    Against a sheet that treats everything for 1.5 points at 30, three or more must do (1.875 points): 30 each.
    Against 1.875 points at 30, three earn as much for at most 10 each; four earn more, for at most 22.50 each.
    """
    small = sheet(price=20_00, sheet_m2=0.4)
    assert entry_of(stock(small), INSIDE, 90_00, "D") == 90_00
    assert entry_of(stock(small, sheet(sku="D2", price=30_00, rating=3.0)), INSIDE, 90_00, "D", pieces=3) == 30_00
    assert entry_of(stock(small, sheet(sku="D2", price=30_00, rating=3.75)), INSIDE, 90_00, "D", pieces=4) == 22_50


def test_two_equal_amplifiers_share_what_is_left_of_the_cap() -> None:
    """Front 100, driver 90 and box 60 required, two kits 80, lead 30 and cable 40: 300 of 700 are left for two."""
    products = front(), driver(), box(), stereo(), power_kit(), lead(), cable(metres_per_unit=11.0)
    brief = wants(front=Want.REQUIRED, bass=Want.REQUIRED)
    assert entry_of(stock(*products), brief, 700_00, "A", pieces=2) == 150_00
    assert entry_of(stock(*products), brief, 700_01, "A", pieces=2) == 150_00


AMPLIFIED = wants(front=Want.REQUIRED, bass=Want.REQUIRED, amplifier=Want.REQUIRED)
SYSTEM = front(), enclosure(), stereo(channels=4), power_kit()
"""One amplifier drives front and bass: two pairs."""


def test_leads_of_which_two_are_needed() -> None:
    """A six-channel lead costs 30, and is first where two two-channel leads cost as much: 14.99 each."""
    catalogue = stock(*SYSTEM, cable(), lead(), lead(sku="L2", price=20_00, channels=2))
    assert entry_of(catalogue, AMPLIFIED, 2000_00, "L2", pieces=2) == 14_99


def test_cable_of_which_two_units_are_needed() -> None:
    """Front and bass need 12.1 m: a reel at 50, or two units of 11 m, which are first where they cost as much."""
    by_unit = cable(price=30_00, metres_per_unit=11.0)
    catalogue = stock(*SYSTEM, lead(), by_unit, cable(sku="C2", price=50_00))
    assert entry_of(catalogue, AMPLIFIED, 2000_00, "C", pieces=2) == 25_00


def test_drivers_of_which_a_box_takes_two() -> None:
    """Two 8 ohm drivers and a box at 60 against an enclosure at 150 that earns as much: 44.99, since B comes first."""
    pair = driver(ohm=8.0, rms_w=60.0), box(drivers=2, litres=60.0)
    catalogue = stock(*SYSTEM, cable(), lead(), *pair)
    assert entry_of(catalogue, AMPLIFIED, 2000_00, "S", pieces=2) == 44_99


def test_speakers_for_front_and_rear_alike() -> None:
    """The same product at both places, which are of one size here: half of 250 each."""
    place = stock().vehicles[0].front
    catalogue = stock(front(), rear(), vehicle=replace(stock().vehicles[0], rear=place))
    assert entry_of(catalogue, replace(REQUIRED, rear=Want.REQUIRED), 250_00, "F", pieces=2) == 125_00


def test_what_the_brief_must_include_may_rise_to_the_cap() -> None:
    """No build is possible without it."""
    assert entry_of(stock(front(), rear()), replace(INSIDE, must_include=("r",)), 100_00, "R") == 100_00
    assert entry_of(stock(front(), rear()), replace(INSIDE, must_include=("r",)), 70_00, "R") == 70_00


def test_a_product_that_makes_a_build_possible_enters_up_to_the_cap() -> None:
    """The only front costs 100, the cap is 60."""
    assert entry_of(stock(front()), REQUIRED, 60_00, "F") == 60_00


def test_a_product_that_nothing_can_be_built_with_enters_at_no_price() -> None:
    """A head unit, where the own one stays."""
    assert entry_of(stock(front(depth_mm=75.0)), replace(INSIDE, head_unit=HeadUnitMode.KEEP_OWN), 100_00, "F") is None


def test_a_brand_that_is_called_like_the_product_is_not_mistaken_for_it() -> None:
    """F is of the brand R; without F the rear at 80 is best, with it the front at 100: 60 and 40 are left for R."""
    catalogue = stock(front(brand="r"), rear())
    assert entry_of(catalogue, INSIDE, 140_00, "R") == 40_00
    assert entry_of(catalogue, replace(INSIDE, rear=Want.REQUIRED), 90_00, "R") == 90_00


def assert_near(market: Market, share: Fraction, seen: Counter[str]) -> None:
    """Those products, and only those, whose entry price is at most the share below today's."""
    today = market.best()
    told = list(entries(market, share, processes=1))
    assert [product for product, _ in told] == sorted(offered_to(market), key=lambda product: product.sku)
    for product, found in told:
        whole = entry(market, product, today)
        least = max(1, ceil(product.price * (1 - share)))
        near = whole.entry is not None and whole.entry >= least
        assert found == (whole if near else None)
        assert entry_from(market, product, today, least) == found
        seen["near" if near else "far" if whole.entry else "never"] += 1


def offered_to(market: Market) -> list[Product]:
    """Active products that the brief does not leave out."""
    out = {term.casefold() for term in market.brief.leave_out}
    return [product for product in offered(market) if not out & {product.sku.casefold(), product.brand.casefold()}]


def test_near_products_are_those_whose_entry_price_is_near() -> None:
    """A quarter less, or nothing less: then those of the best build are left."""
    seen = Counter[str]()
    for profile in ("plain", "factory", "terms", "internal only"):
        assert_near(market_of(profile, 710), Fraction(1, 4), seen)
    assert min(seen[kind] for kind in ("near", "far", "never")) > 5
    market = market_of("own", 700)
    today = market.best()
    near = {product.sku for product, found in entries(market, Fraction(0), processes=1) if found}
    assert near == {part.sku for part in (today.system.parts if today else ())} != set()


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_near_products_are_those_whose_entry_price_is_near_on_every_profile(profile: str) -> None:
    """A tenth less, and everything."""
    for share in (Fraction(1, 10), Fraction(1)):
        assert_near(market_of(profile, 713), share, Counter())


def test_two_processes_find_the_same_as_one() -> None:
    """In the same order."""
    market = market_of("internal only", 715)
    assert list(entries(market, Fraction(1, 2), processes=2)) == list(entries(market, Fraction(1, 2), processes=1))
