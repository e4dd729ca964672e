"""CBC is a program of its own: missing, crashing, hanging, or answering with something else, it is told plainly."""

from __future__ import annotations

import os
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from budgetbuild.faults import SolverError
from budgetbuild.program import cbc
from budgetbuild.program.cbc import path as installed
from budgetbuild.program.constraints import Row
from budgetbuild.program.solver import Answer, Clock, Solution, Solver, minimise
from tests.solver.run import assert_refused

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from tests.solver.run import Ran

    Build = Callable[..., Ran]

AT = "pulp.apis.coin_api.pulp_cbc_path"
ROWS, COSTS = [Row("two", [(0, 1.0), (1, 1.0), (2, 1.0)], 2, None)], [3.0, 2.0, 4.0]
"""Two of three at least; the cheapest two cost 5."""

ANSWER = """Optimal - objective value 5.00000000
      0 C0000000               2                       0
      0 X0000000               1                       3
      1 X0000001               1                       2
      2 X0000002               0                       4
"""
"""What CBC answers to that."""


@pytest.fixture
def stand_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], Path]]:
    """A program in the place of CBC; `-quit` tells a version as CBC does."""

    def put(script: str) -> Path:
        file = tmp_path / "stand in for cbc"
        file.write_text(f'#!/bin/sh\nif [ "$1" = "-quit" ]; then echo "Version: 2.10.3"; exit 0; fi\n{script}\n')
        file.chmod(0o755)
        monkeypatch.setattr(AT, str(file))
        return file

    cbc._version.cache_clear()  # noqa: SLF001 - kept by path, which is the same for every script here
    yield put
    cbc._version.cache_clear()  # noqa: SLF001


def answering(text: str) -> str:
    """A script that answers with a text, and says nothing else."""
    return f"cat > answer.txt <<'END'\n{text}END"


def solved() -> Solution:
    """The cheapest two of three."""
    return minimise(Solver("cbc"), ROWS, COSTS, Clock())


def test_what_stands_in_is_asked_at_all(stand_in: Callable[[str], Path]) -> None:
    """Else the tests below would prove nothing."""
    stand_in(answering(ANSWER))
    assert (solved().answer, solved().value, solved().chosen) == (Answer.PROVEN, 5.0, (0, 1))


WRONG = {
    "no file": ("true", "no answer that can be read"),
    "an empty file": (": > answer.txt", "no answer that can be read"),
    "not a word of it": (answering("Segmentation fault\n"), "no answer that can be read"),
    "bytes that are no text": (r"printf '\377\376\000' > answer.txt", "no answer that can be read"),
    "only the first line": (answering(ANSWER[:38]), "broke off"),
    "a column short": (
        answering(ANSWER.replace("      2 X0000002               0                       4\n", "")),
        "broke",
    ),
    "broken off within a figure": (f"printf '%s' '{ANSWER[:-30]}' > answer.txt", "broke off"),
    "a figure that is none": (
        answering(ANSWER.replace("X0000000               1", "X0000000               one")),
        "broke",
    ),
    "not a number": (
        answering(ANSWER.replace("X0000000               1", "X0000000               nan")),
        "contradicts",
    ),
    "worth something else": (answering(ANSWER.replace("value 5", "value 4")), "contradicts itself"),
    "worth nothing": (answering(ANSWER.replace("- objective value 5.00000000", "")), "broke off"),
    "a part of a product": (
        answering(ANSWER.replace("value 5.0", "value 4.5").replace("X0000000               1", "X0000000 0.83333333")),
        "part of a product",
    ),
    "too few": (
        answering(ANSWER.replace("value 5", "value 2").replace("X0000000               1", "X0000000 0")),
        "what cannot be",
    ),
    "more than there is": (
        answering(ANSWER.replace("value 5", "value 8").replace("X0000000               1", "X0000000 2")),
        "what cannot be",
    ),
    "fewer than none": (
        answering(ANSWER.replace("value 5", "value 1").replace("X0000002               0", "X0000002 -1")),
        "what cannot be",
    ),
    "gives up": (
        answering("Stopped on difficulties (no integer solution - continuous used) - objective value 5\n"),
        "gives up",
    ),
    "ends with a fault": (f"{answering(ANSWER)}\nexit 3", "crashed"),
    "dies": ("kill -SEGV $$", "crashed"),
    "is killed": ("kill -KILL $$", "crashed"),
}
"""What the stand-in does, and a word of what is said then."""


@pytest.mark.parametrize("what", WRONG)
def test_whatever_cbc_does_instead_of_answering_is_told(what: str, stand_in: Callable[[str], Path]) -> None:
    script, word = WRONG[what]
    stand_in(script)
    with pytest.raises(SolverError, match=word):
        solved()


