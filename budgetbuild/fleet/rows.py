"""From a budget curve to rows of the table: one for each tier, typed, with the unit in each name."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict

from budgetbuild.audit.verdict import passed
from budgetbuild.build import Role

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.build import Audited, Curve, PricedLine
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle

LEFT_OUT = "left out"
"""Status of what was never asked, for the vehicle's row cannot be trusted for it; the others are those of a build."""


class Line(TypedDict):
    """One line of a parts list; labour has an empty SKU."""

    role: str
    sku: str
    description: str
    quantity: int
    unit_price_cents: int


class Row(TypedDict):
    """One vehicle, brief and tier; money in whole cents, tax included unless a name says otherwise.

    Every field but those of the question itself is `None` or empty where there is no system.
    """

    vehicle: str
    vehicle_weight: float
    brief: str
    tier: str
    budget_cents: int
    cap_cents: int
    status: str
    reason: str | None
    score_thousandths: int | None
    total_cents: int | None
    least_total_cents: int | None
    net_total_cents: int | None
    labour_cents: int | None
    parts_cost_cents: int | None
    lines: list[Line]
    cautions: list[str]
    checks: int | None
    counter_file: str | None


def row_left_out(brief: Brief, vehicle: Vehicle, tier: Tier, reason: str, file: str | None) -> Row:
    """The row of what was not asked."""
    return {**_asked(brief, vehicle, tier, file), "status": LEFT_OUT, "reason": reason}


def row_without(curve: Curve, tier: Tier, reason: str, file: str | None) -> Row:
    """The row of a tier within which there is no system."""
    least = curve.points[0].total if curve.points else None
    asked = _asked(curve.brief, curve.vehicle, tier, file)
    return {**asked, "status": "infeasible", "reason": reason, "least_total_cents": least}


def row_of(catalogue: Catalogue, curve: Curve, tier: Tier, point: Audited, file: str | None) -> Row:
    """The row of a system, audited once more against the tier's own cap.

    Raises:
        AuditRefusedError: The audit found fault with it: a defect.
    """
    proposed = point.system, point.score, point.total
    audited = passed(catalogue, curve.brief, curve.vehicle, proposed, tier)
    labour = [line for line in audited.lines if line.role is Role.LABOUR]
    parts = [line for line in audited.lines if line.role is not Role.LABOUR]
    return {
        **_asked(curve.brief, curve.vehicle, tier, file),
        "status": "optimal",
        "score_thousandths": audited.score,
        "total_cents": audited.total,
        "least_total_cents": curve.points[0].total,
        "net_total_cents": _sum(line.net_total for line in audited.lines),
        "labour_cents": sum(line.line_total for line in labour),
        "parts_cost_cents": _sum(line.cost_total for line in parts),
        "lines": [_line(line) for line in audited.lines],
        "cautions": [caution.code for caution in audited.cautions],
        "checks": len(audited.checks),
    }


def _asked(brief: Brief, vehicle: Vehicle, tier: Tier, file: str | None) -> Row:
    """What was asked, and no answer yet."""
    return {
        "vehicle": vehicle.name,
        "vehicle_weight": vehicle.weight,
        "brief": brief.name,
        "tier": tier.name,
        "budget_cents": tier.budget,
        "cap_cents": tier.cap,
        "status": "",
        "reason": None,
        "score_thousandths": None,
        "total_cents": None,
        "least_total_cents": None,
        "net_total_cents": None,
        "labour_cents": None,
        "parts_cost_cents": None,
        "lines": [],
        "cautions": [],
        "checks": None,
        "counter_file": file,
    }


def _line(line: PricedLine) -> Line:
    return {
        "role": str(line.role),
        "sku": line.sku,
        "description": line.description,
        "quantity": line.quantity,
        "unit_price_cents": line.unit_price,
    }


def _sum(amounts: Iterable[int | None]) -> int | None:
    """Their sum; `None` where one of them is not known."""
    total = 0
    for amount in amounts:
        if amount is None:
            return None
        total += amount
    return total
