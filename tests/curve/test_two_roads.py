"""Two roads to the budget curve that share no code beyond the candidates, and brute force, which shares none at all."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from budgetbuild.advice.frontier import curve_of
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.curve.whole import CurveBuild, curve
from budgetbuild.program.candidates import Candidates, candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Clock, Solver
from tests.oracle.catalogues import large_catalogue, random_catalogue
from tests.oracle.enumerate import curve as curve_by_brute_force
from tests.oracle.knobs import PROFILES
from tests.sample.scaled import scaled_catalogue

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from budgetbuild.build import System


def skus(system: System) -> tuple[str, ...]:
    """SKUs, each repeated by its quantity, sorted."""
    return tuple(sorted(part.sku for part in system.parts for _ in range(part.quantity)))


def by_program(found: Candidates) -> Iterator[CurveBuild]:
    """Every best build by the integer program, dearest first: solve without a cap, then for a cent less, and so on."""
    program = formulate(found)
    cap = int(sum(program.prices))
    while True:
        proposal = best(program, cap, Solver(), Clock())
        if proposal.system is None or proposal.score is None or proposal.total is None:
            return
        yield CurveBuild(proposal.total, proposal.score, proposal.system)
        cap = proposal.total - 1


def assert_roads_meet(found: Candidates) -> int:
    """Every breakpoint from the program is a point of the merged curve, parts and wiring alike; how many."""
    merged = curve(found)
    assert list(merged) == list(by_program(found))[::-1]
    return len(merged)


def assert_at_breakpoints(found: Candidates, points: tuple[CurveBuild, ...], some: int) -> None:
    """At so many breakpoints, a cent below and a cent above, the program finds what the curve says."""
    program = formulate(found)
    for i in range(0, len(points), max(1, len(points) // some)):
        before = (points[i - 1].score, points[i - 1].total) if i else (None, None)
        here = points[i].score, points[i].total
        after = here if i + 1 == len(points) or points[i + 1].total > points[i].total + 1 else None
        for cap, expected in ((points[i].total - 1, before), (points[i].total, here), (points[i].total + 1, after)):
            proposal = best(program, cap, Solver(), Clock())
            assert expected is None or (proposal.score, proposal.total) == expected, cap


@pytest.mark.parametrize("profile", PROFILES)
def test_both_roads_find_the_same_builds_at_every_budget(profile: str) -> None:
    """Stepping down a cent below each breakpoint visits every budget at which the answer changes."""
    points = 0
    for seed in range(400, 402):
        catalogue, brief, vehicle, _ = random_catalogue(seed, profile)
        points += assert_roads_meet(candidates(Offer(catalogue, brief, vehicle)))
    assert points or profile == "impossible"


@pytest.mark.parametrize("profile", PROFILES)
def test_brute_force_finds_the_same_curve(profile: str) -> None:
    """Score, total and parts of every best build, by trying everything; every point passes the audit."""
    for seed in range(500, 508):
        catalogue, brief, vehicle, cap = random_catalogue(seed, profile)
        found = curve_of(catalogue, brief, vehicle)
        told = [(point.score, point.total, skus(point.system)) for point in found.points if point.total <= cap]
        expected = [(one.score, one.total, one.skus) for one in curve_by_brute_force(catalogue, brief, vehicle, cap)]
        assert told == expected, f"seed {seed}"


@pytest.mark.parametrize("seed", range(6))
def test_on_larger_catalogues_the_program_agrees_around_breakpoints(seed: int) -> None:
    """About 80 products each; twelve breakpoints, a cent below and a cent above them."""
    catalogue, brief, vehicle, _ = large_catalogue(seed, 2)
    found = candidates(Offer(catalogue, brief, vehicle))
    assert_at_breakpoints(found, curve(found), 12)


@pytest.mark.slow
def test_on_the_sample_the_program_agrees_around_breakpoints(sample_workbook: Path) -> None:
    """Every brief of the sample, one of which prefers one brand."""
    catalogue = load_catalogue(sample_workbook)
    for brief in catalogue.briefs:
        found = candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle)))
        assert_at_breakpoints(found, curve(found), 4)


def test_each_point_costs_more_and_scores_more_than_the_one_before(sample_workbook: Path) -> None:
    """No two points at one price, none that is worth nothing; the first is the cheapest complete system."""
    catalogue = load_catalogue(sample_workbook)
    for brief in catalogue.briefs:
        points = curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle)).points
        assert len(points) > 100
        assert all(a.total < b.total and a.score < b.score for a, b in pairwise(points))


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_both_roads_meet_on_many_catalogues(profile: str) -> None:
    """Four more of every profile."""
    for seed in range(410, 414):
        catalogue, brief, vehicle, _ = random_catalogue(seed, profile)
        assert_roads_meet(candidates(Offer(catalogue, brief, vehicle)))


@pytest.mark.slow
def test_both_roads_meet_on_a_whole_curve_of_the_sample(sample_workbook: Path) -> None:
    """Every one of some 170 points of the shortest curve, solved one by one."""
    catalogue = load_catalogue(sample_workbook)
    (brief,) = [one for one in catalogue.briefs if one.name == "Closed dash, bass wanted"]
    assert assert_roads_meet(candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle)))) > 150


@pytest.mark.slow
def test_at_two_thousand_products_the_program_agrees_around_breakpoints() -> None:
    """The hard end of what the program solves in a second."""
    catalogue = scaled_catalogue(2000)
    brief = catalogue.briefs[0]
    found = candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle)))
    assert_at_breakpoints(found, curve(found), 8)
