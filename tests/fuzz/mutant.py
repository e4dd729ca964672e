"""What a mutant is: a command over files that were spoilt, known by its seed and its number."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

BUILDS, COPIES, LISTS, QUOTES = 0.10, 0.03, 0.12, 0.05
"""Shares of the catalogues that are built, built into a copy, checked as data and quoted; the others are checked."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """A spoilt input.

    Attributes:
        argv: The command and its words.
        reads: Names of the files that are spoilt: a fault without a cell must name one of them, or its option.
    """

    argv: tuple[str, ...]
    reads: tuple[str, ...]


def chance_of(seed: int, number: int) -> Random:
    """What decides a mutant; the same for the same seed and number on every machine."""
    return Random(f"{seed}:{number}")  # noqa: S311 - the same on every run


def of_catalogue(chance: Random, folder: Path, data: bytes, name: str = "prices.xlsx") -> Mutant:
    """A spoilt catalogue under one of the commands that read one."""
    path = folder / name
    path.write_bytes(data)
    return reading(chance, path, folder)


def reading(chance: Random, path: Path, folder: Path) -> Mutant:
    """One of the commands that read a catalogue."""
    draw, out = chance.random(), str(folder / "out")
    if draw < BUILDS:
        argv: tuple[str, ...] = ("build", str(path), "--out", out, "--quiet")
    elif draw < BUILDS + COPIES:
        return copied(path, folder)
    elif draw < BUILDS + COPIES + LISTS:
        argv = ("check", str(path), "--json")
    elif draw < BUILDS + COPIES + LISTS + QUOTES:
        argv = ("quote", str(path), "--budget", "650", "--out", str(folder / "out" / "quote.md"))
    else:
        argv = ("check", str(path))
    return Mutant(argv, (path.name,))


def copied(path: Path, folder: Path) -> Mutant:
    """A build with its sheets in a copy of the catalogue, so that every part of that is looked at."""
    copy = folder / "copy" / f"shop{path.suffix}"
    argv = ("build", str(path), "--out", str(folder / "out"), "--quiet", "--counter", "none", "--into-copy", str(copy))
    return Mutant(argv, (path.name,))
