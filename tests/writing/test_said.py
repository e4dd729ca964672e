"""What a user is told, and which exit status tells programs, where files cannot be written or a command is stopped."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import pytest

from budgetbuild.cli import main, starter
from budgetbuild.cli.writing import what_was_written
from budgetbuild.faults import Cell, Fault
from budgetbuild.report.save import begin, save_all
from budgetbuild.report.staging import NAME
from tests.writing.scenes import everything

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def read_only(path: Path) -> None:
    """A file that nobody may write."""
    path.write_bytes(b"old")
    path.chmod(0o444)


def under_a_file(path: Path) -> None:
    """A file where its folder would be."""
    path.parent.rmdir()
    path.parent.write_bytes(b"old")


def in_a_circle(path: Path) -> None:
    """A folder that is a link to itself."""
    path.parent.rmdir()
    path.parent.symlink_to(path.parent)


def not_the_tools(path: Path) -> None:
    """A file in the place of the tool's folder."""
    (path.parent / NAME).write_bytes(b"old")


PLACES: dict[str, Callable[[Path], None]] = {
    "a folder": lambda path: path.mkdir(),
    "a read-only file": read_only,
    "a file in the place of its folder": under_a_file,
    "a folder that leads to itself": in_a_circle,
    "a link in the place of the tool's folder": lambda path: (path.parent / NAME).symlink_to(path.parent),
    "a file in the place of the tool's folder": not_the_tools,
}


@pytest.mark.parametrize("make", PLACES.values(), ids=PLACES.keys())
def test_a_place_that_refuses_is_told_and_ends_with_2(
    make: Callable[[Path], None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    make(folder / "new.xlsx")
    before = everything(tmp_path)
    assert main(["starter", str(folder / "new.xlsx"), "--force"]) == 2
    said = capsys.readouterr().err
    assert "Traceback" not in said
    assert "1 fault. Nothing was written." in said
    assert everything(tmp_path) == before


@pytest.mark.parametrize("error", [KeyboardInterrupt, RuntimeError])
def test_whoever_stops_after_everything_stands_is_told_where(
    error: type[BaseException], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Never that nothing was written."""

    class Stopped:
        """Output that ends the command as it is told something."""

        def write(self, _: str) -> None:
            """End it."""
            raise error

        def flush(self) -> None:
            """Nothing is kept."""

    monkeypatch.setattr(sys, "stdout", Stopped())
    assert main(["starter", str(tmp_path / "new.xlsx")]) == (130 if error is KeyboardInterrupt else 1)
    assert (tmp_path / "new.xlsx").exists()
    said = capsys.readouterr().err
    assert f"Written before that: {tmp_path}." in said
    assert "othing was written" not in said


def test_whoever_stops_before_is_told_that_nothing_was_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    save_all({"earlier": b"by the same process"}, tmp_path)
    monkeypatch.setattr(starter, "save_new", stopped)
    assert main(["starter", str(tmp_path / "new.xlsx")]) == 130
    assert capsys.readouterr().err.strip() == "Interrupted. Nothing was written."


def test_what_a_fleet_keeps_for_itself_is_nothing_that_was_given_out(tmp_path: Path) -> None:
    begin()
    save_all({"asked.json": b""}, tmp_path / "fleet-unfinished")
    assert what_was_written() == "Nothing was written."


def test_where_earlier_files_are_not_back_nobody_is_told_that_all_is_as_it_was() -> None:
    fault = Fault(Cell(), "not-put-back", "out", "a folder", "run it again")
    assert what_was_written([fault]) == "Some of the earlier files are not back yet."
