"""Writing the files: all of them or none."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from budgetbuild.faults import UserInputError
from budgetbuild.report.save import save_all
from budgetbuild.report.staging import NAME

NEW = {"guide.md": b"new guide", "results.json": b"new results", "tiers.xlsx": b"new workbook"}


def everything(folder: Path) -> dict[str, bytes]:
    """What a folder holds, hidden files too."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_files_land_in_a_new_folder_and_nothing_else_does(tmp_path: Path) -> None:
    save_all(NEW, tmp_path / "a" / "b")
    assert everything(tmp_path / "a" / "b") == NEW


def test_earlier_files_are_replaced_and_others_stay(tmp_path: Path) -> None:
    (tmp_path / "guide.md").write_bytes(b"old guide")
    (tmp_path / "mine.txt").write_bytes(b"mine")
    save_all(NEW, tmp_path)
    assert everything(tmp_path) == {**NEW, "mine.txt": b"mine"}


@pytest.mark.parametrize("failing", range(3))
def test_a_rename_that_fails_leaves_every_earlier_file_as_it_was(
    failing: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = {"guide.md": b"old guide", "tiers.xlsx": b"old workbook"}
    for name, content in before.items():
        (tmp_path / name).write_bytes(content)
    replace, calls = Path.replace, []

    def held_open(source: Path, target: Path) -> Path:
        calls.append(target)
        if len(calls) == failing + 1:
            raise PermissionError(13, "in use by another program", str(target))
        return replace(source, target)

    monkeypatch.setattr(Path, "replace", held_open)
    with pytest.raises(UserInputError) as caught:
        save_all(NEW, tmp_path)
    assert "in use by another program" in caught.value.faults[0].found
    assert sorted(NEW)[failing] in caught.value.faults[0].found
    assert everything(tmp_path) == before


def test_a_full_disk_leaves_everything_as_it_was_and_no_new_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_descriptor: int) -> None:
        raise OSError(28, "no space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UserInputError) as caught:
        save_all(NEW, tmp_path / "out")
    assert caught.value.faults[0].code == "cannot-write"
    assert str(tmp_path / "out" / "guide.md") in caught.value.faults[0].found
    assert everything(tmp_path) == {}


def test_an_interrupt_leaves_everything_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "guide.md").write_bytes(b"old guide")
    replace = Path.replace

    def interrupted(source: Path, target: Path) -> Path:
        if target.name == "results.json":
            raise KeyboardInterrupt
        return replace(source, target)

    monkeypatch.setattr(Path, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        save_all(NEW, tmp_path)
    assert everything(tmp_path) == {"guide.md": b"old guide"}


def test_a_file_where_the_folder_should_be_is_told_to_the_user(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"")
    with pytest.raises(UserInputError) as caught:
        save_all(NEW, tmp_path / "out")
    assert "--out" in caught.value.faults[0].mend


def test_a_folder_that_cannot_be_written_is_told_to_the_user(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mkdir = Path.mkdir

    def refuse(path: Path, mode: int = 0o777, *, parents: bool = False, exist_ok: bool = False) -> None:
        if path.name == NAME:
            raise PermissionError(13, "permission denied")
        mkdir(path, mode, parents, exist_ok)

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(UserInputError) as caught:
        save_all(NEW, tmp_path / "out")
    assert "permission denied" in caught.value.faults[0].found
    assert everything(tmp_path) == {}


def test_a_folder_in_the_place_of_a_file_is_told_to_the_user_and_stays(tmp_path: Path) -> None:
    (tmp_path / "results.json").mkdir()
    with pytest.raises(UserInputError):
        save_all(NEW, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["results.json"]


@pytest.mark.parametrize("name", ["../guide.md", "a/b", "", ".", ".."])
def test_a_name_with_a_folder_in_it_is_a_defect(name: str, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="plain file name"):
        save_all({name: b""}, tmp_path)
