"""One system for several vehicles against trying every one: points, vehicles covered, prices, parts, and why none."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Build, Status
from budgetbuild.planning.kit import question_of, solve_kit
from budgetbuild.program.solver import Solver
from tests.oracle import kits
from tests.oracle.fleets import random_fleet
from tests.program.small import tier

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.oracle.kits import Fleet

SEEDS = range(44)
MORE_SEEDS = range(44, 132)


def solved(fleet: Fleet, cap: int) -> Build:
    """What the tool answers, audited in every vehicle."""
    return solve_kit(question_of(fleet.catalogue, fleet.brief), tier(cap), Solver(), None)


def check_answer(fleet: Fleet, cap: int, build: Build) -> None:
    """The best one, by score, weight covered, highest price and sum of prices; or why there is none."""
    best = kits.best(fleet, cap)
    if best is None:
        check_none(fleet, cap, build)
        return
    assert build.status is Status.OPTIMAL
    covered = build.covered
    assert covered is not None
    inside = fleet.weight(one.covered for one in covered.vehicles)
    totals = [one.audited.total for one in covered.inside]
    assert (-covered.score, -inside, max(totals), sum(totals)) == best[:4]
    assert build.score == covered.score == build.bound
    assert (build.total, covered.highest) == (max(totals), max(totals))


def check_none(fleet: Fleet, cap: int, build: Build) -> None:
    """What as many as asked would cost, and the most that is possible within the cap."""
    assert build.status is Status.INFEASIBLE
    assert build.no_build is not None
    assert build.no_build.least_total == kits.least_cap(fleet)
    lacking = build.no_build.shortfall
    assert lacking is not None
    assert lacking.greatest == kits.greatest(fleet, cap) / sum(fleet.weights)
    assert set(lacking.covers) | set(lacking.lacks) == set(fleet.brief.vehicles)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_system_for_several_vehicles_is_better(seed: int) -> None:
    fleet, cap = random_fleet(seed)
    check_answer(fleet, cap, solved(fleet, cap))


@pytest.mark.slow
@pytest.mark.parametrize("seed", MORE_SEEDS)
def test_no_system_for_several_vehicles_is_better_in_more_cases(seed: int) -> None:
    fleet, cap = random_fleet(seed)
    check_answer(fleet, cap, solved(fleet, cap))


@pytest.mark.parametrize("seed", range(500, 508))
def test_of_equal_systems_the_first_in_sku_order_is_taken(seed: int) -> None:
    fleet, cap = random_fleet(seed, "twins")
    fleet = replace(fleet, brief=replace(fleet.brief, must_include=(), leave_out=()))
    best, build = kits.best(fleet, cap), solved(fleet, cap)
    if best is None or build.covered is None:
        assert best is None
        assert build.covered is None
        return
    own = {part for one in build.covered.inside for part in one.own}
    common = build.covered.dearest.audited.system
    skus = [part.sku for part in common.parts if part not in own for _ in range(part.quantity)]
    assert sorted([*skus, *{run.sku for run in common.cables}]) == list(best.skus)


def minimal_sets(fleet: Fleet) -> Iterator[tuple[str, ...]]:
    """Sets of vehicles that are just as many as asked: without any one of them they are too few."""
    weights = dict(zip(fleet.brief.vehicles, fleet.weights, strict=True))
    for count in range(1, len(weights) + 1):
        for some in combinations(weights, count):
            enough = sum((weights[name] for name in some), Fraction(0))
            if enough >= fleet.asked and all(enough - weights[name] < fleet.asked for name in some):
                yield some


@pytest.mark.parametrize("seed", range(700, 716))
def test_the_score_is_that_of_the_best_set_of_just_as_many_vehicles(seed: int) -> None:
    """A second road: where the vehicles are given, all of them must be covered; of all such sets one is the best."""
    fleet, cap = random_fleet(seed)
    build = solved(fleet, cap)
    scores = []
    for some in minimal_sets(fleet):
        brief = replace(fleet.brief, vehicles=some, share=Fraction(1))
        alone = solve_kit(question_of(fleet.catalogue, brief), tier(cap), Solver(), None)
        scores += [alone.score] if alone.score is not None else []
    assert build.score == max(scores, default=None)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(22))
def test_another_solver_finds_the_same(seed: int) -> None:
    fleet, cap = random_fleet(seed)
    one, other = (
        solved(fleet, cap),
        solve_kit(question_of(fleet.catalogue, fleet.brief), tier(cap), Solver("cbc"), None),
    )
    assert replace(one, solver="", covered=None) == replace(other, solver="", covered=None)
    assert (one.covered and one.covered.vehicles) == (other.covered and other.covered.vehicles)
