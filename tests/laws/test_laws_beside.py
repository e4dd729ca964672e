"""The laws of money and order for what stands beside the builds: bundles, paths, rising prices, several vehicles.

Where all is multiplied by ten, figures are such that no cent is ever rounded: a rounded cent has no tenfold.
"""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from functools import cache
from math import ceil
from typing import TYPE_CHECKING, Any, NamedTuple

import pytest

from budgetbuild.planning.kit import question_of, solve_kit
from budgetbuild.planning.promotion.promotions import Solving, solve_promotions
from budgetbuild.program.candidates import candidates
from budgetbuild.program.ladder import Rung, best_path
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.rises import price_ranges
from budgetbuild.program.robust import best_protected, uncertain
from budgetbuild.program.solver import Clock, Solver
from budgetbuild.program.superfluous import apart
from tests.oracle.fleets import random_fleet
from tests.oracle.ladder import tiny
from tests.oracle.promoted import instance
from tests.oracle.robust import uncertain_catalogue
from tests.program.small import SHEETS, tier

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.promotion import Promotion
    from budgetbuild.catalogue.shop import Catalogue
    from tests.oracle.ladder import Climb

SOLVER = Solver()
TEN = 10
PROMOTIONS = range(4)


class Told(NamedTuple):
    """An answer: what is the same whatever the money is counted in, and the money, in cents."""

    what: tuple[Any, ...]
    cents: tuple[int | None, ...] = ()

    def times(self, factor: int) -> Told:
        """The same with the money multiplied."""
        return Told(self.what, tuple(None if cents is None else cents * factor for cents in self.cents))


def with_products(catalogue: Catalogue, change: Callable[[Any], Any]) -> Catalogue:
    """Every product changed."""
    sheets: dict[str, Any] = {name: tuple(map(change, getattr(catalogue, name))) for name in SHEETS.values()}
    return replace(catalogue, **sheets)


def times(catalogue: Catalogue, factor: int) -> Catalogue:
    """Everything that is money multiplied: prices, high prices, costs, labour, tiers, promotions."""

    def dear(row: Product) -> Product:
        high, cost = (None if cents is None else factor * cents for cents in (row.price_high, row.cost))
        return replace(row, price=factor * row.price, price_high=high, cost=cost)

    def promoted(one: Promotion) -> Promotion:
        price, floor = (None if cents is None else factor * cents for cents in (one.price, one.floor))
        return replace(one, price=price, floor=floor)

    settings = replace(catalogue.settings, labour_rate=factor * (catalogue.settings.labour_rate or 0))
    return replace(
        with_products(catalogue, dear),
        settings=settings,
        tiers=tuple(replace(one, budget=factor * one.budget) for one in catalogue.tiers),
        promotions=tuple(map(promoted, catalogue.promotions)),
    )


def never_rounded(catalogue: Catalogue) -> Catalogue:
    """The same shop in whole euro, with a tax of 25 %, ceilings in whole percent and hours in quarters at 60.00."""

    def whole(row: Product) -> Product:
        high = None if row.price_high is None else euro(row.price_high)
        return replace(row, price=euro(row.price), price_high=high)

    settings = replace(catalogue.settings, labour_rate=60_00, tax_rate=Fraction(1, 4))
    return replace(
        with_products(catalogue, whole),
        settings=settings,
        labour_hours={work: Fraction(ceil(4 * hours), 4) for work, hours in catalogue.labour_hours.items()},
        discounts=tuple(replace(one, most=Fraction(round(100 * one.most), 100)) for one in catalogue.discounts),
        promotions=tuple(
            replace(one, price=None if one.price is None else euro(one.price)) for one in catalogue.promotions
        ),
    )


def euro(cents: int) -> int:
    """Whole euro, in cents."""
    return 100 * ceil(cents / 100)


def in_another_order(catalogue: Catalogue) -> Catalogue:
    """The rows of every product sheet and the ceilings shuffled."""
    rng = random.Random(len(catalogue.products()))  # noqa: S311 - an order, no secret
    names = (*SHEETS.values(), "discounts")
    sheets: dict[str, Any] = {
        name: tuple(rng.sample(getattr(catalogue, name), len(getattr(catalogue, name)))) for name in names
    }
    return replace(catalogue, **sheets)


