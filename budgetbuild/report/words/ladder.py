"""Upgrade paths in words: how they are read, how far they are proven, what each step costs, and why there is none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Role, Status
from budgetbuild.report.words.format import label, listed

if TYPE_CHECKING:
    from budgetbuild.build import Ladder, LadderStep
    from budgetbuild.report.words.voice import Voice

TOPIC = "ladder"


def route(ladder: Ladder) -> str:
    """Names of the steps, in their order."""
    return " > ".join(label(step.build.tier.name) for step in ladder.steps)


def title(ladder: Ladder, voice: Voice) -> str:
    """Heading of a path."""
    brief = label(ladder.brief.name)
    if not ladder.steps:
        return voice.say(TOPIC, "title-none", brief=brief)
    return voice.say(TOPIC, "title", brief=brief, **_ends(ladder))


def opening(ladder: Ladder, voice: Voice) -> str:
    """For whom the path is, and what it was chosen by."""
    told = [
        voice.say(TOPIC, "opening", **_ends(ladder)),
        voice.say(TOPIC, "all-kept" if ladder.keep else "may-aside"),
        _chosen(ladder, voice),
        standing(ladder, voice),
        _skipped(ladder, voice),
        voice.say(TOPIC, "fitting") if ladder.brief.fitted else "",
    ]
    return " ".join(text for text in told if text)


def _ends(ladder: Ladder) -> dict[str, str]:
    first, *_, last = ladder.steps
    return {"first": label(first.build.tier.name), "last": label(last.build.tier.name)}


def _chosen(ladder: Ladder, voice: Voice) -> str:
    """What it was chosen by; nothing is called the best that is not proven."""
    name = "chosen" if ladder.status is Status.OPTIMAL else "sought"
    if not ladder.weighted:
        return voice.say(TOPIC, name)
    weights = [
        voice.say(TOPIC, "weight-of", weight=voice.notation.number(step.weight), tier=label(step.build.tier.name))
        for step in ladder.steps
    ]
    return voice.say(TOPIC, f"{name}-weighted", weights=listed(weights))


def standing(ladder: Ladder, voice: Voice) -> str:
    """How far the path is proven, as a sentence."""
    return _standing(ladder, voice, ("proven", "worth-proven", "stopped", "stopped-unknown"))


def short_standing_of(ladder: Ladder, voice: Voice) -> str:
    """How far the path is proven, in a few words."""
    return _standing(ladder, voice, ("standing-proven", "standing-worth", "standing-stopped", "standing-unknown"))


def _standing(ladder: Ladder, voice: Voice, names: tuple[str, str, str, str]) -> str:
    proven, by_score, stopped, unknown = names
    if ladder.status is Status.OPTIMAL:
        return voice.say(TOPIC, proven)
    if ladder.bound is None:
        return voice.say(TOPIC, unknown)
    if ladder.bound <= ladder.worth:
        return voice.say(TOPIC, by_score)
    return voice.say(TOPIC, stopped, distance=voice.notation.points(ladder.bound - ladder.worth))


def _skipped(ladder: Ladder, voice: Voice) -> str:
    if not ladder.skipped:
        return ""
    names = [label(tier.name) for tier in ladder.skipped]
    name = "skipped" if len(names) == 1 else "skipped-several"
    return voice.say(TOPIC, name, first=_ends(ladder)["first"], skipped=listed(names))


def step_text(step: LadderStep, number: int, voice: Voice) -> str:
    """What a step costs and scores, against its cap and against the tier's own best."""
    write, climbed, tier = voice.notation, step.climbed, step.build.tier
    told = []
    if not climbed.paid:
        told.append(voice.say(TOPIC, "pay-nothing", spent=write.money(climbed.spent)))
    elif number == 1:
        told.append(voice.say(TOPIC, "pay-first", paid=write.money(climbed.paid)))
    else:
        figures = {"paid": climbed.paid, "spent": climbed.spent, "cap": tier.cap}
        told.append(voice.say(TOPIC, "pay", **{name: write.money(cents) for name, cents in figures.items()}))
    if climbed.spent > tier.budget:
        over, budget = write.money(climbed.spent - tier.budget), write.money(tier.budget)
        told.append(voice.say(TOPIC, "over-budget", over=over, budget=budget))
    return " ".join([*told, _against_best(step, voice), _against_at_once(step, voice)]).strip()


def _against_best(step: LadderStep, voice: Voice) -> str:
    if step.lost is None:
        return ""
    write = voice.notation
    figures = {"score": write.points(step.build.score or 0), "tier": label(step.build.tier.name)}
    if not step.lost:
        return voice.say(TOPIC, "own-best", **figures)
    if step.lost < 0:
        return voice.say(TOPIC, "above-unproven", more=write.points(-step.lost), **figures)
    name = "below-best" if step.best.status is Status.OPTIMAL else "below-unproven"
    return voice.say(TOPIC, name, lost=write.points(step.lost), **figures)


def _against_at_once(step: LadderStep, voice: Voice) -> str:
    more = step.more_than_at_once
    if not more:
        return ""
    aside = step.climbed.lies_aside
    name = "at-once-work" if not aside else "at-once-parts" if more == aside else "at-once"
    return voice.say(TOPIC, name, total=voice.notation.money(step.build.total or 0), more=voice.notation.money(more))


def no_path(ladder: Ladder, voice: Voice) -> str:
    """Why there is none; empty where there is one."""
    return voice.say(TOPIC, f"none-{str(ladder.why_not).replace(' ', '-')}") if ladder.why_not else ""


def fitted_in(ladder: Ladder) -> bool:
    """Whether any step has fitting work."""
    audited = (step.build.audited for step in ladder.steps)
    return any(line.role is Role.LABOUR for one in audited if one for line in one.lines)
