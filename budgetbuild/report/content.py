"""What the outputs show, as frozen values: chosen and ordered here, so that renderers only arrange.

Nothing is solved or reckoned anew: every figure comes from the audited build; sums over lines are the only arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.build import Audited, Build, Caution, Curve, PricedLine, Role, RunnerUp, ScorePart
from budgetbuild.catalogue.kinds import TextPlace
from budgetbuild.catalogue.names import fold
from budgetbuild.report import cautions, reasons, safety, sections, wording
from budgetbuild.report.advised import ToldAdvice, advised
from budgetbuild.report.format import label, slug
from budgetbuild.report.notation import Notation
from budgetbuild.report.rules import RuleRow, checked_rules
from budgetbuild.report.runner_up import runner_up_of, runner_up_text
from budgetbuild.report.steps import next_tier
from budgetbuild.report.versions import alert_text
from budgetbuild.report.voice import Voice, voice_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue, Tier
    from budgetbuild.report.sections import TierText


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


@dataclass(frozen=True, slots=True)
class ToldCaution:
    """A caution with its sentence."""

    code: str
    subject: str
    figures: dict[str, float | int | str]
    text: str


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
        standing: How far the result is proven, in one sentence.
        reason: Why there is no system, empty where there is one.
        least_total: Price of the cheapest system that meets the brief where none fits, in cents.
        alerts: Which version exactly to order.
        next_tier: What the next tier up costs and earns, empty for the last.
        changes: What the next tier up changes, part by part.
        advice: A little more, a little less.
    """

    build: Build
    anchor: str
    title: str
    texts: tuple[str, ...]
    headline: str
    standing: str
    reason: str
    least_total: int | None
    reliefs: tuple[str, ...]
    lines: tuple[ReportLine, ...]
    cautions: tuple[ToldCaution, ...]
    alerts: tuple[str, ...]
    safety: tuple[safety.Safety, ...]
    decided: tuple[str, ...]
    costs: tuple[Cost, ...]
    score_parts: tuple[ScorePart, ...]
    next_tier: str
    changes: tuple[str, ...]
    advice: tuple[ToldAdvice, ...]

    @property
    def audited(self) -> Audited | None:
        """The audited system, where there is one."""
        return self.build.audited

    @property
    def left_over(self) -> int:
        """What the total leaves of the budget in cents; below 0 where the allowance is drawn on."""
        return self.build.tier.budget - (self.build.total or 0)

    @property
    def net_total(self) -> int | None:
        """The total without tax, rounded line by line, in cents; `None` where no tax rate is set."""
        nets = [shown.line.net_total for shown in self.lines]
        return None if not nets or None in nets else sum(net or 0 for net in nets)

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
        roles: Roles that at least one build fills, in the order one would talk a customer through them.
        curve: Points by brief, then budget.
        curve_is_whole: Whether the curve was worked out at every budget; else its points are the tiers alone.
    """

    catalogue: Catalogue
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
    curve: tuple[CurvePoint, ...]
    curve_is_whole: bool

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
        return next((product.name for product in self.catalogue.products() if product.sku == sku), sku)

    def builds_of(self, tier: Tier) -> tuple[ReportBuild, ...]:
        """The builds of one tier."""
        return tuple(shown for shown in self.builds if fold(shown.build.tier.name) == fold(tier.name))


COST_GROUPS: dict[str, frozenset[Role]] = {
    "Source": frozenset({Role.HEAD_UNIT, Role.CONVERTER, Role.SOURCE_KIT, Role.AERIAL}),
    "Front": frozenset({Role.FRONT, Role.FRONT_ADAPTER}),
    "Rear": frozenset({Role.REAR, Role.REAR_ADAPTER}),
    "Bass": frozenset({Role.BASS, Role.BOX}),
    "Amplifier": frozenset({Role.AMPLIFIER}),
    "Wiring": frozenset({Role.POWER_KIT, Role.SIGNAL_LEAD, Role.SPEAKER_CABLE}),
    "Deadening": frozenset({Role.DEADENING}),
    "Labour": frozenset({Role.LABOUR}),
}


def report_content(
    builds: Sequence[Build], catalogue: Catalogue, curves: Sequence[Curve] = (), voice: Voice | None = None
) -> Report:
    """Turn builds into what the outputs show.

    Args:
        builds: In any order; shown tier by tier, and within a tier brief by brief, as the catalogue lists them.
        catalogue: The catalogue that they were solved from.
        curves: Budget curves of the briefs; where there are none, the tiers' own points stand in for them.
        voice: The shop's sentences; by default the tool's own.

    Raises:
        ValueError: A build carries a caution or obstacle that has no words, or was refused by the audit.
    """
    ordered, voice = _ordered(builds, catalogue), voice or voice_of(catalogue.settings)
    prices = _prices(ordered, catalogue)
    curve = tuple(_point(curve, point) for curve in curves for point in curve.points)
    return Report(
        catalogue=catalogue,
        version=__version__,
        title=sections.title(catalogue.settings, voice),
        opening=sections.opening(ordered, catalogue.settings, voice),
        welcome=catalogue.texts_for(TextPlace.OPENING),
        farewell=catalogue.texts_for(TextPlace.CLOSING),
        safety=safety.for_every_job(voice),
        tiers=sections.tier_texts(ordered, catalogue, voice),
        climbs=sections.climbs(ordered, voice),
        builds=tuple(
            _report_build(build, ordered, catalogue, prices, replace(voice, turn=turn))
            for turn, build in enumerate(ordered)
        ),
        prices=prices,
        roles=tuple(role for role in Role if any(role is line.role for build in ordered for line in _lines(build))),
        rules=checked_rules(ordered),
        curve=curve or _tier_points(ordered),
        curve_is_whole=bool(curve),
    )


def _ordered(builds: Sequence[Build], catalogue: Catalogue) -> tuple[Build, ...]:
    """Builds as the catalogue lists tiers and briefs; names that it lacks come last, by budget and name."""
    tiers = {fold(tier.name): place for place, tier in enumerate(catalogue.tiers)}
    briefs = {fold(brief.name): place for place, brief in enumerate(catalogue.briefs)}

    def key(build: Build) -> tuple[int, int, str, int, str]:
        tier, brief = fold(build.tier.name), fold(build.brief.name)
        return (tiers.get(tier, len(tiers)), build.tier.budget, tier, briefs.get(brief, len(briefs)), brief)

    for build in builds:
        if build.audited and build.audited.refused:
            raise ValueError(f"the audit refuses {build.tier.name} / {build.brief.name}: never to be published")
    return tuple(sorted(builds, key=key))


def _lines(build: Build) -> tuple[PricedLine, ...]:
    return build.audited.lines if build.audited else ()


def _prices(builds: Sequence[Build], catalogue: Catalogue) -> tuple[PriceRow, ...]:
    """Every price used, once: products by SKU, then labour by work and price."""
    costs = {product.sku: product.cost for product in catalogue.products()}
    used = {
        (line.role is Role.LABOUR, line.sku, line.description, line.unit_price)
        for build in builds
        for line in _lines(build)
    }
    return tuple(
        PriceRow(ref, sku, description, price, None if labour else costs.get(sku))
        for ref, (labour, sku, description, price) in enumerate(sorted(used), start=1)
    )


def _point(curve: Curve, point: Audited) -> CurvePoint:
    return CurvePoint(curve.brief.name, point.total, point.score, point.total)


def _tier_points(builds: Sequence[Build]) -> tuple[CurvePoint, ...]:
    """The solved tiers as points, by brief, then budget."""
    briefs = list(dict.fromkeys(build.brief.name for build in builds))
    points = [
        CurvePoint(build.brief.name, build.tier.budget, build.audited.score, build.audited.total)
        for build in builds
        if build.audited
    ]
    return tuple(sorted(points, key=lambda point: (briefs.index(point.brief), point.budget, point.total)))


def _report_build(
    build: Build, builds: Sequence[Build], catalogue: Catalogue, prices: Sequence[PriceRow], voice: Voice
) -> ReportBuild:
    """One build with its words."""
    products = {product.sku: product for product in catalogue.products()}
    audited = build.audited
    step = next_tier(build, builds, voice)
    return ReportBuild(
        build=build,
        anchor=f"build-{builds.index(build) + 1}-{slug(f'{build.tier.name} {build.brief.name}')}".rstrip("-"),
        title=f"{label(build.tier.name)}: {label(build.brief.name)}",
        texts=_brief_texts(build, builds, catalogue),
        headline=wording.headline(build, voice),
        standing=wording.standing(build, voice),
        reason=cautions.no_build_reason(build, voice),
        least_total=build.no_build.least_total if build.no_build else None,
        reliefs=cautions.reliefs(build, voice),
        lines=_report_lines(build, products, catalogue, prices, voice),
        cautions=tuple(_told(caution, voice, products) for caution in audited.cautions) if audited else (),
        alerts=_alerts(build, products, voice),
        safety=safety.safety(audited, products, voice) if audited else (),
        decided=wording.decided(build, voice),
        costs=_costs(_lines(build)),
        score_parts=audited.score_parts if audited else (),
        next_tier=step.text,
        changes=step.changes,
        advice=advised(build, products, voice),
    )


def _brief_texts(build: Build, builds: Sequence[Build], catalogue: Catalogue) -> tuple[str, ...]:
    """The shop's paragraphs on a brief, once in a publication: with the first of its builds."""
    first = next(other for other in builds if fold(other.brief.name) == fold(build.brief.name))
    return catalogue.texts_for(TextPlace.BRIEF, build.brief.name) if first is build else ()


