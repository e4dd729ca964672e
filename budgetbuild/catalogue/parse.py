"""From what stands in a cell to the value of its column: pure, one function per kind of column."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from budgetbuild.catalogue.cells import (
    DateValue,
    ErrorValue,
    Formatted,
    NoStoredValue,
    RawValue,
    plain,
    shown_digits,
)
from budgetbuild.catalogue.parse_numbers import Hints, parse_number
from budgetbuild.catalogue.problems import SAVE_ONCE, Problem, did_you_mean, wanted
from budgetbuild.catalogue.schema import NUMERIC, Column, Kind, key
from budgetbuild.catalogue.units import CURRENCY_MARKS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

Value = str | int | float | bool | StrEnum | tuple[str, ...] | Decimal
"""What a sound cell gives; see `parse_number` for the numeric kinds."""

YES = frozenset({"yes", "y", "true", "1", "\u2713", "\u2714"})
NO = frozenset({"no", "n", "false", "0", "\u2717", "\u2718"})
LONGEST_TEXT = 500
LONGEST_PROSE = 4000
DIGITS_KEPT = 1e15
"""A spreadsheet keeps 15 digits of a number; the rest of a longer article number is lost."""
SHOWN_WITH_EXPONENT = 12
"""From how many digits on a spreadsheet shows a number as 1.23E+12 by itself."""
DIGITS_OF_EXPONENT = 6
_SCIENTIFIC = re.compile(r"\d(?:[.,]\d+)?e\+\d+|\d[.,]\d+e\d+", re.IGNORECASE)
_AUGHT = re.compile(r"([1-4])/0")
_GAUGE_WORDS = re.compile(r"awg|gauge|ga\b|#", re.IGNORECASE)


def parse_cell(value: RawValue, column: Column, hints: Hints) -> Value | Problem | None:
    """The value of a cell; `None` where it is blank, a `Problem` where it cannot be used."""
    if value is None:
        return None
    if isinstance(value, ErrorValue):
        return Problem("error-cell", wanted(column), "mend the formula, or type the value")
    if isinstance(value, NoStoredValue):
        return Problem("formula-without-value", wanted(column), SAVE_ONCE)
    if column.kind in NUMERIC:
        return parse_number(value, column, hints)
    number = value.number if isinstance(value, Formatted) else value
    if isinstance(number, float) and not math.isfinite(number):
        return Problem("not-a-number", wanted(column), "type what belongs here")
    return _PARSERS[column.kind](value, column)


def is_plain_text(texts: Iterable[str], column: Column) -> bool:
    """Whether every text of a column of texts is its own value."""
    most = LONGEST_PROSE if column.kind is Kind.PROSE else LONGEST_TEXT
    different = set(texts)
    return max(map(len, different), default=0) <= most and not (
        column.kind is Kind.SKU and any(map(_SCIENTIFIC.fullmatch, different))
    )


def _text(value: RawValue, column: Column) -> str | Problem:
    """Any text; numbers as typed, with the leading zeros that their format shows."""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return plain(value)
    if isinstance(value, Formatted):
        return shown_digits(value.number, value.code) or plain(value.number)
    text = value.text if isinstance(value, DateValue) else str(value)
    most = LONGEST_PROSE if column.kind is Kind.PROSE else LONGEST_TEXT
    if len(text) > most:
        return Problem("too-long", f"at most {most} characters", f"shorten the {column.header}")
    return text


def _sku(value: RawValue, column: Column) -> str | Problem:
    """An article number, digit for digit."""
    as_text = "format the column as text and type the SKU again"
    if isinstance(value, DateValue):
        return Problem("date-for-sku", wanted(column), f"{as_text}; it was turned into a date")
    if isinstance(value, bool):
        return Problem("not-a-sku", wanted(column), as_text)
    number = value.number if isinstance(value, Formatted) else value
    if isinstance(number, float) and not _keeps_digits(number):
        return Problem("sku-lost-digits", "a SKU as text", f"{as_text}; as a number it has lost digits")
    if isinstance(value, Formatted) and shown_digits(value.number, value.code) is None:
        return Problem("sku-number-format", "a SKU as text", as_text)
    if isinstance(value, str) and _SCIENTIFIC.fullmatch(value):
        return Problem("sku-lost-digits", "a SKU, not scientific notation", as_text)
    return _text(value, column)


def _keeps_digits(number: float) -> bool:
    """Whether a number stands for its digits; a long one that ends in zeros was typed with an exponent."""
    if number % 1 or not 0 <= number < DIGITS_KEPT:
        return False
    digits = plain(number)
    return len(digits) < SHOWN_WITH_EXPONENT or len(digits.rstrip("0")) > DIGITS_OF_EXPONENT


def _yes_no(value: RawValue, column: Column) -> bool | Problem:
    """Yes or no in the usual spellings."""
    word = plain(value) if isinstance(value, float) else str(value).casefold()
    if word in YES or word in NO:
        return word in YES
    return Problem("not-yes-no", wanted(column), "write yes or no")


def _choice(value: RawValue, column: Column) -> StrEnum | Problem:
    """One word of the column's list."""
    word = plain(value) if isinstance(value, float) else str(value)
    known = {key(choice): choice for choice in column.choices} | {key(word): choice for word, choice in column.synonyms}
    found = known.get(key(word))
    if found is not None:
        return found
    return Problem("unknown-choice", wanted(column), did_you_mean(word, column.choices))


