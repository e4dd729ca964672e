"""Dominance: which candidates another makes superfluous, so that they never become a decision at all.

A candidate is superfluous where another one can stand in its place in every build, and the build is then better by
score, or cheaper, or equal in both and not later in SKU order. So no best build is ever lost, nor the answer to a tie.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import zip_longest
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from budgetbuild.program.options import Option

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Sequence

    from numpy.typing import ArrayLike, NDArray

    from budgetbuild.program.weighing import Weighing

T = TypeVar("T", bound=Option)

COMPARED_AT_ONCE = 1 << 16
"""Pairs of options: enough that Python hardly counts, few enough to stay in the processor's cache."""


@dataclass(frozen=True, slots=True)
class Sorts:
    """A property of options that has no order of its own, such as the load: which sort may stand in for which.

    Attributes:
        of: Sort of each option.
        stands_in: Shape (sorts, sorts): whether the first may stand in for the second; if it may, it may for
            whatever the second may.
    """

    of: NDArray[np.intp]
    stands_in: NDArray[np.bool_]


def undominated(
    options: Iterable[T],
    *,
    key: Callable[[T], Hashable] = lambda _: 0,
    worse: Callable[[T], Sequence[float]] = lambda _: (),
    weighing: Weighing | None = None,
) -> list[T]:
    """The options that no other of the same class makes superfluous, class by class, the cheapest first.

    Another makes an option superfluous where it is of the same class, no dearer, earns no fewer points, and is no
    greater in any figure of `worse`; of two that are equal in price and points the first in SKU order stays, unless
    the later one is less in some figure.

    Args:
        options: Candidates in any order.
        key: Everything else that a constraint can see of an option, beside the must-include terms it satisfies.
        worse: Further figures, of which less is better; as many for all of a class.
        weighing: What counts of the money instead of the price.
    """
    some = list(options)
    figures = np.array(list(zip_longest(*map(worse, some), fillvalue=0.0)), dtype=np.float64)
    return [some[i] for i in _unbeaten(some, -figures.T, (), key, weighing)]


def undominated_by_row(
    options: Sequence[T],
    rows: ArrayLike,
    *,
    key: Callable[[T], Hashable],
    sorts: Sequence[Sorts] = (),
    weighing: Weighing | None = None,
) -> list[int]:
    """Positions of the options that no other of the same class makes superfluous, ascending.

    Args:
        options: Candidates.
        rows: Figures of which more is better, one row for each option.
        key: As for `undominated`.
        sorts: Properties of which one option's must be able to stand in for the other's.
        weighing: As for `undominated`.
    """
    return sorted(_unbeaten(options, rows, sorts, key, weighing))


def _unbeaten(
    options: Sequence[T],
    better: ArrayLike,
    sorts: Sequence[Sorts],
    key: Callable[[T], Hashable],
    weighing: Weighing | None,
) -> list[int]:
    if len(options) < 2:  # noqa: PLR2004 - nothing to compare
        return list(range(len(options)))
    classes = numbered((option.tags, key(option)) for option in options)
    points = np.array([option.points for option in options])
    figures = np.column_stack([points, np.asarray(better, dtype=np.float64).reshape(len(options), -1)])
    if weighing is None:  # by price alone the order says all
        return peeled(_in_order(options, classes, [option.price for option in options]), classes, figures, sorts)
    brings = [weighing.brings(option) for option in options]
    order = _in_order(options, classes, [money[0] for money in brings])
    asked = np.column_stack([figures, -np.array([weighing.takes(option) for option in options])])
    return peeled(order, classes, np.column_stack([figures, -np.array(brings)]), sorts, asked)


def numbered(classes: Iterable[Hashable]) -> NDArray[np.intp]:
    """A number for each class, in the order in which they first come."""
    numbers: dict[Hashable, int] = {}
    return np.array([numbers.setdefault(one, len(numbers)) for one in classes], dtype=np.intp)


def _in_order(options: Sequence[Option], classes: NDArray[np.intp], money: Sequence[int]) -> NDArray[np.intp]:
    """Positions class by class; whoever can make an option superfluous comes before it."""
    points = np.array([option.points for option in options])
    order = np.lexsort((-points, np.array(money), classes))
    level = np.column_stack([classes, np.array(money), points])[order]
    ends = np.append(np.flatnonzero((level[1:] != level[:-1]).any(axis=1)) + 1, len(order))
    start = 0
    for end in ends.tolist():
        if end - start > 1:
            tied = sorted(order[start:end].tolist(), key=lambda i: (options[i].sku_order, i))
            order[start:end] = tied
        start = end
    return order


def peeled(
    order: NDArray[np.intp],
    classes: NDArray[np.intp],
    better: NDArray[np.float64],
    sorts: Sequence[Sorts] = (),
    asked: NDArray[np.float64] | None = None,
) -> list[int]:
    """Positions that stay, class by class in the order given.

    Each is compared with the first few of its class, in all classes at once; those that are compared with all that come
    before them are done, and the others are compared with the first few that are left. One that goes may still make
    others go: whatever made it superfluous makes them superfluous too.

    Args:
        order: Positions, those of a class together; whoever can make one superfluous comes before it.
        classes: Class of each option.
        better: What each option brings where it stands in for another; one row each, more is better.
        sorts: As for `undominated_by_row`.
        asked: What an option asks of another in its place, where that is not what it brings itself; never less.
    """
    asked = better if asked is None else asked
    left, stay = order, []
    while len(left):
        place = np.arange(len(left))
        first = np.maximum.accumulate(np.where(np.append(True, np.diff(classes[left])), place, 0))
        few = max(1, min(int((place - first).max()) + 1, COMPARED_AT_ONCE // len(left)))
        over = np.minimum(first + np.arange(few)[:, None], place)
        beaten = over < place
        for brought, wanted in zip(better.T, asked.T, strict=True):
            beaten &= brought[left[over]] >= wanted[left]
        for sort in sorts:
            beaten &= sort.stands_in[sort.of[left[over]], sort.of[left]]
        goes, done = beaten.any(axis=0), place - first < few
        stay.append(left[done & ~goes])
        left = left[~done & ~goes]
    place = np.empty(len(classes), dtype=np.intp)
    place[order] = np.arange(len(order))
    kept = np.concatenate(stay) if stay else order
    positions: list[int] = kept[np.argsort(place[kept])].tolist()
    return positions
