"""The command line as its users meet it: what is printed where, which exit status, what is written."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import TYPE_CHECKING

import openpyxl
import pytest
from openpyxl.cell.cell import Cell, MergedCell

from budgetbuild.catalogue.items import NOWHERE
from budgetbuild.cli import build as build_command
from budgetbuild.cli import main
from budgetbuild.cli.console import print_faults
from budgetbuild.faults import Fault, UserInputError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

FILES = {
    "tiers.xlsx", "guide.md", "guide.html", "rundown.md", "pick_list.html", "counter.html", "results.json",
}  # fmt: skip

QUICK = ("--counter", "briefs")
"""Leaves out what takes most of the time: the counter page's curves for every vehicle."""


@pytest.fixture
def edited(sample_workbook: Path, tmp_path: Path) -> Callable[[Callable[[openpyxl.Workbook], None]], Path]:
    """A copy of the sample, changed by a function."""

    def change(edit: Callable[[openpyxl.Workbook], None]) -> Path:
        book = openpyxl.load_workbook(sample_workbook)
        edit(book)
        path = tmp_path / "price list.xlsx"
        book.save(path)
        return path

    return change


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder and what it holds, by its name within it."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def cell_below(book: openpyxl.Workbook, sheet: str, header: str, row: int) -> Cell | MergedCell:
    """The cell of a row in the column with a header."""
    page = book[sheet]
    for headers in page.iter_rows(min_row=1, max_row=6):
        for cell in headers:
            if isinstance(cell, Cell) and str(cell.value).casefold() == header.casefold():
                return cell.offset(row, 0)
    raise LookupError(header)


def test_build_writes_every_file_and_says_what_was_found(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["build", str(sample_workbook), "--out", str(tmp_path / "out"), *QUICK]) == 0
    written = contents(tmp_path / "out")
    assert {name for name in written if "/" not in name} == FILES
    pictures = {name for name in written if "/" in name}
    assert {name.rsplit("-")[0] for name in pictures} == {"pictures/wiring", "pictures/curve"}
    printed = capsys.readouterr()
    assert "proven highest score" in printed.out
    assert "Entry" in printed.out
    assert "results.json" in printed.out


