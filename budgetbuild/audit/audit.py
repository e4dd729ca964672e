"""The whole audit of one system, topic by topic."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.audit.bill import bill
from budgetbuild.audit.cabling import check_cables
from budgetbuild.audit.case import Case
from budgetbuild.audit.choice import check_choice
from budgetbuild.audit.fitting import check_fitting
from budgetbuild.audit.locations import location_figures
from budgetbuild.audit.points import score_parts
from budgetbuild.audit.powering import device_figures
from budgetbuild.audit.ratings import check_ratings
from budgetbuild.audit.signals import check_signals
from budgetbuild.audit.treated import treatment_figures
from budgetbuild.build import Audited, System

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle


def audit(
    catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int | None, system: System, allowed_over: int = 0
) -> Audited:
    """Recompute everything about a system and check it against every rule.

    Args:
        catalogue: The checked catalogue.
        brief: What the customer wants.
        vehicle: The vehicle it goes into.
        cap: Most that it may cost in cents, `None` for no limit.
        system: Parts and connections, as proposed.
        allowed_over: How much of the cap is allowance over the budget, in cents; a total within it is cautioned.

    Returns:
        The figures. `Audited.refused` is empty exactly where the system may be published.
    """
    case = Case(catalogue, brief, vehicle, cap, system)
    check_choice(case)
    check_fitting(case)
    locations = location_figures(case)
    check_cables(case)
    devices = device_figures(case)
    pairs = check_signals(case)
    treated_m2, coverage = treatment_figures(case)
    check_ratings(case)
    lines = bill(case, treated_m2, allowed_over)
    return Audited(
        system=system,
        lines=lines,
        score_parts=score_parts(case, locations, coverage),
        checks=tuple(case.notes.checks),
        cautions=tuple(case.notes.cautions),
        locations=locations,
        devices=devices,
        pairs_needed=pairs.needed,
        pairs_offered=pairs.offered,
        treated_m2=treated_m2,
        coverage=coverage,
    )
