"""The program's solving against published optima of knapsack-family problems (sources: tests/data/knapsack/README.md).

Two roads: the bare instance through the program's exact optimisation (linear bound, reduced costs, gaps 0), and
single-budget instances through the whole program as catalogues.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.program import exact
from budgetbuild.program.candidates import candidates
from budgetbuild.program.constraints import Row
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Answer, Clock, Solver
from tests.published.catalogues import as_problem
from tests.published.instances import instances, larger_instances

if TYPE_CHECKING:
    from tests.published.instances import Instance

ALL = instances()
SINGLE_BUDGET = [instance for instance in ALL if len(instance.capacities) == 1]
SOME_SECONDS = frozenset({"I03"})
"""Instances left to the slow part of the suite."""


def name_of(instance: Instance) -> str:
    """The instance's published name, as the test's."""
    return instance.name


def rows_of(instance: Instance) -> list[Row]:
    """One row per class (exactly one option) and per capacity."""
    rows: list[Row] = []
    capacity_terms: list[list[tuple[int, float]]] = [[] for _ in instance.capacities]
    position = 0
    for number, options in enumerate(instance.classes):
        rows.append(Row(f"class{number}", [(position + i, 1) for i in range(len(options))], 1, 1))
        for option in options:
            for terms, use in zip(capacity_terms, option.uses, strict=True):
                if use:
                    terms.append((position, use))
            position += 1
    rows += [Row(f"capacity{i}", terms, None, instance.capacities[i]) for i, terms in enumerate(capacity_terms)]
    return rows


def solved(instance: Instance, solver: Solver) -> int:
    """The value that the program's exact optimisation reaches, added up anew from its choice after checking it."""
    options = [option for each in instance.classes for option in each]
    costs = [-float(option.value) for option in options]
    optimum = exact.optimise(solver, rows_of(instance), costs, Clock())
    assert optimum.solution.answer is Answer.PROVEN
    chosen = [options[i] for i in optimum.solution.chosen]
    assert len(chosen) == len(instance.classes)
    for number, capacity in enumerate(instance.capacities):
        assert sum(option.uses[number] for option in chosen) <= capacity
    return sum(option.value for option in chosen)


@pytest.mark.parametrize("instance", [i for i in ALL if i.name not in SOME_SECONDS], ids=name_of)
def test_exact_optimisation_reaches_the_published_optimum(instance: Instance) -> None:
    assert solved(instance, Solver()) == instance.published_optimum


@pytest.mark.slow
@pytest.mark.parametrize("instance", ALL, ids=name_of)
def test_the_other_solver_reaches_the_published_optimum_too(instance: Instance) -> None:
    assert solved(instance, Solver("cbc")) == instance.published_optimum


@pytest.mark.slow
@pytest.mark.parametrize("instance", [*larger_instances(), *(i for i in ALL if i.name in SOME_SECONDS)], ids=name_of)
def test_exact_optimisation_reaches_the_published_optimum_of_a_larger_instance(instance: Instance) -> None:
    assert solved(instance, Solver()) == instance.published_optimum


@pytest.mark.parametrize("instance", SINGLE_BUDGET, ids=name_of)
def test_an_instance_written_as_a_catalogue_scores_the_published_optimum(instance: Instance) -> None:
    problem = as_problem(instance)
    offer = Offer(problem.catalogue, problem.brief, problem.vehicle)
    proposal = best(formulate(candidates(offer)), problem.cap, Solver(), Clock())
    assert proposal.score == instance.published_optimum
    assert proposal.total is not None
    assert proposal.total <= problem.cap


def test_the_suite_holds_every_family() -> None:
    names = {instance.name for instance in ALL}
    assert len(names) == len(ALL) == 81
    assert {"I01", "I02", "I03", "I05", "I06", "mknap1-7", "sac94-weish30", "Rosetta-unbounded"} <= names
    assert len(SINGLE_BUDGET) == 14
