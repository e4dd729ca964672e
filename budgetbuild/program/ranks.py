"""What decides between builds of equal score, price and parts; knows no solver."""

from __future__ import annotations

import math

from budgetbuild.program.layout import Device
from budgetbuild.program.options import Option, Sounder

Rank = tuple[float, int]
"""Load in ohm (infinite where a column has none), position of the column."""


def bridged(option: Option) -> int:
    """Locations that an option serves bridged."""
    return option.use.bridged if isinstance(option, Device) and option.use else 0


def load_rank(option: Option | None, i: int) -> Rank:
    """What comes first where even the parts are equal: the lowest load, then whatever stands first."""
    return (option.load.ohm if isinstance(option, Sounder) and option.load else math.inf), i
