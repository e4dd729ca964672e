"""Figures that are hard on a solver: program, budget curve and brute force find the same all the same."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, Want
from budgetbuild.catalogue.shop import Brief, Catalogue, Tier
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.program import highs
from budgetbuild.program.constraints import Row
from budgetbuild.program.matrix import matrix_of
from budgetbuild.program.model import Model
from budgetbuild.program.solver import FINE, FINER, USUAL, Clock, Solver, minimise
from budgetbuild.program.split import DIGIT, LARGE, split
from tests.program import small
from tests.program.small import skus
from tests.solver.nasty import DEAREST, KINDS, disagreements

if TYPE_CHECKING:
    from budgetbuild.program.model import Returned

SEEDS = range(1, 3)
MANY = 10_000


@pytest.mark.parametrize("kind", KINDS)
def test_all_roads_find_the_same(kind: str) -> None:
    """At the cheapest and the dearest breakpoint and at others, a cent below each, at a cent and beyond all."""
    assert [line for seed in SEEDS for line in disagreements(kind, seed, most=1)] == []


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("solver", ["highs", "cbc"])
def test_all_roads_find_the_same_of_more(kind: str, solver: str) -> None:
    """With the other solver too."""
    assert [line for seed in range(3, 6) for line in disagreements(kind, seed, solver, most=1)] == []


@given(seed=st.integers(0, 10**6))
def test_a_row_of_large_figures_says_the_same_when_it_is_split(seed: int) -> None:
    """Every choice that keeps it has a carry that keeps both halves, and no other has."""
    rng = random.Random(seed)  # noqa: S311 - test data, no secrets
    figures = [
        float(rng.choice((1, 10, 99_999, DIGIT, LARGE, 99_999_99, DEAREST - rng.randint(0, 2)))) for _ in range(5)
    ]
    cap = sum(rng.sample(figures, 3)) - rng.randint(0, 1)
    rows = [Row("cap", list(enumerate(figures)), None, cap), Row("one", [(0, 1.0), (1, 1.0)], 1, None)]
    model = Model(matrix_of(rows), np.zeros(5), np.array([1.0, 1.0, 1.0, 1.0, 2.0]))
    parts = split(model)
    carries = range(int(parts.most[5]) + 1) if len(parts.most) > 5 else None
    for x in product((0.0, 1.0), (0.0, 1.0), (0.0, 1.0), (0.0, 1.0), (0.0, 1.0, 2.0)):
        carry = (
            []
            if carries is None
            else [max(0.0, float(carries[-1]) - sum(f // DIGIT * n for f, n in zip(figures, x, strict=True)))]
        )
        assert parts.keeps(np.array([*x, *carry])) == model.keeps(np.array(x))
        if carries is not None and not model.keeps(np.array(x)):
            assert not any(parts.keeps(np.array([*x, float(c)])) for c in {0, 1, carries[-1], *rng.sample(carries, 1)})


def test_figures_that_a_solver_tells_apart_stay_as_they_are() -> None:
    """Also those of both signs, and a row that asks for something."""
    rows = [
        Row("small", [(0, 1.0), (1, 9_999_99.0)], None, 5),
        Row("signs", [(0, -1.0), (1, 99_999_99.0)], None, 5),
        Row("asks", [(0, 1.0), (1, 99_999_99.0)], 5, None),
        Row("parts", [(0, 0.5), (1, 99_999_99.0)], None, 5),
        Row("none", [(0, 1.0), (1, 99_999_99.0)], None, -1),
    ]
    model = Model(matrix_of(rows), np.zeros(2), np.ones(2))
    assert split(model) is model


@pytest.mark.parametrize("name", ["highs", "cbc"])
@pytest.mark.parametrize("dear", [99_999_99, DEAREST])
def test_a_cent_decides_beside_a_fortune(name: str, dear: int) -> None:
    """Two of three for a cap that two of them meet to the cent, and the dearer ones miss by one."""
    prices, points = [dear, dear, dear + 1, 1], [3.0, 2.0, 5.0, 1.0]
    two = Row("two", [(i, 1.0) for i in range(3)], 2, None)

    def chosen(cap: int) -> tuple[int, ...]:
        held = Row("cap", [(i, float(price)) for i, price in enumerate(prices)], None, cap)
        return minimise(Solver(name), [two, held], [-p for p in points], Clock()).chosen

    assert chosen(2 * dear) == (0, 1)
    assert chosen(2 * dear + 1) == (0, 2)
    assert chosen(2 * dear + 2) == (0, 2, 3)
    assert chosen(2 * dear - 1) == ()


def test_a_solver_is_told_to_be_finer_only_where_its_choice_cannot_be(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fineness costs time, and too much of it rules out true choices."""
    asked: list[float] = []
    by_highs = highs.solved

    def noting(model: Model, **options: Any) -> Returned:  # noqa: ANN401 - options of HiGHS
        asked.append(options.get("mip_feasibility_tolerance", USUAL))
        came = by_highs(model, **options)
        return replace(came, values=came.values * 0) if asked[-1] > FINER[1] else came

    monkeypatch.setattr(highs, "solved", noting)
    row, costs = Row("two", [(i, 1.0) for i in range(3)], 2, None), [3.0, 2.0, 4.0]
    assert minimise(Solver(), [row], costs, Clock()).value == 5.0
    assert asked == [USUAL, USUAL, FINER[0], FINER[1]]
    asked.clear()
    assert minimise(Solver(fine=True), [row], costs, Clock()).value == 5.0
    assert asked == [FINE]


