"""From a budget curve to a quote: the best build within any budget, and what is told beside it; knows no solver."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict

from budgetbuild.advice.advice import advise
from budgetbuild.advice.explain import explain
from budgetbuild.advice.versions import version_alerts
from budgetbuild.audit.verdict import passed
from budgetbuild.build import Build, Status
from budgetbuild.program.offer import Offer

if TYPE_CHECKING:
    from budgetbuild.build import Advice, Audited, Curve, NoBuild, VersionAlert
    from budgetbuild.catalogue.shop import Catalogue, Tier

BY_CURVE = "working out its whole budget curve"
"""How a build was proven that was read off its budget curve."""


def quote(catalogue: Catalogue, tier: Tier, curve: Curve) -> Build:
    """The best build of a brief within any budget, read off its curve.

    Raises:
        AuditRefusedError: The audit found fault with it: a defect.
    """
    point = curve.at(tier.cap)
    audited = None
    if point:
        audited = passed(catalogue, curve.brief, curve.vehicle, (point.system, point.score, point.total), tier)
    status = Status.OPTIMAL if point else Status.INFEASIBLE
    return Build(
        tier=tier,
        brief=curve.brief,
        vehicle=curve.vehicle,
        status=status,
        bound=point.score if point else None,
        solver=BY_CURVE,
        **told(catalogue, tier, curve, audited, status),
    )


class Told(TypedDict):
    """What is told about a build beside its solution."""

    audited: Audited | None
    no_build: NoBuild | None
    advice: Advice | None
    versions: tuple[VersionAlert, ...]


def told(catalogue: Catalogue, tier: Tier, curve: Curve, audited: Audited | None, status: Status) -> Told:
    """What is told about a build: its audit, advice and versions; where there is none, why.

    Args:
        catalogue: The checked catalogue.
        tier: The budget.
        curve: The budget curve of the brief and vehicle.
        audited: The build; `None` where there is none.
        status: How it ended; the reasons are looked for only where no build is possible.
    """
    lacking = status is Status.INFEASIBLE
    return {
        "audited": audited,
        "no_build": explain(Offer(catalogue, curve.brief, curve.vehicle), tier.cap) if lacking else None,
        "advice": advise(catalogue, curve, tier, audited) if audited else None,
        "versions": version_alerts(catalogue, curve.brief, curve.vehicle, audited) if audited else (),
    }
