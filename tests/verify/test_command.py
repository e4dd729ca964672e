"""`budgetbuild verify` as a person meets it: exit status, what is printed where, and which files it refuses."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.cli import main
from tests.cli.sheets import edit

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


@pytest.fixture(scope="module")
def results(sample_workbook: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The published file of the sample's first tier and one brief."""
    folder = tmp_path_factory.mktemp("published")
    arguments = ["build", str(sample_workbook), "--out", str(folder), "--counter", "none", "--quiet"]
    assert main([*arguments, "--tier", "Entry", "--brief", "Keep own head unit"]) == 0
    return folder / "results.json"


@pytest.fixture
def changed(results: Path, tmp_path: Path) -> Callable[[Callable[[dict[str, Any]], None]], Path]:
    """Writes the published file with a change."""

    def write(change: Callable[[dict[str, Any]], None]) -> Path:
        document = json.loads(results.read_bytes())
        change(document)
        path = tmp_path / "results.json"
        path.write_text(json.dumps(document), "utf-8")
        return path

    return write


def test_a_file_that_is_right_ends_with_0(
    results: Path, sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", str(results), str(sample_workbook)]) == 0
    printed = capsys.readouterr()
    assert "Entry: Keep own head unit" in printed.out
    assert "none is better" in printed.out
    assert "Right in all " in printed.out
    assert "Not looked at:" in printed.out


def test_a_changed_price_ends_with_4_and_stands_beside_the_right_one(
    changed: Callable[[Callable[[dict[str, Any]], None]], Path],
    sample_workbook: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    before: list[str] = []

    def cheaper(document: dict[str, Any]) -> None:
        """A euro less, everywhere where it counts, so that the file hangs together."""
        build = document["builds"][0]
        line = build["lines"][0]
        assert line["quantity"] == 1
        before.append(line["unit_price"])
        for place, key in ((line, "unit_price"), (line, "line_total"), (build, "total")):
            place[key] = f"{float(place[key]) - 1:.2f}"

    path = changed(cheaper)
    assert main(["verify", str(path), str(sample_workbook)]) == 4
    printed = capsys.readouterr().out
    assert "builds[0].lines[0].unit_price" in printed
    assert before[0] in printed
    assert "NOT RIGHT" in printed


def test_json_alone_goes_to_standard_output(
    results: Path, sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", str(results), str(sample_workbook), "--json"]) == 0
    printed = capsys.readouterr()
    told = json.loads(printed.out)
    assert (told["holds"], told["findings"], printed.err) == (True, [], "")
    assert told["systems"] == [
        {
            "at": "builds[0]",
            "name": "Entry: Keep own head unit",
            "rules": len(json.loads(results.read_bytes())["builds"][0]["checks"]),
            "shown": "best",
        }
    ]
    assert told["compared"] > 500


def test_another_workbook_is_refused_with_both_hashes(
    results: Path, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = edit(sample_workbook, tmp_path, {("Tiers", "Entry"): {"Budget": 700}})
    assert main(["verify", str(results), str(copy)]) == 2
    told = capsys.readouterr().err
    assert "catalogue.sha256" in told
    assert "recheck" in told


def test_a_price_file_that_was_laid_over_the_list_has_to_be_given_again(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sku = "MK-NOOK-8A"
    fresh, other = tmp_path / "fresh.csv", tmp_path / "other.csv"
    fresh.write_text(f"SKU,Price\n{sku},256.00\n", "utf-8")
    other.write_text(f"SKU,Price\n{sku},257.00\n", "utf-8")
    arguments = ["build", str(sample_workbook), "--out", str(tmp_path), "--counter", "none", "--quiet"]
    arguments += ["--tier", "Entry", "--brief", "Keep own head unit"]
    assert main([*arguments, "--prices", str(fresh)]) == 0
    command = ["verify", str(tmp_path / "results.json"), str(sample_workbook), "--quiet"]
    assert main(command) == 2
    assert "--prices" in capsys.readouterr().err
    assert main([*command, "--prices", str(other)]) == 2
    assert main([*command, "--prices", str(fresh)]) == 0
    assert main([*command, "--prices", str(shutil.copy(fresh, tmp_path / "renamed.csv"))]) == 0


def test_a_file_that_does_not_hang_together_is_refused_with_its_places(
    changed: Callable[[Callable[[dict[str, Any]], None]], Path],
    sample_workbook: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    def dearer(document: dict[str, Any]) -> None:
        document["builds"][0]["total"] = "1.00"

    assert main(["verify", str(changed(dearer)), str(sample_workbook)]) == 2
    told = capsys.readouterr().err
    assert "builds[0].total" in told
    assert "sum of the lines" in told


def test_what_recheck_writes_can_be_verified_too(results: Path, sample_workbook: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert main(["recheck", str(results), str(sample_workbook), "--out", str(out), "--quiet"]) == 0
    assert main(["verify", str(out / "recheck.json"), str(sample_workbook), "--quiet"]) == 0


def test_a_quote_without_wishes_can_be_verified_too(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    quote = tmp_path / "quote.json"
    command = ["quote", str(sample_workbook), "--budget", "900", "--brief", "Keep own head unit"]
    assert main([*command, "--out", str(quote), "--quiet"]) == 0
    assert main(["verify", str(quote), str(sample_workbook)]) == 0
    assert "none is better" in capsys.readouterr().out


def test_a_quote_with_wishes_is_refused_for_what_the_file_does_not_hold(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    quote = tmp_path / "quote.json"
    command = ["quote", str(sample_workbook), "--budget", "900", "--brief", "Keep own head unit", "--no-bass"]
    assert main([*command, "--out", str(quote), "--quiet"]) == 0
    assert main(["verify", str(quote), str(sample_workbook)]) == 2
    assert "builds[0].brief" in capsys.readouterr().err


def test_a_list_that_was_renamed_is_the_same_list(
    results: Path, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    renamed = tmp_path / "renamed.xlsx"
    shutil.copy(sample_workbook, renamed)
    assert main(["verify", str(results), str(renamed)]) == 0
    assert "from sample_catalogue.xlsx" in capsys.readouterr().out
