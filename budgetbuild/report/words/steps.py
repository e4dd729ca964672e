"""What the next tier up brings for the same brief."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import Audited, Build, Role
from budgetbuild.catalogue.names import fold
from budgetbuild.report.words.format import capital, label, listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.words.voice import Voice

COMPARED: dict[Role, str] = {
    Role.HEAD_UNIT: "head unit",
    Role.CONVERTER: "converter",
    Role.FRONT: "front speakers",
    Role.REAR: "rear speakers",
    Role.BASS: "bass",
    Role.BOX: "bass box",
    Role.AMPLIFIER: "amplifier",
    Role.DEADENING: "sound deadening",
}
"""Roles that a customer compares; cables and kits follow from them."""


@dataclass(frozen=True, slots=True)
class TierStep:
    """What the next larger budget buys.

    Attributes:
        text: What it costs and earns, empty where there is no larger budget with a system.
        changes: Part by part what changes.
    """

    text: str
    changes: tuple[str, ...] = ()


def next_tier(build: Build, builds: Sequence[Build], voice: Voice) -> TierStep:
    """What the next larger budget with a system buys for the same brief."""
    larger = [
        other
        for other in builds
        if other.audited and fold(other.brief.name) == fold(build.brief.name) and other.tier.budget > build.tier.budget
    ]
    if not larger:
        return TierStep("")
    step = min(larger, key=lambda other: other.tier.budget)
    money = voice.notation.money
    tier = voice.say("next-tier", "name", tier=label(step.tier.name), budget=voice.notation.short(step.tier.budget))
    if build.audited is None or step.audited is None:
        return TierStep(voice.say("next-tier", "exists", tier=tier, total=money(step.total or 0)))
    if build.audited.system == step.audited.system:
        return TierStep(voice.say("next-tier", "same", tier=tier))
    return TierStep(_difference(tier, build, step, voice), _changes(build.audited, step.audited, voice))


def _difference(tier: str, now: Build, then: Build, voice: Voice) -> str:
    """What the step costs and what it earns."""
    more, gained = (then.total or 0) - (now.total or 0), (then.score or 0) - (now.score or 0)
    price = voice.more_or_less(more)
    points = voice.notation.points(abs(gained))
    gain = voice.say("next-tier", "points-more" if gained >= 0 else "points-less", points=points)
    return voice.say("next-tier", "step", tier=tier, price=price, gain=gain)


def _changes(now: Audited, then: Audited, voice: Voice) -> tuple[str, ...]:
    """Roles that come in, go out or get another product."""
    before, after = _held(now), _held(then)
    said: list[str] = []
    for role, words in COMPARED.items():
        old, new = before.get(role, ""), after.get(role, "")
        if old != new:
            name = "new" if not old else "instead" if new else "gone"
            said.append(voice.say("advice", name, part=capital(words), before=old, after=new))
    return tuple(said)


def _held(audited: Audited) -> dict[Role, str]:
    """What fills each compared role, with the quantity where it is more than one."""
    held: dict[Role, list[str]] = {}
    for line in audited.lines:
        if line.role in COMPARED:
            times = f"{line.quantity} x " if line.quantity > 1 else ""
            held.setdefault(line.role, []).append(times + label(line.description))
    return {role: listed(names) for role, names in held.items()}
