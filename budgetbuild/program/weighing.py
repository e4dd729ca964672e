"""What counts of the money when candidates are compared: not the price alone, where a margin or a discount is at stake.

A candidate may stand in for another only where that leaves every build no worse in score and money, whatever else is in
it. By the price alone, "no dearer" says so. Where a shop earns on what it sells, the dearer one may earn more; where a
bundle is sold at a price of its own, the dearer one leaves as much to pay and hides a greater discount.

Rounding: the price without tax is rounded line by line, so one product in the place of another moves a sum by up to a
cent more or less than the two differ on their own. What a candidate brings is therefore reckoned at its worst, and what
it takes from the one in whose place it stands at its best.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from budgetbuild.program.options import Option

Money = tuple[int, ...]
"""Figures of which less is better, in whole numbers."""


class Weighing(Protocol):
    """How candidates are compared."""

    def brings(self, option: Option) -> Money:
        """What a candidate comes to in the place of another, at its worst."""
        ...

    def takes(self, option: Option) -> Money:
        """What a candidate comes to where another stands in its place, at its best; never more than it brings."""
        ...
