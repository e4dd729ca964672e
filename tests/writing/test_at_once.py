"""Several runs that write into one folder at the same time: each set of files is whole, none waits for ever."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from budgetbuild.cli import main
from budgetbuild.faults import UserInputError
from budgetbuild.report import folder_lock, staging
from budgetbuild.report.folder_lock import take
from budgetbuild.report.save import put_right, save_all
from budgetbuild.report.staging import NAME
from tests.writing.saving import set_of
from tests.writing.scenes import everything

HOME = Path(__file__).parents[2]
PATIENCE_S = 240.0
MARKS = ("one", "two", "three", "four")


def at_once(times: int, folders: dict[str, list[Path]]) -> list[tuple[int, str]]:
    """Status and message of processes that save at the same time, each its own set."""
    runs = []
    for mark, paths in folders.items():
        words = [sys.executable, "-m", "tests.writing.saving", mark, str(times), *map(str, paths)]
        pipe = subprocess.PIPE
        runs.append(subprocess.Popen(words, stdin=pipe, stdout=pipe, stderr=pipe, text=True, cwd=HOME))  # noqa: S603
    for run in runs:
        assert run.stdout is not None
        assert run.stdout.readline() == "ready\n"
    for run in runs:
        assert run.stdin is not None
        run.stdin.write("go\n")
        run.stdin.flush()
    return [(run.returncode, said) for run, (_, said) in [(run, run.communicate(timeout=PATIENCE_S)) for run in runs]]


def test_sets_that_are_saved_at_once_never_mix(fast_path: Path) -> None:
    """Into a folder that none of them found there."""
    out = fast_path / "a" / "out"
    assert at_once(25, {mark: [out] for mark in MARKS}) == [(0, "")] * len(MARKS)
    assert everything(out) in [set_of(mark) for mark in MARKS]


def test_several_folders_never_let_two_runs_wait_for_each_other(fast_path: Path) -> None:
    """However each of them names them, and in whatever order."""
    first, second = fast_path / "first", fast_path / "second"
    first.mkdir()
    second.mkdir()
    (fast_path / "link").symlink_to(first)
    wanted = {"one": [first, second], "two": [second, first], "three": [fast_path / "link", second]}
    assert at_once(25, wanted) == [(0, "")] * 3
    assert everything(first) == everything(second)
    assert everything(first) in [set_of(mark) for mark in MARKS]


def test_whoever_waits_too_long_is_told_plainly_and_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(staging, "PATIENCE_S", 0.05)
    save_all(set_of("one"), tmp_path)
    lock = take(tmp_path / NAME, 0)
    with pytest.raises(UserInputError) as caught:
        save_all(set_of("two"), tmp_path)
    (fault,) = caught.value.faults
    assert (fault.code, fault.found) == ("in-use", f"{tmp_path} (another run is writing there)")
    assert fault.mend == "wait until it has ended, then run the command again"
    lock.release()
    assert everything(tmp_path) == set_of("one")
    save_all(set_of("two"), tmp_path)
    assert everything(tmp_path) == set_of("two")


def test_a_lock_on_a_file_that_is_gone_meanwhile_is_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two would hold the folder: one the file that is gone, one the next."""
    held, locked = [take(tmp_path / NAME, 0)], folder_lock._locked  # noqa: SLF001 - just between opening and locking

    def late(descriptor: int) -> bool:
        if held:
            held.pop().release()
        return locked(descriptor)

    monkeypatch.setattr(folder_lock, "_locked", late)
    second = take(tmp_path / NAME, PATIENCE_S)
    assert second.stands
    second.release()
    assert everything(tmp_path) == {}


def test_what_a_living_run_has_in_hand_is_left_to_it(tmp_path: Path) -> None:
    lock = take(tmp_path / NAME, 0)
    (tmp_path / NAME / "begun").mkdir()
    assert put_right(tmp_path) == []
    assert (tmp_path / NAME / "begun").exists()
    lock.release()


def test_a_holder_that_is_killed_holds_nothing_any_more(tmp_path: Path) -> None:
    code = f"import time; from pathlib import Path; from budgetbuild.report.folder_lock import take\n\
lock = take(Path({str(tmp_path / NAME)!r}), 0); print('held', flush=True); time.sleep({PATIENCE_S})"
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, cwd=HOME) as holder:  # noqa: S603
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        with pytest.raises(BlockingIOError):
            take(tmp_path / NAME, 0)
        holder.kill()
    start = time.monotonic()
    save_all(set_of("two"), tmp_path)
    assert time.monotonic() - start < staging.PATIENCE_S
    assert everything(tmp_path) == set_of("two")


def test_the_next_command_tells_what_came_back(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Before anything is read: the price list is not even there."""
    out = tmp_path / "out"
    save_all({"guide.md": b"old"}, out)
    for path, content in (("new", {}), ("begun/none", {"tiers.xlsx": b""}), ("begun/earlier", {"guide.md": b"old"})):
        (out / NAME / path).mkdir(parents=True)
        for name, data in content.items():
            (out / NAME / path / name).write_bytes(data)
    for name in ("guide.md", "tiers.xlsx"):
        (out / name).write_bytes(b"new")
    assert main(["build", str(tmp_path / "none.xlsx"), "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert f"A run that was saving into {out} was stopped midway; as before it again: guide.md, tiers.xlsx." in said
    assert everything(out) == {"guide.md": b"old"}
