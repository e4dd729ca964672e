"""From a catalogue to builds: on one processor or several, and where program and curve are held against each other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from budgetbuild import pipeline
from budgetbuild.build import Status
from budgetbuild.cli import main
from budgetbuild.faults import ProcessEndedError, SolverError
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.program.solve import Proposal
from tests.sample.scaled import scaled_catalogue, write_workbook

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.build import Build

CATALOGUE = scaled_catalogue(150)


def timeless(builds: tuple[Build, ...]) -> list[Build]:
    """Builds but for how long they took."""
    return [replace(build, seconds=0.0) for build in builds]


def test_several_processes_find_what_one_does_in_the_same_order(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[str] = []
    here = solve_all(CATALOGUE, Run(), told.append)
    monkeypatch.setattr(pipeline, "WORTH_SPREADING", 0)
    told_there: list[str] = []
    there = solve_all(CATALOGUE, Run(), told_there.append)
    assert timeless(there.builds) == timeless(here.builds)
    assert there.curves == here.curves
    assert sorted(told_there) == sorted(told)
    assert [(build.tier.name, build.brief.name) for build in there.builds] == [
        (tier.name, brief.name) for tier in CATALOGUE.tiers for brief in CATALOGUE.briefs
    ]


def test_a_process_that_is_ended_from_outside_leaves_nothing_half_done(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def ended(*_: object, **__: object) -> None:
        raise ProcessEndedError("a process was ended")

    monkeypatch.setattr(pipeline, "WORTH_SPREADING", 0)
    monkeypatch.setattr(pipeline, "spread", ended)
    write_workbook(CATALOGUE, tmp_path / "list.xlsx")
    assert main(["build", str(tmp_path / "list.xlsx"), "--out", str(tmp_path / "out")]) == 1
    assert "a process was ended. Nothing was written." in " ".join(capsys.readouterr().err.split())
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("more", "fits"),
    [
        ({"bound": 0}, True),
        ({"bound": -1}, False),
        ({"score": 0, "total": 0}, True),
        ({"score": 0, "total": -1}, False),
        ({"score": 1, "total": 0}, False),
        ({"score": -1, "total": -1, "bound": 5}, True),
        ({}, True),
    ],
)
def test_a_program_that_was_stopped_is_held_against_the_curve_too(
    monkeypatch: pytest.MonkeyPatch, more: dict[str, int], *, fits: bool
) -> None:
    """Its build may be worse than the curve's and its bound looser, never the other way round."""
    run = Run(tiers=(CATALOGUE.tiers[1].name,), briefs=(CATALOGUE.briefs[0].name,))
    (sound,) = solve_all(CATALOGUE, run).builds
    assert sound.audited
    best, total = sound.audited.score, sound.audited.total
    found = {name: (total if name == "total" else best) + by for name, by in more.items()}
    stopped = Proposal(Status.TIME_LIMIT, None, found.get("score"), found.get("total"), found.get("bound"))
    monkeypatch.setattr(pipeline, "best", lambda *_, **__: stopped)
    if fits:
        (build,) = solve_all(CATALOGUE, run).builds
        assert build.status is Status.TIME_LIMIT
    else:
        with pytest.raises(SolverError, match="the budget curve"):
            solve_all(CATALOGUE, run)
