"""Beside each build, the ones that hold if prices rise: every step against brute force, and what is told of none."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import pytest

from budgetbuild.audit.robust import IF_PRICES_RISE
from budgetbuild.build import Status
from budgetbuild.catalogue.kinds import Want
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.planning.certain import certain_builds
from budgetbuild.program.solver import Solver
from tests.oracle import robust as brute_force
from tests.oracle.enumerate import Answer
from tests.program.small import front, skus, stock, tier, wants

if TYPE_CHECKING:
    from budgetbuild.build import Build, Certain
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.pipeline import Solved

RISING = 2
CASES = [(profile, seed) for profile in ("factory", "sizes", "powered") for seed in range(5)]


def solved(catalogue: Catalogue, cap: int, rising: int = RISING) -> Solved:
    """Every build of a catalogue within a cap, and those that hold if prices rise."""
    return solve_all(replace(catalogue, tiers=(tier(cap),)), Run(rising=rising))


@cache
def found(profile: str, seed: int) -> tuple[Solved, list[Answer], int | None]:
    """What is found for a random shop, and brute force's answers by the number of prices, and the least cap."""
    catalogue, brief, vehicle, cap = brute_force.uncertain_catalogue(seed, profile)
    answers = [brute_force.best_protected(catalogue, brief, vehicle, cap, rising) for rising in range(RISING + 1)]
    return solved(catalogue, cap), answers, brute_force.least_dearest(catalogue, brief, vehicle, RISING)


def answer_of(build: Build) -> Answer:
    """A build as brute force would say it."""
    assert build.audited is not None
    return Answer("optimal", build.score, build.total, skus(build.audited.system))


@pytest.mark.parametrize(("profile", "seed"), CASES)
def test_every_step_is_brute_forces(profile: str, seed: int) -> None:
    """As many steps as have an answer, or as there are prices that can rise; where there is none, the least cap."""
    there, answers, least = found(profile, seed)
    possible = [answer for answer in answers if answer.status == "optimal"]
    if not possible:
        assert there.beside.certain == ()
        return
    (certain,) = there.beside.certain
    assert [answer_of(step.build) for step in certain.steps] == possible[: len(certain.steps)]
    assert all(answer_of(certain.steps[-1].build) == answer for answer in possible[len(certain.steps) :])
    assert certain.met == (len(possible) == len(answers))
    assert certain.least == (None if certain.met else least)


@pytest.mark.parametrize(("profile", "seed"), CASES)
def test_every_dearest_case_is_brute_forces(profile: str, seed: int) -> None:
    """Of the build that holds, and of today's best; the audit's row says the same."""
    catalogue, *_, cap = brute_force.uncertain_catalogue(seed, profile)
    rises = brute_force.rises_of(catalogue)
    for certain in found(profile, seed)[0].beside.certain:
        for step in certain.steps:
            for build, dearest in ((step.build, step.dearest), (certain.today, step.today_total)):
                answer = answer_of(build)
                assert answer.skus is not None
                assert answer.total is not None
                assert dearest == brute_force.dearest(answer.skus, answer.total, rises, step.rising)
            checks = step.build.audited.checks if step.build.audited else ()
            rows = [(check.figure, check.limit) for check in checks if check.rule == IF_PRICES_RISE]
            told = f"{(step.dearest or 0) / 100:.2f}", f"at most {cap / 100:.2f}"
            assert rows == ([told] if step.rising else [])


def test_the_shops_are_varied() -> None:
    """Certainty costs points in some, is free in others, and is out of reach in some."""
    certain = [one for case in CASES for one in found(*case)[0].beside.certain]
    costs = [one.lost(one.steps[-1]) for one in certain if one.met]
    assert sum(bool(cost) for cost in costs) >= 3
    assert costs.count(0) >= 2
    assert any(not one.met for one in certain)
    assert any(one.steps[-1].all_rise for one in certain)
    assert len({(len(one.steps), one.met) for one in certain}) >= 4


ALONE = wants()
"""A brief that takes front speakers and nothing else."""


def speakers(*products: tuple[str, int, int | None, float]) -> Catalogue:
    """A shop with front speakers alone, each by SKU, price, high price and rating."""
    made = [front(sku=sku, price=price, price_high=high, rating=rating) for sku, price, high, rating in products]
    return replace(stock(*made), briefs=(wants(own_internal_w=60.0),))


def only(catalogue: Catalogue, cap: int, rising: int = 1) -> Certain:
    """What is found for the one build."""
    (certain,) = solved(catalogue, cap, rising).beside.certain
    return certain


def test_the_certain_one_may_be_dearer_today() -> None:
    """At 100 the better pair may cost 130; the other costs 105 whatever comes. One rating point is 2.5 points."""
    certain = only(speakers(("F", 100_00, 130_00, 6.0), ("G", 105_00, None, 5.0)), 110_00)
    today, then = certain.steps
    assert (today.build, today.dearest, today.today_total, today.all_rise) == (certain.today, 100_00, 100_00, False)
    assert (then.build.total, then.dearest, then.today_total, then.all_rise) == (105_00, 105_00, 130_00, True)
    assert [certain.lost(step) for step in certain.steps] == [0, 2_500]
    assert (certain.met, certain.greatest, certain.least) == (True, 1, None)


def test_what_no_build_holds_is_told_with_the_least_cap() -> None:
    """Front is optional, so a build of nothing holds within any cap; required, it takes 120."""
    shop = speakers(("F", 100_00, 130_00, 6.0), ("G", 105_00, 120_00, 5.0))
    assert only(shop, 110_00).steps[-1].build.total == 0
    required = replace(shop, briefs=(replace(shop.briefs[0], front=Want.REQUIRED),))
    certain = only(required, 110_00)
    assert [step.rising for step in certain.steps] == [0]
    assert (certain.met, certain.greatest, certain.least) == (False, 0, 120_00)


def test_where_every_price_is_certain_nothing_is_asked() -> None:
    shop = speakers(("F", 100_00, None, 6.0), ("G", 90_00, 90_00, 5.0))
    assert solved(shop, 110_00).beside.certain == ()
    assert solved(speakers(("F", 100_00, 130_00, 6.0)), 110_00, rising=0).beside.certain == ()


def test_a_build_that_time_ran_out_for_is_not_called_certain() -> None:
    """Nothing is found in no time at all, and nothing is said to be impossible."""
    shop = speakers(("F", 100_00, 130_00, 6.0), ("G", 105_00, None, 5.0))
    catalogue = replace(shop, tiers=(tier(110_00),))
    (certain,) = certain_builds(catalogue, solve_all(catalogue, Run()).builds, 1, Solver(), 1e-9)
    assert [step.build.status for step in certain.steps] == [Status.OPTIMAL, Status.TIME_LIMIT]
    assert certain.steps[-1].dearest is None
    assert (certain.met, certain.greatest, certain.least) == (False, 0, None)
