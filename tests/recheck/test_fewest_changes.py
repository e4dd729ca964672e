"""The fewest changes, against brute force over every system of small catalogues, and where each part of it matters."""

from __future__ import annotations

from collections import Counter
from functools import cache
from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest

from budgetbuild.audit import audit
from budgetbuild.audit.repair import exchanges, parts_changed
from budgetbuild.build import Part, Role, Status
from budgetbuild.catalogue.kinds import HeadUnitMode, Want
from budgetbuild.program import repair
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.repair import Mended, fewest_changes, program_beside
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Clock, Solver
from tests.oracle import repair as oracle
from tests.oracle.knobs import PROFILES
from tests.program.small import (
    PLENTY,
    aerial,
    cable,
    fascia,
    front,
    head_unit,
    lead,
    power_kit,
    rear,
    stereo,
    stock,
    wants,
)
from tests.recheck.drifted import Case, case

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

SEEDS = 3
SOLVER = Solver()
Answer = oracle.Repaired | None


def mended(one: Case) -> Mended:
    known = one.catalogue.by_sku()
    parts = [part for part in one.before.parts if part.sku in known]
    program = program_beside(one.catalogue, one.brief, one.vehicle, parts)
    return fewest_changes(program, one.before.parts, one.cap, SOLVER, Clock())


def answer(one: Case) -> Answer:
    """The program's answer, its system passed through the audit and its changes counted again from the parts."""
    found = mended(one)
    if found.proposal.system is None:
        assert found.proposal.status is Status.INFEASIBLE
        return None
    audited = audit(one.catalogue, one.brief, one.vehicle, one.cap, found.proposal.system)
    assert not audited.refused
    assert (audited.score, audited.total) == (found.proposal.score, found.proposal.total)
    assert found.proposal.status is Status.OPTIMAL
    assert found.changes == found.fewest
    assert found.changes == parts_changed(exchanges(one.before.parts, audited.system.parts))
    skus = sorted(part.sku for part in audited.system.parts for _ in range(part.quantity))
    return oracle.Repaired(found.changes or 0, -audited.score, audited.total, tuple(skus))


@cache
def compared(profile: str, first: int = 0, count: int = SEEDS) -> list[tuple[int, Answer, Answer]]:
    """Seed, brute force's answer and the program's."""
    drawn = [(seed, case(seed, profile)) for seed in range(first, first + count)]
    return [
        (seed, oracle.fewest(one.catalogue, one.brief, one.vehicle, one.cap, one.before), answer(one))
        for seed, one in drawn
        if one
    ]


@pytest.mark.parametrize("profile", PROFILES)
def test_the_fewest_changes_are_those_of_brute_force(profile: str) -> None:
    """Same number of changes, then same score, same total, same parts; none where there is none."""
    for seed, expected, found in compared(profile):
        assert found == expected, f"seed {seed}"


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_the_fewest_changes_are_those_of_brute_force_in_many_cases(profile: str) -> None:
    for seed, expected, found in compared(profile, SEEDS, 10):
        assert found == expected, f"seed {seed}"


def test_the_cases_compared_are_many_and_varied() -> None:
    """At least 60, none possible among them, and from no change at all to several."""
    rows = [expected for profile in PROFILES for _, expected, _ in compared(profile)]
    changes = Counter("none" if one is None else min(one.changes, 3) for one in rows)
    assert len(rows) >= 60
    assert min(changes[key] for key in ("none", 0, 1, 2, 3)) >= 5, changes


@pytest.mark.parametrize("profile", ["terms", "plain", "two amplifiers", "twins"])
def test_watching_what_was_published_changes_nothing_in_the_best_build(profile: str) -> None:
    for seed in range(SEEDS):
        one = case(seed, profile)
        if one:
            known = one.catalogue.by_sku()
            beside = program_beside(
                one.catalogue, one.brief, one.vehicle, [part for part in one.before.parts if part.sku in known]
            )
            alone = formulate(candidates(Offer(one.catalogue, one.brief, one.vehicle)))
            assert best(beside, one.cap, SOLVER, Clock()) == best(alone, one.cap, SOLVER, Clock())


REPLACE = wants(
    head_unit=HeadUnitMode.REPLACE, front=Want.REQUIRED, rear=Want.NONE, bass=Want.NONE, amplifier=Want.NONE
)
"""A new head unit that drives front speakers by itself."""
LOUD = {"internal_w": 40.0, "rating": 5.0}
UNITS = (
    head_unit(sku="H-radio", price=100_00, digital_radio=True, **LOUD),
    head_unit(sku="H-plain", price=150_00, **LOUD),
)
"""The one with digital radio needs an aerial, and is the better buy all the same."""
BEFORE = (
    Part(Role.HEAD_UNIT, "H-gone"),
    Part(Role.SOURCE_KIT, "X"),
    Part(Role.FRONT, "F"),
)


def of_small(products: tuple[Product, ...], brief: Brief, before: tuple[Part, ...], cap: int = PLENTY) -> Mended:
    catalogue = stock(*products)
    known = catalogue.by_sku()
    parts = [part for part in before if part.sku in known]
    program = program_beside(catalogue, brief, catalogue.vehicles[0], parts)
    return fewest_changes(program, before, cap, SOLVER, Clock())


