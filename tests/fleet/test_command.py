"""`budgetbuild fleet` as its users meet it: what is told, which exit status, what goes on after what."""

from __future__ import annotations

import os
import shutil
import signal
import time
from typing import TYPE_CHECKING

import psutil
import pytest

from budgetbuild import parallel
from budgetbuild.cli import fleet as command
from budgetbuild.cli import main
from budgetbuild.faults import ProcessEndedError
from tests.cli.sheets import edit
from tests.fleet.asked import HERE, VEHICLES, answered, contents, rows_of, small_list, started, whole

if TYPE_CHECKING:
    from pathlib import Path

PATIENCE_S = 120.0
FEW = ("--brief", "Keep own head unit", "--tier", "650", "--vehicle", "Vehicle 001", "--counter", "none", *HERE)


def told(capsys: pytest.CaptureFixture[str]) -> str:
    """What went to standard error, without its line breaks."""
    return " ".join(capsys.readouterr().err.split())


def test_a_killed_run_leaves_nothing_running_and_goes_on_to_the_same_bytes(tmp_path: Path) -> None:
    """Two processes, killed and begun again, write what one process writes that nothing disturbs."""
    words = ("fleet", str(small_list()), "--out", str(tmp_path), "--workers", "2")
    with started(*words) as run:
        end = time.monotonic() + PATIENCE_S
        while answered(tmp_path) < 2:
            assert run.poll() is None, run.communicate()
            assert time.monotonic() < end
            time.sleep(0.01)
        helpers = psutil.Process(run.pid).children(recursive=True)
        os.kill(run.pid, signal.SIGKILL)
        run.communicate()
    assert helpers
    assert psutil.wait_procs(helpers, timeout=PATIENCE_S)[1] == []
    kept = answered(tmp_path)
    assert 2 <= kept < VEHICLES
    assert "fleet.parquet" not in contents(tmp_path)
    with started(*words) as again:
        printed, said = again.communicate(timeout=PATIENCE_S)
    assert again.returncode == 3
    assert f"{kept} of {VEHICLES} vehicles are kept from an earlier run" in said
    assert f"Wrote fleet.parquet and counters/ to {tmp_path}: 6 vehicles, 36 builds." in printed
    assert contents(tmp_path) == whole()


def stopped_after(monkeypatch: pytest.MonkeyPatch, count: int, error: BaseException) -> None:
    """From now on, work ends with an error after so many vehicles."""

    def some(work, shared, items, _, **__):  # type: ignore[no-untyped-def] # noqa: ANN001, ANN003, ANN202
        yield from (work(shared, item) for item in items[:count])
        raise error

    monkeypatch.setattr(parallel, "spread", some)


def test_whoever_breaks_off_is_told_what_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with monkeypatch.context() as patched:
        stopped_after(patched, 3, KeyboardInterrupt())
        assert main(["fleet", str(small_list()), "--out", str(tmp_path)]) == 130
    said = told(capsys)
    assert said == f"3 of 6 vehicles are kept in {tmp_path / 'fleet-unfinished'}; the same command goes on from there."
    torn = tmp_path / "fleet-unfinished" / "answers" / "000001.json"
    torn.write_bytes(torn.read_bytes()[:40])
    assert main(["fleet", str(small_list()), "--out", str(tmp_path), *HERE]) == 3
    assert "2 of 6 vehicles are kept from an earlier run" in told(capsys)
    assert contents(tmp_path) == whole()


def test_another_price_list_begins_anew_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    with monkeypatch.context() as patched:
        stopped_after(patched, 1, KeyboardInterrupt())
        main(["fleet", str(small_list()), "--out", str(out), *FEW[:4]])
    capsys.readouterr()
    dearer = edit(small_list(), tmp_path, {("Tiers", "650"): {"Budget": 700}})
    assert main(["fleet", str(dearer), "--out", str(out), *FEW]) == 0
    assert f"{out / 'fleet-unfinished'} was of another price list, other options or another version" in told(capsys)
    assert [row["budget_cents"] for row in rows_of(out)] == [700_00]


