"""What `results.json` holds of builds that stay within the cap even if prices rise."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from budgetbuild.report.data import Value, line_data, optional_money, score_number, system_data
from budgetbuild.report.words.format import decimal_money

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.build import Certain, Risen, Secured


def certain_data(found: Iterable[Certain]) -> list[dict[str, Value]]:
    """One entry for each tier and brief."""
    return [_certain(certain) for certain in found]


def _certain(certain: Certain) -> dict[str, Value]:
    today = certain.today
    return {
        "tier": today.tier.name,
        "brief": today.brief.name,
        "vehicle": today.vehicle.name,
        "cap": decimal_money(today.tier.cap),
        "rising": certain.rising,
        "met": certain.met,
        "greatest": certain.greatest,
        "least_cap": optional_money(certain.least),
        "steps": [_step(certain, step) for step in certain.steps],
    }


def _step(certain: Certain, step: Secured) -> dict[str, Value]:
    build = step.build
    audited = build.audited
    return {
        "rising": step.rising,
        "or_more": step.all_rise,
        "status": build.status.value,
        "score": score_number(build.score),
        "bound": score_number(build.bound),
        "lost": score_number(certain.lost(step)),
        "total": optional_money(build.total),
        "dearest_total": optional_money(step.dearest),
        "today_dearest_total": decimal_money(step.today_total),
        "risen": [_risen(rise) for rise in step.risen],
        "lines": [line_data(line) for line in audited.lines] if audited else [],
        "checks": [asdict(check) for check in audited.checks] if audited else [],
        "cautions": [asdict(caution) for caution in audited.cautions] if audited else [],
        **system_data(audited),
    }


def _risen(rise: Risen) -> dict[str, Value]:
    return {
        "sku": rise.sku,
        "quantity": rise.quantity,
        "price": decimal_money(rise.price),
        "price_high": decimal_money(rise.price_high),
        "more": decimal_money(rise.cents),
    }
