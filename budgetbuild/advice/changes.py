"""What differs between two builds, role by role."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Change, Role, Step

if TYPE_CHECKING:
    from budgetbuild.build import Audited, Part

SCORED = (
    Role.HEAD_UNIT,
    Role.CONVERTER,
    Role.FRONT,
    Role.REAR,
    Role.BASS,
    Role.AMPLIFIER,
    Role.DEADENING,
)
"""Roles that earn points; everything else follows from them."""

TOLD = (*SCORED[:5], Role.BOX, *SCORED[5:])
"""Roles that a customer compares."""


def step(now: Audited, then: Audited, about: str = "") -> Step:
    """The way from one build to another; `about` is the SKU of a part whose role is told too, whatever it is."""
    return Step(then, then.total - now.total, then.score - now.score, changes(now, then, about))


def changes(now: Audited, then: Audited, about: str = "") -> tuple[Change, ...]:
    """Roles that come in, go out or get other parts: those that a customer compares, and that of one SKU."""
    asked = {part.role for part in then.system.parts if part.sku == about}
    pairs = ((role, in_role(now, role), in_role(then, role)) for role in Role if role in TOLD or role in asked)
    return tuple(Change(role, before, after) for role, before, after in pairs if before != after)


def in_role(audited: Audited, role: Role) -> tuple[Part, ...]:
    """The parts that fill a role."""
    return tuple(part for part in audited.system.parts if part.role is role)
