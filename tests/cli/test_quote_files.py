"""What `budgetbuild quote` writes: JSON alone, one file of each kind, never over anything that matters."""

from __future__ import annotations

import json
from datetime import datetime
from typing import TYPE_CHECKING

import openpyxl
import pytest

from budgetbuild.cli import main
from tests.cli.quotes import QUICK, answered
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


DATED = ("--budget", "650", "--date", "2026-11-25", "--quiet")


@pytest.mark.parametrize("ending", [".html", ".md"])
def test_a_page_is_the_quote_that_one_hands_to_the_customer(ending: str, sample_workbook: Path, tmp_path: Path) -> None:
    out = tmp_path / f"quote{ending}"
    status, build = answered(sample_workbook, *QUICK, "--budget", "650")
    assert main(["quote", str(sample_workbook), *QUICK, *DATED, "--out", str(out)]) == status == 0
    text = out.read_text("utf-8")
    # The sample's quotes hold 14 days, its tax is 21 %, and the shop stands on Careening Quay.
    for said in ("25 November 2026", "9 December 2026", "21\u00a0%", "4 Careening Quay", "A deposit of a fifth"):
        assert said in text
    for line in build["lines"]:
        assert text.count(f"€{line['line_total']}") >= 1
    assert f"€{build['total']}" in text
    again = tmp_path / f"again{ending}"
    assert main(["quote", str(sample_workbook), *QUICK, *DATED, "--out", str(again)]) == 0
    assert again.read_bytes() == out.read_bytes()


@pytest.mark.parametrize("written", ["2026-02-30", "25.11.2026", "2026-11-5", "20261125", "tomorrow", "", "9999-12-31"])
def test_a_date_that_is_none_is_a_fault_at_its_option(
    written: str, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "quote.html"
    options = ["--budget", "650", "--date", written, "--out", str(out)]
    assert main(["quote", str(sample_workbook), *QUICK, *options]) == 2
    shown = capsys.readouterr()
    assert "--date" in shown.err
    assert "such as 2026-11-25" in " ".join(shown.err.split())
    assert not out.exists()


def test_without_a_date_it_is_the_day_of_source_date_epoch_in_utc(
    sample_workbook: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "quote.md"
    # 25 November 2026, 23:59:59 UTC.
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795651199")
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    assert main(["quote", str(sample_workbook), *QUICK, "--budget", "650", "--quiet", "--out", str(out)]) == 0
    assert "Date: 25 November 2026" in out.read_text("utf-8")
    assert main(["quote", str(sample_workbook), *QUICK, *DATED[:2], "--date", "2027-01-02", "--out", str(out)]) == 0
    assert "Date: 2 January 2027" in out.read_text("utf-8")


@pytest.mark.parametrize("seconds", ["soon", "1e9", "99999999999999999999", "253402300799"])
def test_an_epoch_that_is_no_date_is_a_fault_where_a_date_is_needed(
    seconds: str,
    sample_workbook: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", seconds)
    out = tmp_path / "quote.md"
    asked = ["quote", str(sample_workbook), *QUICK, "--budget", "650"]
    assert main([*asked, "--out", str(out)]) == 2
    assert "SOURCE_DATE_EPOCH" in capsys.readouterr().err
    assert not out.exists()
    assert main([*asked, "--quiet"]) == 0
    assert main([*asked, "--quiet", "--out", str(tmp_path / "quote.json")]) == 0


def test_without_any_date_it_is_today(sample_workbook: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    out = tmp_path / "quote.md"
    before = datetime.now().astimezone().date()
    assert main(["quote", str(sample_workbook), *QUICK, "--budget", "650", "--quiet", "--out", str(out)]) == 0
    days = {before, datetime.now().astimezone().date()}
    assert any(f"Date: {day.day} {day:%B %Y}\n" in out.read_text("utf-8") for day in days)


def test_the_pick_list_is_written_beside_the_quote_or_alone(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    quote, here, there = tmp_path / "a" / "quote.html", tmp_path / "a" / "pick.html", tmp_path / "b" / "pick.HTML"
    asked = ["quote", str(sample_workbook), *QUICK, "--budget", "650"]
    assert main([*asked, "--out", str(quote), "--pick-list", str(here)]) == 0
    assert f"Wrote {quote}, {here}" in capsys.readouterr().err
    assert main([*asked, "--quiet", "--pick-list", str(there)]) == 0
    assert there.read_bytes() == here.read_bytes()
    assert b"On the shelf" in here.read_bytes()
    assert b"On the shelf" not in quote.read_bytes()


def test_quote_and_pick_list_are_written_both_or_neither(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    quote, blocked = tmp_path / "a" / "quote.html", tmp_path / "b" / "pick.html"
    blocked.mkdir(parents=True)
    options = ["--budget", "650", "--out", str(quote), "--pick-list", str(blocked)]
    assert main(["quote", str(sample_workbook), *QUICK, *options]) == 2
    assert "Nothing was written" in capsys.readouterr().err
    assert {path.name for path in tmp_path.rglob("*")} == {"b", "pick.html"}


@pytest.mark.parametrize(("out", "pick_list"), [("q.html", "q.html"), ("q.html", "../here/q.html"), ("q.md", "p.pdf")])
def test_a_pick_list_that_cannot_be_is_refused_at_its_option(
    out: str, pick_list: str, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here = tmp_path / "here"
    here.mkdir()
    options = ["--budget", "650", "--out", str(here / out), "--pick-list", str(here / pick_list)]
    assert main(["quote", str(sample_workbook), *QUICK, *options]) == 2
    assert "--pick-list" in capsys.readouterr().err
    assert list(here.iterdir()) == []


def test_where_nothing_is_possible_there_is_nothing_to_pick(sample_workbook: Path, tmp_path: Path) -> None:
    pick = tmp_path / "pick.html"
    assert main(["quote", str(sample_workbook), *QUICK, "--budget", "20", "--quiet", "--pick-list", str(pick)]) == 3
    assert "Nothing to pick" in pick.read_text("utf-8")


def test_a_shops_own_sentences_reach_its_quotes(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "sentences.toml").write_text('[headline]\nsold-kept = "{total} and not a cent more."\n', "utf-8")
    arguments = ["quote", str(sample_workbook), *QUICK, "--budget", "1300", "--templates", str(tmp_path)]
    assert main(arguments) == 0
    assert "and not a cent more." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("text", "said"), [('[headline]\nsold = "{price}"\n', "{price}"), ("", "no-such-folder"), ("[headline", "TOML")]
)
def test_a_sentence_that_cannot_be_said_stops_a_build_before_it_solves(
    text: str, said: str, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "own"
    if text:
        folder.mkdir()
        (folder / "sentences.toml").write_text(text, "utf-8")
    out = tmp_path / "out"
    assert main(["build", str(sample_workbook), "--out", str(out), "--templates", str(folder)]) == 2
    shown = capsys.readouterr().err
    assert said in shown or (not text and "a folder" in shown)
    assert not out.exists()
