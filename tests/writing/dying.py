"""A process that dies at every file operation of a save, one after the other: `python -m tests.writing.dying ROOT`.

ROOT has a folder for each number of an operation; a process that saves into it is killed there, or is asked to end, or
is killed while it puts right what one killed before left. Prints how each ended. A process of its own starts them all,
since it has no threads that a fork would lose.
"""

from __future__ import annotations

import json
import os
import sys
import traceback
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING
from unittest import mock

from budgetbuild.report.save import put_right, save_everywhere
from tests.writing.scenes import SCENES, Scene
from tests.writing.trouble import Disk, asked_to_end, at, kills, troubled

if TYPE_CHECKING:
    from collections.abc import Callable

MOST = 400
INTERRUPTED = 130
HOW = {"kill": kills, "end": asked_to_end}


def died(root: Path, n: int, how: str, work: Callable[[], object]) -> int:
    """How a process ended that was struck at its n-th operation under a folder: status, or minus the signal."""
    process = os.fork()
    if process:
        return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])
    try:
        with troubled(Disk(root, at(n), HOW[how])):
            work()
    except KeyboardInterrupt:
        os._exit(INTERRUPTED)
    except BaseException:  # noqa: BLE001 - whatever it is must not go on as a second test
        traceback.print_exc()
        os._exit(1)
    os._exit(0)


def saved(root: Path, scene: Scene, how: str) -> list[int]:
    """How each save ended, one struck at every operation; the last one met none."""
    ends: list[int] = []
    while not ends or (ends[-1] and len(ends) < MOST):
        place = root / f"{len(ends) + 1:03}"
        scene.set_up(place)
        ends.append(died(place, len(ends) + 1, how, partial(_save, place, scene)))
    return ends


def put_back(root: Path, scene: Scene, n: int) -> list[int]:
    """How each try to put right a save that was killed at its n-th operation ended, one killed at every operation."""
    ends: list[int] = []
    while not ends or (ends[-1] and len(ends) < MOST):
        place = root / f"{len(ends) + 1:03}"
        scene.set_up(place)
        died(place, n, "kill", partial(_save, place, scene))
        ends.append(died(place, len(ends) + 1, "kill", partial(_all_right, place, scene)))
    return ends


def _save(root: Path, scene: Scene) -> None:
    save_everywhere(scene.wanted(root))


def _all_right(root: Path, scene: Scene) -> None:
    for folder in scene.folders:
        put_right(root / folder)


def run(root: Path, name: str, asked: str) -> list[int]:
    """How the processes ended: `kill` or `end` for a save, a number for putting right one that was killed there."""
    if asked.isdecimal():
        return put_back(root, SCENES[name], int(asked))
    return saved(root, SCENES[name], asked)


if __name__ == "__main__":
    with mock.patch.object(os, "fsync"):  # nothing here loses its power
        found = run(Path(sys.argv[1]), *sys.argv[2:])
    sys.stdout.write(json.dumps(found))