def test_build_json_prints_the_result_alone(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["build", str(sample_workbook), "--out", str(tmp_path), *QUICK, "--tier", "entry", "--json"]
    assert main(arguments) == 0
    printed = capsys.readouterr()
    result = json.loads(printed.out)
    assert printed.out == (tmp_path / "results.json").read_text("utf-8")
    assert {build["tier"] for build in result["builds"]} == {"Entry"}


def test_build_quiet_prints_nothing(sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["build", str(sample_workbook), "--out", str(tmp_path), *QUICK, "--tier", "Entry", "--quiet"]
    assert main(arguments) == 0
    assert capsys.readouterr().out == ""


def test_an_unknown_tier_names_the_nearest_one(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["build", str(sample_workbook), "--out", str(tmp_path / "out"), "--tier", "Entri"]) == 2
    assert "write Entry" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_brief_that_no_tier_names_is_said_to_be_nothing_to_solve(sample_workbook: Path, tmp_path: Path) -> None:
    arguments = ["build", str(sample_workbook), "--out", str(tmp_path / "out"), "--brief", "Closed dash, bass wanted"]
    assert main(arguments) == 2


def test_a_fault_stops_the_run_and_leaves_the_earlier_files_untouched(
    sample_workbook: Path,
    tmp_path: Path,
    edited: Callable[[Callable[[openpyxl.Workbook], None]], Path],
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = tmp_path / "out"
    assert main(["build", str(sample_workbook), "--out", str(out), "--quiet", *QUICK, "--tier", "Entry"]) == 0
    before = contents(out)

    def spoil(book: openpyxl.Workbook) -> None:
        cell_below(book, "Speakers", "Price", 2).value = "1,299"
        cell_below(book, "Amplifiers", "Fuse A", 3).value = "lots"

    assert main(["build", str(edited(spoil)), "--out", str(out)]) == 2
    assert contents(out) == before
    shown = capsys.readouterr().err
    assert "Speakers!" in shown
    assert "Amplifiers!" in shown
    assert "Nothing was written" in shown


def test_check_lists_every_fault_as_json(
    edited: Callable[[Callable[[openpyxl.Workbook], None]], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    def spoil(book: openpyxl.Workbook) -> None:
        cell_below(book, "Head units", "Price", 1).value = -5
        cell_below(book, "Briefs", "Vehicle", 1).value = "Brovanko Ilvane 5-door"

    assert main(["check", str(edited(spoil)), "--json"]) == 2
    result = json.loads(capsys.readouterr().out)
    assert not result["usable"]
    stopping = [fault for fault in result["faults"] if fault["severity"] == "fault"]
    assert {fault["sheet"] for fault in stopping} == {"Head units", "Briefs"}
    assert all(fault["cell"] and fault["expected"] and fault["mend"] for fault in stopping)


def test_check_of_a_sound_list_is_0(sample_workbook: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(sample_workbook)]) == 0
    assert "can be used: 299 products" in capsys.readouterr().out


def test_a_missing_file_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(tmp_path / "nothing.xlsx"), "--json"]) == 2
    assert json.loads(capsys.readouterr().out)["faults"]


def test_a_tier_that_nothing_meets_is_written_and_ends_with_3(
    tmp_path: Path, edited: Callable[[Callable[[openpyxl.Workbook], None]], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """At 20 euro no complete system is to be had; the cheapest one's price is told."""

    def lower(book: openpyxl.Workbook) -> None:
        cell_below(book, "Tiers", "Budget", 1).value = 20

    out = tmp_path / "out"
    assert main(["build", str(edited(lower)), "--out", str(out), *QUICK]) == 3
    builds = json.loads((out / "results.json").read_text("utf-8"))["builds"]
    failed = [build for build in builds if build["status"] == "infeasible"]
    assert len(failed) == 3
    assert all(build["score"] is None and build["lines"] == [] for build in failed)
    assert all(float(build["least_budget"]) > 20 and build["reason"] for build in failed)
    assert "costs" in capsys.readouterr().err


def test_a_build_stopped_early_is_never_called_best(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = [
        "build",
        str(sample_workbook),
        "--out",
        str(tmp_path),
        "--tier",
        "Entry",
        *QUICK,
        "--time-limit",
        "0.000001",
    ]
    main(arguments)
    builds = json.loads((tmp_path / "results.json").read_text("utf-8"))["builds"]
    assert {(build["status"], build["bound"]) for build in builds} == {("time limit", None)}
    assert "proven highest" not in capsys.readouterr().out


@pytest.mark.parametrize("wrong", [["build"], ["biuld", "x"], ["build", "x", "--time-limit", "-1"], []])
def test_wrong_usage_ends_with_2(wrong: list[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(wrong)
    assert stopped.value.code == 2


def test_a_defect_ends_with_1_and_is_said_to_be_ours(
    sample_workbook: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(_path: Path) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(build_command, "load", fail)
    assert main(["build", str(sample_workbook)]) == 1
    assert "defect in budgetbuild" in capsys.readouterr().err


def test_an_interrupt_ends_with_130(sample_workbook: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(_path: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(build_command, "load", interrupt)
    assert main(["build", str(sample_workbook)]) == 130


def test_both_solvers_give_the_same_result(sample_workbook: Path, tmp_path: Path) -> None:
    """CBC is another make of solver; only its name in the result differs."""
    results = []
    for solver in ("highs", "cbc"):
        out = tmp_path / solver
        arguments = [
            "build",
            str(sample_workbook),
            "--out",
            str(out),
            "--solver",
            solver,
            "--quiet",
            *QUICK,
            "--tier",
            "Entry",
        ]
        assert main(arguments) == 0
        result = json.loads((out / "results.json").read_text("utf-8"))
        for build in result["builds"]:
            del build["solver"]
        results.append(result)
    assert results[0] == results[1]


@pytest.mark.parametrize(
    "command", [["--help"], *([name, "--help"] for name in ("build", "check", "quote")), ["--version"]]
)
def test_help_and_version_come_from_the_installed_command(command: list[str]) -> None:
    """Run as a process of its own, since that is how it is met; nothing heavy is imported for it."""
    code = (
        f"import sys; sys.argv[1:] = {command!r}\nimport budgetbuild.cli as c\n"
        "try:\n c.main()\nexcept SystemExit as e:\n"
        " heavy = {'pulp', 'highspy', 'numpy', 'openpyxl', 'jinja2', 'xlsxwriter'} & set(sys.modules)\n"
        " sys.exit(f'imported {heavy}' if heavy else e.code)\n"
    )
    done = subprocess.run(  # noqa: S603 - our own code
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, env={**os.environ, "NO_COLOR": "1"}
    )
    assert done.returncode == 0, done.stderr
    assert "budgetbuild" in done.stdout


def test_a_closed_pipe_is_no_fault(sample_workbook: Path) -> None:
    """`budgetbuild check ... | head -0` ends quietly."""
    command = f"{sys.executable} -m budgetbuild check '{sample_workbook}' | head -c 0"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)  # noqa: S602 - our own code
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", ["check", "quote --brief 'Keep own head unit' --budget 900"])
def test_no_room_for_what_is_printed_is_told_plainly(command: str, sample_workbook: Path) -> None:
    """Linux's device that is always full."""
    name, *options = command.split(" ", 1)
    line = f"{sys.executable} -m budgetbuild {name} '{sample_workbook}' {' '.join(options)} --json > /dev/full"
    done = subprocess.run(line, shell=True, capture_output=True, text=True, check=False)  # noqa: S602 - our own code
    assert done.returncode == 2
    assert "no room for what was to be printed" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_reader_that_went_away_is_no_success(sample_workbook: Path) -> None:
    command = f"{sys.executable} -m budgetbuild check '{sample_workbook}' --json | head -c 0; exit ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False)  # noqa: S603, S607 - ours
    assert (done.returncode, done.stderr) == (141, "")


def test_user_input_error_counts_its_faults() -> None:
    assert "0 faults" in str(UserInputError([]))


def test_thousands_of_faults_are_cut_short_and_counted(capsys: pytest.CaptureFixture[str]) -> None:
    print_faults([Fault(NOWHERE, "not-a-number", str(i), "a number", "write one") for i in range(5000)])
    shown = capsys.readouterr().err
    assert "and 4800 more" in shown
    assert "5000 faults." in shown
