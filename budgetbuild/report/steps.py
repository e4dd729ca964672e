"""What the next tier up brings for the same brief."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import Audited, Build, Role
from budgetbuild.catalogue.names import fold
from budgetbuild.report.format import capital, label, listed, money, points

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


@dataclass(frozen=True, slots=True)
class TierStep:
    """What the next larger budget buys.

    Attributes:
        text: What it costs and earns, empty where there is no larger budget with a system.
        changes: Part by part what changes.
    """

    text: str
    changes: tuple[str, ...] = ()


def next_tier(build: Build, builds: Sequence[Build], currency: str) -> TierStep:
    """What the next larger budget with a system buys for the same brief."""
    larger = [
        other
        for other in builds
        if other.audited and fold(other.brief.name) == fold(build.brief.name) and other.tier.budget > build.tier.budget
    ]
    if not larger:
        return TierStep("")
    step = min(larger, key=lambda other: other.tier.budget)
    name = f"{label(step.tier.name)} (budget {money(step.tier.budget, currency)})"
    if build.audited is None or step.audited is None:
        return TierStep(f"{name} has a system for {money(step.total or 0, currency)}.")
    changes = _changes(build.audited, step.audited)
    return TierStep(f"{name} {_difference(build.audited, step.audited, currency)}.", changes)


def _difference(now: Audited, then: Audited, currency: str) -> str:
    """What the step costs and what it earns."""
    if now.system == then.system:
        return "chooses the same system"
    more, gained = then.total - now.total, then.score - now.score
    price = f"costs {money(abs(more), currency)} {'more' if more >= 0 else 'less'}"
    return f"{price} and scores {points(abs(gained))} points {'more' if gained >= 0 else 'less'}"


def _changes(now: Audited, then: Audited) -> tuple[str, ...]:
    """Roles that come in, go out or get another product."""
    before, after = _held(now), _held(then)
    said: list[str] = []
    for role, words in COMPARED.items():
        old, new = before.get(role), after.get(role)
        if old == new:
            continue
        told = f"{new}, new" if old is None else f"{new} instead of {old}" if new else f"without {old}"
        said.append(f"{capital(words)}: {told}")
    return tuple(said)


def _held(audited: Audited) -> dict[Role, str]:
    """What fills each compared role, with the quantity where it is more than one."""
    held: dict[Role, list[str]] = {}
    for line in audited.lines:
        if line.role in COMPARED:
            times = f"{line.quantity} x " if line.quantity > 1 else ""
            held.setdefault(line.role, []).append(times + label(line.description))
    return {role: listed(names) for role, names in held.items()}
