"""What a shop published earlier, as its data file says it; nothing here is checked against any price list."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.audited import Caution, Check, ScorePart
    from budgetbuild.build.system import Role, System


class PublishedStatus(StrEnum):
    """How a published build was said to have ended: as a `Status`, or kept from an earlier guide."""

    OPTIMAL = "optimal"
    INFEASIBLE = "infeasible"
    TIME_LIMIT = "time limit"
    KEPT = "kept"


@dataclass(frozen=True, slots=True)
class PublishedLine:
    """One printed line: money in whole cents. Labour lines have an empty `sku`.

    Attributes:
        rating: Of the product, out of 10; `None` where none was told.
    """

    role: Role
    sku: str
    description: str
    quantity: int
    unit_price: int
    line_total: int
    rating: float | None = None


@dataclass(frozen=True, slots=True)
class PublishedBuild:
    """One printed tier and brief.

    Attributes:
        tier: Name of the tier; likewise `brief` and `vehicle`.
        budget: Cents; likewise `cap`, the most that it might cost.
        score: Whole thousandths of a point; `None` where there was no system.
        total: Cents; `None` where there was no system.
        system: Parts and connections; `None` where there was no system.
        least_total: Where no system was possible, the price of the cheapest one, in cents, as far as it was told.
        covered: Where it was for several vehicles, the name of each that it fits, with its total there in cents.
        bound: No system was said to score more, in thousandths; `None` where that was not known; `gap` likewise.
    """

    tier: str
    brief: str
    vehicle: str
    budget: int
    cap: int
    status: PublishedStatus
    score: int | None
    total: int | None
    lines: tuple[PublishedLine, ...]
    system: System | None
    checks: tuple[Check, ...]
    cautions: tuple[Caution, ...]
    score_parts: tuple[ScorePart, ...]
    least_total: int | None
    covered: tuple[tuple[str, int], ...] = ()
    bound: int | None = None
    gap: int | None = None


@dataclass(frozen=True, slots=True)
class PublishedStep:
    """A system that was printed beside those of the tiers: if prices rise, on an upgrade path, or of a promotion.

    Attributes:
        at: Its place in the file.
        tier: Name of the tier; empty where it is in none. Likewise `promotion`.
        rising: Prices of how many products may rise; `cap`, as printed for that, in cents.
    """

    at: str
    brief: str
    vehicle: str
    system: System
    tier: str = ""
    promotion: str = ""
    rising: int = 0
    cap: int | None = None


@dataclass(frozen=True, slots=True)
class PublishedBeside:
    """What was printed beside the builds of the tiers.

    Attributes:
        paths: Each upgrade path: whether every part is kept, and its steps from the lowest cap up.
    """

    secured: tuple[PublishedStep, ...] = ()
    paths: tuple[tuple[bool, tuple[PublishedStep, ...]], ...] = ()
    bundles: tuple[PublishedStep, ...] = ()


NOTHING_PUBLISHED_BESIDE = PublishedBeside()


@dataclass(frozen=True, slots=True)
class Published:
    """A published data file.

    Attributes:
        name: The file's name.
        sha256: Hash of the file.
        version: Of the tool that wrote it.
        catalogue: Name of the workbook that it was made from; likewise its hash and its date, empty where it had none.
        tax_rate: As a share; `None` where there was none.
        prices: Name of the price file that was laid over it, empty where there was none; likewise its hash.
    """

    name: str
    sha256: str
    version: str
    catalogue: str
    catalogue_sha256: str
    catalogue_date: str
    currency: str
    tax_rate: float | None
    builds: tuple[PublishedBuild, ...]
    beside: PublishedBeside = NOTHING_PUBLISHED_BESIDE
    prices: str = ""
    prices_sha256: str = ""
