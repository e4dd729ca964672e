"""Upgrade paths of shops so small that each can be worked out by hand; what the audit refuses; why there is none."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from budgetbuild.audit.ladder import NOT_ASIDE, SPENT, passed_ladder
from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Climbing, NoLadder, Status
from budgetbuild.catalogue.kinds import HeadUnitMode, Want, Work
from budgetbuild.catalogue.shop import Settings, Tier
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.planning.ladder import ladders, whole_weights
from budgetbuild.program.solver import Solver
from tests.program.small import car, fascia, front, head_unit, lead, power_kit, powered, sheet, stock, wants

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Ladder, LadderStep, Pieces, System
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue

SMALL, MIDDLE, LARGE = (
    front(sku="F1", price=50_00, rating=4.0),
    front(sku="F2", price=80_00, rating=6.0),
    front(sku="F3", price=100_00, rating=8.0),
)
"""Front speakers at 50, 80 and 100: 10, 15 and 20 points, and 5 for their match."""
SPEAKERS = wants(own_internal_w=60.0, front=Want.REQUIRED, rear=Want.NONE, bass=Want.NONE, deadening=Want.NONE)
"""A brief for front speakers alone, on a unit that drives them to the full."""


def steps(*caps: int, weights: Sequence[float] = ()) -> tuple[Tier, ...]:
    """Tiers of exactly these caps."""
    given = weights or [1.0] * len(caps)
    return tuple(
        Tier(name=f"T{number}", budget=cap, allowance=Fraction(0), step_weight=weight)
        for number, (cap, weight) in enumerate(zip(caps, given, strict=True), start=1)
    )


def shop(products: Sequence[Product], brief: Brief, tiers: tuple[Tier, ...], labour: int | None = None) -> Catalogue:
    """A shop with one brief; every piece of work takes an hour."""
    settings = Settings(labour_rate=labour)
    hours = dict.fromkeys(Work, Fraction(1)) if labour else {}
    return stock(*products, briefs=(brief,), tiers=tiers, settings=settings, labour_hours=hours)


def path(catalogue: Catalogue, climbing: Climbing = Climbing.ASIDE) -> Ladder:
    """The path of the one brief."""
    (found,) = solve_all(catalogue, Run(climbing=climbing)).beside.ladders
    return found


def counts(some: Sequence[Pieces]) -> dict[str, int]:
    """Pieces by SKU."""
    return {pieces.sku: pieces.quantity for pieces in some}


def moves(step: LadderStep) -> tuple[dict[str, int], dict[str, int], dict[str, int]]:
    """What is bought, kept and put aside."""
    return counts(step.climbed.bought), counts(step.climbed.kept), counts(step.climbed.aside)


def test_a_pair_put_aside_is_paid_for_all_the_same() -> None:
    """Caps 60 and 160: F1 then F3 scores 10 + 20 and spends 150; alone, F3 is the best within 160 as well."""
    found = path(shop([SMALL, MIDDLE, LARGE], SPEAKERS, steps(60_00, 160_00)))
    first, second = found.steps
    assert moves(first) == ({"F1": 1}, {}, {})
    assert moves(second) == ({"F3": 1}, {}, {"F1": 1})
    assert [step.climbed.spent for step in found.steps] == [50_00, 150_00]
    assert [step.climbed.paid for step in found.steps] == [50_00, 100_00]
    assert [step.lost for step in found.steps] == [0, 0]
    assert (second.climbed.lies_aside, second.more_than_at_once, second.build.total) == (50_00, 50_00, 100_00)
    assert (found.status, found.bound, found.worth) == (Status.OPTIMAL, found.worth, 15_000 + 25_000)


def test_where_every_part_is_kept_nothing_can_take_its_place() -> None:
    """Front takes one pair, so who must keep F1 goes on with it, and pays nothing."""
    found = path(shop([SMALL, MIDDLE, LARGE], SPEAKERS, steps(60_00, 160_00)), Climbing.KEEP)
    assert [moves(step) for step in found.steps] == [({"F1": 1}, {}, {}), ({}, {"F1": 1}, {})]
    assert [step.climbed.paid for step in found.steps] == [50_00, 0]
    assert [step.lost for step in found.steps] == [0, 10_000]


def test_the_money_that_lies_aside_counts_against_the_cap() -> None:
    """Within 149 the third pair is no longer to be had on top of the first; the second is."""
    found = path(shop([SMALL, MIDDLE, LARGE], SPEAKERS, steps(60_00, 149_00)))
    assert moves(found.steps[1]) == ({"F2": 1}, {}, {"F1": 1})
    assert [step.lost for step in found.steps] == [0, 5_000]


def test_a_heavier_step_is_favoured() -> None:
    """Caps 85 and 160: F2 first leaves 80, so F2 stays (15 + 15); F1 first leaves 110 for F3 (10 + 20). Both sum to 30.

    Where they count alike the cheaper in the end is taken, 80 against 150; a weight decides otherwise.
    """
    products = [SMALL, MIDDLE, LARGE]
    alike, later, sooner = (
        path(shop(products, SPEAKERS, steps(85_00, 160_00, weights=weights))) for weights in ((), (1, 1.5), (2.5, 1))
    )
    assert [step.climbed.spent for step in alike.steps] == [80_00, 80_00]
    assert [step.climbed.spent for step in later.steps] == [50_00, 150_00]
    assert [step.climbed.spent for step in sooner.steps] == [80_00, 80_00]
    assert [[step.weight for step in one.steps] for one in (alike, later, sooner)] == [[1, 1], [2, 3], [5, 2]]
    assert later.worth == 2 * 15_000 + 3 * 25_000


def test_weights_are_made_whole_to_three_decimals() -> None:
    assert whole_weights(steps(1, 2, 3, weights=(0.125, 1, 0.25))) == (1, 8, 2)
    assert whole_weights(steps(1, 2, weights=(1, 1))) == (1, 1)
    assert whole_weights(steps(1, 2, weights=(0.001, 1))) == (1, 1000)


def test_a_part_that_comes_back_costs_nothing() -> None:
    """The audit of three steps by hand: F1, then F2, then F1 again."""
    catalogue = shop([SMALL, MIDDLE], SPEAKERS, steps(60_00, 160_00, 160_00))
    one, two = (path(shop([pair], SPEAKERS, steps(90_00, 90_00))).steps[0].build for pair in (SMALL, MIDDLE))
    proposed = [(build.audited.system, build.score, build.total) for build in (one, two, one) if build.audited]
    checked = passed_ladder(
        catalogue, SPEAKERS, car(), catalogue.tiers, proposed, keep=False, spent=(50_00, 130_00, 130_00)
    )
    assert [step.paid for _, step in checked] == [50_00, 80_00, 0]
    assert counts(checked[2][1].kept) == {"F1": 1}
    assert counts(checked[2][1].aside) == {"F2": 1}


FITTED = replace(SPEAKERS, fitted=True)
POWERED = wants(front=Want.NONE, rear=Want.NONE, bass=Want.REQUIRED, deadening=Want.OPTIONAL, fitted=True)


def test_fitting_is_paid_for_what_is_newly_fitted() -> None:
    """At 10 an hour: F1 with its fitting 60, then F3 with its own 110. At once F3 would be 110, so 60 more is paid."""
    found = path(shop([SMALL, MIDDLE, LARGE], FITTED, steps(60_00, 170_00), labour=10_00))
    assert [step.climbed.labour for step in found.steps] == [10_00, 10_00]
    assert [step.climbed.spent for step in found.steps] == [60_00, 170_00]
    assert found.steps[1].more_than_at_once == 60_00


def test_fitting_that_stands_is_not_paid_again_and_deadening_only_for_what_is_added() -> None:
    """A powered subwoofer, its kit and lead at 270, fitted for 10; 0.8 m2 of deadening at 25 is fitted for 8."""
    half = sheet(price=25_00, sheet_m2=0.8)
    catalogue = shop([powered(), power_kit(), lead(), half], POWERED, steps(313_00, 346_00), labour=10_00)
    found = path(catalogue)
    assert moves(found.steps[0]) == ({"P": 1, "K": 1, "L": 1, "D": 1}, {}, {})
    assert moves(found.steps[1]) == ({"D": 1}, {"P": 1, "K": 1, "L": 1, "D": 1}, {})
    assert [step.climbed.labour for step in found.steps] == [18_00, 8_00]
    assert [step.climbed.spent for step in found.steps] == [313_00, 346_00]
    assert found.steps[1].more_than_at_once == 0


def proposed_of(found: Ladder) -> list[tuple[System, int | None, int | None]]:
    """The systems of a path, as a program proposes them."""
    return [(s.build.audited.system, s.build.score, s.build.total) for s in found.steps if s.build.audited]


@pytest.mark.parametrize(
    ("keep", "spent", "caps", "what"),
    [
        (False, (50_00, 149_99), (60_00, 160_00), "15000"),
        (False, None, (60_00, 149_99), SPENT),
        (False, None, (49_99, 160_00), SPENT),
        (True, None, (60_00, 160_00), NOT_ASIDE),
    ],
)
def test_a_path_that_is_not_as_claimed_is_refused(
    keep: bool,  # noqa: FBT001 - a row of the table
    spent: tuple[int, ...] | None,
    caps: tuple[int, int],
    what: str,
) -> None:
    catalogue = shop([SMALL, MIDDLE, LARGE], SPEAKERS, steps(60_00, 160_00))
    proposed = proposed_of(path(catalogue))
    with pytest.raises(AuditRefusedError, match=what):
        passed_ladder(catalogue, SPEAKERS, car(), steps(*caps), proposed, keep=keep, spent=spent)
    score, total = proposed[0][1:]
    wrong = [(proposed[0][0], (score or 0) + 1, total), proposed[1]]
    with pytest.raises(AuditRefusedError, match="score and total"):
        passed_ladder(catalogue, SPEAKERS, car(), steps(60_00, 160_00), wrong, keep=False)


def test_each_step_carries_the_checks_of_the_path() -> None:
    found = path(shop([SMALL, LARGE], SPEAKERS, steps(60_00, 160_00)), Climbing.KEEP)
    for step in found.steps:
        rules = [check.rule for check in step.build.audited.checks] if step.build.audited else []
        assert rules[-2:] == [SPENT, NOT_ASIDE]


def test_the_path_starts_where_a_cap_buys_a_system_and_goes_up_by_cap() -> None:
    """The sheet has the tiers in another order, and the lowest buys nothing."""
    low, high, middle = steps(10_00, 160_00, 60_00)
    found = path(shop([SMALL, LARGE], SPEAKERS, (low, high, middle)))
    assert [step.build.tier for step in found.steps] == [middle, high]
    assert found.skipped == (low,)


@pytest.mark.parametrize(
    ("products", "caps", "why"),
    [
        ([SMALL], (10_00, 60_00), NoLadder.ONE_TIER),
        ([SMALL], (10_00, 20_00), NoLadder.NO_SYSTEM),
        ([SMALL], (60_00,), NoLadder.ONE_TIER),
    ],
)
def test_why_there_is_no_path(products: list[Product], caps: tuple[int, ...], why: NoLadder) -> None:
    found = path(shop(products, SPEAKERS, steps(*caps)))
    assert (found.why_not, found.steps) == (why, ())


def test_a_brief_for_several_vehicles_has_no_path() -> None:
    catalogue = shop([SMALL, LARGE], SPEAKERS, steps(60_00, 160_00))
    kit = replace(SPEAKERS, vehicle="", vehicles=("Marl Estate",))
    builds = [replace(build, brief=kit) for build in solve_all(catalogue, Run()).builds]
    (found,) = ladders(catalogue, builds, Solver(), keep=False)
    assert (found.why_not, found.vehicle) == (NoLadder.SEVERAL_VEHICLES, None)


def test_in_no_time_at_all_nothing_is_found_and_nothing_called_impossible() -> None:
    catalogue = shop([SMALL, LARGE], SPEAKERS, steps(60_00, 160_00))
    (found,) = ladders(catalogue, solve_all(catalogue, Run()).builds, Solver(), 1e-9, keep=False)
    assert (found.status, found.why_not, found.steps) == (Status.TIME_LIMIT, NoLadder.NO_TIME, ())
    assert found.bound == 15_000 + 25_000  # no step can score more than its tier's own best


def test_no_path_is_looked_for_unless_asked() -> None:
    catalogue = shop([SMALL, LARGE], SPEAKERS, steps(60_00, 160_00))
    assert solve_all(catalogue, Run()).beside.ladders == ()


def test_a_replaced_head_unit_is_fitted_once() -> None:
    """With a brief that replaces it the source's work is paid at the first step alone."""
    brief = replace(FITTED, head_unit=HeadUnitMode.REPLACE)
    found = path(shop([SMALL, LARGE, head_unit(), fascia()], brief, steps(180_00, 300_00), labour=10_00))
    assert [step.climbed.labour for step in found.steps] == [20_00, 10_00]
    assert moves(found.steps[1])[1] == {"H": 1, "X": 1}