@pytest.mark.parametrize("what", ["dies", "an empty file", "worth something else"])
def test_nothing_is_written_where_cbc_fails(what: str, build: Build, stand_in: Callable[[str], Path]) -> None:
    """Through the command; what holds for one way to fail holds for all of them."""
    stand_in(WRONG[what][0])
    assert_refused(build("--solver", "cbc"), "solver CBC")


def test_a_worse_choice_that_cbc_calls_the_best_is_found_out(build: Build, stand_in: Callable[[str], Path]) -> None:
    """It is asked for the worst instead of the best, and its answer handed on: the budget curve knows better."""
    # Whole programs only: a linear bound that is none is caught by itself.
    stand_in(
        f'case "$*" in *-initialSolve*) exec {installed()} "$@";; esac\n'
        f"{installed()} program.mps -maximize -solve -printingOptions all -solution answer.txt > /dev/null"
    )
    assert_refused(build("--solver", "cbc"))


def test_a_possible_program_that_cbc_calls_impossible_is_found_out(
    build: Build, stand_in: Callable[[str], Path]
) -> None:
    stand_in(answering("Infeasible - objective value 0.00000000\n"))
    assert_refused(build("--solver", "cbc"), "the budget curve")


def test_a_missing_cbc_is_told_with_what_to_do(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(AT, "/nowhere/cbc")
    assert_refused(build("--solver", "cbc"), "/nowhere/cbc", "No such file", "leave out --solver cbc")


def test_a_cbc_that_is_no_program_of_this_machine_is_told(
    build: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As of another make of processor."""
    file = tmp_path / "cbc"
    file.write_bytes(b"\x7fELF of another machine")
    file.chmod(0o755)
    monkeypatch.setattr(AT, str(file))
    assert_refused(build("--solver", "cbc"), "cannot be run (Exec format error)", "leave out --solver cbc")


def test_a_cbc_that_may_not_be_run_is_told(build: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "cbc"
    file.write_text("#!/bin/sh\n")
    file.chmod(0o644)
    monkeypatch.setattr(AT, str(file))
    assert_refused(build("--solver", "cbc"), "cannot be run (Permission denied)")


def test_a_cbc_that_tells_no_version_is_refused(build: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A proof names what it was proven by."""
    file = tmp_path / "cbc"
    file.write_text("#!/bin/sh\nexit 0\n")
    file.chmod(0o755)
    monkeypatch.setattr(AT, str(file))
    with pytest.raises(SolverError, match="version"):
        assert Solver("cbc").version
    assert_refused(build("--solver", "cbc"))


def test_a_proof_names_cbcs_own_version() -> None:
    """The one that it prints itself: PuLP's says nothing of it."""
    assert Solver("cbc").version.startswith("CBC 2.10")


def test_a_cbc_that_goes_on_for_ever_is_ended(stand_in: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """It has a time limit, and a while more since it looks at its clock now and then; that is told as a time limit."""
    monkeypatch.setattr(cbc, "GRACE_S", 0.2)
    stand_in("exec sleep 60")
    start = time.monotonic()
    assert minimise(Solver("cbc"), ROWS, COSTS, Clock(0.1)) == Solution(Answer.UNKNOWN)
    assert time.monotonic() - start < 20


@pytest.mark.parametrize("script", [answering(ANSWER), "kill -SEGV $$", ": > answer.txt"])
def test_no_file_is_left_behind(
    script: str, stand_in: Callable[[str], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither in the folder for temporary files nor where the command runs, however it ends."""
    stand_in(script)
    temporary, here = tmp_path / "temporary files", tmp_path / "here"
    for folder in (temporary, here):
        folder.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(temporary))
    monkeypatch.chdir(here)
    with suppress(SolverError):
        solved()
    assert os.listdir(temporary) == os.listdir(here) == []  # noqa: PTH208 - no pattern is asked for


def test_two_runs_at_once_share_no_file(stand_in: Callable[[str], Path], tmp_path: Path) -> None:
    """Each call works in a folder of its own."""
    folders = tmp_path / "folders"
    stand_in(f"pwd >> '{folders}'\n{answering(ANSWER)}")
    solved(), solved()
    assert len(set(folders.read_text().split())) == 2


@pytest.mark.parametrize("folder", ["/nowhere/at/all", "/dev/null"])
def test_a_folder_for_temporary_files_that_cannot_be_used_is_told(
    folder: str, build: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", folder)
    assert_refused(build("--solver", "cbc"), "temporary files cannot be used", folder)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full, of Linux")
def test_a_full_disk_is_told(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    """The program is written onto a device that has no room."""
    monkeypatch.setattr(cbc, "PROGRAM", "/dev/full")
    assert_refused(build("--solver", "cbc"), "temporary files cannot be used", "No space left")


def test_a_temporary_folder_with_a_blank_in_its_name_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """PuLP takes what it tells CBC apart at blanks."""
    folder = tmp_path / "my own files"
    folder.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(folder))
    assert solved().value == 5.0
