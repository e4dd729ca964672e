"""Cells that hold a number: money, quantities with a unit, whole numbers, shares and percentages."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from budgetbuild.catalogue.cells import DateValue, Formatted, RawValue, is_percent, plain, words_of
from budgetbuild.catalogue.numbers import Ambiguous, Mark, Written, take_apart
from budgetbuild.catalogue.problems import Problem, measure, wanted
from budgetbuild.catalogue.schema import Column, Kind
from budgetbuild.catalogue.units import PEAK, is_any_currency, is_unit, marks_currency
from budgetbuild.faults import Severity

CENT = Decimal("0.01")
NOTHING_KNOWN = frozenset(
    {"-", "--", "\u2013", "\u2014", "?", "n/a", "na", "n.a.", "nan", "none", "null", "nil", "tba", "tbc", "tbd"}
)
"""What is typed where a number is not known; a blank cell says it without doubt."""
ARITHMETIC_NOISE = Decimal("0.000001")
"""How far binary arithmetic in a spreadsheet may push a price off a whole cent."""
MOST_MONEY = Decimal(10_000_000)
HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class Hints:
    """What the rest of the workbook says about a column: its decimal mark, and the shop's currency."""

    mark: Mark | None = None
    currency: str = "EUR"


def parse_number(value: RawValue, column: Column, hints: Hints) -> int | float | Decimal | Problem:
    """The number in a filled cell of a numeric column.

    Returns:
        Whole cents (`MONEY`), an int (`WHOLE`), a float (`NUMBER`), an exact share of one (`SHARE`) or percent
        (`PERCENT`) as a `Decimal`; a `Problem` where the cell holds none.
    """
    number = exact_number(value, column, hints)
    if isinstance(number, Problem):
        return number
    outside = _outside(number, column) or _unclear_percent(number, value, column)
    if outside:
        return outside
    return _typed(number, column, is_float=not isinstance(value, str))


def exact_number(value: RawValue, column: Column, hints: Hints) -> Decimal | Problem:
    """The number in the column's own measure, exact as it stands, whatever its range and its decimals."""
    if isinstance(value, float):
        return _finite(value, column)
    if isinstance(value, str):
        return _from_text(value, column, hints)
    if isinstance(value, Formatted):
        return _from_format(value, column, hints)
    if isinstance(value, DateValue):
        return Problem(
            "date-for-number",
            wanted(column),
            "format the cell as a number and type the value again; it was turned into a date",
        )
    return Problem("not-a-number", wanted(column), "type the number")


def _finite(value: float, column: Column) -> Decimal | Problem:
    """A number as the sheet stores it."""
    number = Decimal(repr(value))
    return number if number.is_finite() else Problem("not-a-number", wanted(column), "type the number")


def _from_format(value: Formatted, column: Column, hints: Hints) -> Decimal | Problem:
    """A number whose format shows a percent sign or words beside it."""
    number = _finite(value.number, column)
    if isinstance(number, Problem):
        return number
    if is_percent(value.code):
        if column.kind is Kind.PERCENT:
            return number * HUNDRED
        return number if column.kind is Kind.SHARE else _wrong_unit("%", column)
    return _beside("", number, words_of(value.code), column, hints)


def _from_text(text: str, column: Column, hints: Hints) -> Decimal | Problem:
    """A number typed as text."""
    if column.unit == "W" and PEAK.search(text):
        return peak_power(column)
    written = take_apart(text)
    if written is None:
        return Problem("not-a-number", wanted(column), _clear_or_type(text, column))
    number = written.number
    if isinstance(number, Ambiguous):
        if hints.mark is None:
            return _ambiguous(written, number, column)
        return _beside(written.before, number.settled(hints.mark), written.after, column, hints)
    return _beside(written.before, number.value, written.after, column, hints)


def peak_power(column: Column) -> Problem:
    """A power that is not continuous RMS: it never gives a value, and stops the run where one is required."""
    severity = Severity.FAULT if column.required else Severity.WARNING
    return Problem(
        "peak-power",
        f"continuous RMS power in {column.unit}",
        "replace it by the RMS rating; maximum and peak power are never used",
        severity,
    )


def _ambiguous(written: Written, number: Ambiguous, column: Column) -> Problem:
    """Both readings of an ambiguous number, the way to write either."""
    beside = written.after or column.unit
    readings = f"{plain_decimal(number.grouped)} or {plain_decimal(number.decimal)}"
    return Problem(
        "ambiguous-number",
        f"{wanted(column)}; this may be {readings}{beside and f' {beside}'}",
        f"type {plain_decimal(number.grouped)} or {plain_decimal(number.decimal)} as a number, not as text",
    )


