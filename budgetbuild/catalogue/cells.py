"""What may stand in a cell, whichever reader read it."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from budgetbuild.catalogue.names import visible


@dataclass(frozen=True, slots=True)
class ErrorValue:
    """An error that the spreadsheet program shows, such as `#N/A`."""

    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class NoStoredValue:
    """A formula saved without its result."""

    def __str__(self) -> str:
        return "a formula without a stored value"


@dataclass(frozen=True, slots=True)
class DateValue:
    """A date, a time or both, as ISO text."""

    text: str

    def __str__(self) -> str:
        return f"the date {self.text}"


@dataclass(frozen=True, slots=True)
class Formatted:
    """A number whose number format says more than the number: leading zeros, a percent sign, powers of ten or words."""

    number: float
    code: str

    def __str__(self) -> str:
        return f"{plain(self.number)} formatted {self.code}"


RawValue = str | float | bool | ErrorValue | NoStoredValue | DateValue | Formatted | None
"""`None` is a blank cell; every number is a float; text has no spaces around it and is not empty."""

_QUOTED = re.compile(r'"([^"]*)"|\\(.)')
_CURRENCY = re.compile(r"\[\$[^\]]*\]")
_POWER = re.compile(r"[0#?]E[+-]0", re.IGNORECASE)
_SPACER = re.compile(r"_.|\*.|\[[^\]]*\]")
_CUSTOM = re.compile(r"0[0 .,/#-]*")


def telling(code: str) -> bool:
    """Whether a number format says more than the number it shows.

    >>> [telling(code) for code in ("00000", "0%", '0.0" cm"', "0.00E+00")]
    [True, True, True, True]
    >>> [telling(code) for code in ("General", "0.00", "#,##0.00", '[$€-407] 0.00', "[$EUR] 0.00")]
    [False, False, False, False, False]
    """
    positive = code.partition(";")[0]
    return positive.startswith("00") or "%" in positive or bool(_POWER.search(positive)) or bool(words_of(code))


def is_percent(code: str) -> bool:
    """Whether a number format shows a share as a percentage.

    >>> is_percent("0.0%"), is_percent('0" %"')
    (True, False)
    """
    return "%" in _QUOTED.sub("", code)


def words_of(code: str) -> str:
    r"""Words that a number format puts beside the number.

    >>> words_of('0.0" cm"'), words_of("0.00"), words_of(r"0\ \W")
    ('cm', '', 'W')
    """
    positive = _CURRENCY.sub("", code.partition(";")[0])
    return "".join(quoted or escaped for quoted, escaped in _QUOTED.findall(positive)).strip()


def shown_digits(number: float, code: str) -> str | None:
    """A whole number as its number format of zeros and literals shows it; `None` where the format does more.

    >>> shown_digits(123, "00000"), shown_digits(1234, "000-000"), shown_digits(7, '"SP-"000')
    ('00123', '001-234', 'SP-007')
    >>> shown_digits(7, "0.00") is None
    True
    """
    template = _QUOTED.sub(lambda match: match[0] if "0" in match[0] else match[1] or match[2], _SPACER.sub("", code))
    if number % 1 or number < 0 or not re.fullmatch(r"[^#?.,;%\"\\]*0[^#?.,;%\"\\]*", template):
        return None
    digits, first, shown = str(int(number)), template.index("0"), []
    for position in range(len(template) - 1, -1, -1):
        if template[position] != "0":
            shown.append(template[position])
            continue
        taken, digits = (digits, "") if position == first else (digits[-1:] or "0", digits[:-1])
        shown.append(taken or "0")
    return "".join(reversed(shown))


def tidy(text: str) -> str | None:
    r"""Text with plain single spaces and nothing invisible; `None` where nothing is left.

    >>> tidy(" 12\u00a0mm\ufeff "), tidy("\u00a0") is None
    ('12 mm', True)
    """
    return visible(text) or None


def plain(number: float) -> str:
    """A number as one would type it; what stands for no number in a file is said to be none.

    >>> plain(165.0), plain(16.5), plain(float("nan"))
    ('165', '16.5', 'no number')
    """
    if not math.isfinite(number):
        return "no number"
    return str(int(number)) if number % 1 == 0 else repr(number)


def shown(value: RawValue) -> str:
    """What stands in the cell, for a message."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return plain(value)
    return f'"{value}"' if isinstance(value, str) else str(value)
