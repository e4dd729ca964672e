"""Sound deadening: one product, whole sheets, no more than the area worth treating takes."""

from __future__ import annotations

from budgetbuild.audit.case import BRIEF, Case
from budgetbuild.build import Role
from budgetbuild.catalogue.items import Deadening
from budgetbuild.catalogue.kinds import Want
from budgetbuild.trade import score, treatment
from budgetbuild.trade.figures import exact


def treatment_figures(case: Case) -> tuple[float, float]:
    """Check the deadening; returns the area bought in m2 and the share of the area worth treating that it covers."""
    sheets = case.bought(Deadening, Role.DEADENING)
    wanted = case.brief.deadening
    limit = {Want.REQUIRED: "exactly 1", Want.OPTIONAL: "at most 1", Want.NONE: "none"}[wanted]
    ok = {Want.REQUIRED: len(sheets) == 1, Want.OPTIONAL: len(sheets) <= 1, Want.NONE: not sheets}[wanted]
    case.notes.check("Deadening products", "", len(sheets), limit, ok=ok, source=BRIEF)
    if not sheets:
        return 0.0, 0.0
    product, count = sheets[0]
    door = treatment.door_m2(case.vehicle, case.limits)
    most = treatment.most_sheets(product, door)
    case.notes.check(
        "Deadening sheets",
        product.sku,
        count,
        f"1 to {most}",
        ok=1 <= count <= most,
        source=f"{door:g} m2 worth treating",
    )
    area = float(count * exact(product.sheet_m2))
    return area, score.coverage(area, door)
