"""Wire gauges, as far as two columns for one fact must agree."""

from __future__ import annotations

import math


def awg_area(awg: int) -> float:
    """Area of a solid wire of a gauge in mm2; 0 is 1/0, -1 is 2/0 and so on.

    Source: ASTM B258: diameter 0.127 mm x 92 ** ((36 - n) / 39).

    >>> round(awg_area(4), 2), round(awg_area(0), 2)
    (21.15, 53.48)
    """
    diameter_mm = 0.127 * 92 ** ((36 - awg) / 39)
    return float(math.pi / 4 * diameter_mm**2)
