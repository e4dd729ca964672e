"""Builds whose total holds even if prices rise, as frozen values. Money is whole cents, scores whole thousandths."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.alternatives import Step
    from budgetbuild.build.solved import Build


@dataclass(frozen=True, slots=True)
class Risen:
    """A price that rises in the dearest case.

    Attributes:
        quantity: Pieces of the product in the whole build, wherever they stand: they rise together.
        price: Of one piece today; `price_high` where it has risen.
    """

    sku: str
    quantity: int
    price: int
    price_high: int

    @property
    def cents(self) -> int:
        """What the rise comes to."""
        return self.quantity * (self.price_high - self.price)


@dataclass(frozen=True, slots=True)
class Secured:
    """The best build that stays within the cap even if the prices of any so many of its products rise.

    Attributes:
        rising: How many prices may rise.
        build: Of the tier and brief; without a system where none was found in time.
        risen: The prices that rise in its dearest case, the greatest rise first.
        today_total: What today's best build comes to in its own dearest case.
        all_rise: Whether no more prices can rise, in it or in today's best: it is the answer for any greater number.
    """

    rising: int
    build: Build
    risen: tuple[Risen, ...]
    today_total: int
    all_rise: bool = False

    @property
    def dearest(self) -> int | None:
        """What the build comes to in its dearest case."""
        return None if self.build.total is None else self.build.total + sum(rise.cents for rise in self.risen)


@dataclass(frozen=True, slots=True)
class Certain:
    """What it costs in points to be certain of a tier's cap for a brief.

    Attributes:
        rising: Prices of how many products may rise, as asked.
        today: The best build at today's prices.
        steps: From no price that rises up to as many as asked, as many as can rise, or as many as any build allows.
        least: Where no build allows as many as asked: the least cap that one does, in cents; `None` where that was not
            found in time.
        change: From today's best build to the one that allows as many as asked; `None` where there is none, or it is
            the same.
    """

    rising: int
    today: Build
    steps: tuple[Secured, ...]
    least: int | None = None
    change: Step | None = None

    @property
    def last(self) -> Secured:
        """The greatest number of prices that was asked about and is not ruled out."""
        return self.steps[-1]

    @property
    def greatest(self) -> int:
        """How many prices may rise in some build that was found, up to as many as asked."""
        return max((step.rising for step in self.steps if step.build.audited), default=0)

    @property
    def met(self) -> bool:
        """Whether a build was found that allows as many as asked."""
        return self.greatest == self.rising or self.last.all_rise

    def lost(self, step: Secured) -> int | None:
        """What certainty costs in a step, in thousandths of a point; `None` where no build was found."""
        if self.today.score is None or step.build.score is None:
            return None
        return self.today.score - step.build.score
