"""The second solver, in a process of its own.

OR-tools and highspy each bring a shared library of the same name but another version, so the two must never be loaded
into one process: whichever came second would use, or miss, the other's symbols.
"""

from __future__ import annotations

import atexit
import multiprocessing
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from tests.oracle.enumerate import Answer


def best_cpsat(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int | None, seconds: float = 300.0) -> Answer:
    """Highest score within the cap, then least total.

    Raises:
        TimeoutError: A step was not proven within the seconds.
    """
    return _worker().submit(_best, catalogue, brief, vehicle, cap, seconds).result()


def cheapest_cpsat(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, seconds: float = 300.0) -> int | None:
    """Cents of the cheapest complete system, `None` where none exists at any price."""
    return _worker().submit(_cheapest, catalogue, brief, vehicle, seconds).result()


@cache
def _worker() -> ProcessPoolExecutor:
    """One fresh process, kept for the whole test run and ended with it."""
    pool = ProcessPoolExecutor(1, multiprocessing.get_context("spawn"))
    atexit.register(pool.shutdown)
    return pool


def _best(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int | None, seconds: float) -> Answer:
    from tests.oracle.cpsat_model import best  # noqa: PLC0415 - in the worker only

    return best(catalogue, brief, vehicle, cap, seconds)


def _cheapest(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, seconds: float) -> int | None:
    from tests.oracle.cpsat_model import cheapest  # noqa: PLC0415 - in the worker only

    return cheapest(catalogue, brief, vehicle, seconds)
