"""Exact optimisation equals trying every choice; stopped early, it never claims more than it proved."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild import pipeline
from budgetbuild.advice.frontier import curve_of
from budgetbuild.audit import audit
from budgetbuild.build import Status
from budgetbuild.catalogue.kinds import Want
from budgetbuild.faults import SolverError
from budgetbuild.pipeline import Run, solve_one
from budgetbuild.program import exact
from budgetbuild.program.constraints import Row
from budgetbuild.program.exact import optimise, within
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Answer, Clock, Solution, Solver, minimise
from tests.oracle.catalogues import random_catalogue
from tests.oracle.knobs import PROFILES
from tests.program.small import PLENTY, front, program_of, stock, tier, wants

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from budgetbuild.program.solve import Proposal


@dataclass(frozen=True)
class Toy:
    """A 0/1 program small enough to try every choice."""

    costs: tuple[float, ...]
    rows: tuple[Row, ...]

    def choices(self, among: Sequence[int]) -> dict[tuple[int, ...], float]:
        """Cost of every choice that keeps the rows, among some of the columns."""
        found = {}
        for bits in product((0, 1), repeat=len(among)):
            chosen = tuple(i for i, bit in zip(among, bits, strict=True) if bit)
            if all(_kept(row, chosen) for row in self.rows):
                found[chosen] = sum(self.costs[i] for i in chosen)
        return found


def _kept(row: Row, chosen: Sequence[int]) -> bool:
    total = sum(coefficient for i, coefficient in row.terms if i in chosen)
    return (row.low is None or total >= row.low) and (row.high is None or total <= row.high)


def toy(seed: int) -> Toy:
    """A random one: cover, packing and equality rows, costs of either sign; about one in six has no choice at all."""
    rng = random.Random(seed)  # noqa: S311 - test data, no secrets
    size = rng.randint(4, 9)
    spread = rng.choice((5, 60, 4000))
    rows = []
    for number in range(rng.randint(2, 5)):
        terms = [(i, float(rng.choice((1, 1, 2, 3, -1)))) for i in range(size) if rng.random() < 0.6]
        middle = float(rng.randint(0, 3))
        low, high = rng.choice(((middle, None), (None, middle), (middle, middle), (middle, middle + 2)))
        rows.append(Row(f"r{number}", terms, low, high))
    return Toy(tuple(float(rng.randint(-spread // 3, spread)) for _ in range(size)), tuple(rows))


toys = given(drawn=st.builds(toy, st.integers(0, 10**6)))


def expected(problem: Toy, among: Sequence[int]) -> float | None:
    """The least cost, by trying every choice."""
    return min(problem.choices(among).values(), default=None)


@toys
def test_optimum_is_that_of_trying_every_choice(drawn: Toy) -> None:
    """Same least cost, by a choice that keeps the rows; impossible where no choice does."""
    found = optimise(Solver(), drawn.rows, drawn.costs, Clock(), first_step=0.0).solution
    choices = drawn.choices(range(len(drawn.costs)))
    if not choices:
        assert found.answer is Answer.IMPOSSIBLE
        return
    assert found.answer is Answer.PROVEN
    assert found.value == pytest.approx(min(choices.values()), abs=1e-6)
    assert choices[found.chosen] == min(choices.values())


@toys
def test_optimum_is_that_of_one_plain_solve(drawn: Toy) -> None:
    """All columns at once, no bound, no restriction."""
    stepwise = optimise(Solver(), drawn.rows, drawn.costs, Clock()).solution
    plain = minimise(Solver(), drawn.rows, drawn.costs, Clock())
    assert stepwise.answer is plain.answer
    if plain.answer is Answer.PROVEN:
        assert stepwise.value == pytest.approx(plain.value, abs=1e-6)


@toys
def test_columns_that_take_no_part_are_not_chosen(drawn: Toy) -> None:
    """The optimum among every other column is that of trying those."""
    among = tuple(range(0, len(drawn.costs), 2))
    found = optimise(Solver(), drawn.rows, drawn.costs, Clock(), among=among, first_step=0.0).solution
    least = expected(drawn, among)
    assert (found.answer is Answer.IMPOSSIBLE) == (least is None)
    if least is not None:
        assert found.value == pytest.approx(least, abs=1e-6)
        assert set(found.chosen) <= set(among)


@toys
def test_every_choice_as_good_uses_useful_columns_only(drawn: Toy) -> None:
    """Ties are looked for among the useful columns, so none may hide elsewhere."""
    found = optimise(Solver(), drawn.rows, drawn.costs, Clock(), first_step=0.0)
    choices = drawn.choices(range(len(drawn.costs)))
    for chosen, cost in choices.items():
        if cost == min(choices.values()):
            assert set(chosen) <= set(found.useful)


@pytest.mark.parametrize("seed", [736756, 694561, 498271])
def test_a_distance_that_comes_short_by_the_last_digit_ends_all_the_same(seed: int) -> None:
    """Bound and distance add up to a hair less than they were taken from; that is no reason to look on for ever."""
    drawn, calls = toy(seed), iter(range(20))

    def counted(relaxed: Solution, distance: float) -> tuple[int, ...]:
        next(calls)
        return within(relaxed, distance)

    with patch.object(exact, "within", counted):
        found = optimise(Solver(), drawn.rows, drawn.costs, Clock(), first_step=0.0).solution
    assert found.value == pytest.approx(expected(drawn, range(len(drawn.costs))))


@toys
def test_a_choice_that_is_there_already_changes_nothing_but_the_work(drawn: Toy) -> None:
    """Whether it is the best one or any other, the optimum stays the same; none is called impossible."""
    choices = sorted(drawn.choices(range(len(drawn.costs))).items(), key=lambda one: (one[1], one[0]))
    for chosen, cost in (choices[0], choices[-1]) if choices else ():
        known = Solution(Answer.PROVEN, cost, cost, chosen)
        found = optimise(Solver(), drawn.rows, drawn.costs, Clock(), known=known).solution
        assert found.answer is Answer.PROVEN
        assert found.value == pytest.approx(choices[0][1], abs=1e-6)


def test_toys_are_varied() -> None:
    """Some without any choice, most with; some optima above and some below nought."""
    least = [expected(toy(seed), range(len(toy(seed).costs))) for seed in range(120)]
    assert 5 <= least.count(None) <= 60
    assert sum(value is not None and value > 0 for value in least) >= 10
    assert sum(value is not None and value < 0 for value in least) >= 10


@dataclass(slots=True)
class Fuse(Clock):
    """A clock that runs out after so many looks at the time left; a solve takes two."""

    looks: int = 0
    _seen: list[None] = field(default_factory=list)

    @property
    def left(self) -> float | None:
        """No limit, until the fuse has blown."""
        self._seen.append(None)
        return None if len(self._seen) <= self.looks else 0.0


def after(solves: int) -> Fuse:
    """A clock that allows so many solves."""
    return Fuse(looks=2 * solves)


@pytest.mark.parametrize("solves", range(4))
@toys
def test_a_stopped_optimum_is_never_proven_and_its_bound_is_true(solves: int, drawn: Toy) -> None:
    """Unknown or feasible, the bound at or below the least cost of all."""
    found = optimise(Solver(), drawn.rows, drawn.costs, after(solves), first_step=0.0).solution
    least = expected(drawn, range(len(drawn.costs)))
    if found.answer is Answer.IMPOSSIBLE:
        assert least is None
    elif found.answer is Answer.PROVEN:
        assert least == pytest.approx(found.value, abs=1e-6)
    else:
        assert found.bound <= (math.inf if least is None else least) + 1e-6
    if found.answer is Answer.FEASIBLE:
        assert found.bound <= found.value + 1e-6
        assert found.chosen in drawn.choices(range(len(drawn.costs)))


def test_no_time_at_all_proves_nothing() -> None:
    """Nothing chosen, and a bound that says nothing."""
    problem = toy(0)
    found = optimise(Solver(), problem.rows, problem.costs, Clock(0.0)).solution
    assert (found.answer, found.chosen, found.bound) == (Answer.UNKNOWN, (), -math.inf)


@pytest.mark.parametrize("sol_status", [0, 2])
def test_a_stopped_relaxation_is_neither_bound_nor_choice(sol_status: int) -> None:
    """Solvers call it feasible, and give it a bound of 0; it is a fraction of everything, and proves nothing."""
    problem = toy(3)

    def stopped(lp: Any, *_: object) -> None:  # noqa: ANN401 - PuLP is untyped
        """Every variable somewhere between, as time runs out."""
        for variable in lp.variables():
            variable.varValue = 0.6
        lp.status, lp.sol_status = 1, sol_status

    with patch("pulp.LpProblem.solve", stopped):
        found = minimise(Solver("cbc"), problem.rows, problem.costs, Clock(0.5), relaxed=True)
    assert found == Solution(Answer.UNKNOWN)


def test_giving_up_with_time_left_is_a_fault_of_the_solver() -> None:
    """Seen of HiGHS 1.13 on a small program: it is told as that, never as a time limit."""

    def give_up(lp: Any, *_: object) -> None:  # noqa: ANN401 - PuLP is untyped
        """No status at all."""
        lp.status, lp.sol_status = 0, 0

    problem = toy(3)
    for clock in (Clock(), Clock(60.0)):
        with patch("pulp.LpProblem.solve", give_up), pytest.raises(SolverError, match="before its time"):
            minimise(Solver("cbc"), problem.rows, problem.costs, clock)


@pytest.mark.parametrize("profile", PROFILES)
def test_a_stopped_build_claims_no_more_than_it_proved(profile: str) -> None:
    """Whenever it stops: a system that the audit accepts, and a bound between its score and none."""
    for seed in range(700, 702):
        catalogue, brief, vehicle, cap = random_catalogue(seed, profile)
        program = program_of(catalogue, brief)
        full = best(program, cap, Solver(), Clock())
        for solves in range(8):
            found = best(program, cap, Solver(), after(solves))
            if found.status is not Status.TIME_LIMIT:
                assert found == full
                break
            assert_claims_are_true(found, full)
            if found.system is not None:
                audited = audit(catalogue, brief, vehicle, cap, found.system)
                assert not audited.refused, f"seed {seed}, {solves} solves"
                assert (audited.score, audited.total) == (found.score, found.total)


def assert_claims_are_true(found: Proposal, full: Proposal) -> None:
    """No bound below what is possible, no score above the bound."""
    if found.bound is not None and full.score is not None:
        assert found.bound >= full.score
    if found.system is not None:
        assert full.score is not None
        assert found.score is not None
        assert found.score <= full.score
        assert found.bound is None or found.score <= found.bound


def stopping(solves: int) -> Callable[[float | None], Clock]:
    """Clocks that stop a build after so many solves, whatever its limit."""
    return lambda _: after(solves)


def test_a_build_stopped_early_says_so() -> None:
    """With the score so far and the proven bound; the audit has passed it."""
    catalogue = stock(front(), front(sku="F2", rating=8.0, price=180_00))
    brief = wants(own_internal_w=20.0)
    curve = curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle))
    with patch.object(pipeline, "Clock", stopping(2)):
        build = solve_one(program_of(catalogue, brief), catalogue, tier(PLENTY), curve, Run(time_limit_s=1.0))
    assert build.status is Status.TIME_LIMIT
    # 20 points, and 5 x (20/60 - 0.25)/(0.8 - 0.25) = 0.758 for the match; nothing else is on sale.
    assert build.score == 20_758
    assert build.bound is not None
    assert build.bound >= 20_758


def test_a_build_without_time_is_that_of_the_curve_and_nothing_of_it_is_proven() -> None:
    """The best system known, no bound."""
    catalogue, brief = stock(front()), wants(own_internal_w=20.0)
    curve = curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle))
    build = solve_one(program_of(catalogue, brief), catalogue, tier(PLENTY), curve, Run(time_limit_s=1e-9))
    assert (build.status, build.score, build.bound) == (Status.TIME_LIMIT, 15_758, None)


def test_a_build_without_time_and_without_a_system_has_nothing_to_say() -> None:
    """No system, no bound, no explanation: that there is none has the curve alone found."""
    catalogue, brief = stock(), wants(front=Want.REQUIRED)
    curve = curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle))
    build = solve_one(program_of(catalogue, brief), catalogue, tier(PLENTY), curve, Run(time_limit_s=1e-9))
    assert (build.status, build.audited, build.bound, build.no_build) == (Status.TIME_LIMIT, None, None, None)
