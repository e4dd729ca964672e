"""The questions of `budgetbuild quote`, at a real terminal: one at a time, forgiving, and easy to leave."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import openpyxl
import pytest

from budgetbuild.cli import main
from tests.cli.terminal import sit

if TYPE_CHECKING:
    from pathlib import Path

BRIEF, VEHICLE, BUDGET, FITTED = (
    "Brief, number or name: ",
    "Vehicle, number or name",
    "Budget in EUR: ",
    "yes or no [no]: ",
)


def test_it_asks_for_brief_vehicle_budget_and_fitting(
    sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sitting = sit(
        ["quote", str(sample_workbook)],
        [(BRIEF, "keep the\n"), (VEHICLE, "\n"), (BUDGET, "1450\n"), (FITTED, "y\n")],
        columns=160,
    )
    options = ["--brief", "Keep the factory head unit", "--budget", "1450", "--fitted"]
    assert main(["quote", str(sample_workbook), *options]) == 0
    assert sitting.status == 0
    for row in capsys.readouterr().out.splitlines():
        if re.match(r"(converter|front|bass|labour) ", row):
            assert row.rstrip() in sitting.seen
    assert (
        "--brief 'Keep the factory head unit' --vehicle 'Brovanko Ilvanne 5-door' --budget 1450 --fitted"
        in sitting.seen
    )


def test_answers_may_be_numbers_and_names_are_helped_with(sample_workbook: Path) -> None:
    sitting = sit(
        ["quote", str(sample_workbook), "--quiet"],
        [
            (BRIEF, "keep\n"),
            ("or may be several; write Keep the factory head unit or Keep own head unit", "9\n"),
            ("or may be several", "closd dash, bass wantd\n"),
            ("write Closed dash, bass wanted", "\n"),
            (BRIEF, "5\n"),
            (VEHICLE, "brovanko g\n"),
            (BUDGET, "1.450\n"),
            ("write 1450 or 1.45", "650\n"),
        ],
    )
    assert sitting.status == 0
    assert "--vehicle 'Brovanko Grannock' --budget 650" in " ".join(sitting.seen.split())


def test_tab_completes_a_name(sample_workbook: Path) -> None:
    sitting = sit(
        ["quote", str(sample_workbook), "--budget", "650", "--quiet"],
        [(BRIEF, "clo\t"), ("Closed dash, bass wanted", "\n"), (VEHICLE, "\n")],
    )
    assert sitting.status == 0


def test_questions_stay_out_of_standard_output(sample_workbook: Path, tmp_path: Path) -> None:
    sitting = sit(
        ["quote", str(sample_workbook)],
        [(BRIEF, "5\n"), (VEHICLE, "\n"), (BUDGET, "20\n")],
        stdout=tmp_path / "printed.txt",
    )
    assert sitting.status == 3
    assert sitting.piped.startswith("Closed dash, bass wanted\nBrovanko Grannock, budget")
    assert "number or name" not in sitting.piped
    assert "\x1b" not in sitting.piped


def test_only_what_is_missing_is_asked_for(sample_workbook: Path) -> None:
    sitting = sit(
        ["quote", str(sample_workbook), "--brief", "closed dash, bass wanted", "--quiet"],
        [(VEHICLE, "\n"), (BUDGET, "650\n")],
    )
    assert sitting.status == 0
    assert BRIEF not in sitting.seen
    whole = sit(["quote", str(sample_workbook), "--brief", "closed dash, bass wanted", "--budget", "650", "--quiet"])
    assert (whole.status, whole.seen) == (0, "")


def test_wrong_options_are_told_before_anything_is_asked(sample_workbook: Path) -> None:
    sitting = sit(["quote", str(sample_workbook), "--vehicle", "Grannok", "--allowance", "x"], columns=160)
    assert sitting.status == 2
    assert "write Brovanko Grannock" in sitting.seen
    assert "--allowance" in sitting.seen
    assert "number or name" not in sitting.seen


@pytest.mark.parametrize(("key", "status"), [("\x04", 2), ("\x03", 130)])
def test_one_can_leave_at_any_question(key: str, status: int, sample_workbook: Path, tmp_path: Path) -> None:
    out = tmp_path / "quote.md"
    for answers in ([(BRIEF, key)], [(BRIEF, "5\n"), (VEHICLE, "\n"), (BUDGET, key)]):
        sitting = sit(["quote", str(sample_workbook), "--out", str(out)], answers)
        assert sitting.status == status
        assert "othing was written" in sitting.seen
        assert "Traceback" not in sitting.seen
    assert not out.exists()


def test_bytes_that_are_no_text_are_asked_about_again(sample_workbook: Path) -> None:
    sitting = sit(
        ["quote", str(sample_workbook), "--budget", "650", "--quiet"],
        [(BRIEF, b"\xff\xfe\n"), ("or may be several", "5\n"), (VEHICLE, "\n")],
    )
    assert sitting.status == 0


def test_names_in_the_lists_steer_nothing(sample_workbook: Path, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(sample_workbook)
    for row in book["Vehicles"].iter_rows(min_col=1, max_col=1):
        if row[0].value == "Brovanko Ilvanne Estate":
            row[0].value = "Brovanko \u009b31m[bold]Estate"
    hostile = tmp_path / "list.xlsx"
    book.save(hostile)
    sitting = sit(["quote", str(hostile), "--brief", "Closed dash, bass wanted"], [(VEHICLE, "\x03")])
    assert "[bold]Estate" in sitting.seen
    assert "\u009b" not in sitting.raw
    assert sitting.status == 130


@pytest.mark.parametrize("columns", [80, 120])
def test_the_list_is_readable_on_a_terminal(columns: int, sample_workbook: Path) -> None:
    """No line is wider than the terminal, no SKU is broken, and without colours asked for there are none."""
    options = ["--brief", "Closed dash, bass wanted", "--budget", "1450"]
    sitting = sit(["quote", str(sample_workbook), *options], columns=columns, environment={"NO_COLOR": "1"})
    assert sitting.status == 0
    assert max(map(len, sitting.seen.splitlines())) <= columns
    assert not re.search(r"\x1b\[[0-9;]*(3[0-7]|4[0-7]|9[0-7]|38|48)", sitting.raw)
    listed = [
        row for row in sitting.seen.splitlines() if re.match(r"(converter|front|bass|power kit|signal lead) ", row)
    ]
    assert len(listed) == 5
    for row in listed:
        assert re.search(r"[\d,]+\.\d\d +[\d,]+\.\d\d +[\d,]+\.\d\d$", row.rstrip())
