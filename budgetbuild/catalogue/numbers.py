"""Numbers written as text: decimal comma or point, grouping, and what cannot be told."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Iterable

Mark = Literal[".", ","]


@dataclass(frozen=True, slots=True)
class Number:
    """A number that can be read in one way only; `mark` is the decimal mark it gives away, if any."""

    value: Decimal
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class Ambiguous:
    """A number whose one comma or point, followed by three digits, may be decimal or grouping."""

    separator: Mark
    decimal: Decimal
    grouped: Decimal

    def settled(self, mark: Mark) -> Decimal:
        """The reading under the decimal mark that the rest of the column shows."""
        return self.decimal if mark == self.separator else self.grouped


@dataclass(frozen=True, slots=True)
class Written:
    """A text taken apart: what stands before the number, the number, what stands after it."""

    before: str
    number: Number | Ambiguous
    after: str


LONGEST_NUMBER = 100
"""Characters of a text in which a number is looked for; what stands beside a number takes a few words at most."""
_PARTS = re.compile(
    r"(?P<before>[^\d.,+-]*)(?P<sign>[+-]?)(?P<middle>[^\d.,+-]*?)"
    r"(?P<number>(?:\d|[.,](?=\d))(?:[\d.,]|[ '](?=\d{3}(?!\d)))*)(?P<after>.*)"
)
_WHOLE_MONEY = re.compile(r"([.,])[-\u2013\u2014]{1,2}(?!\d)")
_EXPONENT = re.compile(r"e[+-]?\d+", re.IGNORECASE)
_SPACE_GROUPS = re.compile(r"\d{1,3}(?:[ ']\d{3})+(?P<tail>(?P<mark>[.,])\d+)?")
_GROUPS = {",": re.compile(r"\d{1,3}(?:,\d{3})+"), ".": re.compile(r"\d{1,3}(?:\.\d{3})+")}
_SIMPLE = re.compile(r"(?P<left>\d*)(?P<mark>[.,])(?P<right>\d+)")


@lru_cache(maxsize=100_000)
def take_apart(text: str) -> Written | None:
    r"""Take a text apart around its one number; `None` where there is no such number.

    Every text is asked for twice: for the decimal mark of its column, then for its value.

    >>> take_apart("€ 1.299,00")
    Written(before='€', number=Number(value=Decimal('1299.00'), mark=','), after='')
    >>> take_apart("1\u202f299 mm").number.value, take_apart("2 x 75 W").after
    (Decimal('1299'), 'x 75 W')
    >>> take_apart("16 or so").number.value, take_apart("N/A") is None
    (Decimal('16'), True)
    """
    if len(text) > LONGEST_NUMBER:
        return None
    normal = unicodedata.normalize("NFKC", text).replace("\u2212", "-").replace("\u2019", "'")
    spaced = " ".join(_WHOLE_MONEY.sub(r"\g<1>00", normal).split())
    parts = _PARTS.fullmatch(spaced)
    if parts is None or _EXPONENT.match(parts["after"]):
        return None
    number = _read(parts["number"])
    if number is None:
        return None
    before = f"{parts['before']}{parts['middle']}".strip()
    return Written(before, _negated(number) if parts["sign"] == "-" else number, parts["after"].strip())


def _negated(number: Number | Ambiguous) -> Number | Ambiguous:
    """The number below zero."""
    if isinstance(number, Number):
        return Number(-number.value, number.mark)
    return Ambiguous(number.separator, -number.decimal, -number.grouped)


def _read(digits: str) -> Number | Ambiguous | None:
    """Read digits with separators; `None` where the grouping is broken."""
    if digits.isdigit():
        return Number(Decimal(digits))
    spaced = _SPACE_GROUPS.fullmatch(digits)
    if spaced:
        return Number(_plain(digits, spaced["mark"]), _mark(spaced["mark"]))
    if "," in digits and "." in digits:
        return _both(digits)
    return _one_kind(digits)


def _both(digits: str) -> Number | None:
    """Comma and point together: the later one is the decimal mark and stands once."""
    mark = max(",.", key=digits.rindex)
    whole, _, tail = digits.rpartition(mark)
    grouping = "." if mark == "," else ","
    if not tail.isdigit() or not _GROUPS[grouping].fullmatch(whole):
        return None
    return Number(_plain(digits, mark), _mark(mark))


def _one_kind(digits: str) -> Number | Ambiguous | None:
    """Only commas or only points."""
    simple = _SIMPLE.fullmatch(digits)
    if not simple:
        grouping = "," if "," in digits else "."
        return Number(_plain(digits, None), _other(grouping)) if _GROUPS[grouping].fullmatch(digits) else None
    mark = _mark(simple["mark"])
    could_group = len(simple["right"]) == 3 and 1 <= len(simple["left"]) <= 3 and simple["left"][0] != "0"  # noqa: PLR2004
    if could_group and mark:
        return Ambiguous(mark, _plain(digits, mark), _plain(digits, None))
    return Number(_plain(digits, mark), mark)


def _plain(digits: str, mark: str | None) -> Decimal:
    """Digits without grouping, the decimal mark as a point."""
    whole, _, tail = digits.rpartition(mark) if mark else (digits, "", "")
    ungrouped = re.sub(r"\D", "", whole) or "0"
    return Decimal(f"{ungrouped}.{tail}" if tail else ungrouped)


def _mark(text: str | None) -> Mark | None:
    """The decimal mark as a typed value."""
    if text == ",":
        return ","
    return "." if text == "." else None


def _other(grouping: str) -> Mark:
    """The decimal mark that goes with a grouping mark."""
    return "," if grouping == "." else "."


def shown_mark(texts: Iterable[str]) -> Mark | None:
    """The decimal mark that the texts of one column show; `None` where they show none or contradict one another.

    >>> shown_mark(["1,299", "12,50"]), shown_mark(["1,299"]), shown_mark(["12,50", "12.50"])
    (',', None, None)
    """
    marks = {
        written.number.mark
        for written in map(take_apart, texts)
        if written and isinstance(written.number, Number) and written.number.mark
    }
    return marks.pop() if len(marks) == 1 else None
