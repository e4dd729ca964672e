"""Upgrade paths: the program against trying every sequence of systems, and what makes some products superfluous."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

import pytest

from budgetbuild.audit.ladder import passed_ladder
from budgetbuild.build import Status
from budgetbuild.catalogue.shop import Tier
from budgetbuild.program import exact, ladder
from budgetbuild.program.candidates import candidates
from budgetbuild.program.ladder import Path, Rung, best_path, climb, step_by_step
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import Program, formulate
from budgetbuild.program.solver import Answer, Clock, Solution, Solver, minimise
from budgetbuild.program.superfluous import apart, superfluous
from tests.oracle.knobs import PROFILES
from tests.oracle.ladder import Climb, Told, tiny
from tests.program.small import box, car, driver, fascia, lead, power_kit, skus, stock, wants

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Climbed
    from budgetbuild.catalogue.items import Product

SOLVER = Solver()
CASES = [
    (profile, seed, steps, keep)
    for number, profile in enumerate(PROFILES, start=30)
    for seed, steps, keep in ((number, 2, False), (number, 2, True), (number, 3, bool(number % 2)))
]
MANY = [
    (profile, seed, steps, keep)
    for profile in PROFILES
    for seed in range(100, 102)
    for steps in (2, 3)
    for keep in (False, True)
]
Case = tuple[str, int, int, bool]


class Found(NamedTuple):
    """A question, brute force's answer and the program's."""

    asked: Climb
    best: Told | None
    path: Path


def program_of(asked: Climb) -> Program:
    """The program of one step."""
    return formulate(candidates(apart(Offer(asked.catalogue, asked.brief, asked.vehicle))))


def rungs_of(asked: Climb) -> list[Rung]:
    """The steps as the program takes them."""
    return [Rung(cap, weight) for cap, weight in zip(asked.caps, asked.weights, strict=True)]


@cache
def found(case: Case) -> Found:
    """Both answers."""
    profile, seed, steps, keep = case
    asked = tiny(seed, profile, steps, keep=keep)
    path = best_path(program_of(asked), rungs_of(asked), SOLVER, Clock(), keep=keep)
    return Found(asked, asked.best(), path)


def told(path: Path) -> Told | None:
    """The program's answer as brute force says it."""
    if path.status is Status.INFEASIBLE:
        return None
    assert path.spent is not None
    used = tuple(sorted(sku for step in path.steps for sku in skus(step.system)))
    return Told(-(path.worth or 0), tuple(reversed(path.spent)), len(used), used)


def audited(asked: Climb, path: Path) -> tuple[Climbed, ...]:
    """What the audit makes of the path's steps; it raises where it finds fault."""
    tiers = [Tier(name=f"step {cap}", budget=cap, allowance=Fraction(0)) for cap in asked.caps]
    proposed = [(step.system, step.score, step.total) for step in path.steps if step.system]
    checked = passed_ladder(
        asked.catalogue, asked.brief, asked.vehicle, tiers, proposed, keep=asked.keep, spent=path.spent
    )
    return tuple(climbed for _, climbed in checked)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_it_finds_what_trying_every_sequence_finds(case: Case) -> None:
    """Same weighted sum, same money at every step, same parts, also where several are equal; the audit agrees."""
    asked, best, path = found(case)
    assert told(path) == best
    if path.steps:
        audited(asked, path)


@pytest.mark.slow
@pytest.mark.parametrize("case", MANY, ids=str)
def test_it_finds_what_trying_every_sequence_finds_in_many_more(case: Case) -> None:
    asked, best, path = found(case)
    assert told(path) == best
    if path.steps:
        audited(asked, path)


