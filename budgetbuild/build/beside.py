"""What a run found beside the builds of its tiers: answers to further questions that the catalogue or the user asks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.certain import Certain
    from budgetbuild.build.ladder import Ladder
    from budgetbuild.build.promotion import Promotions


@dataclass(frozen=True, slots=True)
class Beside:
    """Everything of a run that is no build of a tier and brief on its own.

    Attributes:
        certain: Builds that hold even if prices rise; empty where that is not asked, or no price may rise.
        ladders: The upgrade path of every brief; empty where that is not asked.
        promotions: Everything that the shop promotes, decided together; `None` where it promotes nothing, or only some
            tiers or briefs were asked for.
    """

    certain: tuple[Certain, ...] = ()
    ladders: tuple[Ladder, ...] = ()
    promotions: Promotions | None = None


NOTHING_BESIDE = Beside()
