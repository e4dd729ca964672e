"""Dominance and fixing change no answer: with both, with either, with neither, and the budget curve beside them.

Some dozens of instances here, some hundred among the slow tests, 1,000 and more by `python -m tests.laws`.
"""

from __future__ import annotations

from itertools import pairwise
from math import inf
from typing import TYPE_CHECKING

import highspy
import pytest

from budgetbuild.program.constraints import Row
from budgetbuild.program.solver import Answer, Clock, Solver, minimise
from tests.laws.tally import Tally

if TYPE_CHECKING:
    from pathlib import Path

SEED = 7


def tallied(numbers: range) -> Tally:
    """Those instances, compared."""
    tally = Tally()
    for number in numbers:
        tally.add(number, SEED, brute_force=number < 20)
    return tally


@pytest.fixture(scope="module")
def tally() -> Tally:
    """Two of every profile."""
    return tallied(range(44))


def test_every_road_finds_what_the_flat_program_finds(tally: Tally) -> None:
    """Status, score, total, parts and connections; the first twenty also as brute force has them."""
    assert tally.wrong == []
    assert tally.connected_otherwise == []


def test_there_is_something_to_leave_out(tally: Tally) -> None:
    """Dominance drops columns, fixing leaves some out; both of them from most of the medium instances."""
    assert tally.instances == 44
    assert tally.possible >= 25
    assert tally.with_dropped >= 40
    assert tally.with_fixed >= 25
    assert tally.medium == 11
    assert tally.medium_with_both >= 6
    assert tally.columns_dropped > tally.columns_flat / 2
    assert tally.columns_fixed > 500


@pytest.mark.slow
def test_every_road_finds_what_the_flat_program_finds_in_many_cases() -> None:
    """Another 132, six of every profile."""
    tally = tallied(range(44, 176))
    assert tally.wrong == []
    assert tally.connected_otherwise == []


@pytest.mark.parametrize("name", ["cbc", "highs"])
def test_a_possible_program_is_not_called_impossible(name: str, repository: Path) -> None:
    """A flat program of 48 whole columns and 39 rows; brute force, CBC and HiGHS without presolve find 61.795."""
    stated = highspy.Highs()
    stated.silent()
    stated.readModel(str(repository / "tests" / "data" / "highs_presolve_impossible_whole.mps"))
    lp = stated.getLp()
    terms: list[list[tuple[int, float]]] = [[] for _ in range(lp.num_row_)]
    for column, (start, end) in enumerate(pairwise(lp.a_matrix_.start_)):
        for entry in range(start, end):
            terms[lp.a_matrix_.index_[entry]].append((column, lp.a_matrix_.value_[entry]))
    bounds = zip(
        terms, *([x if abs(x) < inf else None for x in side] for side in (lp.row_lower_, lp.row_upper_)), strict=True
    )
    rows = [Row(f"r{i}", some, low, high) for i, (some, low, high) in enumerate(bounds)]
    found = minimise(Solver(name), rows, list(lp.col_cost_), Clock())
    assert found.answer is Answer.PROVEN
    assert round(found.value) == -61_795
