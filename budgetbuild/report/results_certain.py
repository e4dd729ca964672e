"""What `results.json` holds of builds that stay within the cap even if prices rise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.data import Value, gap_number, optional_money, score_number, whole_system_data
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
    return {
        "rising": step.rising,
        "or_more": step.all_rise,
        "status": build.status.value,
        "score": score_number(build.score),
        "bound": score_number(build.bound),
        "gap": gap_number(build.score, build.bound),
        "solver": build.solver,
        "lost": score_number(certain.lost(step)),
        "total": optional_money(build.total),
        "dearest_total": optional_money(step.dearest),
        "today_dearest_total": decimal_money(step.today_total),
        "risen": [risen_data(rise) for rise in step.risen],
        **whole_system_data(build.audited),
    }


def risen_data(rise: Risen) -> dict[str, Value]:
    """A price that rises in the dearest case."""
    return {
        "sku": rise.sku,
        "quantity": rise.quantity,
        "price": decimal_money(rise.price),
        "price_high": decimal_money(rise.price_high),
        "more": decimal_money(rise.cents),
    }
