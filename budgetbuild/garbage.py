"""How seldom Python looks for garbage: the same in every process of the tool."""

from __future__ import annotations

import gc


def collect_seldom() -> None:
    """Whole curves are millions of small values without circles; looking for circles took a sixth of the time."""
    gc.set_threshold(100_000, 50, 100)
