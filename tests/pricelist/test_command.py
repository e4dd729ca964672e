"""`budgetbuild import`: what it says at the terminal, and that a run that stops leaves nothing behind."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.cli import main
from tests.pricelist.lists import EVERY, SPEAKERS, WITH_TAX, write_csv

if TYPE_CHECKING:
    from pathlib import Path

ROWS = [
    ["Art", "Price", "Kind", "Text"],
    ["S1", "10", "speaker", "4"],
    ["S2", "20", "speaker", "four"],
    ["", "", "Totals", ""],
    ["X", "5", "none", ""],
]


@pytest.fixture
def arguments(tmp_path: Path) -> list[str]:
    """A list with a cell that cannot be read, and its mapping."""
    path = write_csv(tmp_path / "list.csv", ROWS)
    mapping = tmp_path / "mapping.toml"
    none = '[[group]]\nsheet = "none"\nwhere = { Kind = "none" }\n'
    mapping.write_text(f'{WITH_TAX}{EVERY}{SPEAKERS}Ohm = "Text"\n{none}', "utf-8")
    return ["import", str(path), str(mapping), "--out", str(tmp_path / "out" / "catalogue.xlsx")]


def test_a_cell_that_cannot_be_read_stops_it_and_nothing_is_written(
    arguments: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "list.csv, line 3, column D" in told.err
    assert not (tmp_path / "out").exists()


def test_left_blank_on_request_it_says_how_much_is_to_be_filled_in(
    arguments: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*arguments, "--leave-blank"]) == 0
    told = capsys.readouterr()
    lines = [" ".join(line.split()) for line in told.out.splitlines()]
    assert lines == [
        f"Wrote {tmp_path / 'out' / 'catalogue.xlsx'}: 2 products on 1 sheet.",
        "1 row left out, as the mapping says.",
        "1 row that no group takes (sheet Left over): list.csv, line 4 (Totals).",
        "9 cells to fill in (sheet To fill in):",
        "sheet column cells",
        "Speakers Rating 2",
        "Speakers Type 2",
        "Speakers Size mm 2",
        "Speakers RMS W 2",
        "Speakers Ohm 1",
    ]
    assert "1 warning." in told.err


@pytest.mark.parametrize("left", [2, 3])
def test_without_a_mapping_or_a_place_to_write_to_it_says_what_is_missing(
    left: int, arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments[:left]) == 2
    assert "--suggest" in capsys.readouterr().err
