"""A process is killed, or asked to end, at every file operation of a save, one after the other."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from budgetbuild.report.save import put_right, save_everywhere
from budgetbuild.report.staging import NAME
from tests.writing.dying import INTERRUPTED
from tests.writing.scenes import SCENES, Scene, everything, files, shown

ONE_FOLDER = "some files replaced, one new"
scenes = pytest.mark.parametrize("name", SCENES)


def ends(root: Path, name: str, how: str) -> list[int]:
    """How the processes ended that were struck at each operation."""
    words = [sys.executable, "-m", "tests.writing.dying", str(root), name, how]
    ran = subprocess.run(words, capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2])  # noqa: S603
    assert ran.stderr == ""
    found: list[int] = json.loads(ran.stdout)
    return found


def put_all_right(root: Path, scene: Scene) -> list[str]:
    """What the next run does first; tells which files came back."""
    return [name for folder in scene.folders for name in put_right(root / folder)]


def assert_whole(root: Path, scene: Scene) -> None:
    """Of each folder all of the earlier files or all of the new ones, and nothing else."""
    for folder in scene.folders:
        seen = scene.part(folder, files(everything(root)))
        assert seen in (scene.part(folder, scene.before), scene.part(folder, scene.after)), root.name
    assert not list(root.rglob(NAME))


@scenes
def test_a_kill_at_any_operation_never_shows_half_a_file_and_the_next_run_puts_it_right(
    name: str, fast_path: Path
) -> None:
    scene, begun = SCENES[name], 0
    found = ends(fast_path, name, "kill")
    assert found == [-signal.SIGKILL] * (len(found) - 1) + [0]
    assert len(found) > 40
    for root in sorted(fast_path.iterdir()):
        seen = files(shown(root))
        assert all(content in (scene.before.get(file), scene.after.get(file)) for file, content in seen.items())
        midway = any((root / folder / NAME / "begun").exists() for folder in scene.folders)
        if not midway:  # nothing was replaced, or all of it
            assert seen in (scene.before, scene.after)
        begun += midway
        told = put_all_right(root, scene)
        assert midway or not told
        assert_whole(root, scene)
    assert begun > 4


@scenes
def test_a_process_that_is_asked_to_end_puts_the_earlier_files_back_before_it_does(name: str, fast_path: Path) -> None:
    """Or ends once all of the new ones stand; either way with the status of an interrupt."""
    scene = SCENES[name]
    found = ends(fast_path, name, "end")
    assert found == [INTERRUPTED] * (len(found) - 1) + [0]
    for root in sorted(fast_path.iterdir()):
        assert files(shown(root)) in (scene.before, scene.after), root.name
        put_all_right(root, scene)
        assert_whole(root, scene)


def test_a_kill_while_earlier_files_are_put_back_is_put_right_by_the_one_after(fast_path: Path) -> None:
    """All of the files had been replaced."""
    scene = SCENES[ONE_FOLDER]
    (fast_path / "once").mkdir()
    ends(fast_path / "once", ONE_FOLDER, "kill")
    roots = sorted((fast_path / "once").iterdir())
    midway = [int(root.name) for root in roots if (root / "out" / NAME / "begun").exists()]
    assert len(midway) > 4
    (fast_path / "twice").mkdir()
    found = ends(fast_path / "twice", ONE_FOLDER, str(midway[-1]))
    assert len(found) > 20
    for root in (fast_path / "twice").iterdir():
        put_all_right(root, scene)
        assert everything(root) == scene.before, root.name


def test_the_run_after_a_kill_writes_as_if_there_had_been_none(fast_path: Path) -> None:
    scene = SCENES[ONE_FOLDER]
    ends(fast_path, ONE_FOLDER, "kill")
    for root in fast_path.iterdir():
        save_everywhere(scene.wanted(root))
        assert everything(root) == scene.after
