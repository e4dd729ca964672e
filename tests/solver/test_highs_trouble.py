"""HiGHS runs in this process: missing, failing, or answering wrongly, it is told plainly and nothing is written."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import highspy
import numpy as np
import pulp
import pytest

from budgetbuild.faults import SolverError
from budgetbuild.program import highs, solver
from budgetbuild.program.constraints import Row
from budgetbuild.program.solver import Answer, Clock, Solver, minimise
from tests.solver.run import assert_refused

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from budgetbuild.program.model import Model, Returned
    from tests.solver.run import Ran

    Build = Callable[..., Ran]
    Lie = Callable[[Model, Returned], Returned]

by_highs = highs.solved
ROWS, COSTS = [Row("two", [(0, 1.0), (1, 1.0), (2, 1.0)], 2, None)], [3.0, 2.0, 4.0]
"""Two of three at least; the cheapest two cost 5."""
STATUS = highspy.HighsModelStatus


def unlike(lie: Lie, *, relaxed: bool = False) -> Callable[..., Returned]:
    """HiGHS, but for what it answers to whole programs (or to relaxations)."""

    def solved(model: Model, **options: Any) -> Returned:  # noqa: ANN401 - options of HiGHS
        came = by_highs(model, **options)
        return came if options["mip"] is relaxed else lie(model, came)

    return solved


@pytest.fixture
def version_anew() -> Iterator[None]:
    """The version is asked for once in a process."""
    solver.highs_version.cache_clear()
    yield
    solver.highs_version.cache_clear()


@pytest.mark.usefixtures("version_anew")
def test_a_missing_solver_is_told_with_what_to_do(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "highspy", None)
    assert_refused(build(), "highspy is not installed", "or use the solver cbc")


@pytest.mark.usefixtures("version_anew")
def test_a_solver_that_cannot_be_loaded_is_told(build: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As where its library is one of another system."""
    (tmp_path / "highspy.py").write_text('raise ImportError("libhighs.so: wrong ELF class")\n')
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.delitem(sys.modules, "highspy")
    assert_refused(build(), "highspy cannot be loaded", "wrong ELF class", "or use the solver cbc")


@pytest.mark.parametrize("words", [("--solver", "highs"), ("--solver", "cbc")])
def test_without_highspy_from_the_start_cbc_still_serves(
    words: tuple[str, ...], workbook: Path, tmp_path: Path
) -> None:
    """A process of its own, in which it never could be imported; PuLP looks for it too."""
    code = "import sys; sys.modules['highspy'] = None; from budgetbuild.cli import main; sys.exit(main(sys.argv[1:]))"
    command = [sys.executable, "-c", code, "build", str(workbook), "--out", str(tmp_path / "out"), "--counter", "none"]
    ran = subprocess.run([*command, *words], capture_output=True, text=True, check=False)  # noqa: S603 - our own
    told = " ".join(ran.stderr.split())
    assert "Traceback" not in told
    if "cbc" in words:
        assert ran.returncode == 0, told
    else:
        assert (ran.returncode, (tmp_path / "out").exists()) == (1, False)
        assert "highspy is not installed" in told


