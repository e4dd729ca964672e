"""Dominance: which candidates another makes superfluous, so that they never become a decision at all.

A candidate is superfluous where another one can stand in its place in every build, and the build is then better by
score, or cheaper, or equal in both and not later in SKU order. So no best build is ever lost, nor the answer to a tie.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import numpy as np

from budgetbuild.program.options import Option

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Sequence

    from numpy.typing import ArrayLike

    from budgetbuild.program.weighing import Weighing

T = TypeVar("T", bound=Option)


def undominated(
    options: Iterable[T],
    *,
    key: Callable[[T], Hashable] = lambda _: 0,
    worse: Callable[[T], Sequence[float]] = lambda _: (),
    weighing: Weighing | None = None,
) -> list[T]:
    """The options that no other of the same class makes superfluous.

    Another makes an option superfluous where it is of the same class, no dearer, earns no fewer points, and is no
    greater in any figure of `worse`; of two that are equal in price and points the first in SKU order stays, unless
    the later one is less in some figure.

    Args:
        options: Candidates in any order.
        key: Everything else that a constraint can see of an option, beside the must-include terms it satisfies.
        worse: Further figures, of which less is better.
        weighing: What counts of the money instead of the price.
    """
    classes: dict[Hashable, list[T]] = {}
    for option in options:
        classes.setdefault((option.tags, key(option)), []).append(option)
    return [
        members[i]
        for members in classes.values()
        for i in _sweep(members, [[-figure for figure in worse(option)] for option in members], weighing)
    ]


def undominated_by_row(
    options: Sequence[T], rows: ArrayLike, *, key: Callable[[T], Hashable], weighing: Weighing | None = None
) -> list[int]:
    """Positions of the options that no other of the same class makes superfluous.

    Args:
        options: Candidates.
        rows: Figures of which more is better, one row for each option.
        key: As for `undominated`.
        weighing: As for `undominated`.
    """
    figures = np.asarray(rows)
    classes: dict[Hashable, list[int]] = {}
    for i, option in enumerate(options):
        classes.setdefault((option.tags, key(option)), []).append(i)
    kept = (
        members[i]
        for members in classes.values()
        for i in _sweep([options[m] for m in members], figures[members], weighing)
    )
    return sorted(kept)


def _sweep(options: Sequence[Option], better: ArrayLike, weighing: Weighing | None) -> list[int]:
    """Positions that stay. Whoever can make an option superfluous comes before it in this order."""
    if len(options) == 1:
        return [0]
    figures = np.asarray(better).reshape(len(options), -1)
    points = np.array([option.points for option in options])
    money = [(option.price,) for option in options] if weighing is None else [weighing.brings(o) for o in options]
    order = sorted(range(len(options)), key=lambda i: (money[i][0], -options[i].points, options[i].sku_order, i))
    offered, asked = figures, figures
    if weighing is not None:  # by price alone the order says all
        offered = np.column_stack([figures, -np.array(money)])
        asked = np.column_stack([figures, -np.array([weighing.takes(option) for option in options])])
    stay: list[int] = []
    stay_figures = np.empty_like(offered)
    stay_points = np.empty_like(points)
    for i in order:
        count = len(stay)
        beaten = stay_points[:count] >= points[i]
        if beaten.any() and (stay_figures[:count][beaten] >= asked[i]).all(axis=1).any():
            continue
        stay_figures[count], stay_points[count] = offered[i], points[i]
        stay.append(i)
    return stay
