"""What the guide says around its systems: for whom it is, what each tier comes to, how the score climbs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from budgetbuild.catalogue.fresh import PRICE
from budgetbuild.catalogue.kinds import HeadUnitMode, TextPlace
from budgetbuild.catalogue.names import fold
from budgetbuild.report.words import kit
from budgetbuild.report.words.format import capital, label, listed, slug

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.build import Build
    from budgetbuild.catalogue.fresh import Fresh
    from budgetbuild.catalogue.shop import Catalogue, Settings, Tier
    from budgetbuild.report.words.voice import Voice

TOPIC = "guide"
FEW = 3
"""So many vehicles are named one by one."""
UNIT = 100_00
"""Cents for which the climb of the score is told."""
WAYS = {
    HeadUnitMode.REPLACE: "way-replace",
    HeadUnitMode.KEEP_FACTORY: "way-keep-factory",
    HeadUnitMode.KEEP_OWN: "way-keep-own",
}


@dataclass(frozen=True, slots=True)
class TierText:
    """What is said of a tier before its systems.

    Attributes:
        anchor: Name of its place in a page.
        text: What its budget buys, brief against brief, in one or two sentences.
        own: The shop's own paragraphs on it.
    """

    tier: Tier
    anchor: str
    text: str
    own: tuple[str, ...]


def title(settings: Settings, voice: Voice) -> str:
    """Title of the publication."""
    shop = label(settings.shop_name)
    return voice.say(TOPIC, "title-shop", shop=shop) if shop else voice.say(TOPIC, "title")


def opening(builds: Sequence[Build], catalogue: Catalogue, voice: Voice) -> tuple[str, ...]:
    """For whom the publication is, what every system in it has, and what its prices are; a sentence each."""
    settings = catalogue.settings
    vehicles = list(dict.fromkeys(label(name) for build in builds for name in kit.names_in(build)))
    budgets = sorted({build.tier.budget for build in builds})
    modes = [mode for mode in WAYS if any(build.brief.head_unit is mode for build in builds)]
    many = voice.say(TOPIC, "vehicles-many", count=str(len(vehicles)))
    sold = sum(build.audited is not None for build in builds)
    date = voice.notation.date(label(settings.date))
    told = (
        voice.say(
            TOPIC,
            "opening",
            vehicles=f"the {listed(vehicles, 'or the')}" if len(vehicles) <= FEW else many,
            budgets=listed([voice.notation.short(budget) for budget in budgets], "or"),
            ways=listed([voice.say(TOPIC, WAYS[mode]) for mode in modes], "or"),
        )
        if builds
        else "",
        voice.say(TOPIC, "complete-one" if sold == 1 else "complete", count=str(sold)) if sold else "",
        voice.say(TOPIC, "prices-dated", date=date) if date else voice.say(TOPIC, "prices"),
        _fresh_prices(catalogue.fresh, voice) if catalogue.fresh else "",
    )
    return tuple(sentence for sentence in told if sentence)


def _fresh_prices(fresh: Fresh, voice: Voice) -> str:
    """Which price file was laid over the price list, and how many prices it changed."""
    file, changed = label(fresh.name), len(fresh.changed(PRICE))
    name = {0: "prices-file-none", 1: "prices-file-one"}.get(changed, "prices-file")
    return voice.say(TOPIC, name, file=file, count=str(changed))


def tier_texts(builds: Sequence[Build], catalogue: Catalogue, voice: Voice) -> tuple[TierText, ...]:
    """What each tier comes to, in the order of the builds."""
    groups = [list(group) for _, group in groupby(builds, key=lambda build: fold(build.tier.name))]
    return tuple(
        TierText(
            tier=group[0].tier,
            anchor=f"tier-{turn}-{slug(group[0].tier.name)}".rstrip("-"),
            text=_tier_text(group, replace(voice, turn=turn)),
            own=catalogue.texts_for(TextPlace.TIER, group[0].tier.name),
        )
        for turn, group in enumerate(groups, start=1)
    )


def _tier_text(group: Sequence[Build], voice: Voice) -> str:
    """The best brief of a tier, then how far the others are behind it."""
    write = voice.notation
    budget = write.short(group[0].tier.budget)
    found = sorted(
        (build for build in group if build.audited), key=lambda build: (-(build.score or 0), build.total or 0)
    )
    if not found:
        return voice.say(TOPIC, "tier-none", budget=budget)
    best = found[0]
    told = {"budget": budget, "score": write.points(best.score or 0), "total": kit.total_of(best, voice)}
    if len(group) == 1:
        return capital(voice.say(TOPIC, "tier-only", brief=label(best.brief.name), **told))
    level = [build for build in found if build.score == best.score]
    if len(level) == len(group):
        names = listed([label(build.brief.name) for build in level])
        return capital(voice.say(TOPIC, "tier-level", best=names, budget=budget, score=told["score"]))
    rest = [*_behind(found[1:], best, voice), *_without(group, voice)]
    others = capital(voice.say(TOPIC, "tier-others", others="; ".join(rest)))
    return capital(voice.say(TOPIC, "tier-best", best=label(best.brief.name), others=others, **told))


def _behind(others: Sequence[Build], best: Build, voice: Voice) -> Iterator[str]:
    for build in others:
        yield voice.say(
            TOPIC,
            "tier-other",
            brief=label(build.brief.name),
            score=voice.notation.points(build.score or 0),
            total=kit.total_of(build, voice),
            behind=voice.notation.points((best.score or 0) - (build.score or 0)),
        )


def _without(group: Sequence[Build], voice: Voice) -> Iterator[str]:
    for build in group:
        if build.audited is None:
            yield voice.say(TOPIC, "tier-none-other", brief=label(build.brief.name))


def climbs(builds: Sequence[Build], voice: Voice) -> tuple[str, ...]:
    """For each brief that several tiers solve: how its score climbs from tier to tier, and what a step costs."""
    told: list[str] = []
    for name in dict.fromkeys(fold(build.brief.name) for build in builds):
        mine = sorted((build for build in builds if fold(build.brief.name) == name), key=lambda one: one.tier.budget)
        if len(mine) > 1:
            steps = [_first(mine[0], voice), *(_step(low, high, voice) for low, high in pairwise(mine))]
            told.append(voice.say(TOPIC, "climb", brief=label(mine[0].brief.name), steps="; ".join(steps)))
    return tuple(told)


def _first(build: Build, voice: Voice) -> str:
    tier, write = label(build.tier.name), voice.notation
    if build.audited is None:
        return voice.say(TOPIC, "climb-none", tier=tier)
    return voice.say(
        TOPIC,
        "climb-first",
        tier=tier,
        score=write.points(build.score or 0),
        total=kit.total_of(build, voice),
    )


def _step(low: Build, high: Build, voice: Voice) -> str:
    """What the next larger budget adds; from a tier without a system, what it comes to."""
    if low.audited is None or high.audited is None:
        return _first(high, voice)
    tier, write = label(high.tier.name), voice.notation
    gain, more = (high.score or 0) - (low.score or 0), high.audited.total - low.audited.total
    if low.audited.system == high.audited.system:
        return voice.say(TOPIC, "climb-same", tier=tier)
    if more <= 0:
        return voice.say(TOPIC, "climb-less", tier=tier, gain=write.points(gain), less=write.money(-more))
    rate = Fraction(gain * UNIT, more)
    return voice.say(
        TOPIC,
        "climb-step",
        tier=tier,
        gain=write.points(gain),
        more=write.money(more),
        rate=write.points(round(rate)),
        unit=write.short(UNIT),
    )
