"""Budget curves that passed the audit: of a brief as it is, and the best build of a brief that is narrowed."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING

from budgetbuild.audit.verdict import passed
from budgetbuild.build import Curve
from budgetbuild.catalogue.kinds import OneBrand
from budgetbuild.catalogue.shop import Weights
from budgetbuild.curve.whole import CurveBuild, curve
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Narrowing, Offer

if TYPE_CHECKING:
    from budgetbuild.build import Audited
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.program.candidates import Candidates

AS_IT_IS = Narrowing()
POINTLESS = Weights(**dict.fromkeys((part.name for part in fields(Weights)), 0.0))
"""No part of the score earns anything."""


def curve_of(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, found: Candidates | None = None) -> Curve:
    """The whole budget curve of a brief in a vehicle, every point audited.

    Args:
        catalogue: The checked catalogue.
        brief: What the customer wants.
        vehicle: The vehicle it goes into.
        found: The candidates, where they have been gathered already.

    Raises:
        AuditRefusedError: The audit found fault with a point: a defect.
    """
    points = curve(found or candidates(Offer(catalogue, brief, vehicle)))
    return Curve(brief, vehicle, tuple(audited_point(catalogue, brief, vehicle, point) for point in points))


def points_of(
    catalogue: Catalogue, brief: Brief, vehicle: Vehicle, narrowing: Narrowing = AS_IT_IS, cap: int | None = None
) -> tuple[CurveBuild, ...]:
    """The budget curve before its audit, cheapest first, up to a cap in cents."""
    return curve(candidates(Offer(catalogue, brief, vehicle, narrowing)), cap)


def least_total(offer: Offer, cap: int | None = None) -> int | None:
    """Price of the cheapest complete system within a cap, in cents: where the budget curve begins.

    No points are counted, so that each list that the curve merges comes down to its cheapest choice.
    """
    catalogue, brief = pointless(offer.catalogue, offer.brief)
    offered = replace(offer, catalogue=catalogue, brief=brief)
    return next((point.total for point in curve(candidates(offered), cap)), None)


def pointless(catalogue: Catalogue, brief: Brief) -> tuple[Catalogue, Brief]:
    """The same where nothing earns points, so that of what fits only the price counts."""
    # One brand that is merely preferred earns points and rules nothing out.
    wish = OneBrand.NO if brief.one_brand is OneBrand.PREFER else brief.one_brand
    return replace(catalogue, weights=POINTLESS), replace(brief, one_brand=wish)


def best_within(points: tuple[CurveBuild, ...], cap: int) -> CurveBuild | None:
    """The best point of a curve within a cap in cents."""
    return next((point for point in reversed(points) if point.total <= cap), None)


def skus(build: CurveBuild) -> list[str]:
    """SKUs of a build, each repeated by its quantity, sorted: what decides between builds of equal score and price."""
    return sorted(part.sku for part in build.system.parts for _ in range(part.quantity))


def audited_point(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, point: CurveBuild) -> Audited:
    """A point of a curve, audited.

    Raises:
        AuditRefusedError: The audit found fault with it: a defect.
    """
    return passed(catalogue, brief, vehicle, (point.system, point.score, point.total))
