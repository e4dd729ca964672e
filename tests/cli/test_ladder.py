"""`build --ladder`: what it prints and writes, which exit status, and that nothing changes where it is not asked."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.cli import main
from tests.catalogue.workbooks import Book, sound_book, write_book

if TYPE_CHECKING:
    from pathlib import Path


def two_tiers(**second: object) -> Book:
    """A shop with a second tier of twice the budget."""
    book = sound_book()
    (tier,) = book["Tiers"][:1]
    book["Tiers"] = [tier, {**tier, "Tier": "Higher", "Budget": 2 * tier["Budget"], **second}]
    return book


def built(tmp_path: Path, book: Book, *options: str) -> tuple[int, list[dict[str, Any]] | None]:
    """Exit status of a build, and the paths in its data file."""
    path, folder = tmp_path / "book.xlsx", tmp_path / "out"
    write_book(path, book)
    status = main(["build", str(path), "--out", str(folder), "--counter", "none", *options])
    if not folder.exists():
        return status, None
    return status, json.loads((folder / "results.json").read_bytes()).get("ladders")


@pytest.mark.parametrize(("options", "keep"), [(("--ladder",), False), (("--ladder", "keep"), True)])
def test_the_option_adds_a_path_to_every_output(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], options: tuple[str, ...], *, keep: bool
) -> None:
    status, ladders = built(tmp_path, two_tiers(), *options)
    assert status == 0
    assert ladders is not None
    assert {ladder["keep"] for ladder in ladders} == {keep}
    for ladder in ladders:
        assert ladder["status"] == "optimal"
        assert ladder["worth"] == pytest.approx(ladder["bound"])
        for step in ladder["steps"]:
            assert float(step["spent"]) <= float(step["cap"])
            assert step["score"] <= step["own_best"]
            assert not (keep and step["put_aside"])
    printed = capsys.readouterr().out
    assert "upgrade path" in printed
    assert "proven best" in printed
    assert "Climbing from" in (tmp_path / "out" / "guide.md").read_text("utf-8")


def test_a_weight_in_the_sheet_counts(tmp_path: Path) -> None:
    _, ladders = built(tmp_path, two_tiers(**{"Step weight": 2.5}), "--ladder")
    assert ladders is not None
    assert [step["weight"] for step in ladders[0]["steps"]] == [2, 5]


def test_without_the_option_there_is_none(tmp_path: Path) -> None:
    assert built(tmp_path, two_tiers()) == (0, None)


def test_one_tier_alone_is_nowhere_to_climb(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, ladders = built(tmp_path, two_tiers(), "--ladder", "--tier", "Higher")
    assert (status, ladders) == (2, None)
    assert "at least two tiers" in " ".join(capsys.readouterr().err.split())


def test_a_brief_without_a_path_is_told_and_the_exit_status_is_3(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = two_tiers()
    book["Tiers"][0]["Budget"] = 1
    status, ladders = built(tmp_path, book, "--ladder")
    assert status == 3
    assert ladders is not None
    assert {ladder["why_not"] for ladder in ladders} == {"one tier"}
    assert "There is no path" in " ".join(capsys.readouterr().err.split())
