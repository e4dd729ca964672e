"""The same work for many items: in order, with its errors, on as many processors as are worth it."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import active_children
from typing import TYPE_CHECKING

import psutil
import pytest

from budgetbuild.faults import ProcessEndedError
from budgetbuild.parallel import FEW, spread

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

HERE = os.getpid()
MANY = range(2 * FEW)
"""As many items as keep two processes busy."""
MINUTES_S = 120.0


class UnluckyError(ValueError):
    """What work may raise."""


def scaled(factor: int, item: int) -> tuple[int, int]:
    """A result, and the process that found it."""
    return factor * item, os.getpid()


def unlucky(number: int, item: int) -> int:
    """The item, but for one."""
    if item == number:
        raise UnluckyError(f"item {item}")
    return item


def endless(_: None, item: int) -> int:
    """The item at once, for the first one; the others take longer than anybody waits."""
    if item:
        time.sleep(MINUTES_S)
    return item


def killed(_: None, item: int) -> int:
    """The item, for the first one; another process ends as if the system had ended it."""
    if item:
        os._exit(9)
    return item


def with_a_helper(folder: Path, item: int) -> int:
    """The item, for the first one; another process starts one of its own, as a solver is, and comes to its end.

    `folder` says how: ended as by the system, at work for longer than anybody waits.
    """
    if item:
        words = [sys.executable, "-c", f"import time; time.sleep({MINUTES_S})"]
        helper = subprocess.Popen(words)  # noqa: S603 - ours
        note = folder / "helper.new"
        note.write_text(str(helper.pid), "utf-8")
        note.rename(folder / "helper")
        if folder.name == "ended":
            os._exit(9)
        time.sleep(MINUTES_S)
    return item


def idle(_: object, item: int) -> int:
    """The item."""
    return item


class Deadly:
    """Ends the process that it is sent to, before that has done anything."""

    def __reduce__(self) -> tuple[object, tuple[int]]:
        return os._exit, (9,)


def lazily(done: list[int], item: int) -> int:
    """The item, noted down."""
    done.append(item)
    return item


def processes_of(items: Sequence[int], processes: int | None) -> set[int]:
    """Which processes did the work; its results stand in the order of the items."""
    found = list(spread(scaled, 3, items, processes))
    assert [result for result, _ in found] == [3 * item for item in items]
    return {process for _, process in found}


def test_a_process_that_is_ended_from_outside_is_said_to_be() -> None:
    with pytest.raises(ProcessEndedError, match="for want of memory"):
        list(spread(killed, None, range(3), 2, few=1))


def test_as_many_items_as_processes_are_done_here_and_elsewhere() -> None:
    """Nobody waits while others start."""
    (first, here), (second, there) = spread(scaled, 3, [1, 2], 2, few=1)
    assert (first, second) == (3, 6)
    assert here == HERE != there


def test_results_stand_in_the_order_of_the_items_whoever_found_them() -> None:
    """Other processes, two at most."""
    others = processes_of(MANY, 2)
    assert HERE not in others
    assert len(others) <= 2


def test_one_process_is_this_one() -> None:
    """Asked for, or because the machine has no more."""
    assert processes_of(MANY, 1) == {HERE}


def test_one_processor_is_this_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """However many items; a machine that does not tell counts as one."""
    for processors in (1, None):
        monkeypatch.setattr(os, "cpu_count", lambda told=processors: told)
        assert processes_of(range(10 * FEW), None) == {HERE}


@pytest.mark.parametrize("count", [0, 1, 2 * FEW - 1])
def test_few_items_are_done_here(count: int) -> None:
    """Before another process has started."""
    assert processes_of(range(count), 8) <= {HERE}


@pytest.mark.parametrize("processes", [1, 2])
def test_an_error_travels_and_what_came_before_it_is_told(processes: int) -> None:
    """As the error that it is, with its words, in the place of its item."""
    results = spread(unlucky, 5, MANY, processes)
    assert [next(results) for _ in range(5)] == [0, 1, 2, 3, 4]
    with pytest.raises(UnluckyError, match="item 5"):
        next(results)


@pytest.mark.parametrize("processes", [1, 2])
def test_one_may_stop_listening(processes: int) -> None:
    """Nothing hangs, and nothing is left running."""
    results = spread(scaled, 1, MANY, processes)
    assert next(results)[0] == 0
    results.close()  # type: ignore[attr-defined]
    assert list(results) == []


def test_whoever_stops_listening_does_not_wait_for_what_is_in_hand() -> None:
    """Nor is it left running."""
    others = set(active_children())  # of tests before this one
    results = spread(endless, None, range(3), 2, few=1)
    assert next(results) == 0
    processes = [psutil.Process(process.pid) for process in set(active_children()) - others]
    start = time.monotonic()
    results.close()  # type: ignore[attr-defined]
    gone, alive = psutil.wait_procs(processes, timeout=MINUTES_S / 4)
    assert time.monotonic() - start < MINUTES_S / 2
    assert (len(gone), alive) == (2, [])


def test_here_nothing_is_done_before_it_is_asked_for() -> None:
    """So progress can be shown item by item."""
    done: list[int] = []
    results = spread(lazily, done, MANY, 1)
    assert (next(results), next(results)) == (0, 1)
    assert done == [0, 1]


def helper_of(folder: Path) -> psutil.Process:
    """What a process has started, once it has."""
    end = time.monotonic() + MINUTES_S
    while not (folder / "helper").exists():
        assert time.monotonic() < end
        time.sleep(0.01)
    return psutil.Process(int((folder / "helper").read_text("utf-8")))


@pytest.mark.parametrize("how", ["ended", "left"])
def test_what_a_process_has_started_ends_with_it(how: str, tmp_path: Path) -> None:
    """A solver of its own, where the system ends the process and where nobody wants its work any more."""
    folder = tmp_path / how
    folder.mkdir()
    results = spread(with_a_helper, folder, range(3), 2, few=1)
    assert next(results) == 0
    helper = helper_of(folder)
    if how == "ended":
        with pytest.raises(ProcessEndedError):
            list(results)
    results.close()  # type: ignore[attr-defined]
    assert psutil.wait_procs([helper], timeout=MINUTES_S / 4)[1] == []


def test_what_a_process_has_started_ends_with_whoever_shared_the_work(tmp_path: Path) -> None:
    """Killed with no time to tell anybody."""
    code = f"from pathlib import Path\nfrom tests.test_parallel import spread, with_a_helper\n\
if __name__ == '__main__': list(spread(with_a_helper, Path({str(tmp_path)!r}), range(3), 2, few=1))"
    script = tmp_path / "run.py"
    script.write_text(code, "utf-8")
    home = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    with subprocess.Popen([sys.executable, str(script)], env=home) as run:  # noqa: S603 - ours
        helper = helper_of(tmp_path)
        run.kill()
    assert psutil.wait_procs([helper], timeout=MINUTES_S / 4)[1] == []


@pytest.mark.parametrize("processes", [2, 5])
def test_processes_that_end_while_others_start_are_told_like_any_other(processes: int) -> None:
    with pytest.raises(ProcessEndedError, match="for want of memory"):
        list(spread(idle, Deadly(), range(6), processes, few=1))


@pytest.mark.parametrize("error", [ValueError("bad value(s) in fds_to_keep"), OSError("handle is closed")])
def test_a_process_that_cannot_be_started_is_told_like_one_that_ended(
    error: Exception, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As Python has it where one ended a moment ago."""

    def refuse(*_: object) -> None:
        raise error

    monkeypatch.setattr(ProcessPoolExecutor, "submit", refuse)
    with pytest.raises(ProcessEndedError, match="for want of memory"):
        list(spread(scaled, 3, MANY, 2))