PRODUCTS = (
    small.head_unit(), small.fascia(), small.aerial(), small.front(), small.rear(), small.enclosure(), small.powered(),
    small.driver(), small.box(), small.stereo(), small.power_kit(), small.lead(), small.cable(), small.sheet(),
    small.converter(),
)  # fmt: skip
BRIEF = small.wants(head_unit=HeadUnitMode.REPLACE, front=Want.REQUIRED)


def copies(count: int, of: str = "", brief: Brief = BRIEF) -> Catalogue:
    """So many of each product that differ in nothing but the SKU, or of one of them."""
    products = [
        replace(product, sku=f"{product.sku}{number:05d}")
        for product in PRODUCTS
        for number in range(count if of in {"", product.sku} else 1)
    ]
    tier = Tier(name="tier", budget=900_00, allowance=Fraction(0))
    return replace(small.stock(*products), briefs=(brief,), tiers=(tier,))


def answer(catalogue: Catalogue) -> tuple[int | None, int | None, tuple[str, ...]]:
    """Score, total and SKUs of the only build."""
    (build,) = solve_all(catalogue, Run()).builds
    assert build.audited
    return build.score, build.total, skus(build.audited.system)


@pytest.mark.parametrize("of", ["F", "A", "S", "C"])
def test_ten_thousand_of_a_kind_change_nothing(of: str) -> None:
    """The first in SKU order is taken."""
    assert answer(copies(MANY, of)) == answer(copies(1))


@pytest.mark.slow
@pytest.mark.parametrize(
    "brief",
    [BRIEF, replace(BRIEF, one_brand=OneBrand.PREFER), replace(BRIEF, must_include=("F00007",))],
    ids=["plain", "one brand", "must include"],
)
def test_ten_thousand_of_every_kind_change_nothing(brief: Brief) -> None:
    """150,000 products; of those that are asked for by name the one that is."""
    score, total, one_each = answer(copies(8, brief=brief))
    assert answer(copies(MANY, brief=brief)) == (score, total, one_each)
    assert {sku[1:] for sku in one_each} <= {"00000", "00007"}


@pytest.mark.parametrize("cheaper", ["F00000", "F00003", "F00009"])
def test_a_cent_less_decides_between_equals_whatever_the_sku(cheaper: str) -> None:
    catalogue = copies(10, "F")
    speakers = tuple(replace(one, price=one.price - (one.sku == cheaper)) for one in catalogue.speakers)
    _, total, parts = answer(replace(catalogue, speakers=speakers))
    assert total == (answer(catalogue)[1] or 0) - 1
    assert cheaper in parts
