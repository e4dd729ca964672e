"""The last gate before anything is shown: what the audit refuses, or reckons otherwise, stops the run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.audit.audit import audit

if TYPE_CHECKING:
    from budgetbuild.build import Audited, System
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle


class AuditRefusedError(RuntimeError):
    """The audit refused what was proposed: a defect in this tool, so nothing may be published."""


def passed(
    catalogue: Catalogue,
    brief: Brief,
    vehicle: Vehicle,
    proposed: tuple[System, int | None, int | None],
    tier: Tier | None = None,
) -> Audited:
    """Audit a proposed system.

    Args:
        catalogue: The checked catalogue.
        brief: What the customer wants.
        vehicle: The vehicle it goes into.
        proposed: The system, and the score (whole thousandths of a point) and total (cents) of whoever proposes it.
        tier: The budget that it is for; `None` = any.

    Raises:
        AuditRefusedError: A check fails, or the audit's score or total is another.
    """
    system, score, total = proposed
    cap, over = (tier.cap, tier.cap - tier.budget) if tier else (None, 0)
    audited = audit(catalogue, brief, vehicle, cap, system, allowed_over=over)
    where = f"{brief.name}, {vehicle.name}" + (f", {tier.name}" if tier else "")
    if audited.refused:
        failed = "; ".join(f"{c.rule} {c.subject}: {c.figure}, {c.limit}" for c in audited.refused)
        raise AuditRefusedError(f"{where}: {failed}")
    if (audited.score, audited.total) != (score, total):
        raise AuditRefusedError(
            f"{where}: score and total {score}, {total} as proposed, {audited.score}, {audited.total} by the audit"
        )
    return audited
