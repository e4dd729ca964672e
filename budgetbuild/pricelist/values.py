"""From a row of the list to the value of one cell of a product sheet: taken, translated, converted, never guessed."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from budgetbuild.catalogue.cells import RawValue, plain, shown
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.numbers import shown_mark
from budgetbuild.catalogue.parse import Value, parse_cell
from budgetbuild.catalogue.parse_numbers import CENT, MOST_MONEY, Hints, exact_number, peak_power, plain_decimal
from budgetbuild.catalogue.problems import Problem, wanted
from budgetbuild.catalogue.schema import NUMERIC, Kind
from budgetbuild.catalogue.units import PEAK
from budgetbuild.pricelist.flat import cell_of
from budgetbuild.pricelist.mapping import Prices, said
from budgetbuild.pricelist.units import FACTORS

if TYPE_CHECKING:
    from budgetbuild.catalogue.schema import Column
    from budgetbuild.pricelist.flat import Flat
    from budgetbuild.pricelist.mapping import Mapping, Take

_NUMBER = r"(?P<number>\d[\d.,]*(?<![.,]))"
# A number that hangs on a letter belongs to a model name; behind a dash, a stroke or another number it is the end of a
# range, the second of two ratings or the tail of 1 299. A count such as 2 x may stand in front of it, a dimension not.
_FREE = r"(?<![\w.,/+-])(?<!\d )(?<!/ )(?<!\d[xX\u00d7] )(?<!\d [xX\u00d7] )(?:\d ?[xX\u00d7] ?)?"
_WORDS_BEFORE = re.compile(r"(?:\w+[ .:(]{1,2}){1,2}$")
_WORDS_BEHIND = re.compile(r"[ (]{0,2}\w+")


@dataclass(frozen=True, slots=True)
class Found:
    """What the mapping takes from one row for one cell.

    Attributes:
        value: What the cell gets; `None` where nothing is known.
        problem: Why what stands there cannot be used.
        raw: What stands in the list.
    """

    value: Value | None
    problem: Problem | None
    raw: RawValue


class Reader:
    """Fills one column of a product sheet from the rows of a list."""

    def __init__(self, take: Take, column: Column, flat: Flat, mapping: Mapping) -> None:
        self.take = take
        self.column = column
        self.mapping = mapping
        self.words = dict(take.words)
        self.pattern = _pattern(take)
        self.number = flat.columns_named(take.column)[0] if take.column else 0
        mark = mapping.decimal_mark
        if mark is None and column.kind in NUMERIC and take.column:
            taken = (self._taken(cell_of(cells, self.number)) for _, cells in flat.rows)
            mark = shown_mark({cell for cell in taken if isinstance(cell, str)})
        self.hints = Hints(mark, mapping.currency)

    def read(self, cells: list[RawValue]) -> Found:
        """The value for one row."""
        raw = self.take.always if self.take.always is not None else cell_of(cells, self.number)
        taken = self._taken(raw)
        result = taken if isinstance(taken, Problem) else self._value(taken)
        return Found(None, result, raw) if isinstance(result, Problem) else Found(result, None, raw)

    def _taken(self, raw: RawValue) -> RawValue | Problem:
        """What of a cell counts."""
        if raw is None or not isinstance(raw, str | float):
            return raw
        if self.words and said(raw) in self.words:
            return self.words[said(raw)]
        if self.take.containing:
            return self._contained(said(raw))
        if self.take.before or self.take.after:
            return self._number_beside(raw)
        return raw

    def _contained(self, text: str) -> RawValue | Problem:
        """What the texts found in a cell mean, if they agree."""
        meanings = list(dict.fromkeys(meaning for found, meaning in self.take.containing if found in text))
        if len(meanings) > 1:
            listed = " and ".join(shown(meaning) for meaning in meanings)
            expected = f"{wanted(self.column)}; this says {listed}"
            return Problem("ambiguous-text", expected, "make the texts of the mapping more exact")
        return meanings[0] if meanings else None

    def _number_beside(self, raw: str | float) -> RawValue | Problem:
        """The number beside a word of a text; nothing where there is none."""
        text = plain(raw) if isinstance(raw, float) else raw
        found = {hit["number"]: hit for hit in self.pattern.finditer(text)}
        beside = self.take.before or self.take.after
        if len(found) > 1:
            mend = "make before or after more exact, or clear what does not count"
            expected = f"one number beside {beside}; this may be {' or '.join(found)}"
            return Problem("ambiguous-number", expected, mend)
        if self.column.unit == "W" and "rms" not in fold(beside) and any(map(_says_peak, found.values())):
            return peak_power(self.column)
        return next(iter(found), None)

    def _value(self, taken: RawValue) -> Value | Problem | None:
        """The value of what counts, in the column's unit and with tax."""
        if taken is None:
            return None
        if self.take.unit and self.take.unit != self.column.unit:
            return self._converted(taken)
        if _includes_tax(self.column) and self.mapping.prices is Prices.WITHOUT_TAX:
            return self._with_tax(taken)
        return parse_cell(taken, self.column, self.hints)

    def _converted(self, taken: RawValue) -> Value | Problem | None:
        """A number of another unit."""
        counted = replace(self.column, unit=self.take.unit, kind=Kind.NUMBER)
        number = exact_number(taken, counted, self.hints)
        if isinstance(number, Problem):
            return number
        factor = FACTORS[self.take.unit, self.column.unit]
        return parse_cell(float(number * factor.numerator / factor.denominator), self.column, self.hints)

    def _with_tax(self, taken: RawValue) -> Value | Problem | None:
        """A price with tax, rounded half up to a cent once, after the tax is added."""
        number = exact_number(taken, self.column, self.hints)
        if isinstance(number, Problem):
            return number
        if abs(number) > MOST_MONEY:  # out of range anyway, and too long to be rounded
            return parse_cell(plain_decimal(number), self.column, self.hints)
        gross = (number * (1 + (self.mapping.tax or Decimal(0)))).quantize(CENT, rounding=ROUND_HALF_UP)
        return parse_cell(str(gross), self.column, Hints(".", self.hints.currency))


def _includes_tax(column: Column) -> bool:
    """Whether a column holds amounts that a customer is charged; the shop's own cost is rounded and without tax."""
    return column.kind is Kind.MONEY and not column.rounded


def _pattern(take: Take) -> re.Pattern[str]:
    r"""Where a number stands right beside the word.

    >>> from budgetbuild.faults import Cell
    >>> from budgetbuild.pricelist.mapping import Take
    >>> pattern = _pattern(Take(at=Cell(), column="Text", before="mm"))
    >>> [hit["number"] for hit in pattern.finditer("XR165 coax 16,5 cm 130mm, 2 x 100 mm, 430 x 350 mm, 50-60 mm")]
    ['130', '100']
    """
    if take.before:
        return re.compile(rf"{_FREE}{_NUMBER}\s*{re.escape(take.before)}(?!\w)", re.IGNORECASE)
    return re.compile(rf"(?<!\w){re.escape(take.after)}\s*{_NUMBER}(?![\d/+-]| ?[xX\u00d7/] ?\d)", re.IGNORECASE)


def _says_peak(hit: re.Match[str]) -> bool:
    """Whether the words right around a number say that it is no continuous power."""
    before, behind = _WORDS_BEFORE.search(hit.string[: hit.start()]), _WORDS_BEHIND.match(hit.string, hit.end())
    return any(words and PEAK.search(words[0]) for words in (before, behind))
