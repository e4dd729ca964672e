"""What a fleet keeps between runs: whole or not there, one run at a time, and nothing odd ends in a traceback."""

from __future__ import annotations

import json
import os
import signal
import time
from typing import TYPE_CHECKING, Any

import psutil
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from budgetbuild.cli import main
from budgetbuild.fleet import publish
from budgetbuild.fleet.work_folder import NAME, Key, WorkFolder
from budgetbuild.report.save import save_all
from tests.fleet.asked import HERE, answered, contents, rows_of, small_list, started
from tests.fleet.keeping import ANSWERS, KEY, finished

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

PATIENCE_S = 120.0
ASKED = ("--brief", "Keep own head unit", "--tier", "650", *HERE)


def kept(out: Path) -> Path:
    """A work folder in which both vehicles are answered."""
    with WorkFolder(out, KEY) as work:
        for answer in ANSWERS:
            work.keep(answer, f"{KEY.vehicles[answer.number]}.html")
    return out / NAME


def test_what_was_kept_is_taken_up_whole(tmp_path: Path) -> None:
    kept(tmp_path)
    with WorkFolder(tmp_path, KEY) as work:
        assert work.finished == {0, 1}
        assert [row["vehicle"] for row in work.rows()] == KEY.vehicles
        assert list(work.counters()) == [("Marl.html", b"page"), ("Tarn.html", b"page")]
        work.remove()
    assert contents(tmp_path) == {}


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"null",
        b"[]",
        b"7",
        b'"rows"',
        b'{"vehicle": "Marl"}',
        b'[{"vehicle": "Marl", "counter_file": "Marl.html"}]',
        b'[["counter_file"]]',
        b"\xff\xfe\x00",
        b"0" * 64 + b"\n[]",
    ],
)
def test_an_answer_that_is_not_what_was_written_is_found_again(content: bytes, tmp_path: Path) -> None:
    """Valid JSON of somebody else's too."""
    (kept(tmp_path) / "answers" / "000000.json").write_bytes(content)
    with WorkFolder(tmp_path, KEY) as work:
        assert work.finished == {1}


def test_an_answer_of_another_place_is_whole_and_still_not_taken_for_its_own(tmp_path: Path) -> None:
    folder = kept(tmp_path) / "answers"
    (folder / "000000.json").write_bytes((folder / "000001.json").read_bytes())
    with WorkFolder(tmp_path, KEY) as work:
        assert work.finished == {1}


def linked(path: Path) -> None:
    """A link to a folder in the place of the work folder."""
    path.rename(path.with_name("elsewhere"))
    path.symlink_to(path.with_name("elsewhere"))


def as_file(*names: str) -> Callable[[Path], None]:
    """A file in the place of a folder."""

    def make(path: Path) -> None:
        place = path.joinpath(*names)
        place.rename(place.with_name("moved away"))
        place.write_bytes(b"file")

    return make


def as_folder(*names: str) -> Callable[[Path], None]:
    """A folder in the place of a file."""

    def make(path: Path) -> None:
        path.joinpath(*names).unlink()
        path.joinpath(*names, "in it").mkdir(parents=True)

    return make


def foreign(path: Path) -> None:
    """Valid JSON that says nothing of a fleet, in every file."""
    for file in (file for file in path.rglob("*") if file.is_file()):
        file.write_bytes(b'{"a": [1]}')


ODDITIES: dict[str, Callable[[Path], None]] = {
    "a link": linked,
    "a file": as_file(),
    "answers a file": as_file("answers"),
    "counters a file": as_file("counters"),
    "asked a folder": as_folder("asked.json"),
    "an answer a folder": as_folder("answers", "000000.json"),
    "a counter file a folder": as_folder("counters", "Marl.html"),
    "foreign": foreign,
    "a link to nowhere": lambda path: (path / "answers" / "000000.json").with_name("x").symlink_to("nowhere"),
    "a lock that is a folder": lambda path: (path / ".budgetbuild-lock" / "in it").mkdir(parents=True),
}


@pytest.mark.parametrize("other", [False, True], ids=["same question", "another question"])
@pytest.mark.parametrize("odd", ODDITIES.values(), ids=ODDITIES.keys())
def test_oddities_are_refused_plainly_or_answered_anew(
    odd: Callable[[Path], None], tmp_path: Path, *, other: bool
) -> None:
    odd(kept(tmp_path))
    before = contents(tmp_path)
    key = Key(**{**{name: getattr(KEY, name) for name in KEY.__slots__}, "catalogue": "2"}) if other else KEY
    code = finished(tmp_path, key)
    if code == "not-ours":
        assert contents(tmp_path) == before
    assert (tmp_path / NAME).exists() == bool(code)


