"""What has become of a published guide: what drifted of each build, whether it still holds, and what could be done."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.alternatives import Change, VersionAlert
    from budgetbuild.build.audited import Audited
    from budgetbuild.build.published import Published, PublishedBuild
    from budgetbuild.build.solved import NoBuild, Status
    from budgetbuild.catalogue.shop import Brief, Tier, Vehicle


class Weight(StrEnum):
    """How much a drift matters."""

    BREAKS = "breaks"
    """The system can no longer be sold as it was published."""
    PRINTED = "printed"
    """Something that was printed is no longer true; the parts may stay."""
    NOTE = "note"
    """Nothing printed promises too much."""


class Standing(StrEnum):
    """What has become of a published build."""

    HOLDS = "holds"
    """Everything printed still holds."""
    FIGURES = "figures"
    """The parts may stay; figures or cautions have to be printed anew."""
    PARTS = "parts"
    """The system cannot be sold as it was published."""
    POSSIBLE = "possible"
    """No system was published, and now there is one."""
    WITHDRAWN = "withdrawn"
    """The shop no longer asks for it: its brief or its vehicle is not in the list any more."""


@dataclass(frozen=True, slots=True)
class Drift:
    """One thing that is not as it was published; its words are the report's.

    Attributes:
        code: Stable short name, e.g. `price`.
        subject: What it is about: a SKU, a piece of work, a rule, a name.
        before: As published; money in cents, scores in thousandths; `None` where nothing was published of it.
        after: As it is today; `None` where there is nothing.
        figures: Further figures that its words quote.
    """

    code: str
    subject: str
    before: float | int | str | None
    after: float | int | str | None
    weight: Weight
    figures: dict[str, float | int | str]


@dataclass(frozen=True, slots=True)
class Remedy:
    """A build that could take a published one's place.

    Attributes:
        status: How the search for it ended.
        audited: The build; `None` where there is none, or none was found in time.
        parts_changed: Against the published list: in each role as many as go or come, whichever are more.
        fewest: No build changes fewer parts, proven; `None` where that was not asked or is not known.
        exchanges: Role by role what goes and what comes.
        versions: Which version of its products to order.
    """

    status: Status
    audited: Audited | None = None
    parts_changed: int | None = None
    fewest: int | None = None
    exchanges: tuple[Change, ...] = ()
    versions: tuple[VersionAlert, ...] = ()


@dataclass(frozen=True, slots=True)
class Rechecked:
    """One published build, held against today's list.

    Attributes:
        tier: Today's tier of its name; where there is none, one of the published budget and cap.
        brief: Today's, `None` where there is none that could be solved; likewise `vehicle`.
        audited: The published system by today's list; `None` where there was none, or a product of it is gone.
        repair: The build within the cap that changes the fewest parts, of these the best; `None` where none is needed.
        best: The best build within the cap today; `None` where nothing can be solved.
        no_build: Why there is none at all.
    """

    published: PublishedBuild
    tier: Tier
    brief: Brief | None
    vehicle: Vehicle | None
    standing: Standing
    drifts: tuple[Drift, ...]
    audited: Audited | None = None
    repair: Remedy | None = None
    best: Remedy | None = None
    no_build: NoBuild | None = None

    @property
    def total(self) -> int | None:
        """What the published system costs today, in cents; `None` where that cannot be said."""
        return self.audited.total if self.audited else None

    @property
    def beaten(self) -> bool:
        """Whether it may stay, and yet a better one is to be had within the cap."""
        best = self.best.audited if self.best else None
        if best is None or self.audited is None or self.standing not in {Standing.HOLDS, Standing.FIGURES}:
            return False
        return (-best.score, best.total) < (-self.audited.score, self.audited.total)


@dataclass(frozen=True, slots=True)
class Recheck:
    """A published guide, held against today's list.

    Attributes:
        unpublished: Tier and brief of what the list asks for and the guide does not have.
    """

    published: Published
    builds: tuple[Rechecked, ...]
    unpublished: tuple[tuple[str, str], ...] = ()

    @property
    def holds(self) -> bool:
        """Whether everything published still holds."""
        return all(build.standing is Standing.HOLDS for build in self.builds)

    @property
    def beaten(self) -> bool:
        """Whether a better build is to be had in the place of one that may stay."""
        return any(build.beaten for build in self.builds)