def skus(found: Mended) -> list[str]:
    assert found.proposal.system
    return [part.sku for part in found.proposal.system.parts]


def test_one_part_that_needs_no_other_is_one_change_where_the_better_buy_is_two() -> None:
    found = of_small((*UNITS, fascia(), aerial(), front()), REPLACE, BEFORE)
    assert (found.changes, skus(found)) == (1, ["H-plain", "X", "F"])


def test_without_counting_lines_the_better_buy_would_hide_the_fewest_changes() -> None:
    def blind(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, *, watched: frozenset[str], **_: bool) -> Offer:
        return Offer(catalogue, brief, vehicle, watched=watched)

    with patch.object(repair, "Offer", blind):
        found = of_small((*UNITS, fascia(), aerial(), front()), REPLACE, BEFORE)
    assert found.changes == 2


def test_what_was_published_is_kept_though_another_is_better_and_cheaper() -> None:
    better = front(sku="F-better", price=50_00, rating=9.0)
    found = of_small((UNITS[1], fascia(), front(), better), REPLACE, BEFORE)
    assert (found.changes, skus(found)) == (1, ["H-plain", "X", "F"])


BOTH = wants(front=Want.REQUIRED, rear=Want.REQUIRED, bass=Want.NONE, amplifier=Want.REQUIRED)
"""Front and rear on external amplifiers: two pairs, four channels of leads."""
TWO_AMPLIFIERS = (
    Part(Role.FRONT, "F"),
    Part(Role.REAR, "R"),
    Part(Role.AMPLIFIER, "A", 2),
    Part(Role.POWER_KIT, "K", 2),
    Part(Role.SPEAKER_CABLE, "C"),
)
CHEAP = (front(), rear(), stereo(), power_kit(), cable())


def test_amplifiers_and_power_kits_count_piece_by_piece() -> None:
    four = stereo(sku="A-four", price=500_00, channels=4)
    before = (*TWO_AMPLIFIERS, Part(Role.SIGNAL_LEAD, "L"))
    assert of_small((*CHEAP, lead(), four), BOTH, before).changes == 0
    others = (front(), rear(), four, power_kit(), cable(), lead())
    two = of_small(others, BOTH, before)
    assert two.proposal.system
    assert (two.changes, two.proposal.system.amplifiers) == (2, ("A-four", "A-four"))
    one = of_small(others, BOTH, before, cap=1000_00)
    assert one.proposal.system
    # Both amplifiers go and one comes in their place, and one of the two kits goes.
    assert (one.changes, one.proposal.system.amplifiers) == (3, ("A-four",))


def test_a_cable_in_another_number_of_units_is_a_change() -> None:
    before = (*TWO_AMPLIFIERS[:-1], Part(Role.SPEAKER_CABLE, "C", 2), Part(Role.SIGNAL_LEAD, "L"))
    assert of_small((*CHEAP, lead()), BOTH, before).changes == 1


def test_a_lead_is_kept_beside_a_new_one_though_a_larger_one_is_cheaper() -> None:
    leads = (lead(sku="L2", channels=2), lead(sku="L6", channels=6, price=5_00), lead(sku="L3", channels=3, price=9_00))
    before = (*TWO_AMPLIFIERS, Part(Role.SIGNAL_LEAD, "L2"), Part(Role.SIGNAL_LEAD, "L-gone"))
    found = of_small((*CHEAP, *leads), BOTH, before)
    assert found.changes == 1
    assert set(skus(found)) >= {"L2", "L3"}


def test_no_lead_is_kept_that_nothing_needs_any_more() -> None:
    one = wants(front=Want.REQUIRED, rear=Want.NONE, bass=Want.NONE, amplifier=Want.REQUIRED)
    before = (
        Part(Role.FRONT, "F"), Part(Role.AMPLIFIER, "A"), Part(Role.POWER_KIT, "K"), Part(Role.SPEAKER_CABLE, "C"),
        Part(Role.SIGNAL_LEAD, "L2", 2),
    )  # fmt: skip
    found = of_small((*CHEAP, lead(sku="L2", channels=2)), one, before)
    assert found.changes == 1
    assert found.proposal.system
    assert Part(Role.SIGNAL_LEAD, "L2", 1) in found.proposal.system.parts


def test_a_search_that_is_stopped_says_so() -> None:
    catalogue = stock(*CHEAP, lead())
    program = program_beside(catalogue, BOTH, catalogue.vehicles[0], ())
    found = fewest_changes(program, TWO_AMPLIFIERS, PLENTY, SOLVER, Clock(0.0))
    assert (found.proposal.status, found.changes, found.fewest) == (Status.TIME_LIMIT, None, None)


def test_the_other_solver_finds_as_few_changes() -> None:
    one = case(0, "two amplifiers")
    assert one
    known = one.catalogue.by_sku()
    program = program_beside(
        one.catalogue, one.brief, one.vehicle, [part for part in one.before.parts if part.sku in known]
    )
    first, second = (
        fewest_changes(program, one.before.parts, one.cap, Solver(name), Clock()) for name in ("highs", "cbc")
    )
    assert first == second
