"""Budgets that hold even if prices rise, against published optima: where as many prices may rise as there are roles.

The instance's own figures are then the high prices, whatever the prices are today, and the published optimum is what
can be had for certain (sources: tests/data/knapsack/README.md).
"""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import pytest

from budgetbuild.program.rises import price_ranges
from budgetbuild.program.robust import best_protected, uncertain
from budgetbuild.program.solver import Clock, Solver
from tests.oracle.robust import lowered
from tests.published.catalogues import ROLES, as_problem
from tests.published.test_knapsack import SINGLE_BUDGET, name_of

if TYPE_CHECKING:
    from tests.published.instances import Instance


@pytest.mark.parametrize("instance", SINGLE_BUDGET, ids=name_of)
def test_what_is_certain_whatever_rises_scores_the_published_optimum(instance: Instance) -> None:
    problem = as_problem(instance)
    catalogue = lowered(problem.catalogue, random.Random(instance.name))  # noqa: S311 - test data, no secrets
    question = uncertain(catalogue, problem.brief, problem.vehicle, price_ranges(catalogue))
    proposal = best_protected(question, ROLES, problem.cap, Solver(), Clock())
    assert proposal.score == instance.published_optimum
