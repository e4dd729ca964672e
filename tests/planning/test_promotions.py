"""Promotions against brute force over tiny catalogues: every bundle tried, with its money to the cent and one stock."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise
from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest

from budgetbuild.build import Status
from budgetbuild.planning.promotion import trade_off as trade
from budgetbuild.planning.promotion.decide import Desk
from budgetbuild.planning.promotion.promotions import Solving, solve_promotions
from budgetbuild.planning.promotion.reasons import no_bundle
from budgetbuild.planning.promotion.sharing import Search
from budgetbuild.planning.promotion.terms import terms_of, tracked
from budgetbuild.program.solver import Solver
from tests.oracle import promotions as oracle
from tests.oracle.promoted import Instance, instance

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from budgetbuild.build import Bundle
    from budgetbuild.catalogue.promotion import Promotion
    from budgetbuild.planning.promotion.decide import Decided
    from budgetbuild.planning.promotion.terms import Terms

SOLVER = Solver(fine=True)
ALONE = range(80)
PAIRS, THREES = range(40), range(12)
ORDER = ("price", "tier", "floor", "ceiling", "clear", "stock")
"""Of the terms that may be waived."""
FEW = {1: 2500, 2: 300, 3: 60}
"""Ways to put a system together at most, by the number of promotions that are tried together."""


@cache
def drawn(seed: int, promotions: int = 1) -> Instance:
    """An instance, made once."""
    return instance(seed, promotions, FEW[promotions])


def desk() -> Desk:
    """A desk without a time limit."""
    return Desk(SOLVER)


def asked(some: Instance, number: int = 0) -> Terms:
    """The terms of one promotion."""
    return terms_of(some.catalogue, some.catalogue.promotions[number])


def tried(some: Instance, number: int = 0, without: Collection[str] = ()) -> list[oracle.Offered]:
    """Every bundle that a promotion allows, by brute force."""
    counts = asked(some, number).counts
    promotion = some.catalogue.promotions[number]
    return oracle.offered(some.catalogue, promotion, some.systems[number], counts=counts, without=without)


def key_of(found: Decided) -> tuple[int, int, int, tuple[str, ...]]:
    """What both sides are compared by."""
    assert found.audited is not None
    assert found.sale is not None
    skus = tuple(sorted(found.pieces.elements()))
    return -found.audited.score, -(found.sale.margin or 0), found.sale.list_total, skus


@pytest.mark.parametrize("seed", ALONE)
def test_the_bundle_is_that_of_trying_every_one(seed: int) -> None:
    """Score, margin, list total and parts; where margins count, every undominated pair of score and margin too."""
    some = drawn(seed)
    terms, stock, bundles = asked(some), tracked(some.catalogue), tried(some)
    found = desk().best(terms, stock)
    if not bundles:
        assert found.status is Status.INFEASIBLE
        return
    assert found.status is Status.OPTIMAL
    assert key_of(found) == min(bundle.key for bundle in bundles)
    if terms.counts:
        with patch.object(trade, "CLOSE", 10**6):
            told = trade.trade_off(desk(), terms, stock, found)
        assert told.whole
        pairs = [(choice.audited.score, choice.sale.margin) for choice in told.choices]
        assert pairs == oracle.undominated(bundles)


def test_the_instances_are_many_and_varied() -> None:
    """Tiers and bundle prices, floors met to the cent and missed by one, clearance, ceilings, several points."""
    found: Counter[str] = Counter()
    for seed in ALONE:
        some = drawn(seed)
        promotion, bundles = some.catalogue.promotions[0], tried(some)
        found["at a price"] += promotion.price is not None
        found["in a tier"] += promotion.price is None
        found["clearing"] += bool(promotion.clear) and bool(bundles)
        found["impossible"] += not bundles
        found["possible"] += bool(bundles)
        found["floor met to the cent"] += any(bundle.money.margin == promotion.floor for bundle in bundles)
        found["discounted to the ceiling's last euro"] += any(
            0 <= bundle.money.room - (bundle.system.listed - (promotion.price or 0)) < 100 for bundle in bundles
        )
        found["several choices"] += len(oracle.undominated(bundles)) > 2
        found["margins do not count"] += not asked(some).counts
    assert all(count >= 3 for count in found.values()), found
    assert found["possible"] >= 40


@pytest.mark.parametrize("seed", ALONE)
def test_a_thinned_list_is_part_of_the_whole_one(seed: int) -> None:
    """Choices in larger steps are undominated too, reach the best margin, and leave no larger step open."""
    some = drawn(seed)
    terms, stock, whole = asked(some), tracked(some.catalogue), oracle.undominated(tried(some))
    if not terms.counts or len(whole) < 3:
        return
    first = desk().best(terms, stock)
    with patch.object(trade, "CLOSE", 1), patch.object(trade, "WIDE", 2):
        told = trade.trade_off(desk(), terms, stock, first)
    pairs = [(choice.audited.score, choice.sale.margin or 0) for choice in told.choices]
    assert (pairs[0], pairs[-1]) == (whole[0], whole[-1])
    assert set(pairs) <= set(whole)
    for (_, before), (score, margin) in pairwise(pairs):
        between = [pair for pair in whole if before + told.step <= pair[1] < margin]
        assert not [pair for pair in between if pair[0] > score]


@pytest.mark.parametrize("seed", ALONE)
def test_what_would_make_a_promotion_possible_is_what_brute_force_says(seed: int) -> None:
    """Each term on its own, with the best margin, the cheapest list, the nearest price, and how many can be cleared."""
    some = drawn(seed)
    if tried(some):
        return
    terms, promotion = asked(some), some.catalogue.promotions[0]
    why = no_bundle(desk(), terms, tracked(some.catalogue))
    told = {waiver.code: waiver for waiver in why.waivers}
    expected = {code for code in asks(promotion, terms) if tried(some, without={code})}
    if (nearest := nearest_price(some, terms)) is not None:
        expected.add("price")
        assert told["price"].cents == nearest
    assert set(told) == expected
    assert set(why.pairs) == (set() if expected else set(pairs_that_do(some, terms)))
    if "floor" in told:
        best = max(tried(some, without={"floor"}), key=lambda bundle: bundle.money.margin or 0).money
        assert told["floor"].cents == best.margin
    if "tier" in told:
        assert told["tier"].cents == min(bundle.system.listed for bundle in tried(some, without={"tier"}))
    if "clear" in told:
        wanted = {sku.casefold() for sku in promotion.clear}
        assert told["clear"].count == max(
            sum(sku.casefold() in wanted for sku in bundle.system.pieces) for bundle in tried(some, without={"clear"})
        )


def pairs_that_do(some: Instance, terms: Terms) -> Iterator[tuple[str, str]]:
    """Two terms that make the promotion possible if both are waived."""
    promotion = some.catalogue.promotions[0]
    codes = set(asks(promotion, terms)) | ({"price"} if promotion.price is not None else set())
    for pair in combinations([code for code in ORDER if code in codes], 2):
        others = {code for code in pair if code != "price"}
        if nearest_price(some, terms, others) is not None if "price" in pair else bool(tried(some, without=others)):
            yield pair


def asks(promotion: Promotion, terms: Terms) -> Iterator[str]:
    """Terms that a promotion sets, its price apart."""
    yield "stock"
    if promotion.has_floor:
        yield "floor"
    if promotion.price is None:
        yield "tier"
    elif terms.deal.ceilings:
        yield "ceiling"
    if promotion.clear:
        yield "clear"


def nearest_price(some: Instance, terms: Terms, without: Collection[str] = ()) -> int | None:
    """The least price at or above the one asked at which some system does, else the greatest below; by trying them."""
    promotion = some.catalogue.promotions[0]
    if promotion.price is None:
        return None
    free = replace(promotion, floor=None, floor_share=None)
    above, below = [], []
    for system in some.systems[0]:
        found = oracle.offered(
            some.catalogue, replace(free, price=system.listed), [system], counts=terms.counts, without=without
        )
        for one in found:
            if system.listed >= promotion.price:
                room = sum_of_parts(some, system) if "ceiling" in without else one.money.room
                least = max(promotion.price, system.listed - room)
                prices = range(least, system.listed + 1)
                fits = first_price(some, system, promotion, prices, counts=terms.counts, without=without)
                above += [] if fits is None else [fits]
            elif first_price(some, system, promotion, [system.listed], counts=terms.counts, without=without):
                below.append(system.listed)
    if above:
        return min(above)
    return max(below) if below else None


def sum_of_parts(some: Instance, system: oracle.System) -> int:
    """List total without labour."""
    products = some.catalogue.by_sku()
    return sum(products[sku].price * count for (_, sku), count in system.lines)


def first_price(
    some: Instance,
    system: oracle.System,
    promotion: Promotion,
    prices: Sequence[int],
    *,
    counts: bool,
    without: Collection[str],
) -> int | None:
    """The lowest of these prices at which a system meets the floors: the higher the price, the more is left."""
    low, high = 0, len(prices) - 1

    def meets(price: int) -> bool:
        one = replace(promotion, price=price)
        return bool(oracle.offered(some.catalogue, one, [system], counts=counts, without=without))

    if not meets(prices[high]):
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if meets(prices[middle]) else (middle + 1, high)
    return prices[low]


def both(seed: int, promotions: int) -> None:
    """Hold several promotions out of one stock against trying every combination."""
    some = drawn(seed, promotions)
    bundles = [tried(some, number) for number in range(promotions)]
    if not all(bundles):
        return
    expected = oracle.together(some.catalogue, list(zip(some.catalogue.promotions, bundles, strict=True)))
    terms = [asked(some, number) for number in range(promotions)]
    shared = Search(desk(), tracked(some.catalogue)).share(terms)
    if expected is None:
        assert not shared.answers
        assert shared.contested
        return
    assert summed(some, [key_of(answer) for answer in shared.answers]) == summed(some, [one.key for one in expected])
    assert shared.bound == -summed(some, [one.key for one in expected])[0]


def summed(some: Instance, keys: Sequence[tuple[int, int, int, tuple[str, ...]]]) -> tuple[int, int, int, list[str]]:
    """Score, margin and list total over all sets, and every piece of one set of each."""
    sets = [promotion.sets for promotion in some.catalogue.promotions]
    score, margin, listed = (sum(n * key[i] for n, key in zip(sets, keys, strict=True)) for i in range(3))  # type: ignore[misc]
    return score, margin, listed, sorted(sku for key in keys for sku in key[3])


@pytest.mark.parametrize("seed", PAIRS)
def test_two_promotions_share_one_stock_as_brute_force_has_it(seed: int) -> None:
    both(seed, 2)


@pytest.mark.parametrize("seed", THREES)
def test_three_promotions_share_one_stock_as_brute_force_has_it(seed: int) -> None:
    both(seed, 3)


def test_promotions_do_collide_in_these_instances() -> None:
    found: Counter[str] = Counter()
    for seed in PAIRS:
        some = drawn(seed, 2)
        if all(tried(some, number) for number in range(2)):
            shared = Search(desk(), tracked(some.catalogue)).share([asked(some, number) for number in range(2)])
            found["impossible together"] += not shared.answers
            found["settled"] += bool(shared.contested and shared.answers)
    assert found["impossible together"] >= 2
    assert found["settled"] >= 2


@pytest.mark.parametrize("seed", PAIRS)
def test_every_promotion_is_told_and_no_stock_is_promised_twice(seed: int) -> None:
    """Through the whole: what cannot run gives way to what stands above it, and says so."""
    some = drawn(seed, 2)
    with patch.object(trade, "CLOSE", 1), patch.object(trade, "WIDE", 1):
        told = solve_promotions(some.catalogue, Solving(SOLVER))
    for number, bundle in enumerate(told.bundles):
        alone = bool(tried(some, number))
        assert (bundle.audited is not None) or bundle.no_bundle is not None
        if bundle.no_bundle is not None:
            assert bool(bundle.no_bundle.beside) == alone
    taken = Counter({shelf.sku: 0 for bundle in told.bundles for shelf in bundle.shelves})
    for bundle in told.bundles:
        for shelf in bundle.shelves:
            taken[shelf.sku] += shelf.taken
            assert shelf.left is None or shelf.left >= 0
    stock = tracked(some.catalogue)
    assert all(count <= stock[sku] for sku, count in taken.items() if sku in stock)
    assert told.score == _score(told.bundles)


def _score(bundles: Sequence[Bundle]) -> int | None:
    scores = [bundle.promotion.sets * bundle.audited.score for bundle in bundles if bundle.audited]
    return sum(scores) if scores else None


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1000, 1120))
def test_many_more_bundles_are_those_of_trying_every_one(seed: int) -> None:
    test_the_bundle_is_that_of_trying_every_one(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1000, 1040))
def test_many_more_pairs_share_one_stock_as_brute_force_has_it(seed: int) -> None:
    both(seed, 2)
