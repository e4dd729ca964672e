"""The score: points of each part, rounded half up to whole thousandths, and the match factor.

The score is the shop's own judgement (ratings) tempered by how well power, load and treatment fit; its weights are
common practice, open to change by the shop, and rest on no standard.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal, overload

import numpy as np

from budgetbuild.catalogue.kinds import Location

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from budgetbuild.catalogue.shop import Weights

CONVERTER_FACTOR = 0.6
"""Share of a converter's rating that counts where the factory head unit stays: it improves the output, not the unit."""

_TIE_GUARD = 1e-9
"""Thousandths added before rounding, so that a half that a binary fraction holds just below still rounds up."""

_MATCH_FROM, _MATCH_HALF = 0.25, 1.5
"""Power ratios at which the match factor leaves 0, and at which it has fallen to 0.5."""

_SHARES: dict[str, dict[Location, tuple[int, int]]] = {
    "amplification": {Location.FRONT: (6, 12), Location.REAR: (1, 12), Location.BASS: (5, 12)},
    "match": {Location.FRONT: (5, 10), Location.REAR: (1, 10), Location.BASS: (4, 10)},
}


@overload
def match_factor(ratio: float, full: float = 0.8, until: float = 1.25) -> float: ...
@overload
def match_factor(ratio: NDArray[np.float64], full: float = 0.8, until: float = 1.25) -> NDArray[np.float64]: ...
def match_factor(
    ratio: float | NDArray[np.float64], full: float = 0.8, until: float = 1.25
) -> float | NDArray[np.float64]:
    """How well amplifier power suits a speaker, 0 to 1, from their ratio.

    0 at 0.25, straight to 1 at `full`, 1 up to `until`, straight down through 0.5 at 1.5 to 0 (at 1.75 for an `until`
    of 1.25); 0 outside.

    >>> [match_factor(ratio) for ratio in (0.2, 0.25, 0.8, 1.25, 1.5, 2.0)]
    [0.0, 0.0, 1.0, 1.0, 0.5, 0.0]

    Args:
        ratio: Amplifier power over speaker RMS; a number or an array, and the answer is the same kind.
        full: Ratio from which the match is full, more than 0.25.
        until: Ratio up to which it is full, from `full` to less than 1.5.

    Raises:
        ValueError: The two are out of range or order.

    Source: common practice.
    """
    if not _MATCH_FROM < full <= until < _MATCH_HALF:
        raise ValueError(f"full match from {full} to {until}: not in order between {_MATCH_FROM} and {_MATCH_HALF}")
    factors = np.interp(ratio, (_MATCH_FROM, full, until, 2 * _MATCH_HALF - until), (0.0, 1.0, 1.0, 0.0))
    return factors if isinstance(ratio, np.ndarray) else float(factors)


@overload
def thousandths(points: float) -> int: ...
@overload
def thousandths(points: NDArray[np.float64]) -> NDArray[np.int64]: ...
def thousandths(points: float | NDArray[np.float64]) -> int | NDArray[np.int64]:
    """Points in whole thousandths, rounded half up; a number or an array, and the answer is the same kind.

    >>> thousandths(1.0005), thousandths(20 * 8.7 / 10), thousandths(0.0)
    (1001, 17400, 0)
    """
    raised = points * 1000 + 0.5 + _TIE_GUARD
    return np.floor(raised).astype(np.int64) if isinstance(raised, np.ndarray) else math.floor(raised)


def rating_points(weight: float, rating: float) -> int:
    """Points that a rating of 0 to 10 earns of a weight, in whole thousandths.

    >>> rating_points(25, 8.5)
    21250
    """
    return thousandths(weight * rating / 10)


def share(weights: Weights, part: Literal["amplification", "match"], location: Location) -> float:
    """Points available at one location; a shop's own weight keeps the proportions between the locations.

    >>> from budgetbuild.catalogue.shop import Weights
    >>> share(Weights(), "amplification", Location.BASS), share(Weights(match=20), "match", Location.FRONT)
    (5.0, 10.0)
    """
    numerator, denominator = _SHARES[part][location]
    return getattr(weights, part) * numerator / denominator  # type: ignore[no-any-return]


def coverage(area_m2: float, door_m2: float) -> float:
    """Share of the area worth treating that is treated, 0 to 1.

    >>> coverage(0.8, 1.6), coverage(2.0, 1.6)
    (0.5, 1.0)

    Args:
        area_m2: Area of the sheets bought, 0 or more.
        door_m2: Area worth treating, more than 0.

    Raises:
        ZeroDivisionError: `door_m2` is 0.
    """
    return min(1.0, area_m2 / door_m2)