@pytest.mark.usefixtures("version_anew")
def test_a_version_that_is_known_to_be_wrong_is_refused(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(highspy.Highs, "version", lambda _: "1.14.0")
    assert_refused(build(), "HiGHS 1.14.0", "install another")


@pytest.mark.parametrize("error", [RuntimeError("basis is singular"), ValueError("no"), OSError(5, "I/O")])
def test_a_crash_is_told(error: Exception, build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever comes out of it."""

    def crash(_: object) -> None:
        raise error

    monkeypatch.setattr(highspy.Highs, "run", crash)
    assert_refused(build(), "the solver HiGHS crashed", str(error))


def test_too_little_memory_is_told(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    """What HiGHS raises then is what Python raises."""

    def crash(_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(highspy.Highs, "run", crash)
    assert_refused(build(), "not enough memory")
    monkeypatch.undo()
    monkeypatch.setattr(highspy.Highs, "getModelStatus", lambda _: STATUS.kMemoryLimit)
    assert_refused(build(), "not enough memory")


@pytest.mark.parametrize("name", [name for name in dir(STATUS) if name.startswith("k")])
def test_every_way_to_end_that_is_no_answer_is_told(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also those that PuLP does not know; without a time limit there is nothing else to say than that it gave up."""
    status = getattr(STATUS, name)
    monkeypatch.setattr(highspy.Highs, "getModelStatus", lambda _: status)
    if name == "kOptimal":
        assert minimise(Solver(), ROWS, COSTS, Clock()).value == 5.0
    elif name in {"kInfeasible", "kUnboundedOrInfeasible"}:  # what it is told is held against the curve, see below
        assert minimise(Solver(), ROWS, COSTS, Clock()).answer is Answer.IMPOSSIBLE
    elif name == "kTimeLimit":
        assert minimise(Solver(), ROWS, COSTS, Clock()).answer is Answer.FEASIBLE
    elif name == "kMemoryLimit":
        with pytest.raises(MemoryError):
            minimise(Solver(), ROWS, COSTS, Clock())
    else:
        with pytest.raises(SolverError, match="gives up"):
            minimise(Solver(), ROWS, COSTS, Clock())


def _none(_: Model, came: Returned) -> Returned:
    return replace(came, status=pulp.LpStatusInfeasible, sol_status=pulp.LpSolutionInfeasible)


def _over_the_cap(_: Model, came: Returned) -> Returned:
    """Everything there is, all at once."""
    return replace(came, values=np.ones_like(came.values))


def _by_half(_: Model, came: Returned) -> Returned:
    return replace(came, values=came.values / 2)


def _no_number(_: Model, came: Returned) -> Returned:
    return replace(came, values=came.values * np.nan)


LIES: dict[str, tuple[Lie, str]] = {
    "nothing is possible": (_none, "the budget curve"),
    "too much of everything": (_over_the_cap, "what cannot be"),
    "half of each": (_by_half, "part of a product"),
    "no number at all": (_no_number, "part of a product"),
}


@pytest.mark.parametrize("lie", LIES)
def test_a_lie_is_found_out_before_anything_is_written(lie: str, build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    """By the rows, by what is whole, and in the end by the budget curve, which is another road to the same."""
    told, word = LIES[lie]
    monkeypatch.setattr(highs, "solved", unlike(told))
    assert_refused(build(), word)


def test_a_score_a_thousandth_below_the_best_is_found_out(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second best, which nothing but the curve could tell from the best."""
    best = build()
    assert best.status == 0
    score = round(best.data["builds"][0]["score"] * 1000)

    def second(model: Model, came: Returned) -> Returned:
        """The best among those that score less, of whole programs about the score (no price is below 0)."""
        if not (came.found and len(came.values) and (model.costs <= 0).all() and model.costs.any()):
            return came
        if -model.costs @ came.values < score:
            return came
        options = Solver().for_highs(whole=True, time_limit=None)
        terms = [(i, -cost) for i, cost in enumerate(model.costs.tolist()) if cost]
        less = model.rows.and_also([Row("less", terms, None, score - 1)])
        return by_highs(replace(model, rows=less), **options)

    monkeypatch.setattr(highs, "solved", unlike(second))
    again = build("--out", str(best.out.with_name("again")))
    assert again.status == 1
    assert not best.out.with_name("again").exists()
    assert "the integer program says" in again.told
    assert "Nothing was written." in again.told


def test_a_bound_that_is_too_good_is_found_out(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped by its time limit, HiGHS says that nothing scores more than half of what is possible."""

    def stopped(_: Model, came: Returned) -> Returned:
        return replace(came, sol_status=pulp.LpSolutionIntegerFeasible, found=False, bound=-1000.0)

    monkeypatch.setattr(highs, "solved", unlike(stopped))
    # So little time is left in the end that to be stopped is no fault; the linear bound is kept out of it.
    monkeypatch.setattr(solver, "IN_TIME", 60.0)
    monkeypatch.setattr("budgetbuild.program.exact._stopped", lambda _, found, *__: found)
    assert_refused(build("--time-limit", "50"), "at most 1000", "the budget curve")


def test_prices_of_rows_that_are_wrong_only_loosen_the_bound(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a relaxation proves is reckoned from them, not believed."""
    sound = build().data["builds"]

    def shaken(_: Model, came: Returned) -> Returned:
        return replace(came, prices=came.prices * np.resize([1.3, -1.0, 0.5], len(came.prices)))

    monkeypatch.setattr(highs, "solved", unlike(shaken, relaxed=True))
    assert build().data["builds"] == sound
