"""A little more, a little less: what another build would cost, gain and change, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.words.format import capital, label, listed
from budgetbuild.report.words.steps import COMPARED

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Advice, Build, Change, Part, Step
    from budgetbuild.catalogue.items import Product
    from budgetbuild.report.words.voice import Voice

TOPIC = "advice"


@dataclass(frozen=True, slots=True)
class ToldAdvice:
    """One piece of advice.

    Attributes:
        title: What it is about.
        text: What it costs and earns, in one sentence.
        changes: What changes, role by role.
        step: The figures behind it; `None` where there is no such build.
    """

    title: str
    text: str
    changes: tuple[str, ...]
    step: Step | None


def advised(build: Build, products: Mapping[str, Product], voice: Voice) -> tuple[ToldAdvice, ...]:
    """All advice on a build, empty where none was asked for."""
    advice, audited = build.advice, build.audited
    if advice is None or audited is None:
        return ()
    needless = build.tier.cap - audited.total >= advice.stretch
    told = (
        ("step-up", _step_up(advice, voice), advice.step_up),
        ("swap", _swap(advice, build.tier.cap + advice.stretch, voice), advice.swap),
        ("drop", _needless(advice, voice) if needless else _drop(advice, voice), advice.drop),
    )
    return tuple(
        ToldAdvice(voice.say(TOPIC, f"{name}-title"), text, step_changes(step, products, voice), step)
        for name, text, step in told
    )


def _step_up(advice: Advice, voice: Voice) -> str:
    write, step = voice.notation, advice.step_up
    visible = write.points(advice.visible)
    if step is None:
        return voice.say(TOPIC, "step-up-none", visible=visible)
    return voice.say(
        TOPIC,
        "step-up",
        visible=visible,
        extra=write.money(step.extra),
        total=write.money(step.audited.total),
        gain=write.points(step.gain),
    )


def _swap(advice: Advice, cap: int, voice: Voice) -> str:
    write, step = voice.notation, advice.swap
    most = write.money(cap)
    if step is None:
        return voice.say(TOPIC, "swap-none", most=most)
    return voice.say(
        TOPIC,
        "swap",
        most=most,
        extra=voice.more_or_less(step.extra),
        gain=write.points(step.gain),
        total=write.money(step.audited.total),
    )


def _needless(advice: Advice, voice: Voice) -> str:
    return voice.say(TOPIC, "drop-needless", stretch=voice.notation.money(advice.stretch))


def _drop(advice: Advice, voice: Voice) -> str:
    write, step = voice.notation, advice.drop
    stretch = write.money(advice.stretch)
    if step is None:
        return voice.say(TOPIC, "drop-none", stretch=stretch)
    return voice.say(
        TOPIC,
        "drop" if step.gain < 0 else "drop-free",
        stretch=stretch,
        saved=write.money(-step.extra),
        lost=write.points(abs(step.gain)),
        total=write.money(step.audited.total),
    )


def step_changes(step: Step | None, products: Mapping[str, Product], voice: Voice) -> tuple[str, ...]:
    """What a step changes, one sentence for each role."""
    return tuple(_change(change, products, voice) for change in step.changes) if step else ()


def _change(change: Change, products: Mapping[str, Product], voice: Voice) -> str:
    name = "new" if not change.before else "instead" if change.after else "gone"
    return voice.say(
        TOPIC,
        name,
        part=capital(COMPARED.get(change.role, change.role.value)),
        before=_names(change.before, products),
        after=_names(change.after, products),
    )


def _names(parts: tuple[Part, ...], products: Mapping[str, Product]) -> str:
    return listed([_name(part, products) for part in parts])


def _name(part: Part, products: Mapping[str, Product]) -> str:
    product = products.get(part.sku)
    name = label(product.name) if product else label(part.sku)
    return f"{part.quantity} x {name}" if part.quantity > 1 else name
