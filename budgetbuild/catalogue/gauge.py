"""Wire gauges: the one rule that both the reader and the trade rules need."""

from __future__ import annotations

import math


def awg_area(awg: int) -> float:
    """Cross-section of an AWG size, in mm2: diameter 0.127 mm x 92^((36 - n)/39).

    >>> round(awg_area(4), 3), round(awg_area(0), 3), round(awg_area(-3), 3)
    (21.151, 53.475, 107.219)

    Args:
        awg: Size from -3 (4/0) to 36; 0 is 1/0, -1 is 2/0.

    Source: ASTM B258.
    """
    diameter_mm = 0.127 * math.pow(92, (36 - awg) / 39)
    return math.pi / 4 * diameter_mm * diameter_mm
