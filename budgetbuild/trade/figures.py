"""Comparing and rounding figures, the same way in every trade rule.

Computed figures are binary fractions, so a figure that equals its limit on paper may miss it by the last bit.
Every comparison against a limit therefore allows `SLACK` in favour of what is allowed.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import lru_cache

SLACK = 1e-9
"""Share of the limit by which a computed figure may miss it and still count as meeting it."""


def at_most(figure: float, limit: float) -> bool:
    """Whether a figure is at most its limit, `SLACK` of the limit allowed.

    >>> at_most(0.1 + 0.2, 0.3), at_most(0.31, 0.3)
    (True, False)
    """
    return figure <= limit + SLACK * abs(limit)


def at_least(figure: float, limit: float) -> bool:
    """Whether a figure is at least its limit, `SLACK` of the limit allowed.

    >>> at_least(0.7 + 0.1, 0.8), at_least(0.79, 0.8)
    (True, False)
    """
    return figure >= limit - SLACK * abs(limit)


def same(first: float, second: float) -> bool:
    """Whether two figures are equal but for `SLACK`.

    >>> same(0.1 + 0.2, 0.3), same(165, 165.1)
    (True, False)
    """
    return math.isclose(first, second, rel_tol=SLACK)


@lru_cache(maxsize=4096)
def exact(number: float) -> Fraction:
    """A number as it was written down in decimals, so that whole units are counted without binary fractions.

    >>> exact(5.5) * 2 * (1 + exact(0.1))
    Fraction(121, 10)

    Raises:
        ValueError: The number is not finite.
    """
    return Fraction(repr(float(number)))


def half_up(number: Fraction) -> int:
    """The nearest whole number, halves upwards.

    >>> half_up(Fraction(5, 2)), half_up(Fraction(-5, 2)), half_up(Fraction(249, 100))
    (3, -2, 2)
    """
    return math.floor(number + Fraction(1, 2))
