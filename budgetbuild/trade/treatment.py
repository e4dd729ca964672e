"""Sound deadening: the area worth treating, and how many sheets make sense."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from budgetbuild.trade.figures import exact

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import Deadening
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Vehicle


def door_m2(vehicle: Vehicle, limits: Limits) -> float:
    """Area worth treating, in m2; an unknown one counts as 1.6 m2 unless the shop says otherwise.

    Source: common practice.
    """
    return limits.door_m2 if vehicle.door_m2 is None else vehicle.door_m2


def most_sheets(deadening: Deadening, door_m2: float) -> int:
    """Sheets that cover the whole area, the last one perhaps in part; more would earn nothing.

    >>> from budgetbuild.catalogue.items import Deadening
    >>> most_sheets(Deadening(sku="D", price=1, sheet_m2=0.7), 2.1)
    3

    Args:
        deadening: The product; its sheet more than 0 m2.
        door_m2: Area worth treating, in m2.
    """
    return math.ceil(exact(door_m2) / exact(deadening.sheet_m2))