def plain_decimal(number: Decimal) -> str:
    """A decimal without exponent, keeping its digits.

    >>> plain_decimal(Decimal("1299")), plain_decimal(Decimal("1.299"))
    ('1299', '1.299')
    """
    return f"{number:f}"


def _beside(before: str, number: Decimal, after: str, column: Column, hints: Hints) -> Decimal | Problem:
    """The number, if what stands beside it is the column's unit or currency, or nothing."""
    if column.kind is Kind.MONEY:
        return _money_beside([mark for mark in (before, after) if mark], number, column, hints)
    if before:
        return Problem("not-a-number", wanted(column), _type_it(column))
    if after == "%" and column.kind in {Kind.PERCENT, Kind.SHARE}:
        return number if column.kind is Kind.PERCENT else number / HUNDRED
    if after and not is_unit(after, column.unit):
        return _wrong_unit(after, column)
    return number


def _money_beside(marks: list[str], number: Decimal, column: Column, hints: Hints) -> Decimal | Problem:
    """An amount, if what stands beside it is the shop's own currency."""
    strange = [mark for mark in marks if not marks_currency(mark, hints.currency)]
    if not strange:
        return number
    if is_any_currency(strange[0]):
        return Problem(
            "wrong-currency",
            f"an amount in {hints.currency}",
            f"write the price in {hints.currency}, or change the currency code in Settings",
        )
    return Problem("not-a-number", f"an amount in {hints.currency}", _type_it(column))


def _wrong_unit(found: str, column: Column) -> Problem:
    """A number in another unit than the column's."""
    return Problem(
        "wrong-unit",
        wanted(column),
        f"convert it to a number{measure(column)}; {found} is not what this column holds",
    )


def _clear_or_type(text: str, column: Column) -> str:
    """How to mend a text that holds no number."""
    if text.casefold() in NOTHING_KNOWN and not column.required:
        return f"clear the cell{f', which means {column.blank}' if column.blank else ' where nothing is known'}"
    return _type_it(column)


def _type_it(column: Column) -> str:
    """How to write a number of the column."""
    return f"type the number alone{measure(column) and f',{measure(column)}'}"


def is_in_range(number: Decimal | float, column: Column) -> bool:
    """Whether a number lies in the column's range; a float is compared as `repr` writes it."""
    exact = number if isinstance(number, Decimal) else Decimal(repr(number))
    high = column.high if column.kind is not Kind.MONEY or column.high is not None else MOST_MONEY
    low = column.low if column.low is not None or column.kind is not Kind.MONEY else 0
    too_low = (column.positive and exact <= 0) or (low is not None and exact < Decimal(str(low)))
    return not too_low and (high is None or exact <= Decimal(str(high)))


def _outside(number: Decimal, column: Column) -> Problem | None:
    """A number outside the column's range."""
    if is_in_range(number, column):
        return None
    mend = "write a percentage with its sign, such as 5 %, or 0.05" if column.kind is Kind.SHARE else "correct it"
    return Problem("out-of-range", wanted(column), mend)


def _unclear_percent(number: Decimal, value: RawValue, column: Column) -> Problem | None:
    """A bare number in a percent column that is so small that a share may be meant: 0.01 for 1 %."""
    bare = isinstance(value, float) or (isinstance(value, str) and "%" not in value)
    if not bare or not 0 < number < Decimal(str(column.percent_from)):
        return None
    percent, share = plain_decimal(number), f"{(number * HUNDRED).normalize():f}"
    return Problem(
        "ambiguous-percent",
        f"{wanted(column)}; this may be {percent} % or {share} %",
        f"write {share} % or {percent} %, with the sign",
    )


def _typed(number: Decimal, column: Column, *, is_float: bool) -> int | float | Decimal | Problem:
    """The number as the type that its kind is held in."""
    if column.kind is Kind.MONEY:
        return _cents(number, HUNDRED if column.rounded else ARITHMETIC_NOISE if is_float else Decimal(0))
    if column.kind is Kind.WHOLE:
        whole = int(number)
        return whole if whole == number else Problem("not-whole", wanted(column), "type a whole number")
    return float(number) if column.kind is Kind.NUMBER else number


def _cents(amount: Decimal, slack: Decimal) -> int | Problem:
    """Whole cents; no more than the slack is rounded away."""
    nearest = amount.quantize(CENT, rounding=ROUND_HALF_UP)
    if abs(amount - nearest) > slack:
        return Problem(
            "too-many-decimals",
            "an amount with at most two decimals",
            f"round it yourself, such as {plain(float(nearest))}",
        )
    return int(nearest * HUNDRED)
