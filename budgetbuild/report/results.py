"""`results.json`: everything in the other outputs as data.

Money is a decimal string with two places, a score a number with three; keys never change their meaning within one
`version`, and later versions only add keys. Beside its list, each build carries the connections (`amplifiers`,
`drives`, `feeds`, `cables`) and figures (`locations`, `devices`, `score_parts`), so that a published file can be
audited again against another day's price list. `amplifiers` gives the positions that `drives` and `feeds` mean; -1
among the devices of a feed is the powered subwoofer. The shop's own costs and margins are left out: the file may be
published.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from budgetbuild.report.data import VERSION, Value, gap_number, list_data, optional_money, score_number, system_data
from budgetbuild.report.fresh import place_data
from budgetbuild.report.json_text import json_text
from budgetbuild.report.rated import criteria_data, ratings_data
from budgetbuild.report.results_certain import certain_data
from budgetbuild.report.results_kit import kit_data
from budgetbuild.report.results_ladder import ladders_data
from budgetbuild.report.results_promotions import promotions_data
from budgetbuild.report.words.format import decimal_money

if TYPE_CHECKING:
    from budgetbuild.build import VersionAlert
    from budgetbuild.faults import Fault
    from budgetbuild.report.shown import Cost, CurvePoint, Report, ReportBuild, ReportLine


def render_results(report: Report) -> bytes:
    """The data file as UTF-8, keys in a fixed order, with a newline at its end."""
    catalogue = report.catalogue
    content = {
        "version": VERSION,
        "tool": {"name": "budgetbuild", "version": report.version},
        **list_data(catalogue),
        "guide": {
            "title": report.title,
            "opening": list(report.opening),
            "tiers": [{"tier": tier.tier.name, "text": tier.text} for tier in report.tiers],
            "climbs": list(report.climbs),
            "safety": list(report.safety),
        },
        "builds": [_build(build) for build in report.builds],
        "points": criteria_data(catalogue),
        "ratings": ratings_data(catalogue),
        **({"certain": certain_data(report.beside.certain)} if report.beside.certain else {}),
        **({"ladders": ladders_data(report.beside.ladders)} if report.beside.ladders else {}),
        **({"promotions": promotions_data(report.beside.promotions)} if report.beside.promotions else {}),
        "curve": [point_data(point) for point in report.curve],
        "curve_is_whole": report.curve_is_whole,
        "faults": [_fault(fault) for fault in catalogue.warnings],
    }
    return json_text(content).encode()


def _build(shown: ReportBuild) -> dict[str, Value]:
    build = shown.build
    return {
        "tier": build.tier.name,
        "brief": build.brief.name,
        "vehicle": build.vehicle.name,
        "headline": shown.headline,
        "standing": shown.standing,
        "budget": decimal_money(build.tier.budget),
        "cap": decimal_money(build.tier.cap),
        "status": build.status.value,
        "score": score_number(build.score),
        "bound": score_number(build.bound),
        "gap": gap_number(build.score, build.bound),
        "total": optional_money(build.total),
        "net_total": optional_money(shown.net_total),
        "tax": optional_money(shown.tax),
        "left_over": decimal_money(shown.left_over) if shown.audited else None,
        "lines": [_line(line) for line in shown.lines],
        "checks": [asdict(check) for check in shown.audited.checks] if shown.audited else [],
        "cautions": [asdict(caution) for caution in shown.cautions],
        "costs": [_cost(cost, build.total) for cost in shown.costs],
        "decided": list(shown.decided),
        "ratings": list(shown.ratings),
        "next_tier": {"text": shown.next_tier, "changes": list(shown.changes)},
        "safety": [sentence.text for sentence in shown.safety],
        "alerts": list(shown.alerts),
        "versions": [_version(alert) for alert in build.versions],
        "advice": _advice(shown),
        "reason": shown.reason,
        "least_budget": optional_money(shown.least_total),
        "reliefs": _reliefs(shown),
        "solver": build.solver,
        **system_data(shown.audited, shown.score_parts),
        **({"kit": kit_data(shown)} if build.brief.is_kit else {}),
    }


def _cost(cost: Cost, total: int | None) -> dict[str, Value]:
    """What a kind of part costs, and which share of the total that is."""
    return {"part": cost.part, "cost": decimal_money(cost.cents), "share": cost.cents / total if total else None}


def _version(alert: VersionAlert) -> dict[str, Value]:
    """A chosen product and what each other version of it would change."""
    return {
        "role": alert.role.value,
        "sku": alert.sku,
        "others": [
            {
                "sku": sister.sku,
                "offered": sister.offered,
                "forbidden": sister.forbidden,
                "price_difference": optional_money(sister.price_difference),
                "score_difference": score_number(sister.score_difference),
                "differences": [asdict(difference) for difference in sister.differences],
            }
            for sister in alert.sisters
        ],
    }


def _advice(shown: ReportBuild) -> list[dict[str, Value]]:
    """A little more, a little less: `null` figures where there is no such build."""
    told = zip(("step_up", "swap", "drop"), shown.advice, strict=False)
    return [
        {
            "kind": kind,
            "extra": optional_money(advice.step.extra if advice.step else None),
            "gain": score_number(advice.step.gain if advice.step else None),
            "score": score_number(advice.step.audited.score if advice.step else None),
            "total": optional_money(advice.step.audited.total if advice.step else None),
            "parts": [asdict(part) for part in advice.step.audited.system.parts] if advice.step else [],
            "text": advice.text,
            "changes": list(advice.changes),
        }
        for kind, advice in told
    ]


def _line(shown: ReportLine) -> dict[str, Value]:
    line = shown.line
    return {
        "sku": line.sku or None,
        "role": line.role.value,
        "quantity": line.quantity,
        "unit_price": decimal_money(line.unit_price),
        "line_total": decimal_money(line.line_total),
        "running_total": decimal_money(line.running_total),
        "why": shown.why,
        "description": line.description,
        "net_total": optional_money(line.net_total),
        "runner_up": _runner_up(shown),
        "rating": shown.rating,
        "rating_computed": shown.rating_computed,
    }


def _runner_up(shown: ReportLine) -> dict[str, Value] | None:
    """What came second in the place of a line; `null` figures where nothing does within the cap."""
    if shown.weighed is None:
        return None
    step = shown.weighed.step
    return {
        "sku": shown.weighed.other.sku if shown.weighed.other else None,
        "quantity": shown.weighed.other.quantity if shown.weighed.other else None,
        "extra": optional_money(step.extra if step else None),
        "gain": score_number(step.gain if step else None),
        "score": score_number(step.audited.score if step else None),
        "total": optional_money(step.audited.total if step else None),
        "least_total": optional_money(shown.weighed.least_total),
        "text": shown.runner_up,
    }


def _reliefs(shown: ReportBuild) -> list[dict[str, Value]]:
    told = zip(shown.build.no_build.reliefs if shown.build.no_build else (), shown.reliefs, strict=True)
    return [
        {
            "code": relief.code,
            "subject": relief.subject,
            "least_budget": decimal_money(relief.least_total),
            "within_cap": relief.within_cap,
            "text": text,
        }
        for relief, text in told
    ]


def point_data(point: CurvePoint) -> dict[str, Value]:
    """A point of a budget curve."""
    return {
        "brief": point.brief,
        "budget": decimal_money(point.budget),
        "score": score_number(point.score),
        "total": decimal_money(point.total),
    }


def _fault(fault: Fault) -> dict[str, Value]:
    return {
        **place_data(fault.at),
        "found": fault.found,
        "expected": fault.expected,
        "mend": fault.mend,
        "severity": fault.severity.value,
        "code": fault.code,
    }
