"""Cells that hold a number: money, quantities with a unit, whole numbers, shares and percentages."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from budgetbuild.catalogue.cells import DateValue, Formatted, RawValue, is_percent, plain, words_of
from budgetbuild.catalogue.numbers import Ambiguous, Mark, Written, take_apart
from budgetbuild.catalogue.problems import Problem, wanted
from budgetbuild.catalogue.schema import Column, Kind
from budgetbuild.catalogue.units import PEAK, is_any_currency, is_unit, marks_currency
from budgetbuild.faults import Severity

CENT = Decimal("0.01")
ARITHMETIC_NOISE = Decimal("0.000001")
"""How far binary arithmetic in a spreadsheet may push a price off a whole cent."""
MOST_MONEY = Decimal(10_000_000)
HUNDRED = 100


@dataclass(frozen=True, slots=True)
class Hints:
    """What the rest of the workbook says about a column: its decimal mark, and the shop's currency."""

    mark: Mark | None = None
    currency: str = "EUR"


NO_HINTS = Hints()


def parse_number(value: RawValue, column: Column, hints: Hints) -> int | float | Decimal | Problem:
    """The number in a filled cell of a numeric column.

    Returns:
        Whole cents (`MONEY`), an int (`WHOLE`), a float (`NUMBER`), an exact share of one (`SHARE`) or percent
        (`PERCENT`) as a `Decimal`; a `Problem` where the cell holds none.
    """
    number = _decimal(value, column, hints)
    if isinstance(number, Problem):
        return number
    outside = _outside(number, column)
    if outside:
        return outside
    return _typed(number, column, is_float=not isinstance(value, str))


def _decimal(value: RawValue, column: Column, hints: Hints) -> Decimal | Problem:
    """The number in the column's own measure, exact as it stands."""
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
        return Problem("not-a-number", wanted(column), _type_it(column))
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
        f"type {plain_decimal(number.grouped)} without grouping, or write more or fewer decimals",
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
        f"convert it{f' to {column.unit}' if column.unit else ''}; {found} is not what this column holds",
    )


def _type_it(column: Column) -> str:
    """How to write a number of the column."""
    return f"type the number alone{f', in {column.unit}' if column.unit else ''}"


def _outside(number: Decimal, column: Column) -> Problem | None:
    """A number outside the column's range."""
    high = column.high if column.kind is not Kind.MONEY or column.high is not None else MOST_MONEY
    low = column.low if column.low is not None or column.kind is not Kind.MONEY else 0
    too_low = (column.positive and number <= 0) or (low is not None and number < Decimal(str(low)))
    if not too_low and (high is None or number <= Decimal(str(high))):
        return None
    mend = "write a percentage with its sign, such as 5 %, or 0.05" if column.kind is Kind.SHARE else "correct it"
    return Problem("out-of-range", wanted(column), mend)


def _typed(number: Decimal, column: Column, *, is_float: bool) -> int | float | Decimal | Problem:
    """The number as the type that its kind is held in."""
    if column.kind is Kind.MONEY:
        return _cents(number, is_float=is_float)
    if column.kind is Kind.WHOLE:
        whole = int(number)
        return whole if whole == number else Problem("not-whole", wanted(column), "type a whole number")
    return float(number) if column.kind is Kind.NUMBER else number


def _cents(amount: Decimal, *, is_float: bool) -> int | Problem:
    """Whole cents; only the noise of spreadsheet arithmetic is rounded away, never money."""
    nearest = amount.quantize(CENT, rounding=ROUND_HALF_UP)
    if abs(amount - nearest) > (ARITHMETIC_NOISE if is_float else 0):
        return Problem(
            "too-many-decimals",
            "an amount with at most two decimals",
            f"round it yourself, such as {plain(float(nearest))}",
        )
    return int(nearest * HUNDRED)
