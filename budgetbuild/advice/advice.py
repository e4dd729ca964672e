"""What one could do with a build next: a little more, a little less; and what each part won against."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.advice.changes import step
from budgetbuild.advice.neighbours import Around
from budgetbuild.build import Advice
from budgetbuild.trade.score import thousandths

if TYPE_CHECKING:
    from budgetbuild.build import Audited, Curve, Step
    from budgetbuild.catalogue.shop import Catalogue, Tier


def advise(catalogue: Catalogue, curve: Curve, tier: Tier, audited: Audited) -> Advice:
    """Advice on the best build of a tier.

    Args:
        catalogue: The checked catalogue.
        curve: The budget curve of the brief and vehicle.
        tier: The budget.
        audited: The best build within its cap.
    """
    visible, stretch = visible_gain(catalogue), int(tier.budget * catalogue.settings.stretch_share)
    around = Around(catalogue, curve.brief, curve.vehicle, audited, reach=tier.cap + stretch)
    return Advice(
        visible=visible,
        stretch=stretch,
        step_up=step_up(curve, audited, visible),
        swap=around.swap(tier.cap + stretch),
        drop=around.drop(tier.cap - stretch),
        runners_up=around.runners_up(tier.cap),
    )


def visible_gain(catalogue: Catalogue) -> int:
    """Least gain that the shop calls visible, in whole thousandths of a point."""
    return thousandths(catalogue.settings.visible_gain)


def step_up(curve: Curve, audited: Audited, visible: int) -> Step | None:
    """The cheapest best build that gains at least so many thousandths of a point; `None` where none does."""
    better = (point for point in curve.points if point.score >= audited.score + visible)
    found = next(better, None)
    return step(audited, found) if found else None
