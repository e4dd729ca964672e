"""Bounds that prices of the rows prove, relaxations over few columns, and claims of what the best choice is worth."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.program import exact, highs
from budgetbuild.program.constraints import Row
from budgetbuild.program.exact import optimise
from budgetbuild.program.matrix import matrix_of
from budgetbuild.program.model import Model
from budgetbuild.program.solve import Worth, best
from budgetbuild.program.solver import Answer, Clock, Solution, Solver, minimise
from tests.oracle.catalogues import random_catalogue
from tests.oracle.knobs import PROFILES
from tests.program.small import program_of

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from budgetbuild.program.matrix import Floats

LIMITS = (1, 2)
"""How many of the cheapest columns of each row start, in tests of relaxations over few columns."""


def drawn(seed: int, size: int = 7) -> tuple[list[Row], list[float], dict[int, int]]:
    """Random rows, costs, and columns that may be more than 1."""
    rng = random.Random(seed)  # noqa: S311 - test data, no secrets
    rows = []
    for number in range(rng.randint(2, 6)):
        terms = [(i, float(rng.choice((1, 1, 2, 3, -1, -2)))) for i in range(size) if rng.random() < 0.6]
        middle = float(rng.randint(0, 4))
        low, high = rng.choice(((middle, None), (None, middle), (middle, middle), (middle, middle + 2)))
        rows.append(Row(f"r{number}", terms, low, high))
    return rows, [float(rng.randint(-20, 60)) for _ in range(size)], {rng.randrange(size): 2}


def choices(rows: Sequence[Row], most: dict[int, int], size: int) -> list[tuple[int, ...]]:
    """Every choice of whole numbers that keeps the rows."""
    return [x for x in product(*(range(most.get(i, 1) + 1) for i in range(size))) if all(keeps(row, x) for row in rows)]


def keeps(row: Row, x: Sequence[int]) -> bool:
    """Whether a choice keeps a row."""
    total = sum(coefficient * x[i] for i, coefficient in row.terms)
    return (row.low is None or total >= row.low) and (row.high is None or total <= row.high)


def model_of(rows: Sequence[Row], costs: Sequence[float], most: dict[int, int]) -> Model:
    """The same as arrays."""
    mosts = np.array([most.get(i, 1) for i in range(len(costs))], dtype=np.float64)
    return Model(matrix_of(rows), np.array(costs), mosts)


@given(seed=st.integers(0, 10**6), prices=st.lists(st.floats(-50, 50), min_size=6, max_size=6))
def test_whatever_prices_are_put_on_the_rows_the_bound_holds(seed: int, prices: list[float]) -> None:
    """No choice costs less than the bound, and none with a column less than the bound and its reduced cost."""
    rows, costs, most = drawn(seed)
    bound, reduced = model_of(rows, costs, most).bound(np.array(prices[: len(rows)]))
    for x in choices(rows, most, len(costs)):
        cost = sum(count * c for count, c in zip(x, costs, strict=True))
        assert cost >= bound - 1e-6
        assert all(cost >= bound + more - 1e-6 for count, more in zip(x, reduced, strict=True) if count)


def test_a_bound_with_its_figures_worked_out_by_hand() -> None:
    """2 x + 3 y >= 3 at 2/3 each, x + y <= 1 at -1: 2 - 1, x costs 3 - 4/3 + 1, y 2 - 2 + 1."""
    rows = [Row("three", [(0, 2.0), (1, 3.0)], 3, None), Row("one", [(0, 1.0), (1, 1.0)], None, 1)]
    bound, reduced = model_of(rows, [3.0, 2.0], {}).bound(np.array([2 / 3, -1.0]))
    assert bound == pytest.approx(1.0)
    assert reduced == pytest.approx([8 / 3, 1.0])
    wrong_signs, _ = model_of(rows, [3.0, 2.0], {}).bound(np.array([-5.0, 7.0]))
    assert wrong_signs == 0.0


def test_a_bound_counts_a_column_as_often_as_it_may_be_taken() -> None:
    """At no prices at all the bound is what all columns of a negative cost come to."""
    assert model_of([Row("free", [(0, 1.0)], 0, 9)], [-3.0, 2.0], {0: 4}).bound(np.array([0.0]))[0] == -12.0


@pytest.mark.parametrize("start", LIMITS)
@given(seed=st.integers(0, 10**6))
def test_a_relaxation_over_few_columns_is_that_over_all(start: int, seed: int) -> None:
    """The same answer and the same least cost; reduced costs that prove it."""
    rows, costs, most = drawn(seed, 25)
    plain = minimise(Solver(), rows, costs, Clock(), relaxed=True, most=most)
    with patch.object(highs, "FEW", 0), patch.object(highs, "CHEAPEST", start), patch.object(highs, "AT_ONCE", 3):
        sifted = minimise(Solver(), rows, costs, Clock(), relaxed=True, most=most)
    assert sifted.answer is plain.answer
    if plain.answer is Answer.PROVEN:
        assert sifted.value == pytest.approx(plain.value, abs=1e-6)
        assert sifted.value == pytest.approx(
            minimise(Solver("cbc"), rows, costs, Clock(), relaxed=True, most=most).value, abs=1e-4
        )


@given(seed=st.integers(0, 10**6))
def test_reduced_costs_of_a_relaxation_over_few_columns_rule_nothing_out_that_is_needed(seed: int) -> None:
    """Every choice costs at least the bound and the reduced cost of each of its columns."""
    rows, costs, most = drawn(seed)
    with patch.object(highs, "FEW", 0), patch.object(highs, "CHEAPEST", 1):
        found = minimise(Solver(), rows, costs, Clock(), relaxed=True, most=most)
    for x in choices(rows, most, len(costs)):
        cost = sum(count * c for count, c in zip(x, costs, strict=True))
        assert cost >= found.bound - 1e-6
        assert all(cost >= found.bound + more - 1e-6 for count, more in zip(x, found.reduced, strict=True) if count)


def test_others_join_where_the_cheapest_columns_do_not_do() -> None:
    """Ten is asked for, and the cheapest three make three."""
    rows = [Row("ten", [*((i, 1.0) for i in range(5)), (5, 10.0)], 10, None)]
    with patch.object(highs, "FEW", 0):
        found = minimise(Solver(), rows, [1.0] * 5 + [90.0], Clock(), relaxed=True)
    assert found.value == pytest.approx(5 + 45)


def test_few_of_many_columns_take_part(monkeypatch: pytest.MonkeyPatch) -> None:
    """Forty classes of a hundred, one of each, with room for three quarters: the solver sees a tenth of them."""
    rng = random.Random(5)  # noqa: S311 - test data, no secrets
    points = [[rng.randint(1, 10**4) for _ in range(100)] for _ in range(40)]
    weight = [(i, float(rng.randint(1, 10**4))) for i in range(4000)]
    rows = [Row(f"class{i}", [(100 * i + j, 1.0) for j in range(100)], 1, 1) for i in range(40)]
    costs = [-float(p) for some in points for p in some]
    seen: list[int] = []
    spread = highs.Stated.spread

    def counted(stated: highs.Stated, values: Floats) -> Floats:
        seen.append(len(stated.taking))
        return spread(stated, values)

    monkeypatch.setattr(highs.Stated, "spread", counted)
    room = [*rows, Row("room", weight, None, 150_000)]
    sifted = minimise(Solver(), room, costs, Clock(), relaxed=True)
    with patch.object(highs, "FEW", 10**6):
        plain = minimise(Solver(), room, costs, Clock(), relaxed=True)
    assert sifted.value == pytest.approx(plain.value)
    assert seen[0] < 1000 < seen[1] == 4000


@given(seed=st.integers(0, 10**6))
def test_claims_never_change_the_optimum(seed: int) -> None:
    """Claimed as it is, worse, or better than can be: the same least cost, and every column of such a choice."""
    rows, costs, _ = drawn(seed)
    costs = [cost * 50 for cost in costs]
    costs_of = [sum(count * c for count, c in zip(x, costs, strict=True)) for x in choices(rows, {}, len(costs))]
    least = min(costs_of, default=None)
    for claimed in (
        (0, -1000) if least is None else map(round, (least, least + 1, least + 500, least - 1, least - 60, -1e6))
    ):
        found = optimise(Solver(), rows, costs, Clock(), claimed=claimed)
        assert (found.solution.answer is Answer.IMPOSSIBLE) == (least is None)
        if least is not None:
            assert found.solution.answer is Answer.PROVEN
            assert found.solution.value == pytest.approx(least, abs=1e-6)
            of_best = [
                x for x in choices(rows, {}, len(costs)) if sum(c * n for c, n in zip(costs, x, strict=True)) == least
            ]
            assert all(i in found.useful for x in of_best for i, count in enumerate(x) if count)


def test_a_true_claim_is_proven_in_one_step() -> None:
    """Beside the relaxation one call to the solver: that is what claims are for."""
    rng = random.Random(8)  # noqa: S311 - test data, no secrets
    costs = [-float(rng.randint(100, 999)) for _ in range(30)]
    rows = [Row("weight", [(i, float(rng.randint(100, 999))) for i in range(30)], None, 5000)]
    least = round(optimise(Solver(), rows, costs, Clock()).solution.value)
    took: list[int] = []

    def counted(
        solver: Solver, rows: Sequence[Row], costs: Sequence[float], clock: Clock, *, keep: Collection[int], **how: bool
    ) -> Solution:
        took.append(len(keep))
        return minimise(solver, rows, costs, clock, keep=keep, **how)  # type: ignore[arg-type]

    with patch.object(exact, "minimise", counted):
        found = optimise(Solver(), rows, costs, Clock(), first_step=1e-6, claimed=least)
    assert round(found.solution.value) == least
    assert len(took) == 2
    assert took[1] < took[0] == 30


@pytest.mark.parametrize("profile", PROFILES)
def test_builds_are_the_same_whatever_they_are_claimed_to_be_worth(profile: str) -> None:
    """As they are, a little or far worse, a little or far better, in score or in price."""
    for seed in range(40, 44):
        catalogue, brief, _, cap = random_catalogue(seed, profile)
        program = program_of(catalogue, brief)
        found = best(program, cap, Solver(), Clock())
        true = Worth(found.score or 0, found.total or 0)
        for more, dearer in ((0, 0), (-1, 0), (1, 0), (0, 1), (0, -1), (-9000, 5000), (9000, -5000), (10**6, -(10**6))):
            claimed = Worth(true.score + more, true.total + dearer)
            assert best(program, cap, Solver(), Clock(), claimed) == found, (seed, claimed)
        assert best(program, cap, Solver("cbc"), Clock(), true) == replace(found, bound=found.bound)
