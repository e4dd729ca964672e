"""The `Weights` sheet: points of the parts of the score."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from budgetbuild.catalogue.shop import Weights
from budgetbuild.catalogue.shop_sheets import Part

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.catalogue.rows import Row

DEFAULT_POINTS: dict[Part, float] = {Part(name): points for name, points in asdict(Weights()).items()}
"""Points of each part where the sheet does not list it."""
WHOLE_SCORE = 100.0


def build_weights(rows: Iterable[Row]) -> Weights:
    """The points of every part, those that the sheet changes and the defaults of the others."""
    changed = {str(row.get("part")): float(row.get("points")) for row in rows}
    return Weights(**changed)
