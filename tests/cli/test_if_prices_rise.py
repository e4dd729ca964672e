"""`build --rising`: what it prints and writes, which exit status, and that nothing changes where no price may rise."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.cli import main
from tests.catalogue.workbooks import Book, sound_book, write_book

if TYPE_CHECKING:
    from pathlib import Path

QUICK = ("--counter", "none")


def ranged() -> Book:
    """A shop whose best system within 656.50 costs 639.40 today, and 40.00 more if its amplifier's price rises."""
    book = sound_book()
    book["Amplifiers"][0]["Price high"] = 289
    return book


def built(tmp_path: Path, book: Book, *options: str, name: str = "out") -> tuple[int, dict[str, bytes]]:
    """Exit status of a build, and every file that it writes."""
    path, folder = tmp_path / "book.xlsx", tmp_path / name
    if not path.exists():  # a file's own date is in its bytes, and their hash in the outputs
        write_book(path, book)
    status = main(["build", str(path), "--out", str(folder), *QUICK, *options])
    files = {one.relative_to(folder).as_posix(): one.read_bytes() for one in folder.rglob("*") if one.is_file()}
    return status, files


def certain_of(files: dict[str, bytes]) -> list[dict[str, Any]]:
    """What the data file holds of certainty."""
    found: list[dict[str, Any]] = json.loads(files["results.json"]).get("certain", [])
    return found


def test_the_option_adds_what_holds_to_every_output(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, files = built(tmp_path, ranged(), "--rising", "1")
    assert status == 0
    (certain,) = certain_of(files)
    assert [float(step["dearest_total"]) <= 656.5 for step in certain["steps"]] == [True, True]
    assert certain["steps"][0]["total"] == "639.40"
    assert float(certain["steps"][1]["today_dearest_total"]) == pytest.approx(679.4)
    assert b"If prices rise" in files["guide.md"]
    printed = capsys.readouterr().out
    assert "if prices rise" in printed
    assert "any 1 or more" in printed


def test_the_setting_asks_the_same_and_the_option_overrules_it(tmp_path: Path) -> None:
    book = ranged()
    book["Settings"].append({"Setting": "Prices that may rise", "Value": 1})
    assert len(certain_of(built(tmp_path, book)[1])) == 1
    assert certain_of(built(tmp_path, book, "--rising", "0", name="none")[1]) == []


def test_an_ordinary_build_says_how_far_its_total_may_rise(tmp_path: Path) -> None:
    _, files = built(tmp_path, ranged())
    assert b"if all that may rise do (1 of these products), the total is" in files["guide.md"]
    assert certain_of(files) == []


def test_without_price_ranges_every_file_is_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A high price that is the price is no range."""
    book = sound_book()
    book["Amplifiers"][0]["Price high"] = book["Amplifiers"][0]["Price"]
    plain = built(tmp_path, book)
    assert capsys.readouterr().err == ""
    assert built(tmp_path, book, "--rising", "3", name="asked") == plain
    assert "No product has a Price high above its price" in capsys.readouterr().err


def test_where_no_system_holds_the_exit_status_is_3(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The cheapest system has one head unit to choose, which may cost 400 more."""
    book = sound_book()
    book["Head units"][0]["Price high"] = 599
    book["Tiers"][0]["Budget"] = 400
    status, files = built(tmp_path, book, "--rising", "1")
    assert status == 3
    (certain,) = certain_of(files)
    assert (certain["met"], certain["greatest"], len(certain["steps"])) == (False, 0, 1)
    assert certain["least_cap"] in capsys.readouterr().err.replace(",", "")


@pytest.mark.parametrize("wrong", ["-1", "1.5", "many", "100"])
def test_what_is_no_number_of_prices_is_wrong_usage(wrong: str) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["build", "x.xlsx", "--rising", wrong])
    assert stopped.value.code == 2
