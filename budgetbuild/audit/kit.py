"""One system for several vehicles, held against what is said of it: the same in each, right for as many as asked."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Role
from budgetbuild.catalogue.names import fold
from budgetbuild.trade.figures import exact

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.build import Covered, InVehicle
    from budgetbuild.catalogue.shop import Brief, Tier

MAY_DIFFER = (Role.SOURCE_KIT, Role.AERIAL, Role.FRONT_ADAPTER, Role.REAR_ADAPTER)
"""Roles in which each vehicle has parts of its own; of its speaker cable only the product is the same."""


def passed_in_all(brief: Brief, tier: Tier, covered: Covered, score: int | None) -> Covered:
    """Recount what is said of a system for several vehicles.

    Args:
        brief: The brief for several vehicles.
        tier: The budget.
        covered: The system in each of them, audited there.
        score: The lowest score of whoever proposes it, in thousandths of a point; `None` where it is not proven best.

    Raises:
        AuditRefusedError: Something is not so: a defect in this tool, so nothing may be published.
    """
    wrong = [*_not_asked_for(brief, covered), *_not_right(tier, covered), *_not_the_same(covered)]
    if score is not None:
        wrong += _not_best(covered, score)
    if wrong:
        raise AuditRefusedError(f"{brief.name}, {tier.name}: {'; '.join(wrong)}")
    return covered


def _not_asked_for(brief: Brief, covered: Covered) -> Iterator[str]:
    """The vehicles are those of the brief, weighted as the sheet says, and enough of them are covered."""
    if [fold(one.vehicle.name) for one in covered.vehicles] != [fold(name) for name in brief.vehicles]:
        yield "not the vehicles of the brief"
    weights = [exact(one.vehicle.weight) for one in covered.vehicles]
    if weights != [one.weight for one in covered.vehicles]:
        yield "not the weights of the sheet"
    inside = sum((exact(one.vehicle.weight) for one in covered.vehicles if one.covered), Fraction(0))
    if inside < brief.share * sum(weights) or not inside:
        yield f"it covers {inside} of {sum(weights)}, asked are {brief.share}"


def _not_right(tier: Tier, covered: Covered) -> Iterator[str]:
    """In every vehicle covered no check fails, and the total is within the cap."""
    for one in covered.vehicles:
        if one.covered and (one.audited.refused or one.audited.total > tier.cap):
            failed = ", ".join(check.rule for check in one.audited.refused) or f"{one.audited.total} cents"
            yield f"{one.vehicle.name}: {failed}"


def _not_the_same(covered: Covered) -> Iterator[str]:
    """All but the vehicle's own parts is the same in every vehicle covered, and connected alike."""
    inside = [one for one in covered.vehicles if one.covered]
    yield from (
        f"{one.vehicle.name} has another system than {inside[0].vehicle.name}"
        for one in inside[1:]
        if _common(one) != _common(inside[0])
    )


def _common(one: InVehicle) -> tuple[object, ...]:
    system = one.audited.system
    parts = sorted(
        (part.role, part.sku, 0 if part.role is Role.SPEAKER_CABLE else part.quantity)
        for part in system.parts
        if part.role not in MAY_DIFFER
    )
    return parts, system.amplifiers, system.drives, sorted(system.feeds, key=str), system.cables


def _not_best(covered: Covered, score: int) -> Iterator[str]:
    """The score is the lowest of the vehicles covered; one that is left out fails a check, or has a lower one."""
    lowest = min(one.audited.score for one in covered.vehicles if one.covered)
    if lowest != score:
        yield f"score {score} as proposed, {lowest} by the audit"
    for one in covered.vehicles:
        if not one.covered and not one.audited.refused and one.audited.score >= score:
            yield f"{one.vehicle.name} is left out, and nothing is wrong with it"
