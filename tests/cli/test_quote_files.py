"""What `budgetbuild quote` writes: JSON alone, one file of each kind, never over anything that matters."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import openpyxl
import pytest

from budgetbuild.cli import main
from tests.cli.quotes import QUICK
from tests.cli.sheets import edit

if TYPE_CHECKING:
    from pathlib import Path


def test_the_json_is_that_of_results_json_and_alone(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "quote.json"
    assert main(["quote", str(sample_workbook), *QUICK, "--budget", "650", "--json", "--out", str(out)]) == 0
    printed = capsys.readouterr().out
    assert out.read_text("utf-8") == printed
    folder = tmp_path / "built"
    assert (
        main(["build", str(sample_workbook), "--tier", "Entry", "--quiet", "--counter", "none", "--out", str(folder)])
        == 0
    )
    built, quoted = json.loads((folder / "results.json").read_text("utf-8")), json.loads(printed)
    assert quoted.keys() == built.keys()
    assert quoted["builds"][0].keys() == built["builds"][0].keys()
    assert quoted["builds"][0]["lines"][0].keys() == built["builds"][0]["lines"][0].keys()
    assert quoted["curve_is_whole"]


def test_every_kind_of_file_is_written_and_quiet_prints_nothing(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for ending in (".HTML", ".md", ".xlsx"):
        out = tmp_path / f"quote{ending}"
        out.write_text("earlier")
        assert main(["quote", str(sample_workbook), *QUICK, "--budget", "650", "--quiet", "--out", str(out)]) == 0
    assert {path.name for path in tmp_path.iterdir()} == {"quote.HTML", "quote.md", "quote.xlsx"}
    assert (tmp_path / "quote.HTML").read_text("utf-8").lower().startswith("<!doctype html>")
    assert "guide.html" not in (tmp_path / "quote.md").read_text("utf-8")
    assert "Prices" in openpyxl.load_workbook(tmp_path / "quote.xlsx").sheetnames
    shown = capsys.readouterr()
    assert (shown.out, shown.err) == ("", "")


def test_the_list_is_printed_beside_the_file(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["quote", str(sample_workbook), *QUICK, "--budget", "650", "--out", str(tmp_path / "q.md")]) == 0
    shown = capsys.readouterr()
    assert "running" in shown.out
    assert f"Wrote {tmp_path / 'q.md'}" in shown.err


@pytest.mark.parametrize("name", ["list.xlsx", "../here/list.xlsx", "linked.xlsx", "folder.md", "quote", ".html"])
def test_what_would_be_lost_or_cannot_be_written_is_left_alone(
    name: str, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here = tmp_path / "here"
    (here / "folder.md").mkdir(parents=True)
    catalogue = here / "list.xlsx"
    catalogue.write_bytes(sample_workbook.read_bytes())
    (here / "linked.xlsx").hardlink_to(catalogue)
    assert main(["quote", str(catalogue), *QUICK, "--budget", "650", "--out", str(here / name)]) == 2
    assert catalogue.read_bytes() == sample_workbook.read_bytes()
    assert {path.name for path in here.iterdir()} == {"folder.md", "list.xlsx", "linked.xlsx"}
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "Nothing was written" in shown.err


def test_names_in_the_price_list_steer_nothing(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    model = "[bold red]Eco[/] \u009b31m<script>alert(1)</script> =1+1 \u202e {0} %s"
    hostile = edit(sample_workbook, tmp_path, {("Speakers", "OS-ECO-165"): {"Model": model, "Brand": "[/]"}})
    out = tmp_path / "quote.html"
    options = [*QUICK, "--budget", "1450", "--must", "OS-ECO-165", "--out", str(out)]
    assert main(["quote", str(hostile), *options]) == 0
    shown = capsys.readouterr().out
    assert "[/] [bold red]Eco[/]" in shown
    assert not {"\u009b", "\u202e", "\x1b"} & set(shown)
    assert "<script>alert" not in out.read_text("utf-8")
