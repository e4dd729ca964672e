"""The disk refuses at every operation of a save, one by one: the earlier files stand, or all of the new ones."""

from __future__ import annotations

import os
from itertools import count
from typing import TYPE_CHECKING

import pytest

from budgetbuild.cli.writing import what_was_written
from budgetbuild.faults import UserInputError
from budgetbuild.report import staging
from budgetbuild.report.save import begin, put_right, save_everywhere
from tests.writing.scenes import FOLDER, SCENES, Scene, everything, files, shown
from tests.writing.trouble import WRONG, Disk, at, fails, from_on, interrupts, troubled

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

MOST = 500
"""More operations than any of these saves has."""
scenes = pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES.keys())


@pytest.fixture(autouse=True)
def _in_a_hurry(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing here loses its power, and a disk takes its time."""
    monkeypatch.setattr(os, "fsync", lambda _: None)
    monkeypatch.setattr(staging, "PATIENCE_S", 0.1)


def outcome(disk: Disk, scene: Scene) -> BaseException | None:
    """How a save on this disk ends: well, or with what a user is told."""
    with troubled(disk):
        try:
            save_everywhere(scene.wanted(disk.root))
        except (UserInputError, KeyboardInterrupt) as error:
            return error
    return None


def healthy(root: Path) -> Disk:
    """A disk that only counts."""
    return Disk(root, at(0), interrupts)


@scenes
def test_a_save_has_the_operations_that_are_meant_to_be_struck(scene: Scene, fast_path: Path) -> None:
    scene.set_up(fast_path / "root")
    disk = healthy(fast_path / "root")
    assert outcome(disk, scene) is None
    assert everything(disk.root) == scene.after
    assert {"mkdir", "open", "flock", "write", "flush", "fsync", "close", "replace", "rename"} <= set(disk.met)
    assert {"unlink", "rmdir", "stat", "lstat", "scandir", "listdir"} <= set(disk.met)
    assert 40 < len(disk.met) < MOST


@scenes
@pytest.mark.parametrize("done", [False, True], ids=["not done", "done all the same"])
def test_whatever_operation_fails_the_earlier_files_stand_or_all_of_the_new_ones(
    scene: Scene, fast_path: Path, *, done: bool
) -> None:
    """The earlier ones where the user is told of a fault, the new ones where not; nothing is left but by a removal."""
    left = set()
    for n in count(1):
        root = fast_path / str(n)
        scene.set_up(root)
        disk = Disk(root, at(n), fails(WRONG[n % len(WRONG)], done=done))
        error = outcome(disk, scene)
        if len(disk.met) < n:
            break
        assert shown(root) == dict(scene.after if error is None else scene.before), (n, disk.met[n - 1])
        if isinstance(error, UserInputError):
            assert len(error.faults) == 1
            assert error.faults[0].code in {"cannot-write", "not-put-back"}
            assert str(root) in error.faults[0].found
        if files(everything(root)) != files(shown(root)):
            left.add(disk.met[n - 1])
        save_everywhere(scene.wanted(root))
        assert everything(root) == scene.after
    assert n > 40
    assert left <= {"unlink", "rmdir", "stat", "lstat", "fstat", "open", "close", "scandir", "listdir"}


@scenes
@pytest.mark.parametrize("how", [fails(WRONG[0]), interrupts], ids=["fails", "interrupts"])
def test_a_disk_that_goes_on_failing_leaves_whole_files_and_the_next_run_puts_them_right(
    scene: Scene, fast_path: Path, how: Callable[..., None]
) -> None:
    """Each folder by itself. Also Ctrl-C pressed again and again."""
    for n in count(1):
        root = fast_path / str(n)
        scene.set_up(root)
        begin()
        disk = Disk(root, from_on(n), how)
        error = outcome(disk, scene)
        if len(disk.met) < n:
            break
        faults = error.faults if isinstance(error, UserInputError) else []
        assert error is None or not isinstance(error, UserInputError) or faults
        seen = shown(root)
        if files(seen) not in (files(dict(scene.before)), files(dict(scene.after))):
            assert what_was_written(faults) == "Some of the earlier files are not back yet."
        assert all(content in (scene.before.get(name), scene.after.get(name), FOLDER) for name, content in seen.items())
        for folder in scene.folders:
            put_right(root / folder)
        for folder in scene.folders:
            seen = {name: content for name, content in files(shown(root)).items() if name.startswith(folder)}
            assert seen in (scene.part(folder, scene.before), scene.part(folder, scene.after))
        save_everywhere(scene.wanted(root))
        assert everything(root) == scene.after
    assert n > 40


def test_what_cannot_be_put_back_is_told_and_waits_for_the_next_run(fast_path: Path) -> None:
    """As where a program has opened a file just after it was replaced; whatever else is taken away, never that."""
    scene = SCENES["some files replaced, one new"]
    root = fast_path / "root"
    scene.set_up(root)
    met = iter(range(99))
    refuse = fails(WRONG[1])
    disk = Disk(root, from_on(1), lambda name, do: refuse(name, do) if name == "replace" and next(met) else do())
    error = outcome(disk, scene)
    assert isinstance(error, UserInputError)
    assert [fault.code for fault in error.faults] == ["cannot-write", "not-put-back"]
    assert "it puts them back first" in error.faults[1].mend
    assert shown(root) == {**scene.before, "out/guide.md": scene.after["out/guide.md"]}
    assert put_right(root / "out") == ["guide.md"]
    assert everything(root) == scene.before


@scenes
def test_an_interrupt_at_any_operation_leaves_the_earlier_files_or_all_of_the_new_ones(
    scene: Scene, fast_path: Path
) -> None:
    for n in count(1):
        root = fast_path / str(n)
        scene.set_up(root)
        disk = Disk(root, at(n), interrupts)
        error = outcome(disk, scene)
        if len(disk.met) < n:
            break
        assert isinstance(error, KeyboardInterrupt) or disk.met[n - 1] == "close"  # which `shutil` does once more
        assert files(shown(root)) in (scene.before, scene.after), (n, disk.met[n - 1])
        for folder in scene.folders:
            put_right(root / folder)
        assert files(everything(root)) in (scene.before, scene.after), (n, disk.met[n - 1])
