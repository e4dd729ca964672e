"""Money in whole cents: labour, tax, margin. Rates are exact fractions; no float ever carries a price."""

from __future__ import annotations

from fractions import Fraction

from budgetbuild.trade.figures import half_up


def labour_price(hours: Fraction, rate: int, quantity: Fraction = Fraction(1)) -> int:
    """Price of fitting work in cents, tax included: hours x rate x quantity, rounded once, half up.

    >>> labour_price(Fraction(3, 2), 6500), labour_price(Fraction(1, 3), 1000), labour_price(Fraction(1, 8), 100)
    (9750, 333, 13)

    Args:
        hours: Hours of the work, 0 or more.
        rate: Cents per hour, tax included.
        quantity: How often it is done; square metres for deadening.
    """
    return half_up(hours * rate * quantity)


def without_tax(gross: int, tax_rate: Fraction) -> int:
    """A price without tax in cents, rounded half up.

    >>> without_tax(12300, Fraction(23, 100))
    10000

    Args:
        gross: Cents, tax included.
        tax_rate: Tax as a share of the net price, more than -1.
    """
    whole = tax_rate.denominator + tax_rate.numerator
    return (2 * gross * tax_rate.denominator + whole) // (2 * whole)  # half up, in whole numbers


def margin(net: int, cost: int) -> int:
    """What is left of a price without tax after its cost, in cents; negative at a loss.

    >>> margin(10000, 6500)
    3500
    """
    return net - cost


def margin_share(net: int, cost: int) -> Fraction | None:
    """Margin as a share of the price without tax; `None` where that price is 0.

    >>> margin_share(10000, 6500)
    Fraction(7, 20)
    """
    return Fraction(net - cost, net) if net else None
