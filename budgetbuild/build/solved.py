"""What a brief and a budget come to: a build, or why there is none, and the builds of every budget."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.alternatives import Advice, Relief, VersionAlert
    from budgetbuild.build.audited import Audited, Caution
    from budgetbuild.build.covered import Covered, Shortfall
    from budgetbuild.catalogue.shop import Brief, Tier, Vehicle


class Status(StrEnum):
    """How a build ended."""

    OPTIMAL = "optimal"
    INFEASIBLE = "infeasible"
    TIME_LIMIT = "time limit"


@dataclass(frozen=True, slots=True)
class NoBuild:
    """Why no build is possible.

    Attributes:
        least_total: Price of the cheapest system that meets the brief, in cents; `None` where none does at any price.
        obstacles: Codes of what stands in the way before any money is counted, with their subject.
        reliefs: Requirements which, taken away one at a time, make a build possible or cheaper.
        shortfall: Of a brief for several vehicles, how many of them some system covers, and which stand in the way.
    """

    least_total: int | None
    obstacles: tuple[Caution, ...] = ()
    reliefs: tuple[Relief, ...] = ()
    shortfall: Shortfall | None = None


@dataclass(frozen=True, slots=True)
class Build:
    """One tier and brief, solved.

    Attributes:
        score: Whole thousandths of a point; `None` where there is no system.
        bound: Proven upper bound of the score in whole thousandths; equals `score` where optimal.
        seconds: Time spent solving, never written to a file.
        vehicle: Of a brief for several, the one covered where the system costs most.
        covered: Of a brief for several vehicles, the system in each of them; `audited` is that of `vehicle`.
    """

    tier: Tier
    brief: Brief
    vehicle: Vehicle
    status: Status
    bound: int | None = None
    audited: Audited | None = None
    no_build: NoBuild | None = None
    solver: str = ""
    seconds: float = field(default=0.0, compare=False)
    advice: Advice | None = None
    versions: tuple[VersionAlert, ...] = ()
    covered: Covered | None = None

    @property
    def score(self) -> int | None:
        """Score in whole thousandths of a point; over several vehicles the lowest."""
        if self.covered:
            return self.covered.score
        return self.audited.score if self.audited else None

    @property
    def total(self) -> int | None:
        """Price in whole cents."""
        return self.audited.total if self.audited else None


@dataclass(frozen=True, slots=True)
class Curve:
    """The budget curve of a brief and vehicle: every build that is the best at some budget.

    Attributes:
        points: Audited builds, each dearer and higher in score than the one before. A budget buys the last one whose
            total it covers; none where it does not cover the first.
    """

    brief: Brief
    vehicle: Vehicle
    points: tuple[Audited, ...]

    def at(self, cap: int) -> Audited | None:
        """The best build within a cap in cents; `None` where the cheapest complete system costs more."""
        place = bisect_right(self.points, cap, key=lambda point: point.total)
        return self.points[place - 1] if place else None
