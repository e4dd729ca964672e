"""`recheck.json`: what has become of a published guide, as data.

`builds` says what the guide should print now with the fewest changes, in the form that `results.json` has: so, once the
guide is corrected, this file can be rechecked in its turn. What was printed, what drifted and what else one could do
stands beside it, under `published`, `drifts`, `repair` and `best`.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.build import Standing, Status
from budgetbuild.report.data import VERSION, list_data, optional_money, score_number, system_data
from budgetbuild.report.json_text import json_text
from budgetbuild.report.words.drifts import Speaker
from budgetbuild.report.words.format import decimal_money
from budgetbuild.report.words.listing import safety_sentences
from budgetbuild.report.words.recheck import compared, to_do, told, verdict

if TYPE_CHECKING:
    from budgetbuild.build import Audited, Drift, PricedLine, Published, PublishedBuild, Recheck, Rechecked, Remedy
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.voice import Voice

Value = object
"""Anything that JSON can hold."""
IN_MONEY = frozenset({"price", "labour", "over-cap", "budget", "cap", "least-total"})
IN_POINTS = frozenset({"score"})
KEPT = "kept"
"""Status of a build that stays, or changes as little as it can, and is not the best."""


def render_recheck_data(recheck: Recheck, catalogue: Catalogue, voice: Voice) -> bytes:
    """The data file as UTF-8, keys in a fixed order, with a newline at its end."""
    speaker = Speaker(voice, catalogue.by_sku())
    content = {
        "version": VERSION,
        "tool": {"name": "budgetbuild", "version": __version__},
        **list_data(catalogue),
        "holds": recheck.holds,
        "beaten": recheck.beaten,
        "verdict": verdict(recheck, speaker),
        "compared": compared(recheck.published, catalogue, speaker),
        "published": _file(recheck.published),
        "builds": [_build(build, speaker) for build in recheck.builds if _stays(build)],
        "withdrawn": [_build(build, speaker) for build in recheck.builds if not _stays(build)],
        "unpublished": [{"tier": tier, "brief": brief} for tier, brief in recheck.unpublished],
    }
    return json_text(content).encode()


def _stays(build: Rechecked) -> bool:
    return build.standing is not Standing.WITHDRAWN


def _file(published: Published) -> dict[str, Value]:
    return {
        "name": published.name,
        "sha256": published.sha256,
        "version": published.version,
        "catalogue": published.catalogue,
        "catalogue_sha256": published.catalogue_sha256,
        "date": published.catalogue_date,
    }


def _build(rechecked: Rechecked, speaker: Speaker) -> dict[str, Value]:
    """What to print now in a build's place, and how it was told from what was printed."""
    now = _to_print(rechecked)
    return {
        "tier": rechecked.tier.name,
        "brief": rechecked.published.brief,
        "vehicle": rechecked.published.vehicle,
        "budget": decimal_money(rechecked.tier.budget),
        "cap": decimal_money(rechecked.tier.cap),
        "status": _status(rechecked, now),
        "score": score_number(now.score if now else None),
        "total": optional_money(now.total if now else None),
        "least_budget": optional_money(rechecked.no_build.least_total if rechecked.no_build else None),
        "lines": [_line(line, speaker.products.get(line.sku)) for line in now.lines] if now else [],
        "checks": [asdict(check) for check in now.checks] if now else [],
        "cautions": [asdict(caution) for caution in now.cautions] if now else [],
        "safety": list(safety_sentences(now, speaker.products, speaker.voice)) if now else [],
        **system_data(now),
        "standing": rechecked.standing.value,
        "told": told(rechecked, speaker),
        "to_do": to_do(rechecked, speaker),
        "beaten": rechecked.beaten,
        "published": _published(rechecked.published),
        "today": _worth(rechecked.audited),
        "drifts": [_drift(drift) for drift in rechecked.drifts],
        "repair": _remedy(rechecked.repair),
        "best": _remedy(rechecked.best),
    }


def _to_print(rechecked: Rechecked) -> Audited | None:
    """The system to print with the fewest changes: the published one, its repair, or one where there was none."""
    match rechecked.standing:
        case Standing.HOLDS | Standing.FIGURES:
            return rechecked.audited
        case Standing.PARTS:
            return rechecked.repair.audited if rechecked.repair else None
        case Standing.POSSIBLE:
            return rechecked.best.audited if rechecked.best else None
        case Standing.WITHDRAWN:
            return None


def _status(rechecked: Rechecked, now: Audited | None) -> str:
    best = rechecked.best
    if now is None:
        return (Status.INFEASIBLE if rechecked.no_build else Status.TIME_LIMIT).value
    same = best and best.audited and (best.audited.score, best.audited.total) == (now.score, now.total)
    return best.status.value if best and same else KEPT


def _line(line: PricedLine, product: Product | None) -> dict[str, Value]:
    return {
        "sku": line.sku or None,
        "role": line.role.value,
        "quantity": line.quantity,
        "unit_price": decimal_money(line.unit_price),
        "line_total": decimal_money(line.line_total),
        "running_total": decimal_money(line.running_total),
        "description": line.description,
        "net_total": optional_money(line.net_total),
        "rating": product.rating if product else None,
    }


def _published(build: PublishedBuild) -> dict[str, Value]:
    return {
        "tier": build.tier,
        "budget": decimal_money(build.budget),
        "cap": decimal_money(build.cap),
        "status": build.status.value,
        **_figures(build.score, build.total),
    }


def _worth(audited: Audited | None) -> dict[str, Value] | None:
    return _figures(audited.score, audited.total) if audited else None


def _figures(score: int | None, total: int | None) -> dict[str, Value]:
    return {"score": score_number(score), "total": optional_money(total)}


def _drift(drift: Drift) -> dict[str, Value]:
    return {
        "code": drift.code,
        "subject": drift.subject,
        "before": _side(drift.code, drift.before),
        "after": _side(drift.code, drift.after),
        "weight": drift.weight.value,
        "figures": drift.figures,
    }


def _side(code: str, side: float | str | None) -> Value:
    """Money as a decimal string, a score as a number of points, anything else as it is."""
    if side is None or isinstance(side, str):
        return side
    if code in IN_MONEY:
        return decimal_money(int(side))
    return score_number(int(side)) if code in IN_POINTS else side


def _remedy(remedy: Remedy | None) -> dict[str, Value] | None:
    if remedy is None:
        return None
    return {
        "status": remedy.status.value,
        "parts_changed": remedy.parts_changed,
        "fewest": remedy.fewest,
        **_figures(remedy.audited.score if remedy.audited else None, remedy.audited.total if remedy.audited else None),
        "parts": [asdict(part) for part in remedy.audited.system.parts] if remedy.audited else [],
        "exchanges": [asdict(change) for change in remedy.exchanges],
    }
