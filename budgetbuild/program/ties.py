"""Among builds of equal score and price: the first in SKU order, then the simplest way of use.

Order of builds: by the sorted list of their SKUs, each repeated by its quantity; then fewest locations bridged; then
lowest loads; then, so that there is one answer, the first columns. Few ties are listed one by one and compared. Many
are settled by maximising how many are bought of each SKU, one SKU after the other and several at a time, and so on
down the order, which comes to the same.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.program.constraints import Row
from budgetbuild.program.ranks import Rank, bridged, load_rank
from budgetbuild.program.solver import Answer, Clock, Solution, Solver, minimise

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.program.matrix import Matrix
    from budgetbuild.program.program import Decisions

Terms = list[tuple[int, float]]
FEW = 8
"""So many ties are listed; beyond that listing them all could take for ever."""

LARGEST_WEIGHT = 1e5
"""Weights of one step stay below this, far inside what a solver tells apart."""


def first_in_order(
    solver: Solver, program: Decisions, rows: Matrix, found: Solution, useful: Sequence[int], clock: Clock
) -> Solution:
    """The first build in order among those that satisfy `rows` (which fix score and price).

    Args:
        solver: Which solver.
        program: The columns.
        rows: All constraints.
        found: One such build.
        useful: Columns that such builds can use.
        clock: Time left.
    """
    ties, others = [found], rows
    free = [0.0] * len(program.columns)
    while len(ties) <= FEW:
        others = others.and_also([_unlike(program, ties[-1])])
        another = minimise(solver, others, free, clock, keep=useful, most=program.most)
        if another.answer is Answer.IMPOSSIBLE:
            return min(ties, key=lambda tie: order_of(program, tie.chosen))
        if another.answer is not Answer.PROVEN:
            return replace(found, answer=Answer.FEASIBLE)
        ties.append(another)
    return _settle(solver, program, rows, min(ties, key=lambda tie: order_of(program, tie.chosen)), useful, clock)


def _unlike(program: Decisions, tie: Solution) -> Row:
    """Any build but this one: since every part costs something, another build lacks at least one of its columns."""
    bought = [i for i in tie.chosen if program.columns[i].option]
    return Row("unlike", [(i, 1.0) for i in bought], None, len(bought) - 1)


def order_of(program: Decisions, chosen: Sequence[int]) -> tuple[list[str], int, list[Rank]]:
    """What decides between choices of equal score and price: the first in this order comes first."""
    bought = [i for i in chosen if program.columns[i].option]
    options = [option for i in bought if (option := program.columns[i].option)]
    skus = sorted(part.sku for option in options for part in option.parts for _ in range(part.quantity))
    return skus, sum(map(bridged, options)), sorted(_rank(program, i) for i in bought)


def _rank(program: Decisions, i: int) -> Rank:
    return load_rank(program.columns[i].option, i)


def _settle(
    solver: Solver, program: Decisions, rows: Matrix, found: Solution, useful: Sequence[int], clock: Clock
) -> Solution:
    """The first build in order, without listing them; `found` where time runs out."""
    free = [0.0] * len(program.columns)
    settled = rows
    for step in _steps(_ranking(program, useful)):
        costs = list(free)
        for terms, weight in step:
            for column, coefficient in terms:
                costs[column] -= weight * coefficient
        best = minimise(solver, settled, costs, clock, keep=useful, most=program.most)
        if best.answer is not Answer.PROVEN:
            return replace(found, answer=Answer.FEASIBLE)
        found, chosen = best, set(best.chosen)
        values = [sum(coefficient for column, coefficient in terms if column in chosen) for terms, _ in step]
        fixed = zip(step, values, strict=True)
        settled = settled.and_also(Row("settled", terms, value, value) for (terms, _), value in fixed)
    return found


def _ranking(program: Decisions, useful: Sequence[int]) -> Iterator[tuple[Terms, int]]:
    """What is maximised one after the other, with the most that each can reach."""
    counts: dict[str, Terms] = defaultdict(list)
    fewest: Terms = []
    for i in useful:
        column = program.columns[i]
        if column.option is None:
            continue
        for part in column.option.parts:
            counts[part.sku].append((i, part.quantity))
        if count := bridged(column.option):
            fewest.append((i, -count))
    for _, terms in sorted(counts.items()):
        yield terms, int(max(3 * quantity for _, quantity in terms))
    if fewest:
        yield fewest, 3
    ranks = sorted(_rank(program, i) for i in useful if program.columns[i].option)
    yield from (([(i, 1.0)], 1) for _, i in ranks)


def _steps(ranking: Iterator[tuple[Terms, int]]) -> Iterator[list[tuple[Terms, float]]]:
    """Several at a time, weighted so that an earlier one outweighs all later ones together: all reach whole numbers."""
    pending: list[tuple[Terms, int]] = []
    product = 1.0
    for terms, most in ranking:
        if pending and product * (most + 1) > LARGEST_WEIGHT:
            yield _weighted(pending)
            pending, product = [], 1.0
        pending.append((terms, most))
        product *= most + 1
    if pending:
        yield _weighted(pending)


def _weighted(pending: list[tuple[Terms, int]]) -> list[tuple[Terms, float]]:
    weighted: list[tuple[Terms, float]] = []
    weight = 1.0
    for terms, most in reversed(pending):
        weighted.append((terms, weight))
        weight *= most + 1
    return weighted[::-1]