def _names(value: RawValue, column: Column) -> tuple[str, ...] | Problem:
    """Names separated by semicolons."""
    text = _text(value, column)
    if isinstance(text, Problem):
        return text
    meant = {key(word): name for word, name in column.stand_ins}
    return tuple(name for name in (meant.get(key(part), part.strip()) for part in text.split(";")) if name)


def _awg(value: RawValue, column: Column) -> int | Problem:
    """A wire gauge; 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3."""
    if isinstance(value, DateValue):
        return Problem(
            "date-for-awg",
            wanted(column),
            "format the column as text and type the gauge again; it was turned into a date",
        )
    gauge = "".join(_GAUGE_WORDS.sub("", str(_text(value, column))).split())
    aught = _AUGHT.fullmatch(gauge)
    if aught:
        return 1 - int(aught[1])
    if gauge in {"0", "00", "000", "0000"}:
        return 1 - len(gauge)
    if gauge.isascii() and gauge.isdigit() and 1 <= int(gauge) <= int(column.high or 40):
        return int(gauge)
    return Problem("not-a-gauge", wanted(column), "write the gauge, such as 8, 4 or 1/0")


def _currency(value: RawValue, column: Column) -> str | Problem:
    """A currency code, or a mark that stands for one currency only."""
    word = str(value)
    if len(word) == 3 and word.isascii() and word.isalpha():  # noqa: PLR2004 - ISO 4217
        return word.upper()
    meant = CURRENCY_MARKS.get(word.casefold(), frozenset())
    return next(iter(meant)) if len(meant) == 1 else Problem("not-a-currency", wanted(column), "write it like EUR")


def _locale(value: RawValue, column: Column) -> str | Problem:
    """A locale whose formats are known, as in `en_GB`."""
    # Imported here: most catalogues state none, and its data take a while to load.
    from babel import Locale, UnknownLocaleError  # noqa: PLC0415

    try:
        found = Locale.parse(str(value).strip().replace("-", "_"), resolve_likely_subtags=False)
    except (UnknownLocaleError, ValueError):
        return Problem("not-a-locale", wanted(column), "write it like en_GB, de_DE or nl_NL")
    return str(found)


def _date(value: RawValue, column: Column) -> str | Problem:
    """A date as ISO text, or text as it stands."""
    if isinstance(value, DateValue):
        return value.text
    if isinstance(value, str):
        return value
    return Problem("not-a-date", wanted(column), "format the cell as a date")


_PARSERS: dict[Kind, Callable[[RawValue, Column], Value | Problem]] = {
    Kind.TEXT: _text,
    Kind.PROSE: _text,
    Kind.SKU: _sku,
    Kind.YES_NO: _yes_no,
    Kind.CHOICE: _choice,
    Kind.NAMES: _names,
    Kind.AWG: _awg,
    Kind.CURRENCY: _currency,
    Kind.LOCALE: _locale,
    Kind.DATE: _date,
}
