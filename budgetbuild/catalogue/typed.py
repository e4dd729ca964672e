"""Numbers typed for a quote, read as the cells that they stand for: budget, allowance, pre-out pairs."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, cast

from budgetbuild.catalogue.cells import tidy
from budgetbuild.catalogue.columns import SHEETS
from budgetbuild.catalogue.numbers import Ambiguous, take_apart
from budgetbuild.catalogue.parse import Value, parse_cell
from budgetbuild.catalogue.parse_numbers import Hints, plain_decimal
from budgetbuild.catalogue.problems import Problem, wanted
from budgetbuild.faults import Cell, Fault

if TYPE_CHECKING:
    from decimal import Decimal

    from budgetbuild.catalogue.schema import Column

_COLUMNS = {(sheet.field, column.field): column for sheet in SHEETS for column in sheet.columns}
_EXAMPLES = {"budget": "such as 1450 or 1450.50", "allowance": "such as 1 or 2.5", "own_preout_pairs": "such as 2"}


def typed_budget(text: str, currency: str) -> int | Fault:
    """A budget in whole cents.

    A comma before three digits separates thousands, as in every amount that this tool writes; a point alone may be
    meant either way and is asked about.

    >>> typed_budget("1,450", "EUR"), typed_budget("€ 1.450,00", "EUR"), typed_budget("1450.5 eur", "EUR")
    (145000, 145000, 145050)
    >>> print(typed_budget("1.450", "EUR").mend)
    write 1450 or 1.45
    """
    return cast("int | Fault", _typed("--budget", text, ("tiers", "budget"), currency))


def typed_allowance(text: str) -> Fraction | Fault:
    """An allowance in percent, as a share.

    >>> typed_allowance("2.5 %"), typed_allowance("-1").code
    (Fraction(1, 40), 'out-of-range')
    """
    percent = _typed("--allowance", text, ("tiers", "allowance"))
    return percent if isinstance(percent, Fault) else Fraction(cast("Decimal", percent)) / 100


def typed_pairs(text: str) -> int | Fault:
    """Pre-out pairs of the customer's own head unit.

    >>> typed_pairs("2"), typed_pairs("two").code
    (2, 'not-a-number')
    """
    return cast("int | Fault", _typed("--own-head-unit", text, ("briefs", "own_preout_pairs")))


def _typed(option: str, text: str, field: tuple[str, str], currency: str = "") -> Value | Fault:
    """The value of an option, or what is wrong with it."""
    column = _COLUMNS[field]
    value = tidy(text) or ""
    result = parse_cell(value or None, column, Hints("." if "," in value else None, currency))
    if result is None:
        return Fault(Cell(option), "missing-value", "nothing", wanted(column), f"give it, {_EXAMPLES[column.field]}")
    if not isinstance(result, Problem):
        return result
    return Fault(Cell(option), result.code, f'"{value}"', result.expected, _mend(result, value, column))


def _mend(problem: Problem, value: str, column: Column) -> str:
    """How to put it right on a command line."""
    written = take_apart(value)
    if problem.code == "ambiguous-number" and written and isinstance(written.number, Ambiguous):
        readings = (written.number.grouped, written.number.decimal)
        return f"write {' or '.join(plain_decimal(reading.normalize()) for reading in readings)}"
    if problem.code in {"not-a-number", "out-of-range"}:
        return f"write the number alone, {_EXAMPLES[column.field]}"
    return problem.mend
