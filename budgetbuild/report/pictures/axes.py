"""Axes with round ticks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

STEPS = (1, 2, 5)


@dataclass(frozen=True, slots=True)
class Axis:
    """A straight scale from 0: what `most` stands for lies at `end`, 0 at `start`, both in user units.

    Attributes:
        step: Distance between ticks: 1, 2 or 5 times a power of ten.
    """

    start: float
    end: float
    most: int
    step: int

    def at(self, value: float) -> float:
        """Where a value lies."""
        return self.start + (self.end - self.start) * value / self.most

    @property
    def ticks(self) -> tuple[int, ...]:
        """Values at which ticks stand, 0 first."""
        return tuple(range(0, self.most + 1, self.step))


def round_step(most: int, count: int) -> int:
    """The least round distance at which no more than `count` ticks lie between 0 and a value, 0 itself left out.

    >>> round_step(465000, 6), round_step(94880, 6), round_step(1, 6)
    (100000, 20000, 1)
    """
    power = 1
    while True:
        for factor in STEPS:
            if most <= factor * power * count:
                return factor * power
        power *= 10


def least_tick(values: Sequence[int], count: int) -> int:
    """The round figure at or below the least value, where an axis of at most `count` steps begins.

    >>> least_tick([12345, 20000], 6), least_tick([7], 6)
    (12000, 7)
    """
    step = round_step(max(max(values) - min(values), 1), count)
    return min(values) // step * step


def axis(start: float, end: float, most: int, count: int) -> Axis:
    """An axis that ends at the first tick that is not below `most`; 1 or more.

    >>> axis(0, 500, 465000, 6)
    Axis(start=0, end=500, most=500000, step=100000)
    """
    step = round_step(max(most, 1), count)
    return Axis(start, end, -(-max(most, 1) // step) * step, step)
