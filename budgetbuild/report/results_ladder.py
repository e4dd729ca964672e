"""What `results.json` holds of upgrade paths: each step with its whole system, so that it can be audited again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.data import Value, gap_number, optional_money, score_number, whole_system_data
from budgetbuild.report.words.format import decimal_money

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.build import Climbed, Ladder, LadderStep, Pieces


def ladders_data(found: Iterable[Ladder]) -> list[dict[str, Value]]:
    """One entry for each brief."""
    return [_ladder(ladder) for ladder in found]


def _ladder(ladder: Ladder) -> dict[str, Value]:
    return {
        "brief": ladder.brief.name,
        "vehicle": ladder.vehicle.name if ladder.vehicle else None,
        "keep": ladder.keep,
        "status": ladder.status.value,
        "why_not": None if ladder.why_not is None else ladder.why_not.value,
        "skipped": [tier.name for tier in ladder.skipped],
        "worth": score_number(ladder.worth) if ladder.steps else None,
        "bound": score_number(ladder.bound),
        "gap": gap_number(ladder.worth if ladder.steps else None, ladder.bound),
        "solver": ladder.solver,
        "steps": [_step(step) for step in ladder.steps],
    }


def _step(step: LadderStep) -> dict[str, Value]:
    build = step.build
    return {
        "tier": build.tier.name,
        "budget": decimal_money(build.tier.budget),
        "cap": decimal_money(build.tier.cap),
        "weight": step.weight,
        "score": score_number(build.score),
        "own_best": score_number(step.best.score),
        "lost": score_number(step.lost),
        "total": optional_money(build.total),
        **climbed_data(step.climbed),
        **whole_system_data(build.audited),
    }


def climbed_data(climbed: Climbed) -> dict[str, Value]:
    """What a step comes to beside its system."""
    return {
        "paid": decimal_money(climbed.paid),
        "labour": decimal_money(climbed.labour),
        "spent": decimal_money(climbed.spent),
        "lies_aside": decimal_money(climbed.lies_aside),
        "bought": [_pieces(pieces) for pieces in climbed.bought],
        "kept": [_pieces(pieces) for pieces in climbed.kept],
        "put_aside": [_pieces(pieces) for pieces in climbed.aside],
    }


def _pieces(pieces: Pieces) -> dict[str, Value]:
    return {"sku": pieces.sku, "quantity": pieces.quantity, "price": decimal_money(pieces.price)}
