"""A little more, a little less: what another build would cost, gain and change, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.format import capital, label, listed, money, points
from budgetbuild.report.steps import COMPARED

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Advice, Build, Change, Part, Step
    from budgetbuild.catalogue.items import Product


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


def advised(build: Build, products: Mapping[str, Product], currency: str) -> tuple[ToldAdvice, ...]:
    """All advice on a build, empty where none was asked for."""
    advice, audited = build.advice, build.audited
    if advice is None or audited is None:
        return ()
    told = (
        ("Next step up", _step_up(advice, currency), advice.step_up),
        ("Best single swap", _swap(advice, currency), advice.swap),
        ("First thing to drop", _drop(advice, build.tier.cap - audited.total >= advice.stretch, currency), advice.drop),
    )
    return tuple(ToldAdvice(title, text, step_changes(step, products), step) for title, text, step in told)


def _step_up(advice: Advice, currency: str) -> str:
    visible = points(advice.visible)
    if advice.step_up is None:
        return f"No system from this list gains {visible} points or more over this one, whatever it costs."
    step = advice.step_up
    return (
        f"The least that gains {visible} points or more: {money(step.extra, currency)} more, "
        f"{money(step.audited.total, currency)} in all, gains {points(step.gain)} points."
    )


def _swap(advice: Advice, currency: str) -> str:
    stretch = money(advice.stretch, currency)
    if advice.swap is None:
        return f"No exchange of one part alone gains anything within {stretch} over the cap."
    step = advice.swap
    return (
        f"Exchanging one part alone, to at most {stretch} over the cap: {_extra(step.extra, currency)} "
        f"gains {points(step.gain)} points, {money(step.audited.total, currency)} in all."
    )


def _drop(advice: Advice, fits: bool, currency: str) -> str:  # noqa: FBT001 - two cases of one sentence
    stretch = money(advice.stretch, currency)
    if fits:
        return f"Nothing need go: the system stays within a cap {stretch} lower as it is."
    if advice.drop is None:
        return f"With a cap {stretch} lower, leaving out or exchanging one part alone is not enough."
    step = advice.drop
    lost = f"loses {points(-step.gain)} points" if step.gain < 0 else "loses nothing"
    return (
        f"With a cap {stretch} lower, the one change that costs the fewest points saves "
        f"{money(-step.extra, currency)} and {lost}: {money(step.audited.total, currency)} in all."
    )


def _extra(extra: int, currency: str) -> str:
    return f"{money(abs(extra), currency)} {'more' if extra >= 0 else 'less'}"


def step_changes(step: Step | None, products: Mapping[str, Product]) -> tuple[str, ...]:
    """What a step changes, one sentence for each role."""
    return tuple(_change(change, products) for change in step.changes) if step else ()


def _change(change: Change, products: Mapping[str, Product]) -> str:
    before, after = _names(change.before, products), _names(change.after, products)
    words = capital(COMPARED.get(change.role, change.role.value))
    if not change.before:
        return f"{words}: {after}, new"
    return f"{words}: {after} instead of {before}" if change.after else f"{words}: without {before}"


def _names(parts: tuple[Part, ...], products: Mapping[str, Product]) -> str:
    return listed([_name(part, products) for part in parts])


def _name(part: Part, products: Mapping[str, Product]) -> str:
    product = products.get(part.sku)
    name = label(product.name) if product else label(part.sku)
    return f"{part.quantity} x {name}" if part.quantity > 1 else name
