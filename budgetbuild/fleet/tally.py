"""How a fleet came out, brief by brief and tier by tier: what an owner looks at first."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.fleet.rows import LEFT_OUT

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.fleet.rows import Row


@dataclass(slots=True)
class Tally:
    """The vehicles of one brief and tier.

    Attributes:
        scores: In thousandths of a point, of the vehicles that have a system; `totals` in cents.
        too_dear: Vehicles whose cheapest system costs more than the cap.
        never: Vehicles that have no system at any price.
        left_out: Vehicles of which it was not asked.
    """

    scores: list[int] = field(default_factory=list)
    totals: list[int] = field(default_factory=list)
    too_dear: int = 0
    never: int = 0
    left_out: int = 0

    @property
    def lacking(self) -> int:
        """Vehicles without a system."""
        return self.too_dear + self.never + self.left_out

    def count(self, row: Row) -> None:
        """Add a vehicle."""
        if row["score_thousandths"] is not None and row["total_cents"] is not None:
            self.scores.append(row["score_thousandths"])
            self.totals.append(row["total_cents"])
        elif row["status"] == LEFT_OUT:
            self.left_out += 1
        elif row["least_total_cents"] is None:
            self.never += 1
        else:
            self.too_dear += 1


def tallies(rows: Iterable[Row]) -> dict[tuple[str, str], Tally]:
    """Tallies by the names of tier and brief, in the order of the rows."""
    found: dict[tuple[str, str], Tally] = {}
    for row in rows:
        found.setdefault((row["tier"], row["brief"]), Tally()).count(row)
    return found
