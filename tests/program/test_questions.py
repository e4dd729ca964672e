"""What further questions rest on: goals in a row, programs side by side, pieces counted out, watched products."""

from __future__ import annotations

import random
from itertools import product
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Status
from budgetbuild.catalogue.kinds import Location, Want
from budgetbuild.program.candidates import candidates
from budgetbuild.program.constraints import Row
from budgetbuild.program.goals import Goal, achieve
from budgetbuild.program.joint import side_by_side
from budgetbuild.program.layout import Column
from budgetbuild.program.offer import Offer
from budgetbuild.program.options import Option
from budgetbuild.program.pieces import counted, counted_out, pieces
from budgetbuild.program.program import Decisions, budget_cap, extended, formulate
from budgetbuild.program.solve import best, read_off
from budgetbuild.program.solver import Answer, Clock, Solver, minimise
from budgetbuild.program.speakers import sounders
from tests.oracle.catalogues import random_catalogue
from tests.program.small import front, stock, wants

if TYPE_CHECKING:
    from collections.abc import Sequence

SEEDS = range(40)
SOLVER = Solver()


def drawn(seed: int) -> tuple[Decisions, list[list[float]]]:
    """A random program of a few columns, some of which may be 2 or 3, and three goals."""
    rng = random.Random(seed)  # noqa: S311 - test data, no secrets
    size = rng.randint(4, 7)
    columns = tuple(Column("toy", Option((), 0), 0, 0, rng.choice((1, 1, 2, 3))) for _ in range(size))
    rows = tuple(
        Row(f"r{n}", [(i, float(rng.choice((1, 2, -1)))) for i in range(size)], float(rng.randint(0, 2)), None)
        for n in range(2)
    )
    goals = [[float(rng.randint(-3, 6)) * (column.most == 1) for column in columns] for _ in range(3)]
    return Decisions(columns, rows), goals


def least_by_trying(decisions: Decisions, goals: Sequence[Sequence[float]]) -> tuple[float, ...] | None:
    """The goals of the best choice in order, by trying every one."""
    found = [
        tuple(sum(cost * x for cost, x in zip(goal, values, strict=True)) for goal in goals)
        for values in product(*(range(column.most + 1) for column in decisions.columns))
        if all(sum(c * values[i] for i, c in row.terms) >= (row.low or 0) for row in decisions.rows)
    ]
    return min(found, default=None)


@pytest.mark.parametrize("seed", SEEDS)
def test_goals_in_a_row_equal_trying_every_choice(seed: int) -> None:
    decisions, goals = drawn(seed)
    expected = least_by_trying(decisions, goals)
    held = list(decisions.rows)
    for number, goal in enumerate(goals):
        told = achieve(decisions, held[len(decisions.rows) :], [Goal("toy", goal)], SOLVER, Clock())
        if expected is None:
            assert told.status is Status.INFEASIBLE
            return
        assert told.bound == expected[number]
        held.append(Row("held", [(i, cost) for i, cost in enumerate(goal) if cost], None, expected[number] + 0.5))


@pytest.mark.parametrize("seed", range(12))
def test_programs_side_by_side_are_each_as_good_as_alone(seed: int) -> None:
    catalogue, brief, vehicle, cap = random_catalogue(seed)
    program = formulate(candidates(Offer(catalogue, brief, vehicle)))
    caps = [cap, 2 * cap]
    alone = [best(program, cap, SOLVER, Clock()) for cap in caps]
    joint = side_by_side([program, program])
    budgets = [
        Row(f"cap_{n}", joint.shifted(n, budget_cap(program, cap).terms), None, cap) for n, cap in enumerate(caps)
    ]
    goals = [Goal("score", [-points for points in joint.points]), Goal("price", joint.prices)]
    told = achieve(joint, budgets, goals, SOLVER, Clock())
    if any(one.system is None for one in alone):
        assert told.status is Status.INFEASIBLE
        return
    found = [read_off(program, joint.own(n, told.chosen)) for n in range(2)]
    assert [system for system, _, _ in found] == [one.system for one in alone]


@pytest.mark.parametrize("wanted", range(6))
def test_counting_columns_say_how_many_pieces_there_are(wanted: int) -> None:
    bought = [Column("toy", Option((), 0)) for _ in range(3)]
    terms = [(0, 1.0), (1, 1.0), (2, 3.0)]
    counts, rows = counted("toy", terms, 5, 3)
    decisions = extended(Decisions(tuple(bought), ()), counts, [*rows, Row("wanted", terms, wanted, wanted)])
    found = minimise(SOLVER, decisions.rows, [0.0] * 8, Clock())
    assert found.answer is Answer.PROVEN
    assert [i for i in found.chosen if i >= 3] == list(range(3, 3 + wanted))


@pytest.mark.parametrize("seed", range(12))
def test_pieces_of_a_choice_are_those_of_its_system(seed: int) -> None:
    catalogue, brief, vehicle, cap = random_catalogue(seed)
    program = formulate(candidates(Offer(catalogue, brief, vehicle)))
    quantities = pieces(program.columns)
    places, columns, rows = counted_out(quantities, dict.fromkeys(quantities, 12), len(program.columns))
    wider = extended(program, columns, rows)
    choice = achieve(wider, [budget_cap(wider, cap)], [Goal("score", [-p for p in wider.points])], SOLVER, Clock())
    if not choice.found:
        assert best(program, cap, SOLVER, Clock()).system is None
        return
    system, _, _ = read_off(wider, choice.chosen)
    told = {sku: sum(i in choice.chosen for i in at) for sku, at in places.items()}
    bought = {sku: sum(part.quantity for part in system.parts if part.sku == sku) for sku in told}
    assert told == bought


@pytest.mark.parametrize("seed", range(16))
def test_watched_products_stay_and_the_best_build_is_the_same(seed: int) -> None:
    catalogue, brief, vehicle, cap = random_catalogue(seed)
    everything = frozenset(catalogue.by_sku())
    plain = formulate(candidates(Offer(catalogue, brief, vehicle)))
    watched = formulate(candidates(Offer(catalogue, brief, vehicle, watched=everything)))
    assert set(pieces(plain.columns)) <= set(pieces(watched.columns))
    assert best(plain, cap, SOLVER, Clock()) == best(watched, cap, SOLVER, Clock())


def test_a_watched_product_that_another_makes_superfluous_can_still_be_taken() -> None:
    catalogue = stock(front(sku="A-CHEAP", price=500), front(sku="B-DEAR", price=900))
    brief = wants(front=Want.REQUIRED)
    for watched, kept in ((set(), {"A-CHEAP"}), ({"B-DEAR"}, {"A-CHEAP", "B-DEAR"})):
        offer = Offer(catalogue, brief, catalogue.vehicle(brief.vehicle), watched=frozenset(watched))
        assert {part.sku for one in sounders(offer, Location.FRONT) for part in one.parts} == kept
