"""`budgetbuild quote` as the counter meets it: the same answers as the integer program, options that do as they say."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.build import Status
from budgetbuild.catalogue.listed import names_of
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.cli import main
from budgetbuild.program.solve import Proposal, best
from budgetbuild.program.solver import Clock, Solver
from tests.cli.quotes import QUICK, answered
from tests.cli.sheets import brands, column, edit
from tests.program.small import program_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

SCORED = {"front", "rear", "bass", "amplifier"}


def by_program(catalogue: Path, brief: str, cap: int) -> Proposal:
    """What the integer program says of a brief as it stands in a workbook."""
    loaded = load_catalogue(catalogue)
    (found,) = [one for one in loaded.briefs if one.name == brief]
    return best(program_of(loaded, found), cap, Solver(), Clock())


def cents(amount: str) -> int:
    """Whole cents of a decimal string with two places."""
    assert re.fullmatch(r"-?\d+\.\d\d", amount)
    return int(amount.replace(".", ""))


def skus(build: Mapping[str, Any]) -> set[str]:
    return {line["sku"] for line in build["lines"] if line["sku"]}


def roles(build: Mapping[str, Any]) -> set[str]:
    return {line["role"] for line in build["lines"]}


OWN_UNIT_NO_BASS = ("--own-head-unit", "2", "--no-bass")
MUST_AND_WITHOUT = ("--must", "tk-quake-4", "--must", "Kivandre", "--without", "Ostrello", "--without", "ZX-WIRE-4")
FITTED_ONE_BRAND = ("--fitted", "--brand-match")
CASES: dict[str, tuple[str, str, int, tuple[str, ...], dict[str, str | int | None]]] = {
    "as the brief stands": ("Replace everything", "650", 65650, (), {}),
    "no allowance": ("Closed dash, bass wanted", "1450", 145000, ("--allowance", "0"), {}),
    "half a percent, rounded down": ("Closed dash, bass wanted", "999.99", 100498, ("--allowance", "0.5 %"), {}),
    "another vehicle": (
        "Keep the factory head unit",
        "900.50",
        90950,
        ("--vehicle", "osterquin jupelo"),
        {"Vehicle": "Osterquin Jupelo"},
    ),
    "own head unit, no bass": (
        "Replace everything",
        "1000",
        101000,
        OWN_UNIT_NO_BASS,
        {"Head unit": "keep own", "Own pre-out pairs": 2, "Bass": "none"},
    ),
    "must and without": (
        "Replace everything",
        "1500",
        151500,
        MUST_AND_WITHOUT,
        {"Must include": "TK-QUAKE-4; Kivandre", "Leave out": "Ostrello; ZX-WIRE-4"},
    ),
    "fitted, one brand": (
        "Keep own head unit",
        "2000",
        202000,
        FITTED_ONE_BRAND,
        {"Fitted": "yes", "One brand": "must"},
    ),
}
"""Brief, budget, cap in cents reckoned by hand, options, and the cells of the brief that say the same."""


@pytest.mark.parametrize("case", CASES)
def test_a_quote_is_what_the_integer_program_says_of_a_brief_written_so(
    case: str, sample_workbook: Path, tmp_path: Path
) -> None:
    brief, budget, cap, options, cells = CASES[case]
    status, build = answered(sample_workbook, "--brief", brief, "--budget", budget, *options)
    proposal = by_program(edit(sample_workbook, tmp_path, {("Briefs", brief): cells}), brief, cap)
    assert status == 0
    assert cents(build["cap"]) == cap
    assert proposal.system
    assert (round(build["score"] * 1000), cents(build["total"])) == (proposal.score, proposal.total)
    assert skus(build) == {part.sku for part in proposal.system.parts}
    assert build["bound"] == build["score"]


def test_must_is_in_the_system_and_without_is_not(sample_workbook: Path) -> None:
    _, build = answered(sample_workbook, "--brief", "Replace everything", "--budget", "1500", *MUST_AND_WITHOUT)
    brand_of = brands(sample_workbook)
    used = {brand_of[sku] for sku in skus(build)}
    assert "TK-QUAKE-4" in skus(build)
    assert "Kivandre" in used
    assert "Ostrello" not in used
    assert "ZX-WIRE-4" not in skus(build)


def test_the_own_head_unit_stays_and_no_bass_means_none(sample_workbook: Path) -> None:
    _, build = answered(sample_workbook, "--brief", "Replace everything", "--budget", "1000", *OWN_UNIT_NO_BASS)
    assert not roles(build) & {"head unit", "converter", "fitting kit", "aerial", "bass", "box"}
    assert "front" in roles(build)
    assert build["brief"] == "Replace everything; own head unit; no bass"


def test_fitted_has_the_hours_of_the_labour_sheet_and_one_brand_is_one(sample_workbook: Path) -> None:
    _, build = answered(sample_workbook, "--brief", "Keep own head unit", "--budget", "2000", *FITTED_ONE_BRAND)
    brand_of = brands(sample_workbook)
    assert len({brand_of[line["sku"]] for line in build["lines"] if line["role"] in SCORED}) == 1
    hours = column(sample_workbook, "Labour", "Work", "Hours")
    rate = column(sample_workbook, "Settings", "Setting", "Value")["Labour rate"]
    labour = {
        line["description"].removeprefix("Fitting: "): line for line in build["lines"] if line["role"] == "labour"
    }
    assert {"front", "amplifier"} <= set(labour)
    for work, line in labour.items():
        if not work.startswith("deadening"):
            assert cents(line["unit_price"]) == round(float(hours[work]) * float(rate) * 100)


def test_the_running_total_runs_to_the_total_within_the_cap(sample_workbook: Path) -> None:
    _, build = answered(sample_workbook, "--brief", "Replace everything", "--budget", "650")
    running = 0
    for line in build["lines"]:
        assert cents(line["line_total"]) == line["quantity"] * cents(line["unit_price"])
        running += cents(line["line_total"])
        assert cents(line["running_total"]) == running
    assert running == cents(build["total"]) <= cents(build["cap"])


@pytest.mark.parametrize("written", ["1,450", "€ 1.450,00", "1 450.00 EUR"])
def test_a_budget_may_be_written_as_one_writes_money(written: str, sample_workbook: Path) -> None:
    assert answered(sample_workbook, *QUICK, "--budget", written) == answered(
        sample_workbook, *QUICK, "--budget", "1450"
    )


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("-5", "greater than 0"),
        ("0", "greater than 0"),
        ("1.450", "write 1450 or 1.45"),
        ("$1450", "EUR"),
        ("1450.505", "at most two decimals"),
        ("much", "such as 1450"),
        ("", "such as 1450"),
        ("1e3", "such as 1450"),
    ],
)
def test_a_budget_that_is_none_or_may_be_two_is_refused(
    written: str, said: str, sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["quote", str(sample_workbook), *QUICK, "--budget", written]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "--budget" in shown.err
    assert said in " ".join(shown.err.split())


def test_everything_that_is_wrong_is_told_at_once_with_the_nearest_names(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "quote.pdf"
    wrong = ["--brief", "replace everythin", "--vehicle", "Grannok", "--must", "TK-QUAKE4", "--without", "Ostrelo"]
    wrong += ["--budget", "-1", "--allowance", "lots", "--own-head-unit", "two", "--out", str(out)]
    assert main(["quote", str(sample_workbook), *wrong]) == 2
    shown = capsys.readouterr().err
    assert "8 faults. Nothing was written." in shown
    for option in (
        "--brief",
        "--vehicle",
        "--must",
        "--without",
        "--budget",
        "--allowance",
        "--own-head-unit",
        "--out",
    ):
        assert option in shown
    for near in ("write Replace everything", "write Brovanko Grannock", "TK-QUAKE-4", "write Ostrello", ".xlsx"):
        assert near in shown
    assert not out.exists()


def test_without_a_terminal_what_is_missing_is_listed(
    sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["quote", str(sample_workbook)]) == 2
    shown = " ".join(capsys.readouterr().err.split())
    assert "--budget nothing" in shown
    assert "--brief nothing one of: Replace everything; Keep the factory head unit" in shown


def test_faults_in_the_price_list_stop_the_quote(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spoilt = edit(sample_workbook, tmp_path, {("Speakers", "OS-ECO-165"): {"Price": "1,299"}})
    assert main(["quote", str(spoilt), *QUICK, "--budget", "much", "--out", str(tmp_path / "quote.md")]) == 2
    shown = capsys.readouterr().err
    assert "Speakers!" in shown
    assert "--budget" in shown
    assert not (tmp_path / "quote.md").exists()


def test_what_is_listed_does_not_depend_on_faults(sample_workbook: Path, tmp_path: Path) -> None:
    faults: dict[tuple[str, str], dict[str, str | int | None]] = {
        ("Briefs", "Replace everything"): {"Head unit": "??", "Vehicle": None}
    }
    listed = names_of(edit(sample_workbook, tmp_path, faults))
    assert [brief.name for brief in listed.briefs] == [*column(sample_workbook, "Briefs", "Brief", "Brief")]
    assert listed.briefs[0].vehicle == ""
    assert list(listed.vehicles) == [*column(sample_workbook, "Vehicles", "Vehicle", "Vehicle")]
    assert listed.currency == "EUR"


def test_where_nothing_is_possible_the_least_budget_is_exact_and_the_file_is_written(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "new folder" / "quote.md"
    assert main(["quote", str(sample_workbook), *QUICK, "--budget", "20", "--out", str(out)]) == 3
    shown = capsys.readouterr()
    status, build = answered(sample_workbook, *QUICK, "--budget", "20")
    least = cents(build["least_budget"])
    assert status == 3
    assert f"{least // 100}.{least % 100:02}" in shown.out
    assert "Without bass" in shown.out
    assert "No system" in out.read_text("utf-8")
    assert by_program(sample_workbook, QUICK[1], least).status is Status.OPTIMAL
    assert by_program(sample_workbook, QUICK[1], least - 1).status is Status.INFEASIBLE


def test_the_list_says_everything_that_one_needs_at_the_counter(
    sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, build = answered(sample_workbook, *QUICK, "--budget", "650")
    assert main(["quote", str(sample_workbook), *QUICK, "--budget", "650"]) == 0
    shown = capsys.readouterr()
    assert "\x1b" not in shown.out + shown.err
    for line in build["lines"]:
        row = next(row for row in shown.out.splitlines() if (line["sku"] or line["description"]) in row)
        assert row.startswith(line["role"])
        assert row.split()[-2:] == [line["line_total"], line["running_total"]]
    whole = shown.out.replace("\u00a0", " ")
    for said in (build["total"], build["budget"], build["cap"], "1 % over", f"Score {build['score']:.2f}", "Proven"):
        assert said in whole
    for caution in build["cautions"]:
        assert caution["code"] in {"heavy-box", "over-budget"} or caution["text"].replace("\u00a0", " ") in whole
    for sentence in build["safety"]:
        assert sentence.replace("\u00a0", " ") in whole
    for said in ("battery", "0.45 m", "rating", "crash", "airbags", "lithium", "85 dB(A)", "qualified fitter"):
        assert said in whole
    for title in ("Next step up", "Best single swap", "First thing to drop"):
        assert title in whole


def test_which_version_to_order_is_said(sample_workbook: Path, capsys: pytest.CaptureFixture[str]) -> None:
    options = [*QUICK, "--budget", "1450", "--must", "TK-RUMBLER-D10-2X2"]
    assert main(["quote", str(sample_workbook), *options]) == 0
    shown = capsys.readouterr().out
    assert "TK-RUMBLER-D10-2X4" in shown[shown.index("Which version to order") :]


def test_a_wrong_file_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["quote", str(tmp_path / "nothing.xlsx"), "--budget", "1450"]) == 2
    assert "no-such-file" not in capsys.readouterr().out


def test_the_brief_need_not_be_named_where_there_is_one_alone(sample_workbook: Path, tmp_path: Path) -> None:
    alone = edit(sample_workbook, tmp_path, keep_rows={"Briefs": QUICK[1]})
    assert (
        answered(alone, "--budget", "650")[1]["total"]
        == answered(sample_workbook, *QUICK, "--budget", "650")[1]["total"]
    )


def test_a_quote_loads_no_solver_and_no_writer(sample_workbook: Path) -> None:
    """Run as a process of its own: what it imports decides how long one waits at the counter."""
    code = (
        "import sys\nfrom budgetbuild.cli import main\n"
        f"status = main(['quote', {str(sample_workbook)!r}, *{QUICK!r}, '--budget', '650', *sys.argv[1:]])\n"
        "heavy = {'pulp', 'highspy', 'openpyxl', 'jinja2', 'xlsxwriter', 'pandas'} & set(sys.modules)\n"
        "print(sorted(heavy), 'rich' in sys.modules, file=sys.stderr)\nsys.exit(status)\n"
    )
    for option, rich in ((), True), (("--json",), False):
        done = subprocess.run(  # noqa: S603 - our own code
            [sys.executable, "-c", code, *option], capture_output=True, text=True, check=True, env=os.environ.copy()
        )
        assert done.stderr.splitlines()[-1] == f"[] {rich}"


def test_a_closed_pipe_is_no_fault(sample_workbook: Path) -> None:
    command = f"{sys.executable} -m budgetbuild quote '{sample_workbook}' --brief '{QUICK[1]}' --budget 650 | head -c 0"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)  # noqa: S602 - our own code
    assert "Traceback" not in done.stderr


def test_paragraphs_about_other_tiers_and_briefs_are_no_warnings(
    sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The sample has paragraphs about its tiers; a quote knows none of them, and `check` finds no fault."""
    assert main(["check", str(sample_workbook)]) == 0
    capsys.readouterr()
    assert main(["quote", str(sample_workbook), "--budget", "900", "--brief", "Keep own head unit"]) == 0
    assert "warning" not in capsys.readouterr().err
