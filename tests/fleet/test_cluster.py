"""A real scheduler and real workers on this machine, one of them killed; and clusters that cannot answer."""

from __future__ import annotations

import os
import signal
import socket
import sys
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

from budgetbuild.cli import main
from budgetbuild.faults import UserInputError
from budgetbuild.fleet.fleet import fleet_of
from tests.fleet.asked import VEHICLES, answered, contents, process, small_list, started, whole
from tests.sample.scaled import scaled_catalogue

if TYPE_CHECKING:
    import subprocess
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = pytest.mark.slow

PATIENCE_S = 120.0
WORKER = ("--nthreads", "1", "--no-nanny", "--no-dashboard", "--host", "127.0.0.1")


def free_port() -> int:
    """A port that nobody listens at."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


@contextmanager
def cluster(workers: int) -> Iterator[tuple[str, list[subprocess.Popen[str]]]]:
    """Address of a scheduler; its process and those of its workers."""
    port = free_port()
    address = f"tcp://127.0.0.1:{port}"
    part = (sys.executable, "-m", "distributed.cli.dask_scheduler")
    running = [process([*part, "--host", "127.0.0.1", "--port", str(port), "--no-dashboard", "--no-show"])]
    part = (sys.executable, "-m", "distributed.cli.dask_worker")
    running += [process([*part, address, *WORKER]) for _ in range(workers)]
    try:
        _wait_for(port)
        yield address, running
    finally:
        for one in running:
            one.kill()
        for one in running:
            one.communicate()


def _wait_for(port: int) -> None:
    end = time.monotonic() + PATIENCE_S
    while True:
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
        except OSError:
            assert time.monotonic() < end
            time.sleep(0.05)
        else:
            return


def _wait_for_answers(count: int, out: Path, run: subprocess.Popen[str]) -> None:
    """Until so many vehicles are answered."""
    end = time.monotonic() + PATIENCE_S
    while answered(out) < count:
        assert run.poll() is None, run.communicate()
        assert time.monotonic() < end
        time.sleep(0.01)


def test_two_workers_one_of_them_killed_midway_write_what_one_process_writes(tmp_path: Path) -> None:
    with cluster(2) as (address, running):
        with started("fleet", str(small_list()), "--out", str(tmp_path), "--quiet", "--scheduler", address) as run:
            _wait_for_answers(2, tmp_path, run)
            os.kill(running[1].pid, signal.SIGKILL)
            assert answered(tmp_path) < VEHICLES
            _, said = run.communicate(timeout=PATIENCE_S)
        assert run.returncode == 3, said
        assert running[2].poll() is None
    assert contents(tmp_path) == whole()


def test_where_every_worker_dies_the_work_waits_for_a_new_one(tmp_path: Path) -> None:
    """Also for what they all held: the bench is made again. The new one works at two vehicles at a time."""
    with cluster(1) as (address, running):
        with started("fleet", str(small_list()), "--out", str(tmp_path), "--quiet", "--scheduler", address) as run:
            _wait_for_answers(1, tmp_path, run)
            os.kill(running[1].pid, signal.SIGKILL)
            with process(
                [sys.executable, "-m", "distributed.cli.dask_worker", address, *WORKER, "--nthreads", "2"]
            ) as fresh:
                _, said = run.communicate(timeout=PATIENCE_S)
                fresh.kill()
                fresh.communicate()
        assert run.returncode == 3, said
    assert contents(tmp_path) == whole()


def test_a_scheduler_that_is_lost_is_told_and_what_is_finished_goes_on_here(tmp_path: Path) -> None:
    words = ["fleet", str(small_list()), "--out", str(tmp_path), "--quiet"]
    with cluster(1) as (address, running), started(*words, "--scheduler", address) as run:
        _wait_for_answers(1, tmp_path, run)
        os.kill(running[0].pid, signal.SIGKILL)
        _, said = run.communicate(timeout=PATIENCE_S)
    assert run.returncode == 2, said
    assert "answers no more" in said
    assert "Traceback" not in said
    assert 1 <= answered(tmp_path) < VEHICLES
    assert main(words) == 3
    assert contents(tmp_path) == whole()


def test_workers_of_another_version_are_refused() -> None:
    from budgetbuild.fleet.cluster import answers_from  # noqa: PLC0415 - loads a library that other tests do without

    fleet = fleet_of(scaled_catalogue(100), briefs=["Keep own head unit"], tiers=["650"])
    with cluster(1) as (address, _), pytest.raises(UserInputError) as caught:
        list(answers_from(address, fleet, [(0,)], "budgetbuild 0.0.1"))
    (fault,) = caught.value.faults
    assert fault.code == "other-version"
    assert fault.expected == "budgetbuild 0.0.1"


def test_no_scheduler_and_no_worker_are_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("budgetbuild.fleet.cluster.CONNECT_S", 1)
    words = ["fleet", str(small_list()), "--out", str(tmp_path), "--scheduler"]
    assert main([*words, f"tcp://127.0.0.1:{free_port()}"]) == 2
    assert "a Dask scheduler that answers" in " ".join(capsys.readouterr().err.split())
    with cluster(0) as (address, _):
        assert main([*words, address]) == 2
    assert "dask worker" in " ".join(capsys.readouterr().err.split())
