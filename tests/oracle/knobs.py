"""What a profile of random catalogues turns up or down."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

SMALL = {
    "head_units": 4, "speakers": 6, "subwoofers": 5, "boxes": 3, "amplifiers": 5, "power_kits": 5, "signal_leads": 4,
    "speaker_cables": 4,
}  # fmt: skip
FOUR, MONO, FIVE, SIX, TWO = (4, False), (0, True), (4, True), (6, False), (2, False)
"""Full-range channels, and whether there is a sub channel of its own."""
Weighted = tuple[int, int, int]
"""How often required, optional, none."""


@dataclass(frozen=True, slots=True)
class Knobs:
    """Shares are between 0 and 1; `wants` are front, rear, bass, amplifier, deadening."""

    modes: tuple[str, ...] = ("replace", "replace", "keep factory", "keep own")
    wants: tuple[Weighted, ...] = ((7, 3, 1), (2, 5, 2), (3, 5, 2), (2, 6, 1), (2, 6, 2))
    amplifiers: tuple[tuple[int, bool], ...] = (FOUR, FOUR, MONO, FIVE, SIX, TWO)
    bass_types: tuple[str, ...] = ("enclosure", "driver", "driver", "powered")
    one_brand: tuple[str, ...] = ("no", "no", "no", "prefer")
    brands: int = 3
    twins: float = 0.1
    inactive: float = 0.03
    unknown: float = 0.25
    unfused: float = 0.25
    digital: float = 0.4
    converter_kits: float = 0.5
    fitted: float = 0.3
    must: float = 0.15
    leave_out: float = 0.15
    sizes: bool = True
    odd_loads: bool = False
    house_rules: float = 0.0
    counts: Mapping[str, int] = field(default_factory=lambda: SMALL)


_PLAIN = Knobs()
_WANTED: tuple[Weighted, ...] = ((9, 1, 0), (4, 5, 1), (8, 2, 0), (5, 5, 0), (1, 8, 1))
_FULL = Knobs(wants=_WANTED, inactive=0.0)
PROFILES: Mapping[str, Knobs] = {
    "plain": _PLAIN,
    "replaced": replace(_FULL, modes=("replace",), digital=0.7, sizes=False),
    "factory": replace(_PLAIN, modes=("keep factory",), converter_kits=0.8),
    "own": replace(_PLAIN, modes=("keep own",)),
    "two amplifiers": replace(
        _FULL, amplifiers=(FOUR, MONO, MONO, TWO), bass_types=("enclosure", "driver"), sizes=False
    ),
    "five channels": replace(_FULL, amplifiers=(FIVE, FIVE, FOUR), bass_types=("enclosure", "driver")),
    "six channels": replace(_FULL, amplifiers=(SIX, SIX, TWO), bass_types=("enclosure", "driver"), sizes=False),
    "bridged": replace(_FULL, amplifiers=(FOUR, TWO, SIX), modes=("replace", "keep own"), sizes=False),
    "no fuse ratings": replace(_FULL, unfused=1.0, sizes=False),
    "drivers": replace(_FULL, bass_types=("driver",), amplifiers=(MONO, FOUR, FIVE), unknown=0.6),
    "powered": replace(_FULL, bass_types=("powered", "powered", "driver"), unknown=0.5),
    "unknown": replace(_FULL, unknown=0.9),
    "sizes": replace(_FULL, unknown=0.0),
    "fitted": replace(_FULL, fitted=1.0, sizes=False),
    "one brand preferred": replace(_FULL, one_brand=("prefer",), brands=2, sizes=False),
    "one brand": replace(_FULL, one_brand=("must",), brands=2, sizes=False),
    "terms": replace(_PLAIN, must=0.9, leave_out=0.6, brands=4),
    "twins": replace(_FULL, twins=0.6, sizes=False),
    "odd loads": replace(_FULL, odd_loads=True, sizes=False),
    "internal only": replace(_PLAIN, wants=((8, 2, 0), (5, 5, 0), (0, 4, 6), (0, 0, 1), (2, 6, 2))),
    "house rules": replace(_FULL, house_rules=1.0, sizes=False),
    "impossible": _PLAIN,
}
