"""The work folder: what is finished of a fleet, kept as it comes, so that a run goes on after a kill.

It stands in the folder that results go to, and is gone once they are there. One run at a time holds it. Each file is
flushed and renamed into place, so that what is there is whole; a vehicle is finished once its answer is there, which
begins with its hash, so that nothing else is taken for it; its counter file comes first.
"""

from __future__ import annotations

import json
import shutil
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Self

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.report.folder_lock import NAME as LOCK
from budgetbuild.report.folder_lock import take
from budgetbuild.report.save import STAGING, save_all

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator
    from pathlib import Path

    from budgetbuild.fleet.bench import Answer
    from budgetbuild.fleet.fleet import Fleet
    from budgetbuild.fleet.rows import Row

NAME = "fleet-unfinished"
ASKED = "asked.json"
ANSWERS = "answers"
COUNTERS = "counters"
PATIENCE_S = 0.5
"""How long another run is waited for, in seconds: one that just ends."""
GONE = "gone.json"
"""Names of counter files that the table before this one named: what has to go once the new one stands."""
FORMAT = 2
"""Goes up where the files of the folder change, so that those of an earlier version are not taken up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """What an answer follows from: the same key, the same answers."""

    format: int
    code: str
    names: list[str]
    catalogue: str
    prices: str
    briefs: list[str]
    tiers: list[str]
    vehicles: list[str]
    counter: str
    templates: list[str]


def key_of(fleet: Fleet, code: str) -> Key:
    """What the answers for a fleet follow from."""
    catalogue = fleet.catalogue
    return Key(
        format=FORMAT,
        code=code,
        names=[catalogue.name, catalogue.fresh.name if catalogue.fresh else ""],
        catalogue=catalogue.sha256,
        prices=catalogue.fresh.sha256 if catalogue.fresh else "",
        briefs=[brief.name for brief in fleet.briefs],
        tiers=[tier.name for tier in fleet.tiers],
        vehicles=[vehicle.name for vehicle in fleet.vehicles],
        counter=fleet.counter.value,
        templates=[f"{name} {sha256(content).hexdigest()}" for name, content in fleet.templates],
    )


class WorkFolder:
    """What is finished of one fleet, held by this process until it is left (`with`).

    Attributes:
        restarted: Whether it held answers to another question (the catalogue changed, say), which are gone.
        finished: Places of the vehicles that are answered.
    """

    def __init__(self, out: Path, key: Key) -> None:
        """Take up what is there, or begin.

        Raises:
            UserInputError: The folder cannot be written, holds what is not the tool's, or another run is at work in it.
        """
        self.path = out / NAME
        with _usable(self.path):
            if _holds_others(self.path):
                raise UserInputError([_not_ours(self.path)])
            out.mkdir(parents=True, exist_ok=True)
            self._lock = take(self.path, PATIENCE_S)
        try:
            with _usable(self.path):
                self._take_up(json.dumps(asdict(key), ensure_ascii=False, indent=1).encode())
                self.finished = {number for number in range(len(key.vehicles)) if self._rows(number) is not None}
        except BaseException:
            self._lock.release()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._lock.release()

    def _take_up(self, asked: bytes) -> None:
        there = self._read(ASKED)
        self.restarted = there is not None and there != asked
        if self.restarted:
            self._empty(LOCK, GONE)
        if there != asked:
            save_all({ASKED: asked}, self.path)

    def keep(self, answer: Answer, file: str) -> None:
        """Keep what was found for a vehicle."""
        if answer.counter:
            save_all({file: _sealed(file, answer.counter)}, self.path / COUNTERS)
        rows = json.dumps(answer.rows, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode()
        name = _file_of(answer.number)
        save_all({name: _sealed(name, rows)}, self.path / ANSWERS)
        self.finished.add(answer.number)

    def rows(self) -> Iterator[Row]:
        """Every row, vehicle by vehicle in the order of the fleet."""
        for number in sorted(self.finished):
            yield from self._rows(number) or ()

    def counters(self) -> Iterator[tuple[str, bytes]]:
        """Name and content of every counter file, in the order of the fleet."""
        for number in sorted(self.finished):
            rows = self._rows(number) or []
            name = rows[0]["counter_file"] if rows else None
            content = self._counter(name) if name else None
            if name and content:
                yield name, content

    @property
    def gone(self) -> set[str]:
        """Names of counter files that were noted to go."""
        text = self._read(GONE)
        names = _unsealed(GONE, text) if text else None
        return set(json.loads(names)) if names else set()

    def note_gone(self, names: Collection[str]) -> None:
        """Note counter files that have to go, so that a kill before they are gone loses none of them."""
        if names:
            save_all({GONE: _sealed(GONE, json.dumps(sorted(names)).encode())}, self.path)

    def remove(self) -> None:
        """Take all of it away; what says whose it is goes last, so that a kill leaves a folder of ours.

        Raises:
            UserInputError: The disk refuses.
        """
        with _usable(self.path):
            self._empty(LOCK)
        self._lock.release()

    def _empty(self, *but: str) -> None:
        """Take all but these away, what says whose the folder is last."""
        paths = sorted(self.path.iterdir(), key=lambda path: (path.name == ASKED, path.name))
        for path in (path for path in paths if path.name not in but):
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path)
            else:
                path.unlink()

    def _rows(self, number: int) -> list[Row] | None:
        """The rows of a vehicle; `None` where it is not answered, or what is there is not what was written."""
        file = _file_of(number)
        text = self._read(f"{ANSWERS}/{file}")
        written = _unsealed(file, text) if text else None
        rows: list[Row] = json.loads(written) if written else []
        name = rows[0]["counter_file"] if rows else None
        return rows if rows and (name is None or self._counter(name)) else None

    def _counter(self, name: str) -> bytes | None:
        """A counter file; `None` where it is not there, or is not what was written."""
        text = self._read(f"{COUNTERS}/{name}")
        return _unsealed(name, text) if text else None

    def _read(self, name: str) -> bytes | None:
        path = self.path / name
        with _usable(path):
            return path.read_bytes() if path.is_file() else None


@contextmanager
def _usable(path: Path) -> Iterator[None]:
    """What the disk refuses, as a fault.

    Raises:
        UserInputError: It cannot be read or written, or another run holds it.
    """
    try:
        yield
    except BlockingIOError as error:
        expected = "a folder that no other run of fleet is at work in"
        mend = "wait until it has ended, or choose another place with --out"
        fault = Fault(Cell("--out"), "in-use", f"{path.parent} (another run is at work there)", expected, mend)
        raise UserInputError([fault]) from error
    except OSError as error:
        found = f"{error.filename or path} ({error.strerror or error})"
        mend = "see to it that it can, or choose another place with --out"
        fault = Fault(Cell("--out"), "cannot-use", found, "files and folders that can be read and written", mend)
        raise UserInputError([fault]) from error


def _sealed(name: str, content: bytes) -> bytes:
    """Content of a file of this name, after its hash."""
    return sha256(name.encode() + content).hexdigest().encode() + b"\n" + content


def _unsealed(name: str, text: bytes) -> bytes | None:
    """What was sealed; `None` where it is anything else, half of it say."""
    _, _, content = text.partition(b"\n")
    return content if text == _sealed(name, content) else None


def _holds_others(path: Path) -> bool:
    """Whether there is anything that no run of the tool has left."""
    if path.is_symlink() or (path.exists() and not path.is_dir()):
        return True
    if not path.is_dir() or (path / ASKED).is_file():
        return False
    return any(not one.name.startswith(STAGING) and one.name != GONE for one in path.iterdir())


def _file_of(number: int) -> str:
    return f"{number:06}.json"


def _not_ours(path: Path) -> Fault:
    return Fault(
        Cell("--out"),
        "not-ours",
        "files that no unfinished run left there",
        f"{path}: no such folder, or that of an unfinished run",
        "move it away, or choose another place with --out",
    )
