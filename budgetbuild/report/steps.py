"""What the next tier up brings for the same brief."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Audited, Build, Role
from budgetbuild.catalogue.items import fold
from budgetbuild.report.format import label, listed, money, points

if TYPE_CHECKING:
    from collections.abc import Sequence

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


def next_step(build: Build, builds: Sequence[Build], currency: str) -> str:
    """What the next larger budget with a system buys for the same brief, empty where there is none."""
    larger = [
        other
        for other in builds
        if other.audited and fold(other.brief.name) == fold(build.brief.name) and other.tier.budget > build.tier.budget
    ]
    if not larger:
        return ""
    step = min(larger, key=lambda other: other.tier.budget)
    name = f"{label(step.tier.name)} (budget {money(step.tier.budget, currency)})"
    if build.audited is None or step.audited is None:
        return f"{name} has a system for {money(step.total or 0, currency)}."
    return f"{name} {_difference(build.audited, step.audited, currency)}."


def _difference(now: Audited, then: Audited, currency: str) -> str:
    """What changes, what it costs and what it earns."""
    changes = _changes(now, then)
    more, gained = then.total - now.total, then.score - now.score
    if not changes and not more and not gained:
        return "chooses the same system"
    price = f"costs {money(abs(more), currency)} {'more' if more >= 0 else 'less'}"
    score = f"scores {points(abs(gained))} points {'more' if gained >= 0 else 'less'}"
    return f"{price} and {score}{': ' if changes else ''}{listed(changes)}"


def _changes(now: Audited, then: Audited) -> list[str]:
    """Roles that come in, go out or get another product."""
    before, after = _held(now), _held(then)
    said: list[str] = []
    for role, words in COMPARED.items():
        if role in after and role not in before:
            said.append(
                f"{words} come in ({after[role]})" if words.endswith("s") else f"{words} comes in ({after[role]})"
            )
        elif role in before and role not in after:
            said.append(f"{words} left out")
        elif before.get(role) != after.get(role):
            said.append(f"{words} {after[role]} in place of {before[role]}")
    return said


def _held(audited: Audited) -> dict[Role, str]:
    """What fills each compared role, with the quantity where it is more than one."""
    held: dict[Role, list[str]] = {}
    for line in audited.lines:
        if line.role in COMPARED:
            times = f"{line.quantity} x " if line.quantity > 1 else ""
            held.setdefault(line.role, []).append(times + label(line.description))
    return {role: listed(names) for role, names in held.items()}
