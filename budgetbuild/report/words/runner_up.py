"""What a chosen product was weighed against: the best system with another product in its place, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import fold
from budgetbuild.report.words.format import capital, label

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Build, PricedLine, RunnerUp, Step
    from budgetbuild.catalogue.items import Product
    from budgetbuild.report.words.voice import Voice

TOPIC = "runner-up"


def runner_up_of(line: PricedLine, build: Build) -> RunnerUp | None:
    """The runner-up for the product of a line; `None` where the line scores nothing or no advice was asked for."""
    found = build.advice.runners_up if build.advice else ()
    return next((one for one in found if (one.part.role, one.part.sku) == (line.role, line.sku)), None)


def runner_up_text(found: RunnerUp, build: Build, products: Mapping[str, Product], voice: Voice) -> str:
    """One sentence on what comes second in a part, or why nothing does."""
    if found.step and found.other:
        return capital(_compared(products[found.other.sku], found.other.quantity, found.step, voice))
    if found.least_total is not None:
        return capital(voice.say(TOPIC, "too-dear", total=voice.notation.money(found.least_total)))
    asked = _asked_for(products[found.part.sku], build)
    return capital(voice.say(TOPIC, "asked-for" if asked else "alone"))


def _compared(other: Product, quantity: int, step: Step, voice: Voice) -> str:
    write = voice.notation
    level = "level" if step.extra else "level-sku"
    rated = other.rating is not None
    return voice.say(
        TOPIC,
        "worse" if step.gain < 0 else "better" if step.gain > 0 else level,
        other=f"{quantity} x {label(other.name)}" if quantity > 1 else label(other.name),
        rating=voice.say(TOPIC, "rating", rating=write.number(other.rating or 0)) if rated else "",
        points=write.points(abs(step.gain)),
        price=voice.more_or_less(step.extra) if step.extra else voice.say("amount", "same"),
    )


def _asked_for(product: Product, build: Build) -> bool:
    """Whether the brief insists on this very product or on its brand."""
    terms = {fold(term) for term in build.brief.must_include}
    return fold(product.sku) in terms or fold(product.brand) in terms
