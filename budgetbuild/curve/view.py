"""What a build may choose from: columns of the program, with the one-brand wish settled beforehand.

One brand ties locations together, so each brand is a view of its own: where it is a must, columns of other brands are
out; where it is preferred, a view settles the brand of the front, adds its third to what shares it, and settles whether
every amplifier does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from budgetbuild.catalogue.kinds import Location, OneBrand
from budgetbuild.program.layout import Device
from budgetbuild.program.options import Sounder
from budgetbuild.trade import score

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from budgetbuild.program.layout import Layout


@dataclass(frozen=True, slots=True)
class View:
    """Columns that may be chosen.

    Attributes:
        allowed: By column.
        points: By column, whole thousandths, thirds for a shared brand included.
        bonus: Points that any external amplifier at all earns, once, in whole thousandths.
        fronted: Whether there must be front speakers.
        amplified: Whether there must be an external amplifier.
    """

    allowed: NDArray[np.bool_]
    points: NDArray[np.int64]
    bonus: int = 0
    fronted: bool = False
    amplified: bool = False


def views(layout: Layout) -> Iterator[View]:
    """Every way to settle the brand; together they hold every build."""
    points = np.array([column.points for column in layout.columns], dtype=np.int64)
    everything = np.ones(len(points), dtype=bool)
    wish = layout.candidates.offer.brief.one_brand
    if wish is OneBrand.NO:
        yield View(everything, points)
        return
    brands = np.array([_brand(layout, i) for i in range(len(points))], dtype=object)
    branded = np.array([brand is not None for brand in brands], dtype=bool)
    if wish is OneBrand.MUST:
        for brand in sorted(set(brands[branded]) or {""}):
            yield View(~branded | (brands == brand), points)
        return
    yield from _preferring(layout, brands, points)


def _preferring(layout: Layout, brands: NDArray[np.object_], points: NDArray[np.int64]) -> Iterator[View]:
    third = int(score.thousandths(layout.candidates.offer.catalogue.settings.limits.one_brand_points / 3))
    fronts = layout.place[Location.FRONT]
    behind = [*layout.place[Location.REAR], *layout.place[Location.BASS]]
    amplifiers = sorted({i for columns in layout.covering.values() for i in columns})
    without = np.ones(len(points), dtype=bool)
    without[fronts] = False
    yield View(without, points)
    for brand in sorted({brands[i] for i in fronts}):
        allowed = np.ones(len(points), dtype=bool)
        allowed[fronts] = brands[fronts] == brand
        sharing = points.copy()
        sharing[behind] += third * (brands[behind] == brand)
        yield View(allowed, sharing, fronted=True)
        alone = allowed.copy()
        alone[amplifiers] = brands[amplifiers] == brand
        if alone[amplifiers].any():
            yield View(alone, sharing, bonus=third, fronted=True, amplified=True)


def _brand(layout: Layout, i: int) -> str | None:
    """Brand of a column that the one-brand wish is about; `None` for all others."""
    option = layout.columns[i].option
    if isinstance(option, Sounder):
        return option.brand
    if isinstance(option, Device) and option.use:
        return option.use.brand
    return None