def test_a_second_run_into_the_same_folder_is_refused_at_once_and_disturbs_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("fleet", str(small_list()), "--out", str(tmp_path), *ASKED)
    with started(*words) as first:
        end = time.monotonic() + PATIENCE_S
        while answered(tmp_path) < 1:
            assert first.poll() is None, first.communicate()
            assert time.monotonic() < end
            time.sleep(0.01)
        os.kill(first.pid, signal.SIGSTOP)
        assert main([*words]) == 2
        os.kill(first.pid, signal.SIGCONT)
        said = " ".join(capsys.readouterr().err.split())
        assert "no other run of fleet" in said or "another run" in said
        _, said = first.communicate(timeout=PATIENCE_S)
    assert first.returncode in {0, 3}, said
    assert len(rows_of(tmp_path)) == 6
    assert not (tmp_path / NAME).exists()


def run(out: Path, *vehicles: str) -> int:
    """The command for some vehicles."""
    named = [word for vehicle in vehicles for word in ("--vehicle", vehicle)]
    return main(["fleet", str(small_list()), "--out", str(out), "--quiet", *ASKED, *named])


def pages(out: Path) -> set[str]:
    """Names of the counter files."""
    return {path.name for path in (out / "counters").iterdir()}


def test_counter_files_go_only_once_the_table_that_lacks_them_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And are not forgotten where the run is stopped in between, nor where the next one is asked something else."""
    assert run(tmp_path, "Vehicle 001", "Vehicle 002", "Vehicle 003") in {0, 3}
    everybody = {"Vehicle-001.html", "Vehicle-002.html", "Vehicle-003.html"}

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(publish, "save_all", _all_but_table)
        assert run(tmp_path, "Vehicle 001") == 130
    assert pages(tmp_path) == everybody
    assert len(rows_of(tmp_path)) == 3
    with monkeypatch.context() as patched:
        patched.setattr(publish, "_take_away", stopped)
        assert run(tmp_path, "Vehicle 001") == 130
    assert pages(tmp_path) == everybody
    assert len(rows_of(tmp_path)) == 1
    assert run(tmp_path, "Vehicle 002") in {0, 3}
    assert pages(tmp_path) == {"Vehicle-002.html"}


def _all_but_table(files: dict[str, bytes], folder: Path) -> None:
    if "fleet.parquet" in files:
        raise KeyboardInterrupt
    save_all(files, folder)


TABLES: dict[str, Any] = {
    "numbers": pa.table({"counter_file": [1, 2, None]}),
    "lists": pa.table({"counter_file": [["Vehicle-001.html"], None]}),
    "another table": pa.table({"name": ["a"]}),
    "names that lead elsewhere": pa.table({"counter_file": ["../mine.txt", "/etc/hosts", "", ".."]}),
}


@pytest.mark.parametrize("kind", [*TABLES, "no table", "a folder"])
def test_an_earlier_table_of_somebody_else_is_no_trouble(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "fleet.parquet"
    if kind in TABLES:
        pq.write_table(TABLES[kind], path)
    elif kind == "no table":
        path.write_text(json.dumps({"counter_file": "mine.txt"}), "utf-8")
    else:
        path.mkdir()
    (tmp_path / "mine.txt").write_bytes(b"mine")
    assert run(tmp_path, "Vehicle 001") in ({2} if kind == "a folder" else {0, 3})
    assert (tmp_path / "mine.txt").read_bytes() == b"mine"


def test_a_process_that_is_killed_leaves_no_templates_of_the_shop_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own, scratch, out = tmp_path / "own", tmp_path / "scratch", tmp_path / "out"
    own.mkdir()
    scratch.mkdir()
    (own / "sentences.toml").write_text("[kit]\n", "utf-8")
    monkeypatch.setenv("TMPDIR", str(scratch))
    with started("fleet", str(small_list()), "--out", str(out), "--templates", str(own), "--workers", "2") as run:
        end = time.monotonic() + PATIENCE_S
        while answered(out) < 1:
            assert run.poll() is None, run.communicate()
            assert time.monotonic() < end
            time.sleep(0.01)
        assert len(list(scratch.iterdir())) == 1
        workers = [child for child in psutil.Process(run.pid).children() if "spawn_main" in " ".join(child.cmdline())]
        workers[0].kill()
        _, said = run.communicate(timeout=PATIENCE_S)
    assert run.returncode == 2
    assert "a process that was ended from outside" in " ".join(said.split())
    assert list(scratch.iterdir()) == []


def test_a_counter_file_that_is_not_what_was_written_is_made_again(tmp_path: Path) -> None:
    page = kept(tmp_path) / "counters" / "Marl.html"
    page.write_bytes(page.read_bytes() + b"<p>Half price</p>")
    with WorkFolder(tmp_path, KEY) as work:
        assert work.finished == {1 - KEY.vehicles.index("Marl")}
