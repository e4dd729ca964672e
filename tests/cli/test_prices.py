"""`--prices` as the shop uses it: on every command, the same as an edited list, told in short, listed by `check`."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest

from budgetbuild.cli import main, make_parser
from budgetbuild.cli.asking import Given, same_again
from tests.catalogue.price_files import csv_bytes, written
from tests.cli.quotes import QUICK
from tests.cli.sheets import column, edit
from tests.readme import subcommands
from tests.report.test_into_copy import priced

if TYPE_CHECKING:
    from pathlib import Path

    from tests.catalogue.price_files import Grid

ONE = ("--counter", "none", "--tier", "Entry", "--brief", "Keep own head unit")
NEW: dict[tuple[str, str], dict[str, str | int | None]] = {
    ("Speakers", "OS-ECO-130"): {"Price": 41, "Stock": 1},
    ("Amplifiers", "MK-A4-60"): {"Active": "no"},
    ("Head units", "TV-TR-12"): {"Cost": 30},
}
"""What is new, as `edit` takes it."""


@pytest.fixture
def prices(tmp_path: Path) -> Path:
    """A price file with what is new, and a SKU that the sample does not have."""
    rows = [
        [sku, *(values.get(name, "") for name in ("Price", "Cost", "Stock", "Active"))]
        for (_, sku), values in NEW.items()
    ]
    grid: Grid = [["SKU", "Price", "Cost", "Stock", "Active"], *rows, ["X-1", 5, "", "", ""]]
    return written(tmp_path, csv_bytes(grid, ";"), "monday.csv")


def told(capsys: pytest.CaptureFixture[str]) -> str:
    """What went to standard error, without its line breaks."""
    return " ".join(capsys.readouterr().err.split())


def test_every_command_that_reads_a_catalogue_takes_a_price_file() -> None:
    options = {
        name: {option for action in command._actions for option in action.option_strings}  # noqa: SLF001 - no public way
        for name, command in subcommands(make_parser()).items()
        if any(action.dest == "catalogue" for action in command._actions)  # noqa: SLF001 - no public way
    }
    assert {"build", "check", "quote", "why", "entry-prices", "counter"} <= options.keys()
    assert [name for name, known in options.items() if "--prices" not in known] == []


def test_a_build_with_a_price_file_is_that_of_the_list_with_these_values(
    sample_workbook: Path, prices: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edited = edit(sample_workbook, tmp_path, NEW)
    ways = {"laid": (sample_workbook, "--prices", prices), "typed": (edited,)}
    results: dict[str, dict[str, Any]] = {}
    for name, files in ways.items():
        assert main(["build", *map(str, files), "--out", str(tmp_path / name), *ONE, "--json"]) == 0
        results[name] = json.loads(capsys.readouterr().out)
    fresh = results["laid"]["prices_file"]
    assert results["laid"]["catalogue"]["sha256"] == hashlib.sha256(sample_workbook.read_bytes()).hexdigest()
    assert results["typed"]["prices_file"] is None
    assert (fresh["name"], len(fresh["sha256"]), fresh["products"]) == ("monday.csv", 64, 3)
    assert [(one["sku"], one["column"], one["before"], one["after"]) for one in fresh["changes"]] == [
        ("OS-ECO-130", "Price", "55.00", "41.00"),
        ("OS-ECO-130", "Stock", column(sample_workbook, "Speakers", "SKU", "Stock")["OS-ECO-130"], 1),
        ("MK-A4-60", "Active", True, False),
    ]
    assert [(one["sku"], one["file"], one["cell"]) for one in fresh["unknown"]] == [("X-1", "monday.csv", "A5")]
    assert "OS-ECO-130" not in fresh["missing"]
    assert results["laid"]["builds"] == results["typed"]["builds"]
    assert "41.00" in {line["unit_price"] for build in results["laid"]["builds"] for line in build["lines"]}
    assert results["laid"]["curve"] == results["typed"]["curve"]
    guide = (tmp_path / "laid" / "guide.md").read_text("utf-8")
    assert "One price of the price list is replaced by that of the price file monday.csv." in guide
    assert fresh["sha256"] in guide


def test_a_quote_counts_with_the_fresh_prices_and_says_in_short_what_is_new(
    sample_workbook: Path, prices: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["quote", str(sample_workbook), *QUICK, "--budget", "650"]
    assert main([*arguments, "--prices", str(prices), "--json"]) == 0
    laid = json.loads(capsys.readouterr().out)
    assert main(["quote", str(edit(sample_workbook, tmp_path, NEW)), *QUICK, "--budget", "650", "--json"]) == 0
    assert laid["builds"] == json.loads(capsys.readouterr().out)["builds"]
    assert main([*arguments, "--prices", str(prices)]) == 0
    said = told(capsys)
    assert "monday.csv: names 3 products; 4 new values (1 Cost, 1 Price, 1 Stock, 1 Active) for 3 products." in said
    assert "OS-ECO-130: Price 41.00, was 55.00" in said
    assert "MK-A4-60: Active no, was yes" in said
    assert "1 SKU left out, which the catalogue does not have: X-1." in said
    assert "296 products of the catalogue not named, which keep what they have: " in said
    assert "30.00" not in said, "a cost, where a customer stands by"


@pytest.mark.parametrize("silence", ["--quiet", "--json"])
def test_nothing_is_told_where_silence_or_data_alone_is_asked_for(
    silence: str, sample_workbook: Path, prices: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["quote", str(sample_workbook), *QUICK, "--budget", "650", "--prices", str(prices), silence]
    assert main(arguments) == 0
    assert capsys.readouterr().err == ""


def test_the_command_that_asks_for_the_same_again_has_the_price_file(sample_workbook: Path, prices: Path) -> None:
    given = Given(brief="B", vehicle="V", budget="650")
    words = same_again(given, sample_workbook, prices)
    assert f"budgetbuild quote {sample_workbook} --prices {prices} --brief B" in words


def test_why_and_entry_prices_count_with_the_fresh_prices(
    sample_workbook: Path, prices: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = ["--tier", "Entry", "--brief", "Keep own head unit", "--prices", str(prices), "--json"]
    assert main(["why", str(sample_workbook), "OS-ECO-130", *place]) == 0
    assert json.loads(capsys.readouterr().out)["price"] == "41.00"


def test_the_counter_page_names_the_price_file(sample_workbook: Path, prices: Path, tmp_path: Path) -> None:
    keep = {"Briefs": "Keep own head unit", "Vehicles": "Brovanko Ilvanne 5-door", "Tiers": "Entry"}
    tier: dict[tuple[str, str], dict[str, str | int | None]] = {("Tiers", "Entry"): {"Briefs": None}}
    small = edit(sample_workbook, tmp_path, tier, keep_rows=keep)
    arguments = ["counter", str(small), "--prices", str(prices), "--out", str(tmp_path / "out"), "--quiet"]
    assert main(arguments) == 0
    assert "with the price file monday.csv" in (tmp_path / "out" / "counter.html").read_text("utf-8")


def test_check_lists_everything_that_is_new(
    sample_workbook: Path, prices: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(sample_workbook), "--prices", str(prices)]) == 0
    lines = [" ".join(line.split()) for line in capsys.readouterr().out.splitlines()]
    assert "OS-ECO-130 Price 55.00 41.00 monday.csv, line 2, column B" in lines
    assert "MK-A4-60 Active yes no monday.csv, line 3, column E" in lines
    assert any(line.startswith("TV-TR-12 Cost") and "30.00 monday.csv, line 4, column C" in line for line in lines)
    assert "1 SKU left out, which the catalogue does not have: X-1 (A5)." in lines
    (missing,) = [line for line in lines if line.startswith("296 products of the catalogue not named")]
    assert missing.count(";") == 295


def test_check_gives_it_all_as_data(sample_workbook: Path, prices: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(sample_workbook), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["prices_file"] is None
    assert main(["check", str(sample_workbook), "--prices", str(prices), "--json"]) == 0
    fresh = json.loads(capsys.readouterr().out)["prices_file"]
    assert {one["column"] for one in fresh["changes"]} == {"Price", "Cost", "Stock", "Active"}
    assert len(fresh["missing"]) == 296


def test_a_price_file_with_faults_stops_the_run_before_anything_is_written(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    prices = written(tmp_path, "SKU;Price\nOS-ECO-130;1.299\n")
    arguments = ["build", str(sample_workbook), "--prices", str(prices), "--out", str(tmp_path / "out"), *ONE]
    assert main(arguments) == 2
    said = told(capsys)
    assert "prices.csv, line 2, column B" in said
    assert "this may be 1299 or 1.299" in said
    assert not (tmp_path / "out").exists()
    assert main(["check", str(sample_workbook), "--prices", str(prices), "--json"]) == 2
    (fault,) = [one for one in json.loads(capsys.readouterr().out)["faults"] if one["severity"] == "fault"]
    assert (fault["file"], fault["sheet"], fault["cell"]) == ("prices.csv", "", "B2")


@pytest.mark.parametrize("option", ["--out", "--pick-list"])
def test_a_quote_is_not_written_over_the_price_file(
    option: str, sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    prices = written(tmp_path, "SKU;Price\nOS-ECO-130;41\n", "prices.html")
    arguments = ["quote", str(sample_workbook), *QUICK, "--budget", "650", "--prices", str(prices), option, str(prices)]
    assert main(arguments) == 2
    assert "another file than that of --prices" in told(capsys)
    assert prices.read_text("utf-8").startswith("SKU;Price")


def test_a_copy_reads_the_prices_that_the_list_has_and_types_those_that_the_price_file_has(
    sample_workbook: Path, prices: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = tmp_path / "copy.xlsx"
    arguments = ["build", str(sample_workbook), "--prices", str(prices), "--out", str(tmp_path / "out"), *ONE]
    assert main([*arguments, "--into-copy", str(copy), "--quiet"]) == 0
    said = told(capsys)
    assert "OS-ECO-130: Price, as the price file has it" in said
    assert "typed in the result sheet, as the price file has it" in said
    found = priced(copy.read_bytes(), "Prices")
    assert found["OS-ECO-130"][0] == 41
    assert str(found["OS-ECO-130"][1]).startswith("=ROUND('Speakers'!")
    others = [price for sku, (price, _) in found.items() if sku != "OS-ECO-130"]
    assert others
    assert all(str(price).startswith("=ROUND('") for price in others)
    says = str(openpyxl.load_workbook(copy)["Prices"]["A2"].value)
    assert says.endswith("What the price file monday.csv says otherwise than the list is typed here.")
    assert main([*arguments, "--into-copy", str(prices)]) == 2
    assert "another file than that of --prices" in told(capsys)
