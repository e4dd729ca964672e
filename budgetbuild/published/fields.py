"""Values of a JSON file with their places: each is taken as what it should be, or becomes a fault and a stand-in.

A stand-in lets the reading go on, so that all faults are found; with any fault no value ever leaves the package.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.faults import Cell, Collector, Fault

if TYPE_CHECKING:
    from collections.abc import Iterator

Json = None | bool | int | float | str | list["Json"] | dict[str, "Json"]
"""What a JSON file holds."""

E = TypeVar("E", bound=StrEnum)
MONEY = re.compile(r"(\d{1,12})\.(\d\d)", re.ASCII)
AGAIN = "write results.json anew with budgetbuild build, or put the value back as it was"
LONGEST_SHOWN = 60
MOST_NAMED = 12
MILLI = 1000
MOST = 1e15
"""Any number of a published file is nearer to 0; JSON may hold ones that no arithmetic takes."""


class Missing:
    """Stands where a key is missing or a value above it is wrong, which has been told already."""


MISSING = Missing()


def _is_number(value: float) -> bool:
    """Whether a number can be reckoned with; true and false are none."""
    return not isinstance(value, bool) and abs(value) < MOST


@dataclass(frozen=True, slots=True)
class Place:
    """A value and where it stands.

    Attributes:
        path: From the top of the file, such as `builds[3].lines[2].sku`.
    """

    value: Json | Missing
    path: str
    file: str
    notes: Collector

    def of(self, key: str) -> Place:
        """The value of a key that must be there."""
        found = self.get(key)
        if found is None:
            self._at(key)._fault("missing-key", "nothing", "this key")  # noqa: SLF001 - of the same class
            return self._at(key)
        return found

    def get(self, key: str) -> Place | None:
        """The value of a key that may be missing; `None` where it is."""
        if isinstance(self.value, dict):
            return self._at(key, self.value[key]) if key in self.value else None
        if self.value is not MISSING:
            self._fault("wrong-type", self.shown, "an object with keys")
        return self._at(key)

    def items(self) -> Iterator[Place]:
        """The values of a list."""
        if isinstance(self.value, list):
            for number, value in enumerate(self.value):
                yield Place(value, f"{self.path}[{number}]", self.file, self.notes)
        elif self.value is not MISSING:
            self._fault("wrong-type", self.shown, "a list in square brackets")

    def entries(self) -> Iterator[tuple[str, Place]]:
        """Keys and values of an object."""
        if isinstance(self.value, dict):
            for key, value in self.value.items():
                yield key, self._at(key, value)
        elif self.value is not MISSING:
            self._fault("wrong-type", self.shown, "an object with keys")

    @property
    def null(self) -> bool:
        """Whether it is expressly nothing."""
        return self.value is None

    def text(self, *, empty: bool = True) -> str:
        """A text; not an empty one where that would name nothing."""
        if isinstance(self.value, str) and (empty or self.value.strip()):
            return self.value
        return self._not(f"a text in quotation marks{'' if empty else ', not empty'}", "")

    def word(self, words: type[E], *but: E) -> E:
        """One of the words of an enumeration, some of them left out."""
        allowed = [word for word in words if word not in but]
        if isinstance(self.value, str) and self.value in allowed:
            return words(self.value)
        some = ", ".join(f'"{word}"' for word in allowed[:MOST_NAMED])
        return self._not(f"one of {some}{', …' if len(allowed) > MOST_NAMED else ''}", allowed[0])

    def whole(self, least: int = 0) -> int:
        """A whole number from `least` on."""
        if isinstance(self.value, int) and _is_number(self.value) and self.value >= least:
            return self.value
        return self._not(f"a whole number, {least} or more", least)

    def number(self) -> float:
        """A number."""
        if isinstance(self.value, int | float) and _is_number(self.value):
            return float(self.value)
        return self._not("a number", 0.0)

    def truth(self) -> bool:
        """True or false."""
        return self.value if isinstance(self.value, bool) else self._not("true or false", default=False)

    def money(self) -> int:
        """A decimal string with two places, in whole cents."""
        found = MONEY.fullmatch(self.value) if isinstance(self.value, str) else None
        if found is None:
            return self._not('an amount as text with two places, such as "1298.50"', 0)
        return int("".join(found.groups()))

    def points(self) -> int:
        """A score with at most three places, in whole thousandths of a point."""
        if isinstance(self.value, int | float) and _is_number(self.value):
            thousandths = Decimal(repr(self.value)) * MILLI
            if thousandths == int(thousandths):
                return int(thousandths)
        return self._not("a number with at most three places", 0)

    def figure(self) -> float | int | str:
        """A number or a text."""
        if isinstance(self.value, str) or (isinstance(self.value, int | float) and _is_number(self.value)):
            return self.value
        return self._not("a number or a text", "")

    def refuse(self, code: str, expected: str, found: str = "") -> None:
        """Note that the value, though of the right kind, cannot be."""
        if self.value is not MISSING:
            self._fault(code, found or self.shown, expected)

    @property
    def shown(self) -> str:
        """The value as a message quotes it."""
        if isinstance(self.value, dict):
            return "an object with keys"
        if isinstance(self.value, list):
            return "a list"
        words = {None: "null", True: "true", False: "false"}
        told = words.get(self.value) if self.value is None or isinstance(self.value, bool) else None
        plain = told or (f'"{self.value}"' if isinstance(self.value, str) else str(self.value))
        return plain if len(plain) <= LONGEST_SHOWN else f"{plain[: LONGEST_SHOWN - 1]}…"

    T = TypeVar("T")

    def _not(self, expected: str, default: T) -> T:
        """A stand-in for a value that is not what was expected, which is noted."""
        self.refuse("wrong-type", expected)
        return default

    def _at(self, key: str, value: Json | Missing = MISSING) -> Place:
        return Place(value, f"{self.path}.{key}" if self.path else key, self.file, self.notes)

    def _fault(self, code: str, found: str, expected: str) -> None:
        """Note a fault, once however often the value is looked at."""
        fault = Fault(Cell(self.path or "the whole file", file=self.file), code, found, expected, AGAIN)
        if fault not in self.notes.faults:
            self.notes.faults.append(fault)
