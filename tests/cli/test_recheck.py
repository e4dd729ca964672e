"""`budgetbuild recheck` as a scheduler and its owner meet it: exit status, what is printed where, what is written."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.cli import main
from tests.cli.sheets import edit

if TYPE_CHECKING:
    from pathlib import Path

FILES = {"what_changed.md", "what_changed.html", "what_changed.xlsx", "recheck.json"}


@pytest.fixture(scope="module")
def results(sample_workbook: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The published file of the sample's first tier and one brief."""
    folder = tmp_path_factory.mktemp("published")
    arguments = ["build", str(sample_workbook), "--out", str(folder), "--counter", "none", "--quiet"]
    assert main([*arguments, "--tier", "Entry", "--brief", "Keep own head unit"]) == 0
    return folder / "results.json"


@pytest.fixture(scope="module")
def first(results: Path) -> dict[str, Any]:
    """The first printed line."""
    line: dict[str, Any] = json.loads(results.read_bytes())["builds"][0]["lines"][0]
    return line


def prices(folder: Path, text: str) -> str:
    """A price file."""
    path = folder / "fresh.csv"
    path.write_text(text, "utf-8")
    return str(path)


def test_a_guide_that_holds_ends_with_0_and_says_yes(
    results: Path, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["recheck", str(results), str(sample_workbook), "--out", str(tmp_path / "out")]) == 0
    printed = capsys.readouterr()
    assert printed.out.startswith("Yes. 1 system was published")
    assert {path.name for path in (tmp_path / "out").iterdir()} == FILES


