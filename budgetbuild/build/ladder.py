"""An upgrade path: a system for each tier of a brief, each climbed to from the one before. Whole cents, thousandths."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.solved import Build, Status
    from budgetbuild.catalogue.shop import Brief, Tier, Vehicle


class Climbing(StrEnum):
    """What may become of parts on an upgrade path."""

    ASIDE = "aside"
    """They may be put aside; their money counts."""
    KEEP = "keep"
    """Every one is kept."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """So many of one product, whatever their roles; `price` is of one, in cents."""

    sku: str
    quantity: int
    price: int

    @property
    def cents(self) -> int:
        """What they cost."""
        return self.quantity * self.price


@dataclass(frozen=True, slots=True)
class Climbed:
    """What a step comes to beside its system, recomputed from the systems up to it alone.

    Attributes:
        bought: Pieces that are bought at this step.
        kept: Pieces in use that were bought before.
        aside: Pieces that were bought by now and are not in use.
        labour: Fitting work paid at this step.
        spent: All that is paid up to this step: every piece bought, and the work.
    """

    bought: tuple[Pieces, ...]
    kept: tuple[Pieces, ...]
    aside: tuple[Pieces, ...]
    labour: int
    spent: int

    @property
    def paid(self) -> int:
        """What is paid at this step."""
        return sum(pieces.cents for pieces in self.bought) + self.labour

    @property
    def lies_aside(self) -> int:
        """What the pieces that are put aside cost."""
        return sum(pieces.cents for pieces in self.aside)


@dataclass(frozen=True, slots=True)
class LadderStep:
    """One tier of a path.

    Attributes:
        build: The system in the vehicle at this step; its total is what it would cost at once.
        climbed: What that means for who comes from the step before.
        best: The tier's own best build, for one who goes nowhere from it.
        weight: How much its score counts, as the tiers of a path have it made whole.
    """

    build: Build
    climbed: Climbed
    best: Build
    weight: int

    @property
    def lost(self) -> int | None:
        """How far the score lies below that of the tier's own best; `None` where either is not known."""
        score, best = self.build.score, self.best.score
        return None if score is None or best is None else best - score

    @property
    def more_than_at_once(self) -> int:
        """What was spent up to here above the price of the step's system: what lies aside, and work done twice."""
        return self.climbed.spent - (self.build.total or 0)


class NoLadder(StrEnum):
    """Why there is no path."""

    ONE_TIER = "one tier"
    """The brief is asked for in one tier alone, or only one of its tiers buys a system."""
    NO_SYSTEM = "no system"
    """No tier buys a system."""
    NO_TIME = "no time"
    """None was found within the time limit."""
    SEVERAL_VEHICLES = "several vehicles"
    """The brief is for several vehicles at once."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """The best path over the tiers of a brief.

    Attributes:
        vehicle: The brief's; `None` where it has several.
        keep: Whether nothing may be put aside.
        steps: From the lowest cap up; none where `why_not` says why.
        skipped: Tiers below the first step, whose caps buy no system.
        bound: No path is worth more, proven: the weighted sum of its scores; `None` where nothing is known.
    """

    brief: Brief
    vehicle: Vehicle | None
    keep: bool
    status: Status
    steps: tuple[LadderStep, ...] = ()
    skipped: tuple[Tier, ...] = ()
    bound: int | None = None
    why_not: NoLadder | None = None
    solver: str = ""

    @property
    def worth(self) -> int:
        """The weighted sum of the scores."""
        return sum(step.weight * (step.build.score or 0) for step in self.steps)

    @property
    def weighted(self) -> bool:
        """Whether some step counts more than another."""
        return len({step.weight for step in self.steps}) > 1
