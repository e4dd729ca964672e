"""A published data file held against the very list it was made from: each system reckoned anew from that list alone."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.audited import Audited
    from budgetbuild.build.certain import Risen
    from budgetbuild.build.covered import Covered
    from budgetbuild.build.ladder import Climbed
    from budgetbuild.build.solved import Curve
    from budgetbuild.catalogue.promotion import Promotion
    from budgetbuild.catalogue.shop import Tier


class Shown(StrEnum):
    """What was shown anew of how good a published system is."""

    BEST = "best"
    """No system within the cap scores higher, and none of that score is cheaper."""
    NONE = "none possible"
    """No system within the cap meets the brief."""
    WITHIN = "within its bound"
    """The search was stopped, and the best score within the cap lies where it was said to lie."""
    NOT_SO = "not so"
    """It is not as good as it was said to be."""
    NOT_ASKED = "not asked"
    """Only what was printed of the system itself."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something printed that is not so by the list.

    Attributes:
        at: Place in the file, such as `builds[3].lines[2].unit_price`, counted from 0.
        printed: What stands there, in words; likewise `reckoned`, what the list says.
    """

    at: str
    printed: str
    reckoned: str


@dataclass(frozen=True, slots=True)
class Verified:
    """One published system, reckoned anew.

    Attributes:
        at: Its place in the file.
        name: What it is of: its tier, brief or promotion.
        audited: By the list; `None` where none was printed, or it cannot be reckoned.
        shown: How good it is, as far as that was asked anew.
        findings: What is not so, beside the figures of the audit.
        tier: The list's tier.
        best: The best system within the cap by the budget curve, where that was asked and there is one.
        least_total: What the cheapest system costs, in cents, where that was asked and there is one.
        covered: The system in each of several vehicles.
        risen: The prices that rise in the dearest case; `None` where that is no question.
        climbed: What it means for one who comes from the step before.
        promotion: The promotion that it is the bundle of.
    """

    at: str
    name: str
    audited: Audited | None = None
    shown: Shown = Shown.NOT_ASKED
    findings: tuple[Finding, ...] = ()
    tier: Tier | None = None
    best: Audited | None = None
    least_total: int | None = None
    covered: Covered | None = None
    risen: tuple[Risen, ...] | None = None
    climbed: Climbed | None = None
    promotion: Promotion | None = None

    @property
    def tier_build(self) -> bool:
        """Whether it is the build of a tier, or a quote, and not something beside them."""
        return self.at.startswith("builds[")

    @property
    def rules(self) -> int:
        """How many rules it was checked against."""
        return len(self.audited.checks) if self.audited else 0

    @property
    def dearest(self) -> int | None:
        """What it comes to in its dearest case, in cents; `None` where that is no question."""
        if self.audited is None or self.risen is None:
            return None
        return self.audited.total + sum(rise.cents for rise in self.risen)

    @property
    def price(self) -> int | None:
        """What a promotion sells it for, in cents; `None` where it is in none."""
        if self.audited is None or self.promotion is None:
            return None
        return self.audited.total if self.promotion.price is None else self.promotion.price


@dataclass(frozen=True, slots=True)
class Verification:
    """A whole published file, reckoned anew.

    Attributes:
        curves: The budget curves of its briefs, in the order of the list; `None` where not all could be drawn.
    """

    systems: tuple[Verified, ...]
    curves: tuple[Curve, ...] | None
