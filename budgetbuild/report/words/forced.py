"""Why a product is not in the best build, what insisting on it would cost, and its entry price, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.data import optional_money, score_number
from budgetbuild.report.json_text import json_text
from budgetbuild.report.words.advised import step_changes
from budgetbuild.report.words.cautions import obstacle_text, relief_text
from budgetbuild.report.words.format import capital, label

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.build import Entry, Forced
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Tier
    from budgetbuild.report.words.voice import Voice


def forced_text(forced: Forced, products: Mapping[str, Product], tier: Tier, voice: Voice) -> list[str]:
    """What to say of a product, a sentence each.

    Raises:
        ValueError: A rule that forbids it has no words: a defect in the tool.
    """
    product = products[forced.sku]
    name, entry = f"{label(product.name)} ({label(product.sku)})", _entry(forced.entry, tier, voice)
    if forced.entry.chosen:
        return [voice.say("forced", "chosen", product=name, tier=label(tier.name)), entry]
    if forced.with_it is None:
        told = [relief_text(relief, voice) for relief in forced.reliefs]
        return [*_impossible(forced, name, tier, voice), *told, entry]
    return [_costs(forced, name, tier, voice), *step_changes(forced.step, products, voice), entry]


def _costs(forced: Forced, name: str, tier: Tier, voice: Voice) -> str:
    step, write = forced.step, voice.notation
    if step is None:
        return voice.say("forced", "only-with", product=name, tier=label(tier.name))
    return voice.say(
        "forced",
        "loses" if step.gain < 0 else "ties",
        product=name,
        tier=label(tier.name),
        lost=write.points(abs(step.gain)),
        score=write.points(step.audited.score),
        total=write.money(step.audited.total),
        price=voice.more_or_less(step.extra),
    )


def _impossible(forced: Forced, name: str, tier: Tier, voice: Voice) -> list[str]:
    if forced.least_total is not None:
        least, cap = voice.notation.money(forced.least_total), voice.notation.money(tier.cap)
        return [voice.say("forced", "too-dear", product=name, tier=label(tier.name), least=least, cap=cap)]
    told = [capital(obstacle_text(obstacle, voice)) for obstacle in forced.obstacles]
    return [voice.say("forced", "impossible", product=name), *(f"{sentence}." for sentence in told)]


def _entry(entry: Entry, tier: Tier, voice: Voice) -> str:
    money = voice.notation.money
    if entry.entry is None:
        return voice.say("forced", "entry-never", tier=label(tier.name), today=money(entry.price))
    name = "entry-stays" if entry.chosen else "entry-would"
    return voice.say("forced", name, entry=money(entry.entry), today=money(entry.price))


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
    return json_text(content)


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
    return json_text(content)