@cache
def shop_of(seed: int) -> tuple[Catalogue, list[Told]]:
    """A shop with promotions, and what they come to."""
    shop = never_rounded(instance(seed, 1 + seed % 2, 1500).catalogue)
    return shop, bundles(shop)


def bundles(catalogue: Catalogue) -> list[Told]:
    """What every promotion comes to."""
    return [
        Told(
            (one.status, one.audited and (one.audited.score, one.audited.system)),
            (one.sale.list_total, one.sale.price, one.sale.discount_net, one.sale.margin) if one.sale else (),
        )
        for one in solve_promotions(catalogue, Solving(SOLVER)).bundles
    ]


@pytest.mark.parametrize("seed", PROMOTIONS)
def test_promotions(seed: int) -> None:
    """Bundle by bundle the same parts, at ten times the money; whatever the order of products and ceilings."""
    shop, once = shop_of(seed)
    assert bundles(times(shop, TEN)) == [one.times(TEN) for one in once]
    assert bundles(in_another_order(shop)) == once


def test_some_promotions_are_possible() -> None:
    found = [one for seed in PROMOTIONS for one in shop_of(seed)[1]]
    assert sum(bool(one.cents) for one in found) >= 3


def path_of(asked: Climb) -> Told:
    """The best upgrade path."""
    program = formulate(candidates(apart(Offer(asked.catalogue, asked.brief, asked.vehicle))))
    rungs = [Rung(cap, weight) for cap, weight in zip(asked.caps, asked.weights, strict=True)]
    path = best_path(program, rungs, SOLVER, Clock(), keep=asked.keep)
    return Told((path.status, path.worth, [step.system for step in path.steps]), path.spent or ())


@pytest.mark.parametrize("seed", range(4))
def test_upgrade_paths(seed: int) -> None:
    """Step by step the same systems, at ten times the money; whatever the order of products."""
    profile = ("plain", "own", "factory", "fitted")[seed]
    asked = tiny(seed, profile, 2, keep=bool(seed % 2))
    asked = replace(asked, catalogue=never_rounded(asked.catalogue))
    once = path_of(asked)
    dear = replace(asked, catalogue=times(asked.catalogue, TEN), caps=tuple(TEN * cap for cap in asked.caps))
    assert path_of(dear) == once.times(TEN)
    assert path_of(replace(asked, catalogue=in_another_order(asked.catalogue))) == once


@pytest.mark.parametrize("profile", ["plain", "replaced", "fitted", "drivers", "factory", "powered"])
def test_budgets_that_hold_if_prices_rise(profile: str) -> None:
    """The same system, at ten times the money; whatever the order of products."""
    catalogue, brief, vehicle, cap = uncertain_catalogue(3, profile)

    def protected(shop: Catalogue, most: int) -> Told:
        found = best_protected(uncertain(shop, brief, vehicle, price_ranges(shop)), 2, most, SOLVER, Clock())
        return Told((found.status, found.score, found.system), (found.total,))

    shop, most = never_rounded(catalogue), euro(cap)
    once = protected(shop, most)
    assert protected(times(shop, TEN), TEN * most) == once.times(TEN)
    assert protected(in_another_order(shop), most) == once


@pytest.mark.parametrize("seed", range(6))
def test_one_system_for_several_vehicles(seed: int) -> None:
    """Vehicle by vehicle the same system, at ten times the money; whatever the order of products."""
    fleet, cap = random_fleet(seed)

    def kit(shop: Catalogue, most: int) -> Told:
        built = solve_kit(question_of(shop, fleet.brief), tier(most), SOLVER, None)
        inside = built.covered.vehicles if built.covered else ()
        told = [(one.vehicle.name, one.covered, one.audited.score, one.audited.system) for one in inside]
        return Told((built.status, built.score, told), (built.total, *(one.audited.total for one in inside)))

    shop, most = never_rounded(fleet.catalogue), euro(cap)
    once = kit(shop, most)
    assert kit(times(shop, TEN), TEN * most) == once.times(TEN)
    assert kit(in_another_order(shop), most) == once
