"""What the outputs show: chosen, ordered and put into words here, so that renderers only arrange.

Nothing is solved or reckoned anew: every figure comes from the audited build; sums over lines are the only arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.build import NOTHING_BESIDE, Audited, Beside, Build, Caution, Curve, PricedLine, Role, ScorePart
from budgetbuild.catalogue.kinds import TextPlace
from budgetbuild.catalogue.names import fold
from budgetbuild.report.rules import checked_rules
from budgetbuild.report.shown import (
    Cost,
    CurvePoint,
    PriceRow,
    Report,
    ReportBuild,
    ReportLine,
    ToldCaution,
    ToldVehicle,
)
from budgetbuild.report.words import cautions, kit, reasons, safety, sections, wording
from budgetbuild.report.words.advised import advised
from budgetbuild.report.words.chapters import chapters_of
from budgetbuild.report.words.format import label, slug
from budgetbuild.report.words.ratings import told_criteria, told_ratings
from budgetbuild.report.words.reference import reference, solved_by
from budgetbuild.report.words.runner_up import runner_up_of, runner_up_text
from budgetbuild.report.words.steps import next_tier
from budgetbuild.report.words.versions import alert_text
from budgetbuild.report.words.voice import Voice, voice_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue


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


@dataclass(frozen=True, slots=True)
class Shelf:
    """What the lines of every build are looked up in."""

    catalogue: Catalogue
    products: Mapping[str, Product]
    prices: tuple[PriceRow, ...]


def report_content(
    builds: Sequence[Build],
    catalogue: Catalogue,
    curves: Sequence[Curve] = (),
    voice: Voice | None = None,
    beside: Beside = NOTHING_BESIDE,
) -> Report:
    """Turn builds into what the outputs show.

    Args:
        builds: In any order; shown tier by tier, and within a tier brief by brief, as the catalogue lists them.
        catalogue: The catalogue that they were solved from.
        curves: Budget curves of the briefs; where there are none, the tiers' own points stand in for them.
        voice: The shop's sentences; by default the tool's own.
        beside: What was found beside the builds.

    Raises:
        ValueError: A build carries a caution or obstacle that has no words, or was refused by the audit.
    """
    ordered, voice = _ordered(builds, catalogue), voice or voice_of(catalogue.settings)
    products = catalogue.by_sku()
    shelf = Shelf(catalogue, products, _prices(ordered, products))
    curve = tuple(curve_point(curve, point) for curve in curves for point in curve.points)
    shown = tuple(_report_build(build, ordered, shelf, replace(voice, turn=turn)) for turn, build in enumerate(ordered))
    covered = kit.kit_chapters([(one.title, one.build) for one in shown], products, voice)
    return Report(
        catalogue=catalogue,
        products=products,
        version=__version__,
        title=sections.title(catalogue.settings, voice),
        opening=sections.opening(ordered, catalogue, voice),
        welcome=catalogue.texts_for(TextPlace.OPENING),
        farewell=catalogue.texts_for(TextPlace.CLOSING),
        safety=safety.for_every_job(voice),
        tiers=sections.tier_texts(ordered, catalogue, voice),
        climbs=sections.climbs(ordered, voice),
        builds=shown,
        prices=shelf.prices,
        roles=tuple(role for role in Role if any(role is line.role for build in ordered for line in _lines(build))),
        rules=checked_rules(ordered),
        criteria=told_criteria(catalogue, voice),
        curve=curve or _tier_points(ordered),
        curve_is_whole=bool(curve),
        solved_by=solved_by(ordered),
        reference=reference(ordered, catalogue, voice),
        beside=beside,
        chapters=(*covered, *chapters_of(beside, catalogue, voice)),
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


def _prices(builds: Sequence[Build], products: Mapping[str, Product]) -> tuple[PriceRow, ...]:
    """Every price used, once: products by SKU, then labour by work and price."""
    used = {
        (line.role is Role.LABOUR, line.sku, line.description, line.unit_price)
        for build in builds
        for line in _lines(build)
    }
    return tuple(
        PriceRow(ref, sku, description, price, None if labour or sku not in products else products[sku].cost)
        for ref, (labour, sku, description, price) in enumerate(sorted(used), start=1)
    )


def curve_point(curve: Curve, point: Audited) -> CurvePoint:
    """A point of a budget curve: from its own total on it is the best."""
    return CurvePoint(curve.brief.name, point.total, point.score, point.total)


def _tier_points(builds: Sequence[Build]) -> tuple[CurvePoint, ...]:
    """The solved tiers as points, by brief, then budget."""
    briefs = list(dict.fromkeys(build.brief.name for build in builds))
    points = [
        CurvePoint(build.brief.name, build.tier.budget, build.score or 0, build.audited.total)
        for build in builds
        if build.audited
    ]
    return tuple(sorted(points, key=lambda point: (briefs.index(point.brief), point.budget, point.total)))


def _report_build(build: Build, builds: Sequence[Build], shelf: Shelf, voice: Voice) -> ReportBuild:
    """One build with its words."""
    products, audited = shelf.products, build.audited
    step = next_tier(build, builds, voice)
    return ReportBuild(
        build=build,
        anchor=f"build-{voice.turn + 1}-{slug(f'{build.tier.name} {build.brief.name}')}".rstrip("-"),
        title=kit.title_of(f"{label(build.tier.name)}: {label(build.brief.name)}", build, voice),
        texts=_brief_texts(build, builds, shelf.catalogue),
        headline=wording.headline(build, voice),
        standing=wording.standing(build, voice),
        short_standing=wording.short_standing(build, voice),
        reason=cautions.no_build_reason(build, voice),
        least_total=build.no_build.least_total if build.no_build else None,
        reliefs=cautions.reliefs(build, voice),
        lines=_report_lines(build, shelf, voice),
        cautions=tuple(_told(caution, voice, products) for caution in audited.cautions) if audited else (),
        alerts=_alerts(build, products, voice),
        safety=safety.safety(audited, products, voice) if audited else (),
        decided=wording.decided(build, voice),
        ratings=told_ratings(_lines(build), shelf.catalogue, voice),
        costs=_costs(_lines(build)),
        score_parts=_score_parts(build),
        next_tier=step.text,
        changes=step.changes,
        advice=advised(build, products, voice),
        vehicle=kit.vehicle_of(build, voice),
        prices=kit.price_range(build, voice),
        most=kit.total_of(build, voice) if build.covered else "",
        vehicles=kit.kit_blocks(build, products, voice),
        told_vehicles=_told_vehicles(build, products, voice),
    )


def _told_vehicles(build: Build, products: Mapping[str, Product], voice: Voice) -> tuple[ToldVehicle, ...]:
    """Each of several vehicles: what to watch in it, or why the system does not fit it."""
    if build.covered is None:
        return ()
    return tuple(
        ToldVehicle(
            one,
            "" if one.covered else kit.why_not(one, build.covered, voice),
            tuple(cautions.caution_text(caution, voice, products) for caution in one.audited.cautions)
            if one.covered
            else (),
        )
        for one in build.covered.vehicles
    )


def _score_parts(build: Build) -> tuple[ScorePart, ...]:
    """The points of a build, part by part; over several vehicles those of the one where they are fewest."""
    if build.covered:
        return build.covered.poorest.score_parts
    return build.audited.score_parts if build.audited else ()


def _brief_texts(build: Build, builds: Sequence[Build], catalogue: Catalogue) -> tuple[str, ...]:
    """The shop's paragraphs on a brief, once in a publication: with the first of its builds."""
    first = next(other for other in builds if fold(other.brief.name) == fold(build.brief.name))
    return catalogue.texts_for(TextPlace.BRIEF, build.brief.name) if first is build else ()


def _told(caution: Caution, voice: Voice, products: Mapping[str, Product]) -> ToldCaution:
    text = cautions.caution_text(caution, voice, products)
    return ToldCaution(caution.code, caution.subject, dict(caution.figures), text)


def _report_lines(build: Build, shelf: Shelf, voice: Voice) -> tuple[ReportLine, ...]:
    """The lines of a build with reasons, and with the rows where their prices stand."""
    if build.audited is None:
        return ()
    catalogue, products = shelf.catalogue, shelf.products
    refs = {(row.sku, row.product, row.unit_price): row.ref for row in shelf.prices}
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
                rating=product.rating if product else None,
                rating_computed=line.sku in catalogue.reckoned,
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
