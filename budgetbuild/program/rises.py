"""Prices that may rise: by how much, and which candidates still stand in for others where they do.

Under a budget that must hold even if some prices rise, "no dearer" is not enough: a candidate stands in for another
only where it is no dearer and its products' rises, greatest first, are each no greater than the other's. However many
prices rise, the sum of the greatest rises is then no greater. A candidate of certain price always passes that, so
certain products go on standing in for each other and for uncertain ones.

One product may stand elsewhere in the same build already, and all its pieces rise together: a second pair of speakers
at half the rise of what it replaces may be the worse for it. So what a candidate brings is reckoned as if it stood in
every place where it can.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import Role

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.program.options import Option
    from budgetbuild.program.weighing import Money

PLACES = {Role.FRONT: 2, Role.REAR: 2, Role.AMPLIFIER: 2, Role.POWER_KIT: 3}
"""In how many places of a build a product of these roles can stand: a pair of speakers at front and rear, two
amplifiers, and a kit at each of them and at a powered subwoofer. Any other product has one role and one place."""
BY_THE_PIECE = frozenset({Role.SIGNAL_LEAD, Role.SPEAKER_CABLE})
"""Roles in which any number of pieces may stand elsewhere: an uncertain one never stands in for another."""
MOST_RISES = 4
"""Rises of one candidate that are compared; of sets with more uncertain products none stands in for another."""
NEVER = 10**12
"""Cents that no product rises by."""


def price_ranges(catalogue: Catalogue) -> dict[str, int]:
    """By how much one piece of each product may become dearer, in cents, by SKU; those of certain price left out."""
    return {product.sku: product.rise for product in catalogue.products() if product.rise}


@dataclass(frozen=True)
class ByRises:
    """How candidates are compared where prices may rise, see `Weighing`; `ranges` as of `price_ranges`."""

    ranges: Mapping[str, int]

    def brings(self, option: Option) -> Money:
        """Price and rises, greatest first, as if each product stood wherever it can."""
        rises = [
            NEVER if part.role in BY_THE_PIECE else self.ranges[part.sku] * part.quantity * PLACES.get(part.role, 1)
            for part in option.parts
            if part.sku in self.ranges
        ]
        return option.price, *_greatest(rises if len(rises) <= MOST_RISES else [NEVER] * MOST_RISES)

    def takes(self, option: Option) -> Money:
        """Price and rises, greatest first, as they stand."""
        rises = [self.ranges[part.sku] * part.quantity for part in option.parts if part.sku in self.ranges]
        return option.price, *_greatest(rises)


def _greatest(rises: list[int]) -> list[int]:
    """The greatest ones, none left out being 0."""
    return sorted([*rises, *[0] * MOST_RISES], reverse=True)[:MOST_RISES]