def test_counter_files_of_vehicles_that_are_gone_go_and_those_of_others_stay(tmp_path: Path) -> None:
    words = ["fleet", str(small_list()), "--out", str(tmp_path), "--quiet", *FEW[:4], *HERE]
    assert main([*words, "--vehicle", "Vehicle 001", "--vehicle", "Vehicle 003"]) in {0, 3}
    (tmp_path / "counters" / "mine.html").write_text("mine", "utf-8")
    assert main([*words, "--vehicle", "Vehicle 003"]) in {0, 3}
    assert {path.name for path in (tmp_path / "counters").iterdir()} == {"Vehicle-003.html", "mine.html"}


def test_a_folder_that_is_somebody_elses_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    kept = tmp_path / "fleet-unfinished" / "letter.txt"
    kept.parent.mkdir()
    kept.write_text("dear", "utf-8")
    assert main(["fleet", str(small_list()), "--out", str(tmp_path), *FEW]) == 2
    assert "files that no unfinished run left there" in told(capsys)
    assert kept.read_text("utf-8") == "dear"


def test_a_process_that_is_ended_from_outside_is_told_plainly(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stopped_after(monkeypatch, 0, ProcessEndedError("ended"))
    assert main(["fleet", str(small_list()), "--out", str(tmp_path), *FEW]) == 2
    assert "fewer --workers where memory is short" in told(capsys)


@pytest.mark.parametrize("name", ["none", "empty"])
def test_templates_that_are_not_there_are_refused_as_for_build(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Never the tool's own words instead."""
    (tmp_path / "empty").mkdir()
    words = [str(small_list()), "--out", str(tmp_path / "out"), "--templates", str(tmp_path / name)]
    said = []
    for asked in ("build", "fleet"):
        assert main([asked, *words]) == 2
        said.append(told(capsys))
    assert said[0] == said[1]
    assert not (tmp_path / "out").exists()


def test_a_kill_while_the_folder_is_taken_away_leaves_one_that_is_taken_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Or one that is as good as empty."""
    remove = shutil.rmtree

    def killed(path: Path, **more: bool) -> None:
        if path.name == "answers":
            raise KeyboardInterrupt
        remove(path, **more)  # type: ignore[arg-type]

    words = ["fleet", str(small_list()), "--out", str(tmp_path), "--quiet", *FEW]
    with monkeypatch.context() as patched:
        patched.setattr(shutil, "rmtree", killed)
        assert main(words) == 130
    assert (tmp_path / "fleet-unfinished" / "asked.json").exists()
    (tmp_path / "fleet-unfinished" / "asked.json").unlink()
    shutil.rmtree(tmp_path / "fleet-unfinished" / "answers")
    shutil.rmtree(tmp_path / "fleet-unfinished" / "counters", ignore_errors=True)
    (tmp_path / "fleet-unfinished" / ".budgetbuild-left").mkdir(exist_ok=True)
    assert main(words) in {0, 3}
    assert not (tmp_path / "fleet-unfinished").exists()


@pytest.mark.parametrize("library", ["pyarrow", "distributed"])
def test_a_library_that_is_missing_is_told_with_how_to_get_it(
    library: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(command, "find_spec", lambda name: None if name == library else name)
    assert main(["fleet", "no such list.xlsx", "--scheduler", "tcp://127.0.0.1:1"]) == 2
    assert f"pip install {library}" in told(capsys)


def test_names_that_the_list_does_not_have_are_refused_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("--tier", "651", "--brief", "Keep own", "--vehicle", "Vehicle 9")
    assert main(["fleet", str(small_list()), "--out", str(tmp_path), *words]) == 2
    said = told(capsys)
    assert all(option in said for option in ("--tier", "--brief", "--vehicle"))
    assert "3 faults. Nothing was written." in said


def test_a_brief_for_several_vehicles_is_left_out_and_said_to_be(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = edit(sample_workbook, tmp_path, {("Briefs", "Keep own head unit"): {"Vehicle": "all"}})
    words = ["fleet", str(path), "--out", str(tmp_path), "--tier", "Entry", "--brief", "Keep own head unit"]
    assert main(words) == 2
    said = told(capsys)
    assert "one system for several vehicles, which build finds: Keep own head unit." in said
    assert "nothing to ask" in said


@pytest.mark.parametrize("count", ["0", "-1", "two"])
def test_a_number_of_processes_is_a_whole_one(count: str) -> None:
    with pytest.raises(SystemExit):
        main(["fleet", str(small_list()), f"--workers={count}"])
