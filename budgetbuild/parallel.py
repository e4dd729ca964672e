"""The same work for many items on all processors, in order; on one processor, or for a few items, right here."""

from __future__ import annotations

import os
import signal
import sys
from collections import deque
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from itertools import repeat
from multiprocessing import active_children, get_context, parent_process
from threading import Thread
from typing import TYPE_CHECKING, Any, TypeVar

from budgetbuild.faults import ProcessEndedError
from budgetbuild.garbage import collect_seldom

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from concurrent.futures import Future
    from multiprocessing.process import BaseProcess

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")

FEW = 8
"""So few items are done before another process has started."""

ENDED = "a process that shared the work was ended, perhaps for want of memory"

_here: dict[str, Any] = {}
"""What the items of a worker process share: sent once, not with every item."""


def spread(
    work: Callable[[S, T], R], shared: S, items: Sequence[T], processes: int | None = None, *, few: int = FEW
) -> Iterator[R]:
    """Results of `work(shared, item)` in the order of the items.

    Args:
        work: A function of a module; it, the shared value, items and results travel between processes.
        shared: The same for every item.
        items: Independent of each other.
        processes: At most so many; `None` = as many as there are processors.
        few: How many items keep a process busy for longer than it takes to start.

    Raises:
        ProcessEndedError: One of the processes was ended from outside, or could not be started.
    """
    count = min(processes or os.cpu_count() or 1, len(items) // few)
    if count < 2:  # noqa: PLR2004 - nobody to share with
        yield from map(work, repeat(shared), items)
        return
    before = set(active_children())
    # One item for each process: the first is done here, where nothing need be started, sent and fetched.
    here = items[:1] if len(items) == count else items[:0]
    # Started afresh, not forked: a solver of this process may have threads, which a fork would lose.
    with ProcessPoolExecutor(count - len(here), get_context("spawn"), _remember, (shared,)) as pool:
        started: set[BaseProcess] = set()
        try:
            futures = deque(_submitted(pool, work, item) for item in items[len(here) :])
            started = set(active_children()) - before
            yield from map(work, repeat(shared), here)
            while futures:
                yield futures.popleft().result()
        except BaseException as error:
            for process in started | (set(active_children()) - before):
                _end(process)  # what they have in hand may take long, and nobody wants it
            if isinstance(error, BrokenProcessPool):
                raise ProcessEndedError(ENDED) from error
            raise


def _submitted(pool: ProcessPoolExecutor, work: Callable[[Any, T], R], item: T) -> Future[R]:
    """Work for one of the processes; another may be started for it.

    Raises:
        BrokenProcessPool: One was ended before.
        ProcessEndedError: None can be started; what it is given is not there any more where one that started before it
            was ended meanwhile.
    """
    try:
        return pool.submit(_do, work, item)
    except (OSError, ValueError) as error:
        raise ProcessEndedError(ENDED) from error


def _end(process: BaseProcess) -> None:
    """End a process with all that it started: a solver of its own would go on, also where the process is gone."""
    if sys.platform != "win32" and process.pid:
        with suppress(ProcessLookupError, PermissionError):
            os.killpg(process.pid, signal.SIGKILL)
    process.kill()


def _remember(shared: object) -> None:
    if sys.platform != "win32":
        os.setpgid(0, 0)  # a group of its own, with whatever it starts
    # Ctrl-C reaches every process of a terminal; the one that started this one answers it.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_parent, daemon=True).start()
    collect_seldom()
    _here["shared"] = shared


def _end_with_parent() -> None:
    """A process whose parent was killed would wait for work for ever."""
    parent = parent_process()
    if parent:
        parent.join()
        if sys.platform != "win32":
            os.killpg(0, signal.SIGKILL)
        os._exit(1)


def _do(work: Callable[[Any, T], R], item: T) -> R:
    return work(_here["shared"], item)
