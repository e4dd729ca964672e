"""The work folder: what is finished of a fleet, kept as it comes, so that a run goes on after a kill.

It stands in the folder that results go to, and is gone once they are there. Each file is flushed and renamed into
place, so that what is there is whole. A vehicle is finished once its answer is there; its counter file comes first.
"""

from __future__ import annotations

import json
import shutil
from dataclasses import asdict, dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.report.save import STAGING, save_all

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from budgetbuild.fleet.bench import Answer
    from budgetbuild.fleet.fleet import Fleet
    from budgetbuild.fleet.rows import Row

NAME = "fleet-unfinished"
ASKED = "asked.json"
ANSWERS = "answers"
COUNTERS = "counters"
FORMAT = 1
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
    """What is finished of one fleet.

    Attributes:
        restarted: Whether it held answers to another question (the catalogue changed, say), which are gone.
        finished: Places of the vehicles that are answered.
    """

    def __init__(self, out: Path, key: Key) -> None:
        """Take up what is there, or begin.

        Raises:
            UserInputError: The folder cannot be written, or holds what is not the tool's.
        """
        self.path = out / NAME
        asked = json.dumps(asdict(key), ensure_ascii=False, indent=1).encode()
        there = self._read(ASKED)
        self.restarted = there is not None and there != asked
        if there is None and _holds_others(self.path):
            raise UserInputError([_not_ours(self.path)])
        if self.restarted:
            self.remove()
        if there != asked:
            save_all({ASKED: asked}, self.path)
        names = range(len(key.vehicles))
        self.finished = {number for number in names if self._rows(number) is not None}

    def keep(self, answer: Answer, file: str) -> None:
        """Keep what was found for a vehicle."""
        if answer.counter:
            save_all({file: answer.counter}, self.path / COUNTERS)
        rows = json.dumps(answer.rows, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
        save_all({_file_of(answer.number): rows.encode()}, self.path / ANSWERS)
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
            if name:
                yield name, (self.path / COUNTERS / name).read_bytes()

    def remove(self) -> None:
        """Take all of it away; what says whose it is goes last, so that a kill leaves a folder of ours."""
        for name in (ANSWERS, COUNTERS):
            if (self.path / name).exists():
                shutil.rmtree(self.path / name)
        shutil.rmtree(self.path)

    def _rows(self, number: int) -> list[Row] | None:
        """The rows of a vehicle; `None` where it is not answered, or a disk that failed left half of it."""
        text = self._read(f"{ANSWERS}/{_file_of(number)}")
        try:
            rows: list[Row] = json.loads(text) if text else []
        except ValueError:
            return None
        name = rows[0]["counter_file"] if rows else None
        return rows if rows and (name is None or (self.path / COUNTERS / name).is_file()) else None

    def _read(self, name: str) -> bytes | None:
        path = self.path / name
        return path.read_bytes() if path.is_file() else None


def _holds_others(path: Path) -> bool:
    """Whether there is anything that no run of the tool has left."""
    if path.is_dir():
        return any(not one.name.startswith(STAGING) for one in path.iterdir())
    return path.exists()


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
