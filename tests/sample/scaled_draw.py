"""Random draws of one invented catalogue, all from one seeded source."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    import random
    from collections.abc import Sequence

Picked = TypeVar("Picked")

MARGIN_LEAST, MARGIN_MOST = 0.5, 0.72
"""Cost over the price without tax."""
TAX = 1.21


class Draw:
    """Draws of one catalogue."""

    def __init__(self, source: random.Random, brands: int) -> None:
        self._source = source
        self.brands = [f"House {number + 1:02d}" for number in range(brands)]
        self._worth = [source.gauss(0, 0.5) for _ in self.brands]  # ratings above what the brand's prices promise

    def chance(self, share: float) -> bool:
        """True in that share of the draws."""
        return self._source.random() < share

    def pick(self, values: Sequence[Picked]) -> Picked:
        """One of the values."""
        return values[int(self._source.random() * len(values))]

    def steps(self, low: float, high: float, step: float) -> float:
        """A multiple of `step` from `low` to `high`."""
        number = int(self._source.random() * (round((high - low) / step) + 1))
        return round(low + number * step, 2)

    def spread(self, share: float) -> float:
        """A factor around 1, seldom further from it than twice `share`."""
        return math.exp(self._source.gauss(0, share))

    def common(self, code: str, number: int, euros: float, usual: float) -> dict[str, Any]:
        """The columns of every product sheet: the rating rises with price over `usual`, ever slower, with noise."""
        brand = int(self._source.random() * len(self.brands))
        price = max(100, round(euros) * 100 - (5 if self.chance(0.3) else 0))
        rating = 5.6 + 1.8 * math.log(price / 100 / usual) + self._worth[brand] + self._source.gauss(0, 0.4)
        margin = MARGIN_LEAST + (MARGIN_MOST - MARGIN_LEAST) * self._source.random()
        return {
            "sku": f"{code}-{number + 1:06d}",
            "brand": self.brands[brand],
            "model": f"{code} {number + 1}",
            "price": price,
            "rating": round(min(max(rating, 1.0), 9.9), 1),
            "cost": round(price / TAX * margin),
            "stock": int(self._source.random() * 8),
        }
