"""The audit of a build whose total must hold even if prices rise: as any other, and its dearest case by the cap."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.audit.rises import risen
from budgetbuild.audit.verdict import AuditRefusedError, passed
from budgetbuild.build import Check

if TYPE_CHECKING:
    from budgetbuild.build import Audited, System
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle

IF_PRICES_RISE = "Total within the cap if prices rise"
SOURCE = "the greatest rises of so many products; Bertsimas and Sim, Operations Research 52(1): 35-53, 2004"


def passed_protected(
    catalogue: Catalogue,
    brief: Brief,
    vehicle: Vehicle,
    proposed: tuple[System, int | None, int | None],
    tier: Tier,
    rising: int,
) -> Audited:
    """Audit a proposed system whose total must hold even if the prices of any so many of its products rise.

    Args:
        catalogue: The checked catalogue.
        brief: What the customer wants.
        vehicle: The vehicle it goes into.
        proposed: The system, and the score (whole thousandths of a point) and total (cents) of whoever proposes it.
        tier: The budget that it is for.
        rising: Prices of how many products may rise.

    Raises:
        AuditRefusedError: A check fails, or the audit's score or total is another.
    """
    audited = passed(catalogue, brief, vehicle, proposed, tier)
    rises = risen(catalogue.by_sku(), audited.system.parts, rising)
    dearest = audited.total + sum(rise.cents for rise in rises)
    check = Check(
        IF_PRICES_RISE,
        f"any {rising} of its products",
        f"{dearest / 100:.2f}",
        f"at most {tier.cap / 100:.2f}",
        catalogue.settings.currency,
        dearest <= tier.cap,
        SOURCE,
    )
    if not check.ok:
        where = f"{brief.name}, {vehicle.name}, {tier.name}"
        raise AuditRefusedError(f"{where}: {check.rule}, {check.subject}: {check.figure}, {check.limit}")
    return replace(audited, checks=(*audited.checks, check))
