"""Commands in processes of their own: how long they took, and how much memory they and those they started held."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).parent.parent.parent
LOOK_EVERY_S = 0.2
KILL_AFTER_S = 60.0
"""So much longer than its solver's limit a process may take: for making the program, and a late look at the clock."""


class Ran(NamedTuple):
    """What a command took: seconds by the clock, megabytes of all its processes together at their peak."""

    seconds: float
    megabytes: float
    printed: str


def run(*arguments: str, within_s: float | None = None) -> Ran:
    """Run Python with these arguments in the repository.

    Raises:
        RuntimeError: It failed.
        subprocess.TimeoutExpired: It was not done within so many seconds, and was killed.
    """
    with tempfile.TemporaryFile("w+") as out, tempfile.TemporaryFile("w+") as err:
        start = time.perf_counter()
        process = subprocess.Popen([sys.executable, *arguments], stdout=out, stderr=err, cwd=ROOT)  # noqa: S603
        peak = [0.0]
        watcher = threading.Thread(target=_watch, args=(process, peak))
        watcher.start()
        try:
            status = process.wait(within_s)
        finally:
            process.kill()  # nothing happens where it has ended
            watcher.join()
        seconds = time.perf_counter() - start
        out.seek(0)
        err.seek(0)
        if status:
            raise RuntimeError(f"{' '.join(arguments)} failed ({status}): {err.read()[-2000:]}")
        return Ran(seconds, peak[0], out.read())


def printed(*arguments: str, within_s: float | None = None) -> dict[str, Any]:
    """What a module of the benchmarks prints as JSON."""
    found: dict[str, Any] = json.loads(run("-m", *arguments, within_s=within_s).printed.splitlines()[-1])
    return found


def _watch(process: subprocess.Popen[str], peak: list[float]) -> None:
    while process.poll() is None:
        peak[0] = max(peak[0], sum(map(_megabytes, _family(process.pid))))
        time.sleep(LOOK_EVERY_S)


def _family(process: int) -> list[int]:
    """A process and all that it started, on Linux."""
    found = [process]
    for one in found:
        try:
            for task in Path(f"/proc/{one}/task").iterdir():
                found += map(int, (task / "children").read_text().split())
        except OSError:  # it has just ended
            continue
    return found


def _megabytes(process: int) -> float:
    """Memory that a process holds; of pages that several share, its part."""
    try:
        lines = Path(f"/proc/{process}/smaps_rollup").read_text().splitlines()
    except OSError:
        return 0.0
    return sum(int(line.split()[1]) for line in lines if line.startswith("Pss:")) * 1024 / 1e6
