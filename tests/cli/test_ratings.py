"""What the commands say of ratings that are reckoned from specifications, and of products that stay unrated."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.cli import main
from tests.catalogue.workbooks import sound_book, write_book

if TYPE_CHECKING:
    from pathlib import Path

PLACE = ("--tier", "First", "--brief", "Everyday")


@pytest.fixture
def catalogue(tmp_path: Path) -> Path:
    """Two speakers without a typed rating: one that can be reckoned, 91 dB between 86 and 94, and one that cannot."""
    book = sound_book()
    for speaker in book["Speakers"]:
        speaker["Rating"] = None
    book["Speakers"][0]["Sensitivity dB"] = None
    book["Points"] = [{"Sheet": "Speakers", "Column": "Sensitivity dB", "Worst": 86, "Best": 94, "Points": 4}]
    return write_book(tmp_path / "list.xlsx", book)


def test_check_warns_of_products_still_unrated(catalogue: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(catalogue)]) == 0
    told = capsys.readouterr().out
    assert "Speakers!E2" in told
    assert "Sensitivity dB (K2)" in told
    assert "Speakers!E3" not in told
    assert "1 warning, 1 notice. The catalogue can be used" in told


def test_why_shows_how_a_rating_was_reckoned(catalogue: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", str(catalogue), "SP-2", *PLACE]) == 0
    told = capsys.readouterr().out
    assert "Borr Set is rated 6.25 of 10, for 2.5 of 4 points: Sensitivity dB 91 earns 2.5 of 4." in told
    assert main(["why", str(catalogue), "HU-1", *PLACE]) == 0
    assert "of 10" not in capsys.readouterr().out


def test_why_says_that_a_product_is_not_rated(catalogue: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["why", str(catalogue), "SP-1", *PLACE]) == 3
    assert "It is not rated, and its row lacks what its rating could be reckoned from." in capsys.readouterr().out
