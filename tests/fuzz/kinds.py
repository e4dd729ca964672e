"""All kinds of mutants, in turn, and one mutant from beginning to end."""

from __future__ import annotations

import resource
import signal
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn

from tests.fuzz import in_cells, in_hostile, in_others, in_packages, in_places, in_sheets
from tests.fuzz.mutant import chance_of
from tests.fuzz.verdict import prepare, run_here, wrong

if TYPE_CHECKING:
    from pathlib import Path

KINDS = in_cells.KINDS | in_sheets.KINDS | in_packages.KINDS | in_hostile.KINDS | in_places.KINDS | in_others.KINDS
MOST_SECONDS = 20.0
"""Of the processor, for one mutant of a tiny workbook."""
PATIENCE_S = 60
"""By the clock: longer than a busy machine takes, and short of for ever."""


class TooLongError(BaseException):
    """A mutant did not end; no handler of the package may take it for something else."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a mutant fared.

    Attributes:
        seconds: On the processor.
        peak_mb: The most memory that the process has ever held.
    """

    seed: int
    number: int
    kind: str
    argv: tuple[str, ...]
    status: int
    seconds: float
    peak_mb: int
    wrong: tuple[str, ...]


def kind_of(number: int) -> str:
    """Kinds take turns."""
    return list(KINDS)[number % len(KINDS)]


def outcome(seed: int, number: int, folder: Path) -> Outcome:
    """Make a mutant in an empty folder, run it, and judge it."""
    kind, chance = kind_of(number), chance_of(seed, number)
    mutant = KINDS[kind](chance, folder)
    before = prepare(folder, kept=chance.random() < 0.5)
    earlier = signal.signal(signal.SIGALRM, _too_long)
    signal.alarm(PATIENCE_S)
    start = time.process_time()
    try:
        ended = run_here(mutant)
        status, found = ended.status, [*wrong(mutant, ended, folder, before)]
        found += [f"printed: {ended.printed[-1500:]}"] if found else []
    except BaseException as error:
        if isinstance(error, KeyboardInterrupt):
            raise
        status, found = -1, [f"escaped: {error!r}"]
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, earlier)
    seconds = time.process_time() - start
    found += [f"{seconds:.1f} s"] if seconds > MOST_SECONDS else []
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1000
    return Outcome(seed, number, kind, mutant.argv, status, seconds, peak, tuple(found))


def _too_long(*_: object) -> NoReturn:
    raise TooLongError
