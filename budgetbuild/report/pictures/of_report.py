"""The pictures of a report, each with the table that says the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.chapter import Plot
from budgetbuild.report.pictures.bars import cost_table, render_costs, render_scores, score_table
from budgetbuild.report.pictures.connections import wiring_table
from budgetbuild.report.pictures.curve import BudgetCurve, Step, TierMark, curve_table, render_curve
from budgetbuild.report.pictures.diagram import render_diagram
from budgetbuild.report.pictures.plot import render_plot
from budgetbuild.report.pictures.wiring import Wiring, wiring
from budgetbuild.report.words.cells import text_table
from budgetbuild.report.words.format import label

if TYPE_CHECKING:
    from budgetbuild.report.pictures.tables import TextTable
    from budgetbuild.report.shown import Report, ReportBuild
    from budgetbuild.report.words.notation import Notation


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture and what it says.

    Attributes:
        svg: SVG text, every text in it escaped; empty where there is nothing to show.
    """

    title: str
    svg: str
    table: TextTable


def connections(report: Report, shown: ReportBuild) -> Wiring | None:
    """How the parts of a build are connected; `None` where it has no system."""
    if shown.audited is None:
        return None
    earth_lead_m = report.catalogue.settings.limits.earth_lead_m
    return wiring(shown.build, shown.audited, report.products, earth_lead_m, report.notation)


def wiring_picture(report: Report, shown: ReportBuild) -> Picture | None:
    """The wiring of a build; `None` where it has no system."""
    told = connections(report, shown)
    if told is None:
        return None
    title = f"Wiring of {shown.title}"
    return Picture(title, render_diagram(f"wiring-{shown.anchor}", title, told), wiring_table(told))


def cost_picture(report: Report, shown: ReportBuild) -> Picture:
    """Cost by part of a build."""
    title = f"Cost by part of {shown.title}"
    svg = render_costs(f"cost-{shown.anchor}", title, shown.costs, report.notation)
    return Picture(title, svg, cost_table(shown.costs, report.notation))


def score_picture(report: Report, shown: ReportBuild) -> Picture:
    """Score by part of a build."""
    title = f"Score by part of {shown.title}"
    svg = render_scores(f"score-{shown.anchor}", title, shown.score_parts, report.notation)
    return Picture(title, svg, score_table(shown.score_parts, report.notation))


def curve_pictures(report: Report) -> tuple[Picture, ...]:
    """The budget curve of every brief, in the order of the builds; without its line where it was not worked out."""
    told: list[Picture] = []
    for place, curve in enumerate(budget_curves(report), start=1):
        title = f"Highest score by budget: {curve.brief}"
        svg = render_curve(f"curve-{place}", title, curve, report.notation)
        told.append(Picture(title, svg, curve_table(curve, report.notation)))
    return tuple(told)


def plot_picture(plot: Plot, name: str, notation: Notation) -> Picture:
    """A plot of a chapter; `name` distinguishes it from other pictures in one page."""
    return Picture(plot.title, render_plot(name, plot, notation), text_table(plot.table, notation))


def plot_pictures(report: Report) -> dict[str, Picture]:
    """The plots of all chapters that a customer may read, by their names in a page."""
    return {
        f"{chapter.anchor}-{place}": plot_picture(block, f"{chapter.anchor}-{place}", report.notation)
        for chapter in report.open_chapters
        for place, block in enumerate(chapter.blocks, start=1)
        if isinstance(block, Plot)
    }


def budget_curves(report: Report) -> tuple[BudgetCurve, ...]:
    """What there is to show of each brief for one vehicle: its curve, and the tiers that were solved for it."""
    briefs = dict.fromkeys(shown.build.brief.name for shown in report.builds if not shown.build.brief.is_kit)
    points = report.curve if report.curve_is_whole else ()
    return tuple(
        BudgetCurve(
            label(brief),
            tuple(Step(point.budget, point.score) for point in points if point.brief == brief),
            tuple(
                TierMark(label(build.tier.name), build.tier.budget, build.score, build.total)
                for build in (shown.build for shown in report.builds)
                if build.brief.name == brief
            ),
        )
        for brief in briefs
    )
