"""The same work for many items on all processors, in order; on one processor, or for a few items, right here."""

from __future__ import annotations

import gc
import os
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from multiprocessing import get_context
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")

FEW = 8
"""So few items are done before another process has started."""

_here: dict[str, Any] = {}
"""What the items of a worker process share: sent once, not with every item."""


def spread(work: Callable[[S, T], R], shared: S, items: Sequence[T], processes: int | None = None) -> Iterator[R]:
    """Results of `work(shared, item)` in the order of the items.

    Args:
        work: A function of a module; it, the shared value, items and results travel between processes.
        shared: The same for every item.
        items: Independent of each other.
        processes: At most so many; `None` = as many as there are processors.
    """
    count = min(processes or os.cpu_count() or 1, len(items) // FEW)
    if count < 2:  # noqa: PLR2004 - nobody to share with
        yield from map(work, repeat(shared), items)
        return
    # Started afresh, not forked: a solver of this process may have threads, which a fork would lose.
    with ProcessPoolExecutor(count, get_context("spawn"), _remember, (shared,)) as pool:
        try:
            yield from pool.map(_do, repeat(work), items, chunksize=1)
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _remember(shared: object) -> None:
    gc.set_threshold(100_000, 50, 100)
    _here["shared"] = shared


def _do(work: Callable[[Any, T], R], item: T) -> R:
    return work(_here["shared"], item)
