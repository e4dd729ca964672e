"""Ratings from specifications: an additive value function over the columns of a product sheet, reckoned exactly.

What a product earns on each criterion is added up; ten times that, over the most that all criteria could earn, is its
rating. A number earns in a straight line from the worst value (nothing) to the best (everything) and is clipped
outside; a word earns what the shop gives it, and nothing where the shop gives it nothing.

Source: R. L. Keeney and H. Raiffa, Decisions with Multiple Objectives, Wiley 1976: the additive value function, which
holds where the worth of one property does not hang on the others (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import NOWHERE
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.faults import Cell

CellValue = float | bool | str
"""What a cell holds for a criterion: a number in the column's unit, yes or no, or words."""

BEST_RATING = 10
STEPS = 100
"""Steps of a reckoned rating between two whole ones: it has two decimals, as one that is typed may have."""


@dataclass(frozen=True, slots=True)
class Word:
    """What one word, yes or no, or one certain number in a cell earns, in points."""

    value: CellValue
    points: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """What one column of a product sheet earns towards a rating.

    Attributes:
        at: Where the shop says so: its first row in the `Points` sheet.
        sheet: Field of `Catalogue` that holds the products.
        title: Name of their sheet in the workbook.
        column: Header of the column, as it stands in that sheet.
        field: The product's attribute that the column fills; empty for a column of the shop's own.
        unit: Unit of the column's numbers, or empty.
        worst: The number that earns nothing; `None` where words earn.
        best: The number that earns everything, above or below the worst.
        words: What each word earns; empty where numbers earn by worst and best.
        most: Most points that it can earn, more than 0.
    """

    at: Cell = NOWHERE
    sheet: str
    title: str
    column: str
    field: str = ""
    unit: str = ""
    worst: Fraction | None = None
    best: Fraction | None = None
    words: tuple[Word, ...] = ()
    most: Fraction

    def earns(self, value: CellValue) -> Fraction:
        """Points that a cell earns, 0 to `most`.

        >>> depth = Criterion(sheet="", title="", column="", worst=Fraction(80), best=Fraction(40), most=Fraction(3))
        >>> [str(depth.earns(value)) for value in (90.0, 80.0, 50.0, 40.0, 20.0)]
        ['0', '0', '9/4', '3', '3']
        """
        if self.worst is not None and self.best is not None:
            return self.most * share(known(value), self.worst, self.best)
        return next((word.points for word in self.words if same(word.value, value)), Fraction(0))


@dataclass(frozen=True, slots=True)
class Earned:
    """What a product's cell earned on a criterion."""

    criterion: Criterion
    value: CellValue
    points: Fraction


def known(value: CellValue) -> Fraction:
    """The number in a cell, exactly as its decimals say.

    Raises:
        TypeError: The cell holds no number.

    >>> known(0.1)
    Fraction(1, 10)
    """
    if isinstance(value, bool | str):
        raise TypeError(f"{value!r} is no number")
    return Fraction(repr(float(value)))


def same(one: CellValue, other: CellValue) -> bool:
    """Whether two cells hold the same: words whatever their case and spaces, numbers and yes or no as they are.

    >>> same("Class  D", "class d"), same(4, 4.0), same(True, 1), same("4", 4)
    (True, True, False, False)
    """
    if isinstance(one, str) and isinstance(other, str):
        return fold(one) == fold(other)
    return isinstance(one, bool) == isinstance(other, bool) and one == other


def share(value: Fraction, worst: Fraction, best: Fraction) -> Fraction:
    """How far a value lies on the way from the worst to the best, 0 to 1, clipped outside.

    >>> share(Fraction(90), Fraction(86), Fraction(94)), share(Fraction(3), Fraction(16), Fraction(2))
    (Fraction(1, 2), Fraction(13, 14))

    Raises:
        ZeroDivisionError: Worst and best are equal.
    """
    return min(Fraction(1), max(Fraction(0), (value - worst) / (best - worst)))


def rating_of(earned: Iterable[Earned]) -> Fraction:
    """The rating that products earn, 0 to 10, rounded half up to two decimals.

    Raises:
        ZeroDivisionError: There is no criterion.
    """
    found = tuple(earned)
    most = sum((one.criterion.most for one in found), Fraction(0))
    return rounded(BEST_RATING * sum((one.points for one in found), Fraction(0)) / most)


def rounded(rating: Fraction) -> Fraction:
    """A rating with two decimals, half up.

    >>> [float(rounded(Fraction(text))) for text in ("1.125", "6.6649", "10")]
    [1.13, 6.66, 10.0]
    """
    return Fraction(math.floor(rating * STEPS + Fraction(1, 2)), STEPS)
