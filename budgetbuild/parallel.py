"""The same work for many items on all processors, in order; on one processor, or for a few items, right here."""

from __future__ import annotations

import os
import signal
from collections import deque
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import repeat
from multiprocessing import active_children, get_context, parent_process
from threading import Thread
from typing import TYPE_CHECKING, Any, TypeVar

from budgetbuild.faults import ProcessEndedError
from budgetbuild.garbage import collect_seldom

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")

FEW = 8
"""So few items are done before another process has started."""

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
        ProcessEndedError: One of the processes was ended from outside.
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
        try:
            futures = deque(pool.submit(_do, work, item) for item in items[len(here) :])
            yield from map(work, repeat(shared), here)
            while futures:
                yield futures.popleft().result()
        except BrokenProcessPool as error:
            raise ProcessEndedError("a process that shared the work was ended, perhaps for want of memory") from error
        except BaseException:
            for process in set(active_children()) - before:  # what they have in hand may take long, and nobody wants it
                process.kill()
            raise


def _remember(shared: object) -> None:
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
        os._exit(1)


def _do(work: Callable[[Any, T], R], item: T) -> R:
    return work(_here["shared"], item)
