"""Sentences for cautions, and for why no system is possible: one sentence by code, filled with the figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Build, Caution, Relief, Status
from budgetbuild.report.words.format import capital, label, listed
from budgetbuild.report.words.shares import TOPIC as KIT
from budgetbuild.report.words.shares import asked_share, percent

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from budgetbuild.build import NoBuild, Shortfall
    from budgetbuild.catalogue.items import Product
    from budgetbuild.report.words.voice import Voice

HEAD_UNITS = {"replace": "replace", "keep factory": "keep-factory", "keep own": "keep-own"}
"""What a brief may do with the head unit, by the name of its words."""


def caution_text(caution: Caution, voice: Voice, products: Mapping[str, Product] | None = None) -> str:
    """The sentence of a caution; products that are known stand in it by their names.

    Raises:
        ValueError: The code has no sentence, or a figure that the sentence quotes is missing.
    """
    return capital(filled("cautions", caution, voice, products))


def obstacle_text(obstacle: Caution, voice: Voice) -> str:
    """What stands in the way, as part of a sentence.

    Raises:
        ValueError: The code has no words, or a figure that they quote is missing.
    """
    return filled("obstacles", obstacle, voice)


def no_build_reason(build: Build, voice: Voice) -> str:
    """Why a build has no system, empty where it has one."""
    if build.audited is not None:
        return ""
    if build.status is Status.TIME_LIMIT:
        return voice.say("no-build", "stopped")
    if build.no_build is None:
        return voice.say("no-build", "unexplained")
    if build.no_build.shortfall:
        return shortfall_reason(build, build.no_build.shortfall, voice)
    return _impossible(build.no_build, build.tier.cap, voice)


def _impossible(no_build: NoBuild, cap: int, voice: Voice) -> str:
    """Why a brief for one vehicle has no system within a cap."""
    told = "; ".join(obstacle_text(obstacle, voice) for obstacle in no_build.obstacles)
    if told:
        return voice.say("no-build", "obstacles", obstacles=capital(told))
    if no_build.least_total is None:
        return voice.say("no-build", "at-no-price")
    money = voice.notation.money
    return voice.say("no-build", "too-dear", least=money(no_build.least_total), cap=money(cap))


def shortfall_reason(build: Build, lacking: Shortfall, voice: Voice) -> str:
    """Why no system covers as many vehicles as asked: how many one can, what it costs, what stands in the way."""
    money, total = voice.notation.money, len(build.brief.vehicles)
    count = voice.say(KIT, "count", count=str(len(lacking.covers)), all=str(total))
    if lacking.greatest * total != len(lacking.covers):
        count = voice.say(KIT, "count-weighted", count=count, share=percent(lacking.greatest, voice))
    name = ("none" if lacking.covers else "none-at-all") + ("" if lacking.proven else "-found")
    told = [
        voice.say(
            KIT,
            name,
            asked=asked_share(lacking.asked, total, voice),
            cap=money(build.tier.cap),
            count=count,
            covers=listed([label(name) for name in lacking.covers]),
        )
    ]
    least = build.no_build.least_total if build.no_build else None
    if least is not None:
        told.append(voice.say(KIT, "none-dearer", least=money(least)))
    elif lacking.whatever_price is not None:
        told.append(voice.say(KIT, "none-any-price", greatest=percent(lacking.whatever_price, voice)))
    return " ".join([*told, *_in_the_way(lacking, voice)])


def _in_the_way(lacking: Shortfall, voice: Voice) -> Iterator[str]:
    """The vehicles left out: those that have nothing even by themselves, and those that want other parts."""
    for one in lacking.alone:
        vehicle = label(one.vehicle)
        if one.least_total is None:
            obstacles = "; ".join(obstacle_text(obstacle, voice) for obstacle in one.obstacles)
            yield voice.say(KIT, "alone-never", vehicle=vehicle, obstacles=obstacles)
        else:
            yield voice.say(KIT, "alone-dear", vehicle=vehicle, least=voice.notation.money(one.least_total))
    alone = {one.vehicle for one in lacking.alone}
    others = [label(name) for name in lacking.lacks if name not in alone]
    if others:
        yield voice.say(KIT, "unlike", vehicles=listed(others, "and the"))


def reliefs(build: Build, voice: Voice) -> tuple[str, ...]:
    """What would make a system possible, one sentence for each requirement that may be taken away."""
    if build.no_build is None:
        return ()
    return tuple(relief_text(relief, voice) for relief in build.no_build.reliefs)


def relief_text(relief: Relief, voice: Voice) -> str:
    """What taking a requirement away would make possible.

    Raises:
        ValueError: The code has no words.
    """
    head_unit = HEAD_UNITS.get(relief.subject)
    subject = voice.say("reliefs", head_unit) if head_unit else label(relief.subject) or "it"
    said = capital(voice.say("reliefs", relief.code, subject=subject))
    if not relief.least_total:
        return voice.say("reliefs", "nothing-bought", relief=said)
    name = "within" if relief.within_cap else "above"
    return voice.say("reliefs", name, relief=said, least=voice.notation.money(relief.least_total))


def filled(topic: str, caution: Caution, voice: Voice, products: Mapping[str, Product] | None = None) -> str:
    """A sentence with its figures spoken; figures named `..._cents` become money, without that ending.

    Raises:
        ValueError: The code has no words, or a figure that they quote is missing.
    """
    words = {"subject": label(caution.subject)}
    for name, value in caution.figures.items():
        if name.endswith("_cents"):
            words[name.removesuffix("_cents")] = voice.notation.money(int(value))
        else:
            digits = 1 if name.endswith("_a") else 2
            words[name] = _named(value, products) if isinstance(value, str) else voice.notation.number(value, digits)
    return voice.say(topic, caution.code, **words)


def _named(value: str, products: Mapping[str, Product] | None) -> str:
    """A word of a caution; a SKU by brand and model where the product is known."""
    product = products.get(value) if products else None
    return label(product.name if product else value)
