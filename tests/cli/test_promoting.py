"""`build` with promotions: what it prints and writes, which exit status, and what runs for some tiers leave out."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from budgetbuild.cli import main
from tests.catalogue.workbooks import Book, sound_book, write_book

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

QUICK = ("--counter", "none")


def promoting(**cells: object) -> Book:
    """A shop with one promotion within its tier, costs and a tax rate."""
    book = sound_book()
    book["Settings"].append({"Setting": "Tax rate", "Value": "21 %"})
    for sheet, rows in book.items():
        if rows and "Price" in rows[0] and sheet != "Promotions":
            for row in rows:
                row |= {"Cost": round(row["Price"] / 2, 2), "Stock": 5}
    spring: dict[str, Any] = {"Promotion": "Spring", "Brief": book["Briefs"][0]["Brief"], "Tier": "First", "Sets": 2}
    return book | {"Promotions": [spring | {"Margin floor in %": "30 %"} | cells]}


def built(tmp_path: Path, book: Book, *options: str) -> tuple[int, dict[str, Any], Path]:
    """Exit status, the data file and the folder of a build."""
    path, folder = write_book(tmp_path / "book.xlsx", book), tmp_path / "out"
    status = main(["build", str(path), "--out", str(folder), *QUICK, *options])
    return status, json.loads((folder / "results.json").read_text("utf-8")), folder


def test_a_promotion_comes_with_the_build(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, data, folder = built(tmp_path, promoting())
    assert status == 0
    (bundle,) = data["promotions"]["bundles"]
    assert (bundle["promotion"], bundle["status"], bundle["sets"]) == ("Spring", "optimal", 2)
    assert float(bundle["price"]) <= float(data["builds"][0]["cap"])
    assert "Promotion: Spring" in (folder / "guide.md").read_text("utf-8")
    printed = capsys.readouterr().out
    assert "margin of a set" in printed
    assert "Spring" in printed


def test_one_that_is_not_possible_says_why_and_leaves_status_3(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, data, folder = built(tmp_path, promoting(**{"Margin floor in %": "90 %"}))
    assert status == 3
    assert data["promotions"]["bundles"][0]["status"] == "infeasible"
    said = capsys.readouterr().err
    assert "Spring is not possible on these terms." in said
    assert "A lower margin floor" in said
    assert "Spring" not in (folder / "guide.md").read_text("utf-8")


def test_a_run_for_some_tiers_leaves_promotions_out_and_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, data, _ = built(tmp_path, promoting(), "--tier", "First")
    assert status == 0
    assert "promotions" not in data
    assert "Promotions are left out" in capsys.readouterr().err


def test_without_the_sheet_nothing_is_told_of_promotions(tmp_path: Path) -> None:
    book = promoting()
    del book["Promotions"]
    _, data, folder = built(tmp_path, book)
    assert "promotions" not in data
    assert "Promotion" not in (folder / "guide.html").read_text("utf-8")
