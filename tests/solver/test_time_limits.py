"""Stopped by a time limit: whatever is called optimal is, and what is not is never called the best or impossible."""

from __future__ import annotations

import json
import tomllib
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.advice.frontier import curve_of
from budgetbuild.build import Status
from budgetbuild.catalogue.kinds import Want
from budgetbuild.cli import main
from budgetbuild.faults import SolverError
from budgetbuild.pipeline import Run, solve_one
from budgetbuild.planning import kit
from budgetbuild.planning.kit import question_of, why_none
from budgetbuild.program.candidates import candidates
from budgetbuild.program.goals import Choice
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solver import Clock, Solver
from tests.kits.two import both, stock
from tests.program.small import PLENTY, front, tier
from tests.sample.scaled import scaled_catalogue

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.solver.run import Ran

    Build = Callable[..., Ran]

LIMITS = (0.001, 0.01, 0.03, 0.06, 0.1, 0.2, 0.4, 5.0)
"""Seconds: from nothing found through everything between to proven."""


@pytest.mark.parametrize("solver", ["highs", pytest.param("cbc", marks=pytest.mark.slow)])
def test_a_sweep_of_time_limits_never_calls_second_best_the_best(solver: str) -> None:
    """What is published is the best system known, as of the curve; what is proven of it holds."""
    catalogue = scaled_catalogue(200)
    brief, tier = catalogue.briefs[0], catalogue.tiers[1]
    found = candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle)))
    program, curve = formulate(found), curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle), found)
    truth = solve_one(program, catalogue, tier, curve, Run(Solver(solver)))
    assert truth.status is Status.OPTIMAL
    seen = set[Status]()
    for limit in LIMITS:
        build = solve_one(program, catalogue, tier, curve, Run(Solver(solver), limit))
        assert build.audited == truth.audited
        assert build.status is not Status.INFEASIBLE
        assert build.status is Status.TIME_LIMIT or build.bound == truth.score
        assert build.bound is None or build.bound >= (truth.score or 0)
        seen.add(build.status)
    assert seen == {Status.OPTIMAL, Status.TIME_LIMIT}


def words(repository: Path, topic: str) -> dict[str, Any]:
    """The sentences of a topic."""
    sentences: dict[str, dict[str, Any]] = tomllib.loads(
        (repository / "templates" / "sentences.toml").read_text("utf-8")
    )
    return sentences[topic]


@pytest.mark.parametrize("solver", ["highs", "cbc"])
@pytest.mark.parametrize("limit", ["0.001", "0.02"])
def test_a_stopped_build_is_published_with_what_is_proven_and_never_as_the_best(
    solver: str, limit: str, build: Build, repository: Path
) -> None:
    """On the terminal, in the guide and in the data; a build that is there makes it a success."""
    ran = build("--solver", solver, "--time-limit", limit)
    assert ran.status == 0
    (one,) = ran.data["builds"]
    assert (one["status"], one["score"] is not None) == ("time limit", True)
    assert one["bound"] is None or one["bound"] >= one["score"]
    guide = (ran.out / "guide.md").read_text("utf-8")
    proven = words(repository, "short-standing")["optimal"]
    assert proven not in ran.printed
    assert proven not in guide
    assert words(repository, "standing")["optimal"] not in guide
    for name in ("guide.md", "guide.html"):
        assert "the best one found was taken" in " ".join((ran.out / name).read_text("utf-8").split())


def test_a_build_that_was_not_stopped_says_nothing_of_it(build: Build) -> None:
    ran = build()
    assert ran.data["builds"][0]["status"] == "optimal"
    assert "the search was stopped" not in " ".join((ran.out / "guide.md").read_text("utf-8").split())


@pytest.mark.slow
def test_everything_beside_the_tiers_is_stopped_without_a_wrong_word(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Upgrade paths and prices that may rise: none is said to be impossible."""
    out = tmp_path / "out"
    status = main(
        ["build", str(sample_workbook), "--out", str(out), "--counter", "none", "--time-limit", "0.001",
         "--ladder", "keep", "--rising", "1"]
    )  # fmt: skip
    told = " ".join(capsys.readouterr().err.split())
    assert status == 3  # a path was asked for, and none was found in time
    assert "No path was found within the time limit" in told
    data = json.loads((out / "results.json").read_text("utf-8"))
    assert {one["status"] for one in data["ladders"]} == {"time limit"}
    assert {one["status"] for one in data["builds"]} == {"time limit"}


def test_why_no_system_fits_several_vehicles_is_not_said_where_it_was_not_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whether another price would change it is asked of the solver too, which may be stopped over it."""
    question = question_of(stock(front()), both(front=Want.REQUIRED, own_internal_w=20.0))
    stopped = Choice(Status.TIME_LIMIT)
    monkeypatch.setattr(kit, "cheapest_covering", lambda *_: Choice(Status.INFEASIBLE))
    monkeypatch.setattr(kit, "greatest_covering", lambda *_: stopped)
    lacking = why_none(question, tier(1), Solver(), Clock()).shortfall
    assert lacking
    assert (lacking.proven, lacking.whatever_price) == (False, None)


def test_a_system_for_several_vehicles_that_is_called_impossible_and_then_found_stops_the_run(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The least cap comes of a program of its own: where it lies within the tier's, one of them is wrong."""
    question = question_of(stock(front()), both(front=Want.REQUIRED, own_internal_w=20.0))
    monkeypatch.setattr(kit, "best_covering", lambda *_: Choice(Status.INFEASIBLE))
    with pytest.raises(SolverError, match="says that no system is possible, then finds one"):
        kit.solve_kit(question, tier(PLENTY), Solver(), None)