def _told(caution: Caution, voice: Voice, products: Mapping[str, Product]) -> ToldCaution:
    text = cautions.caution_text(caution, voice, products)
    return ToldCaution(caution.code, caution.subject, dict(caution.figures), text)


def _report_lines(
    build: Build, products: Mapping[str, Product], catalogue: Catalogue, prices: Sequence[PriceRow], voice: Voice
) -> tuple[ReportLine, ...]:
    """The lines of a build with reasons, and with the rows where their prices stand."""
    if build.audited is None:
        return ()
    refs = {(row.sku, row.product, row.unit_price): row.ref for row in prices}
    told: list[ReportLine] = []
    for line in build.audited.lines:
        product = products.get(line.sku) if line.sku else None
        weighed = runner_up_of(line, build)
        told.append(
            ReportLine(
                line=line,
                why=reasons.why(line, build, product, catalogue, voice),
                ref=refs[line.sku, line.description, line.unit_price],
                weighed=weighed,
                runner_up=runner_up_text(weighed, build, products, voice) if weighed else "",
                link=product.link if product else "",
                note=product.note if product else "",
                texts=catalogue.texts_for(TextPlace.PRODUCT, line.sku) if product else (),
            )
        )
    return tuple(told)


def _alerts(build: Build, products: Mapping[str, Product], voice: Voice) -> tuple[str, ...]:
    """Which version to order exactly, for every product that has a sister in the catalogue."""
    return tuple(alert_text(alert, products, voice) for alert in build.versions)


def _costs(lines: Sequence[PricedLine]) -> tuple[Cost, ...]:
    """What each kind of part costs; kinds that cost nothing are left out."""
    sums = {part: sum(line.line_total for line in lines if line.role in roles) for part, roles in COST_GROUPS.items()}
    return tuple(Cost(part, cents) for part, cents in sums.items() if cents)