def test_the_questions_are_varied() -> None:
    """Parts are put aside and kept; some briefs are fitted; some steps count more; some questions have no answer."""
    answers = [found(case) for case in CASES]
    steps = [audited(one.asked, one.path) for one in answers if one.path.steps]
    assert sum(one.best is None for one in answers) in range(1, len(answers) // 3)
    assert sum(any(step.aside for step in path) for path in steps) >= 4
    assert sum(any(step.kept for step in path[1:]) for path in steps) >= 20
    assert sum(one.asked.brief.fitted and bool(one.path.steps) for one in answers) >= 10
    assert sum(len(set(one.asked.weights)) > 1 for one in answers) >= 20


@pytest.mark.parametrize("case", CASES[:40:3], ids=str)
def test_keeping_everything_is_never_worth_more(case: Case) -> None:
    asked, _, path = found(case)
    if not path.steps:
        return
    free, kept = (best_path(program_of(asked), rungs_of(asked), SOLVER, Clock(), keep=keep) for keep in (False, True))
    assert (kept.worth or 0) <= (free.worth or 0)
    assert all(earlier.score <= later.score for earlier, later in pairwise(free.steps) if earlier.score and later.score)


def test_without_what_stands_apart_nothing_better_is_found() -> None:
    """The same path is worth no more where every product may be used, also those that another stands in for."""
    for case in CASES[::5]:
        asked, _, path = found(case)
        every = Offer(asked.catalogue, asked.brief, asked.vehicle, watched=frozenset(asked.catalogue.by_sku()))
        assert told(best_path(formulate(candidates(every)), rungs_of(asked), SOLVER, Clock(), keep=asked.keep)) == told(
            path
        )


def barred(*products: Product) -> frozenset[str]:
    """Those of a shop's products that no path needs."""
    return superfluous(Offer(stock(*products), wants(), car()))


@pytest.mark.parametrize(
    ("products", "needless"),
    [
        ([power_kit(), power_kit(sku="K2", price=41_00)], {"K2"}),
        ([power_kit(), power_kit(sku="K2", price=41_00, amplifiers_fed=2)], set()),
        ([power_kit(), power_kit(sku="K2", price=41_00, fuse_a=80.0)], set()),
        ([lead(), lead(sku="L2", price=31_00)], {"L2"}),
        ([lead(), lead(sku="L2", price=31_00, channels=4)], set()),
        ([box(), driver(), box(sku="O2", price=61_00)], {"O2"}),
        ([box(), driver(), box(sku="O2", price=61_00, cutout_mm=300.0), driver(sku="S2", size_mm=300.0)], set()),
        ([fascia(), fascia(sku="X2", price=11_00)], {"X2"}),
        ([fascia(sku="X2"), fascia()], {"X2"}),
    ],
)
def test_a_product_is_superfluous_only_where_another_serves_wherever_it_does(
    products: Sequence[Product], needless: set[str]
) -> None:
    """A lead of more channels is no stand-in: it could make another lead one too many."""
    assert barred(*products) == needless


def test_climbing_by_hand_is_a_path_to_beat() -> None:
    """It keeps every cap and is worth no more than the best."""
    for case in CASES[::7]:
        asked, _, path = found(case)
        by_hand = step_by_step(program_of(asked), rungs_of(asked), SOLVER, Clock(), keep=asked.keep)
        assert (by_hand.answer is Answer.PROVEN) == bool(path.steps)
        if path.steps:
            assert -round(by_hand.value) <= (path.worth or 0)
            whole = climb(program_of(asked), rungs_of(asked), keep=asked.keep)
            chosen = set(by_hand.chosen)
            for row in [*whole.joint.rows, *ladder.caps(whole)]:
                value = sum(figure for i, figure in row.terms if i in chosen)
                assert (row.low or 0.0) <= value + 1e-6 or row.low is None
                assert row.high is None or value <= row.high + 1e-6


def test_a_path_stopped_early_is_told_with_its_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """Time runs out once a path by hand is there: that is proposed, not called the best, and its bound holds."""
    case = next(case for case in CASES if found(case).path.steps)
    asked, _, best = found(case)
    program, rungs = program_of(asked), rungs_of(asked)
    by_hand = step_by_step(program, rungs, SOLVER, Clock(), keep=asked.keep)
    monkeypatch.setattr(ladder, "step_by_step", lambda *_, **__: by_hand)

    def relaxed_only(*arguments: Any, **named: Any) -> Solution:  # noqa: ANN401 - any argument of a solver call
        return minimise(*arguments, **named) if named.get("relaxed") else Solution(Answer.UNKNOWN)

    monkeypatch.setattr(exact, "minimise", relaxed_only)
    path = best_path(program, rungs, SOLVER, Clock(), keep=asked.keep)
    assert path.status is Status.TIME_LIMIT
    assert path.spent is None
    assert path.worth == -round(by_hand.value)
    assert path.bound is not None
    assert path.bound >= (best.worth or 0) >= (path.worth or 0)
