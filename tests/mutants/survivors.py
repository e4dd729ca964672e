"""The mutants that no test notices, each with the reason why none can or need."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tests.mutants.workshop import Broken

FILE = Path(__file__).with_name("survivors.toml")


@dataclass(frozen=True, slots=True)
class Survivor:
    """A mutant that lives on.

    Attributes:
        where: Module and function, or module and figure.
        was: The line or the figure as it stands.
        becomes: What takes its place.
        why: Why it cannot be told apart, or need not be.
    """

    where: str
    was: str
    becomes: str
    why: str


def explained() -> tuple[Survivor, ...]:
    """All that are explained."""
    return tuple(Survivor(**entry) for entry in tomllib.loads(FILE.read_text("utf-8"))["survivor"])


def unexplained(broken: Iterable[Broken]) -> list[Broken]:
    """Those that no test noticed and nobody explained."""
    known = {(one.where, one.was, one.becomes) for one in explained()}
    return [one for one in broken if not one.noticed and (one.where, one.was, one.becomes) not in known]
