"""What a run found beside the builds of its tiers: answers to further questions that the catalogue or the user asks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.certain import Certain


@dataclass(frozen=True, slots=True)
class Beside:
    """Everything of a run that is no build of a tier and brief on its own.

    Attributes:
        certain: Builds that hold even if prices rise; empty where that is not asked, or no price may rise.
    """

    certain: tuple[Certain, ...] = ()


NOTHING_BESIDE = Beside()
