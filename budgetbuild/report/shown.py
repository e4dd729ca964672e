"""What the outputs show, as frozen values: renderers arrange them and compute nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import NOTHING_BESIDE, Status
from budgetbuild.catalogue.names import fold
from budgetbuild.report.words import safety
from budgetbuild.report.words.notation import Notation

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Audited, Beside, Build, InVehicle, PricedLine, Role, RunnerUp, ScorePart
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue, Tier
    from budgetbuild.report.chapter import Block, Chapter
    from budgetbuild.report.rules import RuleRow
    from budgetbuild.report.words.advised import ToldAdvice
    from budgetbuild.report.words.ratings import ToldCriteria
    from budgetbuild.report.words.sections import TierText


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """One point of a budget curve: the best score within a budget.

    Attributes:
        brief: Name of the brief.
        budget: Cents.
        score: Whole thousandths of a point.
        total: What the best system costs, in cents.
    """

    brief: str
    budget: int
    score: int
    total: int


@dataclass(frozen=True, slots=True)
class PriceRow:
    """One row of the sheet where prices stand.

    Attributes:
        ref: Number by which lines find it, from 1.
        sku: Empty for labour.
        unit_price: Cents, tax included.
        cost: The shop's own cost of one, without tax, in cents; `None` where the catalogue has none.
    """

    ref: int
    sku: str
    product: str
    unit_price: int
    cost: int | None


@dataclass(frozen=True, slots=True)
class ReportLine:
    """A line of a build with the reason for it.

    Attributes:
        ref: Its row among the prices.
        weighed: What came second in its place, with the figures; `None` where the line scores nothing.
        runner_up: The same in one sentence, empty where there is none.
        link: Web address of the product, or empty.
        note: The catalogue's own note.
        rating: Of the product, out of 10; `None` where it has none.
        rating_computed: Whether it is reckoned from specifications.
        texts: The shop's own paragraphs on the product.
    """

    line: PricedLine
    why: str
    ref: int
    weighed: RunnerUp | None = None
    runner_up: str = ""
    link: str = ""
    note: str = ""
    texts: tuple[str, ...] = ()
    rating: float | None = None
    rating_computed: bool = False


@dataclass(frozen=True, slots=True)
class ToldCaution:
    """A caution with its sentence."""

    code: str
    subject: str
    figures: dict[str, float | int | str]
    text: str


@dataclass(frozen=True, slots=True)
class ToldVehicle:
    """One of several vehicles that a build is for, with its sentences.

    Attributes:
        why_not: Why the system does not fit it; empty where it does.
        cautions: What to watch there; nothing where it does not fit.
    """

    one: InVehicle
    why_not: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cost:
    """What one kind of part costs in a build, in cents."""

    part: str
    cents: int


@dataclass(frozen=True, slots=True)
class ReportBuild:
    """One build with its words.

    Attributes:
        anchor: Name of its place in a page.
        texts: The shop's own paragraphs on the brief, where no build before it has them.
        standing: How far the result is proven, in one sentence; `short_standing` in a few words.
        reason: Why there is no system, empty where there is one.
        least_total: Price of the cheapest system that meets the brief where none fits, in cents.
        alerts: Which version exactly to order.
        ratings: How those of its parts' ratings that the shop leaves blank were reckoned.
        next_tier: What the next tier up costs and earns, empty for the last.
        changes: What the next tier up changes, part by part.
        advice: A little more, a little less.
        vehicle: Which vehicle it is for, or how many and which of them the list is for.
        prices: What it costs from the least to the most, where it is for several vehicles; else empty. `most`: at most.
        vehicles: Where it is for several, what it comes to in each of them, and why not in the others.
        told_vehicles: The same, vehicle by vehicle.
    """

    build: Build
    anchor: str
    title: str
    texts: tuple[str, ...]
    headline: str
    standing: str
    short_standing: str
    reason: str
    least_total: int | None
    reliefs: tuple[str, ...]
    lines: tuple[ReportLine, ...]
    cautions: tuple[ToldCaution, ...]
    alerts: tuple[str, ...]
    safety: tuple[safety.Safety, ...]
    decided: tuple[str, ...]
    ratings: tuple[str, ...]
    costs: tuple[Cost, ...]
    score_parts: tuple[ScorePart, ...]
    next_tier: str
    changes: tuple[str, ...]
    advice: tuple[ToldAdvice, ...]
    vehicle: str
    prices: str = ""
    most: str = ""
    vehicles: tuple[Block, ...] = ()
    told_vehicles: tuple[ToldVehicle, ...] = ()

    @property
    def audited(self) -> Audited | None:
        """The audited system, where there is one."""
        return self.build.audited

    @property
    def left_over(self) -> int:
        """What the total leaves of the budget in cents; below 0 where the allowance is drawn on."""
        return self.build.tier.budget - (self.build.total or 0)

    @property
    def picked(self) -> tuple[tuple[ReportLine, ...], ...]:
        """The lines product by product, labour left out: what is taken twice comes off the same shelf."""
        by_sku: dict[str, list[ReportLine]] = {}
        for told in self.lines:
            if told.line.sku:
                by_sku.setdefault(told.line.sku, []).append(told)
        return tuple(map(tuple, by_sku.values()))

    @property
    def net_total(self) -> int | None:
        """The total without tax, in cents; `None` where no tax rate is set, or there is no system."""
        return self.audited.net_total if self.audited else None

    @property
    def tax(self) -> int | None:
        """The tax in the total, in cents; `None` where no tax rate is set, or there is no system."""
        return self.audited.tax if self.audited else None

    @property
    def watched(self) -> tuple[ToldCaution, ...]:
        """Cautions that the safety sentences, which stand beside the figures, do not already say."""
        return tuple(caution for caution in self.cautions if caution.code not in safety.SAID)

    def in_role(self, role: Role, between: str = "; ") -> str:
        """What fills a role, with quantities, empty where nothing does."""
        return between.join(
            f"{shown.line.quantity} x {shown.line.description}" if shown.line.quantity > 1 else shown.line.description
            for shown in self.lines
            if shown.line.role == role
        )


@dataclass(frozen=True, slots=True)
class Report:
    """Everything that the outputs show.

    Attributes:
        title: Of the publication.
        opening: For whom it is, and what holds for every system in it.
        welcome: The shop's own paragraphs for the opening; `farewell` those for the closing.
        safety: What holds for every job, without figures.
        tiers: What each tier comes to, in the order of the builds.
        climbs: How the score of each brief climbs with the money.
        products: The catalogue's products by SKU.
        criteria: How ratings that the shop leaves blank are reckoned; empty where none is.
        solved_by: What the builds were proven by, with its version; `reference`: what they rest on, in one sentence.
        roles: Roles that at least one build fills, in the order one would talk a customer through them.
        curve: Points by brief, then budget.
        curve_is_whole: Whether the curve was worked out at every budget; else its points are the tiers alone.
        beside: What was found beside the builds of the tiers; `chapters` tell it in words.
    """

    catalogue: Catalogue
    products: Mapping[str, Product]
    version: str
    title: str
    opening: tuple[str, ...]
    welcome: tuple[str, ...]
    farewell: tuple[str, ...]
    safety: tuple[str, ...]
    tiers: tuple[TierText, ...]
    climbs: tuple[str, ...]
    builds: tuple[ReportBuild, ...]
    prices: tuple[PriceRow, ...]
    roles: tuple[Role, ...]
    rules: tuple[RuleRow, ...]
    criteria: ToldCriteria
    curve: tuple[CurvePoint, ...]
    curve_is_whole: bool
    solved_by: str = ""
    reference: str = ""
    beside: Beside = NOTHING_BESIDE
    chapters: tuple[Chapter, ...] = ()

    @property
    def stopped(self) -> bool:
        """Whether the search for some build was stopped."""
        return any(shown.build.status is Status.TIME_LIMIT for shown in self.builds)

    @property
    def open_chapters(self) -> tuple[Chapter, ...]:
        """The chapters that a customer may read, but for those that are told with the builds."""
        return tuple(chapter for chapter in self.chapters if not (chapter.shop_only or chapter.with_builds))

    @property
    def currency(self) -> str:
        """Currency code of the shop."""
        return self.catalogue.settings.currency

    @property
    def notation(self) -> Notation:
        """How the shop writes money, figures and dates."""
        return Notation(self.currency, self.catalogue.settings.locale)

    def named(self, sku: str) -> str:
        """A product by brand and model; what the catalogue lacks by its SKU."""
        return self.products[sku].name if sku in self.products else sku

    def builds_of(self, tier: Tier) -> tuple[ReportBuild, ...]:
        """The builds of one tier."""
        return tuple(shown for shown in self.builds if fold(shown.build.tier.name) == fold(tier.name))
