"""Units in which a list may count what a product sheet counts in another."""

from __future__ import annotations

from fractions import Fraction

FACTORS: dict[tuple[str, str], Fraction] = {
    ("cm", "mm"): Fraction(10),
    ("m", "mm"): Fraction(1000),
    ("inch", "mm"): Fraction(254, 10),
    ("mm", "m"): Fraction(1, 1000),
    ("cm", "m"): Fraction(1, 100),
    ("foot", "m"): Fraction(3048, 10000),
    ("cm2", "m2"): Fraction(1, 10_000),
    ("cubic foot", "l"): Fraction(28_316_846_592, 1_000_000_000),
    ("kW", "W"): Fraction(1000),
    ("mA", "A"): Fraction(1, 1000),
}
"""What a number in the first unit is multiplied by to count in the second. An inch is 25.4 mm and a foot 0.3048 m
exactly (international yard and pound agreement, 1959); a cubic foot is the cube of that."""


def units_for(unit: str) -> list[str]:
    """Units from which a column's unit can be worked out.

    >>> units_for("m")
    ['mm', 'cm', 'foot']
    """
    return [source for source, target in FACTORS if target == unit]