def test_a_guide_that_no_longer_holds_ends_with_4_and_says_what_to_do(
    results: Path, sample_workbook: Path, first: dict[str, Any], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fresh = prices(tmp_path, f"SKU,Price,Active\n{first['sku']},{first['unit_price']},no\n")
    out = tmp_path / "out"
    assert main(["recheck", str(results), str(sample_workbook), "--prices", fresh, "--out", str(out)]) == 4
    printed = capsys.readouterr()
    assert printed.out.startswith("No. Of 1 published system 1 can no longer be sold as printed.")
    assert "no: parts" in printed.out
    assert "change 1 part" in printed.out
    assert "is no longer offered" in (out / "what_changed.md").read_text("utf-8")
    assert "fresh.csv" in (out / "what_changed.md").read_text("utf-8")
    # What it says to print holds on the same day.
    again = ["recheck", str(out / "recheck.json"), str(sample_workbook), "--prices", fresh]
    assert main([*again, "--out", str(tmp_path / "again"), "--quiet"]) == 0
    assert capsys.readouterr().out == ""


def test_a_price_within_the_cap_ends_with_4_too_since_it_is_printed(
    results: Path, sample_workbook: Path, first: dict[str, Any], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fresh = prices(tmp_path, f"SKU;Price\n{first['sku']};{float(first['unit_price']) - 1:.2f}\n")
    arguments = ["recheck", str(results), str(sample_workbook), "--prices", fresh, "--out", str(tmp_path / "out")]
    assert main([*arguments, "--json"]) == 4
    printed = capsys.readouterr().out
    assert printed == (tmp_path / "out" / "recheck.json").read_text("utf-8")
    build = json.loads(printed)["builds"][0]
    assert build["standing"] == "figures"
    assert build["to_do"] == "print anew: 1 price and the total"


def test_a_better_system_counts_only_where_that_is_asked(
    results: Path, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A product that nobody chose becomes the best there is."""
    chosen = {line["sku"] for line in json.loads(results.read_bytes())["builds"][0]["lines"]}
    assert "QV-CHORAL-C-165" not in chosen
    fresh = prices(tmp_path, "SKU,Price\nQV-CHORAL-C-165,1\n")
    arguments = ["recheck", str(results), str(sample_workbook), "--prices", fresh, "--out", str(tmp_path / "out")]
    assert main([*arguments, "--quiet"]) == 0
    assert "a better one is to be had today" in (tmp_path / "out" / "what_changed.md").read_text("utf-8")
    assert main([*arguments, "--quiet", "--still-best"]) == 4
    assert capsys.readouterr().out == ""


def test_a_damaged_file_ends_with_2_and_nothing_is_written(
    results: Path, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = json.loads(results.read_bytes())
    data["builds"][0]["lines"][2]["sku"] = 7
    del data["builds"][0]["cap"]
    path = tmp_path / "results.json"
    path.write_text(json.dumps(data), "utf-8")
    assert main(["recheck", str(path), str(sample_workbook), "--out", str(tmp_path / "out")]) == 2
    told = capsys.readouterr().err
    assert "builds[0].lines[2].sku" in told
    assert "builds[0].cap" in told
    assert "2 faults. Nothing was written." in told
    assert not (tmp_path / "out").exists()


def test_a_faulty_price_list_ends_with_2_before_anything_is_solved(
    results: Path, sample_workbook: Path, first: dict[str, Any], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fresh = prices(tmp_path, f"SKU,Price\n{first['sku']},cheap\n")
    arguments = ["recheck", str(results), str(sample_workbook), "--prices", fresh, "--out", str(tmp_path / "out")]
    assert main(arguments) == 2
    assert "fresh.csv, line 2" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_the_file_that_is_read_is_never_written_over(
    results: Path, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "recheck.json"
    shutil.copy(results, path)
    assert main(["recheck", str(path), str(sample_workbook), "--out", str(tmp_path)]) == 2
    assert "another folder" in capsys.readouterr().err
    assert path.read_bytes() == results.read_bytes()


def test_a_failed_run_leaves_earlier_files_as_they_were(results: Path, sample_workbook: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    (out / "what_changed.xlsx").mkdir(parents=True)
    (out / "what_changed.md").write_text("last week", "utf-8")
    assert main(["recheck", str(results), str(sample_workbook), "--out", str(out), "--quiet"]) == 2
    assert (out / "what_changed.md").read_text("utf-8") == "last week"


def test_a_quote_can_be_rechecked_too(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    quoted = ["quote", str(sample_workbook), "--brief", "Keep own head unit", "--budget", "700", "--json"]
    assert main(quoted) == 0
    path = tmp_path / "quote.json"
    path.write_text(capsys.readouterr().out, "utf-8")
    assert main(["recheck", str(path), str(sample_workbook), "--out", str(tmp_path / "out")]) == 0


def test_a_wish_that_changed_in_the_workbook_is_seen(results: Path, sample_workbook: Path, tmp_path: Path) -> None:
    changed = edit(sample_workbook, tmp_path, {("Briefs", "Keep own head unit"): {"Front": "none"}})
    arguments = ["recheck", str(results), str(changed), "--out", str(tmp_path / "out"), "--quiet"]
    assert main(arguments) == 4
    build = json.loads((tmp_path / "out" / "recheck.json").read_bytes())["builds"][0]
    assert build["standing"] == "parts"
    assert any(drift["code"] == "rule" and drift["subject"] == "front" for drift in build["drifts"])


def test_what_the_price_list_warns_of_is_told_too(
    results: Path, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    unused = edit(sample_workbook, tmp_path, {("Briefs", "Closed dash, bass wanted"): {"Front": "perhaps"}})
    assert main(["recheck", str(results), str(unused), "--out", str(tmp_path / "out")]) == 0
    assert "perhaps" in capsys.readouterr().err


@pytest.mark.slow
def test_the_whole_guide_of_the_sample_holds_on_the_day_it_was_made(sample_workbook: Path, tmp_path: Path) -> None:
    published = tmp_path / "published"
    assert main(["build", str(sample_workbook), "--out", str(published), "--counter", "none", "--quiet"]) == 0
    arguments = ["recheck", str(published / "results.json"), str(sample_workbook), "--still-best", "--quiet"]
    assert main([*arguments, "--out", str(tmp_path / "out")]) == 0
