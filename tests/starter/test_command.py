"""`budgetbuild starter`: it makes one file, and never over one that is there unless that is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.shop import Settings
from budgetbuild.cli import main
from budgetbuild.report.form.workbook import render_starter
from budgetbuild.report.words.voice import voice_of

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def test_it_writes_the_workbook_and_says_where_to_begin(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "new" / "prices.xlsx"
    assert main(["starter", str(path)]) == 0
    assert path.read_bytes() == render_starter(voice_of(Settings()))
    assert capsys.readouterr().out == f"Wrote {path}. Its first sheet says how to fill it in.\n"


def test_empty_leaves_the_example_rows_out(tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    assert main(["starter", str(path), "--empty"]) == 0
    assert path.read_bytes() == render_starter(voice_of(Settings()), examples=False)


def test_a_file_that_is_there_stays_as_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(b"a shop's whole price list")
    assert main(["starter", str(path)]) == 2
    assert path.read_bytes() == b"a shop's whole price list"
    assert "--force" in capsys.readouterr().err
    assert main(["starter", str(path), "--force"]) == 0
    assert path.read_bytes().startswith(b"PK")


def test_a_name_without_the_ending_of_a_workbook_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["starter", str(tmp_path / "prices")]) == 2
    assert "prices.xlsx" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
