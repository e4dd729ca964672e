"""Lists of undominated choices: every one is dearer and scores higher than the one before.

A label is a partial build: what it costs, what it scores, and which speaker cable it will need (its class). All three
stand in one whole number, `code = class x CLASS + price x POINT - points`, so that joining two partial builds is one
addition, and sorting the codes sorts by class, then price, then falling points.

Labels that are equal in all three are ties: the one that comes first in the order of builds stays. That order adds up
(see `order.Order`), so a partial build that comes later never belongs to a build that comes first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

Trace = Callable[[int], tuple[int, ...]]
"""The columns that a label chooses, by its position."""

CODE_BITS = 62


@dataclass(frozen=True, slots=True)
class Scale:
    """How price, points and class share a code.

    Attributes:
        point_bits: Room for the points of a whole build, in whole thousandths.
        class_bits: Room for the class.
    """

    point_bits: int
    class_bits: int

    @property
    def price_unit(self) -> int:
        """Code of one cent."""
        return 1 << self.point_bits

    @property
    def class_unit(self) -> int:
        """Code of one class."""
        return 1 << (CODE_BITS - self.class_bits)

    @property
    def most_price(self) -> int:
        """Highest price of a whole build that a code can hold, in cents."""
        return (1 << (CODE_BITS - self.class_bits - self.point_bits)) - 1

    def code(self, price: NDArray[np.int64], points: NDArray[np.int64]) -> NDArray[np.int64]:
        """Codes of class 0."""
        return price * self.price_unit - points

    def classes(self, codes: NDArray[np.int64]) -> NDArray[np.int64]:
        """Class of each code."""
        return (codes + self.price_unit - 1) >> (CODE_BITS - self.class_bits)

    def prices(self, codes: NDArray[np.int64]) -> NDArray[np.int64]:
        """Price of each code of class 0, in cents."""
        return (codes + self.price_unit - 1) >> self.point_bits

    def points(self, codes: NDArray[np.int64]) -> NDArray[np.int64]:
        """Points of each code, in whole thousandths."""
        return -codes & (self.price_unit - 1)


@dataclass(frozen=True, slots=True)
class Labels:
    """Undominated partial builds in ascending order of their codes.

    Attributes:
        codes: See above.
        columns: What each of them chooses.
    """

    codes: NDArray[np.int64]
    columns: Trace

    def __len__(self) -> int:
        """How many."""
        return len(self.codes)


def _no_columns(_: int) -> tuple[int, ...]:
    return ()


NOTHING = Labels(np.zeros(1, dtype=np.int64), _no_columns)
"""The empty partial build."""

NONE = Labels(np.zeros(0, dtype=np.int64), _no_columns)
"""No partial build at all."""


class Accumulated(NamedTuple):
    """One of several lists, and all before it.

    Attributes:
        all: One choice out of them.
        news: Those of them that are its own: what those before it do not make superfluous.
    """

    all: Labels
    news: Labels


@dataclass(frozen=True, slots=True)
class Merger:
    """Joins and unites labels.

    Attributes:
        rank: Place of a partial build in the order of builds, by its columns; the greatest comes first.
        cap: Labels that cost more, in cents, are left out; `None` = none are.
    """

    scale: Scale
    rank: Callable[[Sequence[int]], int]
    cap: int | None = None

    def leaf(self, codes: NDArray[np.int64], columns: Sequence[int]) -> Labels:
        """Labels of single columns."""

        def single(i: int) -> tuple[int, ...]:
            return (columns[i],)

        return Labels(codes, single) if len(codes) == 1 else self._undominated(codes, single)

    def joined(self, left: Labels, right: Labels) -> Labels:
        """Every choice of the one with every choice of the other."""
        if right is NOTHING or not len(left):
            return left
        if left is NOTHING or not len(right):
            return right
        width = len(right)

        def columns(i: int) -> tuple[int, ...]:
            return left.columns(i // width) + right.columns(i % width)

        codes = (left.codes[:, None] + right.codes[None, :]).ravel()
        if width == 1 or len(left) == 1:  # a constant more on each: nothing new is dominated
            return Labels(codes, columns)
        return self._undominated(codes, columns)

    def united(self, some: Sequence[Labels]) -> Labels:
        """One choice out of all of them."""
        filled = [labels for labels in some if len(labels)]
        if len(filled) < 2:  # noqa: PLR2004 - nothing to unite
            return filled[0] if filled else NONE
        return self._undominated(np.concatenate([labels.codes for labels in filled]), _one_after_the_other(filled))

    def accumulated(self, some: Sequence[Labels]) -> list[Accumulated]:
        """For each of them one choice out of it and all before it."""
        codes = np.concatenate([NONE.codes, *(labels.codes for labels in some)])
        columns = _one_after_the_other(some)
        found, start, kept = [], 0, np.zeros(0, dtype=np.intp)
        for labels in some:
            kept = np.append(kept, np.arange(start, start + len(labels)))
            # Picked out of all, not out of what was picked before: hundreds of steps would make a way too deep to walk.
            kept = kept[self._chosen(codes[kept], _picked(columns, kept))]
            news = kept[kept >= start]
            found.append(Accumulated(*(Labels(codes[i], _picked(columns, i)) for i in (kept, news))))
            start += len(labels)
        return found

    def of_class(self, labels: Labels, number: int) -> Labels:
        """The labels of one class, as class 0."""
        low, high = np.searchsorted(self.scale.classes(labels.codes), [number, number + 1])
        unit = self.scale.class_unit
        return Labels(labels.codes[low:high] - number * unit, lambda i: labels.columns(i + int(low)))

    def _undominated(self, codes: NDArray[np.int64], columns: Trace) -> Labels:
        chosen = self._chosen(codes, columns)
        return Labels(codes[chosen], _picked(columns, chosen))

    def _chosen(self, codes: NDArray[np.int64], columns: Trace) -> NDArray[np.intp]:
        """Positions of the undominated, in ascending order of codes."""
        order = np.argsort(codes, kind="stable") if self.cap is None else self._within(codes, self.cap)
        ordered = codes[order]
        # Within a class, each label that stays scores higher than all before it; a higher class outweighs all points.
        height = self.scale.classes(ordered) * self.scale.price_unit + self.scale.points(ordered)
        before = np.maximum.accumulate(height)
        stay = np.flatnonzero(np.concatenate([[True], height[1:] > before[:-1]])) if len(height) else order
        chosen = order[stay]
        after = np.append(ordered[1:], ordered[-1:] + 1)
        for place in np.flatnonzero(after[stay] == ordered[stay]):
            first = stay[place]
            ties = order[first : np.searchsorted(ordered, ordered[first], side="right")]
            chosen[place] = max(ties.tolist(), key=lambda i: self.rank(columns(i)))
        return chosen

    def _within(self, codes: NDArray[np.int64], cap: int) -> NDArray[np.intp]:
        """Positions of the codes within a cap in cents, in ascending order of codes."""
        prices = self.scale.prices(codes - self.scale.classes(codes) * self.scale.class_unit)
        within = np.flatnonzero(prices <= cap)
        return within[np.argsort(codes[within], kind="stable")]


def _one_after_the_other(some: Sequence[Labels]) -> Trace:
    ends = np.cumsum([len(labels) for labels in some])

    def columns(i: int) -> tuple[int, ...]:
        which = int(np.searchsorted(ends, i, side="right"))
        return some[which].columns(i - int(ends[which]) + len(some[which]))

    return columns


def _picked(columns: Trace, chosen: NDArray[np.intp]) -> Trace:
    return lambda i: columns(int(chosen[i]))
