"""The same answers from the workers of a Dask cluster; needs distributed.

The bench is a task of its own, not scattered data: it is sent once, workers hand it on to each other, and where every
worker that had it is lost it is made again. So is each batch of vehicles, wherever its worker died.
"""

from __future__ import annotations

import logging
import zlib
from concurrent.futures import CancelledError
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import dask
from distributed import Client, as_completed
from distributed.comm.core import CommClosedError
from distributed.scheduler import KilledWorker

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.fleet.bench import Bench
from budgetbuild.garbage import collect_seldom

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from distributed import Future

    from budgetbuild.fleet.bench import Answer
    from budgetbuild.fleet.fleet import Fleet

CONNECT_S = 20
"""How long the scheduler, and then the first worker, is waited for."""
AGAIN = "start it again, then run the same command; what is finished is kept"
MORE = "give the workers more memory, or fewer of them to a machine; what is finished is kept"
DIFFERENT = "install this very version, with the same Python and numpy, on the scheduler and every worker"


def answers_from(address: str, fleet: Fleet, batches: Sequence[Sequence[int]], code: str) -> Iterator[Answer]:
    """Answers for vehicles in the order in which they are found.

    Args:
        address: Of the scheduler, such as `tcp://10.0.0.5:8786`.
        fleet: What is asked.
        batches: Places of the vehicles in the fleet, those of a batch answered in one go.
        code: Version of the tool here, which every worker must have.

    Raises:
        UserInputError: There is no such cluster, or it cannot answer.
    """
    with _client(address) as client:
        bench = client.submit(Bench, fleet, pure=False)
        tasks = [client.submit(_answers, bench, batch, pure=False) for batch in batches]
        for future in as_completed(tasks, loop=client.loop):  # type: ignore[no-untyped-call]
            for answer in _result(future, address):
                if answer.code != code:
                    raise UserInputError([_fault("other-version", answer.code, code, DIFFERENT)])
                yield replace(answer, counter=zlib.decompress(answer.counter))
            future.release()


def _result(future: Future[list[Answer]], address: str) -> list[Answer]:
    """What a batch came to.

    Raises:
        UserInputError: The cluster could not finish it.
    """
    try:
        return future.result()
    except KilledWorker as error:
        raise UserInputError([_fault("workers-die", str(error), "workers that stay alive", MORE)]) from error
    except (CancelledError, CommClosedError) as error:
        fault = _fault("scheduler-lost", f"{address} answers no more", "a scheduler that stays", AGAIN)
        raise UserInputError([fault]) from error


def _answers(bench: Bench, numbers: Sequence[int]) -> list[Answer]:
    """Answers for a batch of vehicles, their counter files packed."""
    collect_seldom()
    return [replace(answer, counter=zlib.compress(answer.counter)) for answer in bench.answers(numbers)]


@contextmanager
def _client(address: str) -> Iterator[Client]:
    """A connection to a scheduler that has workers with the same tool.

    Raises:
        UserInputError: There is none.
    """
    # It prints a traceback where the scheduler is lost, which is told in words.
    logging.getLogger("distributed.client").setLevel(logging.CRITICAL)
    # A catalogue of 100,000 products is larger than what Dask warns of; it travels once.
    with dask.config.set({"distributed.admin.large-graph-warning-threshold": "1GB"}):
        try:
            client = Client(address, timeout=CONNECT_S, set_as_default=False)  # type: ignore[no-untyped-call]
        except (OSError, ValueError) as error:
            mend = "look at its address where it was started (dask scheduler), and that nothing stands in between"
            raise UserInputError([_fault("no-scheduler", address, "a Dask scheduler that answers", mend)]) from error
        with client:
            _check(client, address)
            yield client


def _check(client: Client, address: str) -> None:
    try:
        client.wait_for_workers(1, timeout=CONNECT_S)
    except TimeoutError as error:
        mend = f"start some: dask worker {address} --nworkers auto --nthreads 1"
        raise UserInputError([_fault("no-workers", address, "a scheduler with workers", mend)]) from error
    found: Any = client.get_versions(packages=["budgetbuild"])
    nodes = {"the scheduler": found["scheduler"], **found["workers"]}
    lacking = sorted(name for name, told in nodes.items() if not told["packages"].get("budgetbuild"))
    if lacking:
        named = f"no budgetbuild at {', '.join(lacking)}"
        expected = "budgetbuild on the scheduler and every worker"
        raise UserInputError([_fault("not-installed", named, expected, DIFFERENT)])


def _fault(code: str, found: str, expected: str, mend: str) -> Fault:
    return Fault(Cell("--scheduler"), code, found, expected, mend)
