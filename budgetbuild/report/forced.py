"""Why a product is not in the best build, what insisting on it would cost, and its entry price, in words."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from budgetbuild.report.advised import step_changes
from budgetbuild.report.cautions import FORBIDDEN, OBSTACLES, filled, relief_text
from budgetbuild.report.format import capital, label, money, points
from budgetbuild.report.results import optional_money, score_number

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.build import Entry, Forced
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Tier


def forced_text(forced: Forced, products: Mapping[str, Product], tier: Tier, currency: str) -> list[str]:
    """What to say of a product, a sentence each.

    Raises:
        ValueError: A rule that forbids it has no words: a defect in the tool.
    """
    product = products[forced.sku]
    name = f"{label(product.name)} ({label(product.sku)})"
    if forced.entry.chosen:
        return [f"{name} is in the best system of {label(tier.name)}.", _entry(forced.entry, tier, currency)]
    if forced.with_it is None:
        return [
            *_impossible(forced, name, tier, currency),
            *_reliefs(forced, currency),
            _entry(forced.entry, tier, currency),
        ]
    return [
        _costs(forced, name, tier, currency),
        *step_changes(forced.step, products),
        _entry(forced.entry, tier, currency),
    ]


def _costs(forced: Forced, name: str, tier: Tier, currency: str) -> str:
    step = forced.step
    if step is None:
        return f"With {name}, {label(tier.name)} has a system; without it there is none."
    lost = f"loses {points(-step.gain)} points" if step.gain < 0 else "loses no points, so price or SKU order decides"
    price = f"{money(abs(step.extra), currency)} {'more' if step.extra >= 0 else 'less'}"
    return (
        f"Insisting on {name} within {label(tier.name)} {lost}: a score of {points(step.audited.score)} for "
        f"{money(step.audited.total, currency)}, {price} than the best."
    )


def _impossible(forced: Forced, name: str, tier: Tier, currency: str) -> list[str]:
    if forced.least_total is not None:
        least, cap = money(forced.least_total, currency), money(tier.cap, currency)
        return [f"No system with {name} stays within {label(tier.name)}: the cheapest costs {least}, the cap is {cap}."]
    told = [capital(filled({**OBSTACLES, **FORBIDDEN}, obstacle, currency)) for obstacle in forced.obstacles]
    return [f"No system of this brief can hold {name}, whatever it costs.", *(f"{sentence}." for sentence in told)]


def _reliefs(forced: Forced, currency: str) -> list[str]:
    return [relief_text(relief, currency) for relief in forced.reliefs]


def _entry(entry: Entry, tier: Tier, currency: str) -> str:
    today = f"it is {money(entry.price, currency)} today"
    if entry.entry is None:
        return f"At no price would it be in the best system of {label(tier.name)}; {today}."
    if entry.chosen:
        return f"It stays there up to a price of {money(entry.entry, currency)}; {today}."
    return f"Up to a price of {money(entry.entry, currency)} it would be in the best system; {today}."


def render_forced(forced: Forced, told: Sequence[str]) -> str:
    """The same as JSON: money as decimal strings, scores as numbers."""
    step = forced.step
    content = {
        "sku": forced.sku,
        "chosen": forced.entry.chosen,
        "possible": forced.with_it is not None,
        "score": score_number(forced.with_it.score if forced.with_it else None),
        "total": optional_money(forced.with_it.total if forced.with_it else None),
        "points_lost": score_number(-step.gain if step else None),
        "extra": optional_money(step.extra if step else None),
        "least_budget": optional_money(forced.least_total),
        "price": optional_money(forced.entry.price),
        "entry_price": optional_money(forced.entry.entry),
        "told": list(told),
    }
    return json.dumps(content, ensure_ascii=False, indent=2) + "\n"


def render_entries(entries: Sequence[Entry], products: Mapping[str, Product]) -> str:
    """Entry prices as JSON."""
    content = [
        {
            "sku": entry.sku,
            "product": products[entry.sku].name,
            "price": optional_money(entry.price),
            "entry_price": optional_money(entry.entry),
            "reduction": optional_money(entry.reduction),
            "chosen": entry.chosen,
        }
        for entry in entries
    ]
    return json.dumps(content, ensure_ascii=False, indent=2) + "\n"
