"""What a new list changes against an earlier one, counted from the two lists of parts alone.

Amplifiers and power kits are compared piece by piece. In every other role a line is a product with its quantity: a
speaker cable bought in another number of units is another line. In each role as many parts change as go or come,
whichever are more: where one thing takes another's place, that is one change.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Change, Part, Role

if TYPE_CHECKING:
    from collections.abc import Iterable

PIECE_BY_PIECE = frozenset({Role.AMPLIFIER, Role.POWER_KIT})


def exchanges(before: Iterable[Part], after: Iterable[Part]) -> tuple[Change, ...]:
    """Role by role what goes and what comes, in the order of a conversation, then SKU order."""
    gone, come = list(before), list(after)
    found = (Change(role, *_unlike(role, gone, come)) for role in Role)
    return tuple(change for change in found if change.before or change.after)


def parts_changed(changes: Iterable[Change]) -> int:
    """How many parts change."""
    return sum(max(_count(change.role, change.before), _count(change.role, change.after)) for change in changes)


def recounted(before: Iterable[Part], after: Iterable[Part], claimed: int | None) -> tuple[Change, ...]:
    """What changes, after the number of parts that somebody claims was counted again.

    Raises:
        AuditRefusedError: It is another number: a defect.
    """
    found = exchanges(before, after)
    if claimed is not None and parts_changed(found) != claimed:
        raise AuditRefusedError(f"{claimed} parts changed as proposed, {parts_changed(found)} by the audit")
    return found


def _unlike(role: Role, gone: Iterable[Part], come: Iterable[Part]) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """What only the one list has in a role, and what only the other."""
    before, after = ([part for part in parts if part.role is role] for parts in (gone, come))
    if role not in PIECE_BY_PIECE:
        return _in_order(set(before) - set(after)), _in_order(set(after) - set(before))
    was, is_now = (Counter({part.sku: part.quantity for part in parts}) for parts in (before, after))
    return _pieces(role, was - is_now), _pieces(role, is_now - was)


def _pieces(role: Role, counts: Counter[str]) -> tuple[Part, ...]:
    return _in_order(Part(role, sku, count) for sku, count in counts.items())


def _in_order(parts: Iterable[Part]) -> tuple[Part, ...]:
    return tuple(sorted(parts, key=lambda part: (part.sku, part.quantity)))


def _count(role: Role, parts: tuple[Part, ...]) -> int:
    return sum(part.quantity for part in parts) if role in PIECE_BY_PIECE else len(parts)
