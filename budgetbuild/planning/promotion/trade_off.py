"""What the customer's score costs the shop: every bundle that nothing beats in both score and margin."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.advice.changes import step
from budgetbuild.build import BundleChoice, Status, TradeOff
from budgetbuild.program.promotion import MARGIN

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.planning.promotion.decide import Decided, Desk
    from budgetbuild.planning.promotion.terms import Terms

CLOSE = 100
"""So many choices are found one after the other, with nothing in between: whole lists of the sample have some 50."""

WIDE = 8
"""So many more, at most, in even steps up to the best margin, where that is not all."""


def trade_off(desk: Desk, terms: Terms, stock: Mapping[str, int], first: Decided) -> TradeOff:
    """The choices from the best score down to the best margin.

    Of all bundles that earn at least a cent more than the last choice, the one of the highest score, and of those the
    one of the highest margin, is the next: nothing that earns more scores more, nothing in between is undominated. It
    ends where nothing earns more. A long list goes on in larger steps, which is told.

    Args:
        desk: Where each choice is decided.
        terms: The promotion; its margin counts.
        stock: What the other promotions leave.
        first: Its bundle of the highest score, proven.
    """
    choices, last = [_choice(first, first)], first
    while len(choices) < CLOSE:
        last = desk.best(terms, stock, least_margin=_margin(last) + 1)
        if last.status is not Status.OPTIMAL:
            return TradeOff(tuple(choices), len(choices), stopped=last.status is Status.TIME_LIMIT)
        choices.append(_choice(last, first))
    return _widely(desk, terms, stock, choices, first)


def _widely(
    desk: Desk, terms: Terms, stock: Mapping[str, int], choices: list[BundleChoice], first: Decided
) -> TradeOff:
    """The same in even steps up to the best margin."""
    close, highest = len(choices), desk.best(terms, stock, first=MARGIN)
    if highest.status is not Status.OPTIMAL:
        return TradeOff(tuple(choices), close, stopped=True)
    reached, most = choices[-1].sale.margin or 0, _margin(highest)
    apart = max(1, math.ceil(Fraction(most - reached, WIDE)))
    while reached < most:
        last = highest if reached + apart >= most else desk.best(terms, stock, least_margin=reached + apart)
        if last.status is not Status.OPTIMAL:
            return TradeOff(tuple(choices), close, apart, stopped=True)
        choices.append(_choice(last, first))
        reached = _margin(last)
    return TradeOff(tuple(choices), close, apart)


def _choice(decided: Decided, first: Decided) -> BundleChoice:
    if decided.audited is None or decided.sale is None or first.audited is None:
        raise ValueError("a choice without a bundle")
    return BundleChoice(decided.audited, decided.sale, step(first.audited, decided.audited))


def _margin(decided: Decided) -> int:
    if decided.sale is None or decided.sale.margin is None:
        raise ValueError("a choice without a margin")
    return decided.sale.margin
