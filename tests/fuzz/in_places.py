"""Names that lead to no ordinary file."""

from __future__ import annotations

import os
import socket
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from tests.fuzz.in_others import reading_as
from tests.fuzz.in_packages import whole

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from random import Random

    from tests.fuzz.mutant import Mutant


def folder(place: Path) -> Path:
    """A folder under a workbook's name."""
    (place / "prices.xlsx").mkdir()
    return place / "prices.xlsx"


def pipe(place: Path) -> Path:
    """A pipe that nobody writes into: to open it is to wait for ever."""
    os.mkfifo(place / "prices.xlsx")
    return place / "prices.xlsx"


def link_to_a_pipe(place: Path) -> Path:
    """The same behind a link."""
    os.mkfifo(place / "pipe")
    (place / "prices.xlsx").symlink_to("pipe")
    return place / "prices.xlsx"


def listening_socket(place: Path) -> Path:
    """A socket's name."""
    here = Path.cwd()
    os.chdir(place)  # The name of a socket must be short.
    try:
        with socket.socket(socket.AF_UNIX) as server:
            server.bind("prices.xlsx")
    finally:
        os.chdir(here)
    return place / "prices.xlsx"


def endless_device(_: Path) -> Path:
    """A device that gives bytes without end."""
    return Path("/dev/zero")


def empty_device(_: Path) -> Path:
    """A device that gives none."""
    return Path("/dev/null")


def endless_link(place: Path) -> Path:
    """Two links that lead to each other."""
    (place / "prices.xlsx").symlink_to("other.xlsx")
    (place / "other.xlsx").symlink_to("prices.xlsx")
    return place / "prices.xlsx"


def link_to_nothing(place: Path) -> Path:
    """A link to a file that is gone."""
    (place / "prices.xlsx").symlink_to("gone.xlsx")
    return place / "prices.xlsx"


def no_such_file(place: Path) -> Path:
    """A slip of the pen."""
    return place / "price.xlsx"


def file_as_a_folder(place: Path) -> Path:
    """A file in a place where a folder must be."""
    (place / "prices.xlsx").write_bytes(whole())
    return place / "prices.xlsx" / "prices.xlsx"


def name_too_long(place: Path) -> Path:
    """A name longer than any file system allows."""
    return place / f"{'x' * 5000}.xlsx"


def lock_file(place: Path) -> Path:
    """What a spreadsheet program leaves beside a file that is open."""
    (place / "~$prices.xlsx").write_bytes(b"\x05Karla" + b" " * 100)
    return place / "~$prices.xlsx"


def no_name(_: Path) -> Path:
    """An empty name."""
    return Path()


def odd_name(name: bytes, place: Path) -> Path:
    """A sound catalogue under a name that no program likes."""
    path = Path(os.fsdecode(os.fsencode(place) + b"/" + name))
    path.write_bytes(whole())
    return path


ODD_NAMES = {
    "not UTF-8": b"Pr\xe9is \xff.xlsx",
    "with control characters": b"a\x1b[2J\r\nb.xlsx",
    "with markup": b"<script>&{{ x }}%s[bold].xlsx",
    "like an option": b"-rf.xlsx",
    "of pictographs": "\U0001f50a \u202egnol.xlsx".encode(),
    "very long": "ü".encode() * 120 + b".xlsx",
}
PLACES: Mapping[str, Callable[[Path], Path]] = {
    place.__name__.replace("_", " "): place
    for place in (
        folder,
        pipe,
        link_to_a_pipe,
        listening_socket,
        endless_device,
        empty_device,
        endless_link,
        link_to_nothing,
        no_such_file,
        file_as_a_folder,
        name_too_long,
        lock_file,
        no_name,
    )
} | {f"name {name}": partial(odd_name, written) for name, written in ODD_NAMES.items()}
READERS = ("check", "check", "build", "--prices", "mapping", "list", "results", "verify", "templates")


def elsewhere(chance: Random, folder: Path) -> Mutant:
    """One of these places, read as whatever a command reads."""
    name = chance.choice(list(PLACES))
    where = folder / "there"
    where.mkdir()
    path = PLACES[name](where)
    return reading_as(chance.choice(READERS), path, folder)


KINDS = {"place: no ordinary file": elsewhere, "place: no ordinary file, again": elsewhere}
