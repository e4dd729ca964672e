"""The program against independent expectations: brute force on small catalogues, another make of solver on larger ones.

Both are written from the trade rules alone (see `tests/oracle`) and share no code with the program.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import pytest

from budgetbuild.audit import audit
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.pipeline import Run, pairs_to_solve
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Clock, Solver
from tests.oracle.catalogues import large_catalogue, random_catalogue
from tests.oracle.cpsat import best_cpsat
from tests.oracle.enumerate import best as best_by_brute_force
from tests.oracle.knobs import PROFILES

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.kinds import HeadUnitMode
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

SEEDS_PER_PROFILE = 16


@dataclass(frozen=True)
class Found:
    """What both sides are compared by."""

    status: str
    score: int | None
    total: int | None
    skus: tuple[str, ...] | None


def solved(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int) -> Found:
    """The program's answer, passed through the audit."""
    proposal = best(formulate(candidates(Offer(catalogue, brief, vehicle))), cap, Solver(), Clock())
    if proposal.system is None:
        return Found(str(proposal.status), None, None, None)
    audited = audit(catalogue, brief, vehicle, cap, proposal.system)
    assert not audited.refused
    assert (audited.score, audited.total) == (proposal.score, proposal.total)
    skus = sorted(part.sku for part in proposal.system.parts for _ in range(part.quantity))
    return Found(str(proposal.status), audited.score, audited.total, tuple(skus))


@cache
def compared(profile: str) -> list[tuple[int, HeadUnitMode, Found, Found, int]]:
    """Seed, head-unit mode, brute force's answer, the program's, and how many amplifiers stand in it."""
    rows = []
    for seed in range(SEEDS_PER_PROFILE):
        catalogue, brief, vehicle, cap = random_catalogue(seed, profile)
        expected = best_by_brute_force(catalogue, brief, vehicle, cap)
        found = solved(catalogue, brief, vehicle, cap)
        amplifiers = {amplifier.sku for amplifier in catalogue.amplifiers}
        count = sum(sku in amplifiers for sku in found.skus or ())
        answer = Found(expected.status, expected.score, expected.total, expected.skus)
        rows.append((seed, brief.head_unit, answer, found, count))
    return rows


@pytest.mark.parametrize("profile", PROFILES)
def test_program_finds_what_brute_force_finds(profile: str) -> None:
    """Same status, same score to the thousandth, same total to the cent, same parts."""
    for seed, _, expected, found, _ in compared(profile):
        assert found == expected, f"seed {seed}"


def test_the_instances_compared_are_many_and_varied() -> None:
    """At least 300 catalogues, infeasible ones, every head-unit mode and two amplifiers among them."""
    rows = [row for profile in PROFILES for row in compared(profile)]
    modes = Counter(mode for _, mode, *_ in rows)
    assert len(rows) >= 300
    assert len(modes) == 3
    assert all(count >= 30 for count in modes.values())
    assert sum(expected.status == "infeasible" for _, _, expected, _, _ in rows) >= 30
    assert sum(count == 2 for *_, count in rows) >= 15


@pytest.mark.parametrize("seed", range(12))
def test_program_finds_what_another_solver_finds(seed: int) -> None:
    """About 80 products, solved flat by a constraint solver of another make: too many to enumerate."""
    catalogue, brief, vehicle, cap = large_catalogue(seed, 2)
    expected = best_cpsat(catalogue, brief, vehicle, cap)
    found = solved(catalogue, brief, vehicle, cap)
    assert (found.status, found.score, found.total) == (expected.status, expected.score, expected.total)


@pytest.mark.slow
@pytest.mark.parametrize("place", range(3))
def test_program_finds_on_the_sample_what_another_solver_finds(place: int, sample_workbook: Path) -> None:
    """About 300 products; each tier with one brief and each brief with one tier, the budget curve holds the others."""
    catalogue = load_catalogue(sample_workbook)
    pairs = list(pairs_to_solve(catalogue, Run()))
    assert len(pairs) == 9
    tier, brief = pairs[4 * place]
    vehicle = catalogue.vehicle(brief.vehicle)
    expected = best_cpsat(catalogue, brief, vehicle, tier.cap)
    found = solved(catalogue, brief, vehicle, tier.cap)
    assert (found.status, found.score, found.total) == (expected.status, expected.score, expected.total)
