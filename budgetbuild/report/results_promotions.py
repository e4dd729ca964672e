"""What `results.json` holds of promotions: what a customer may know; costs, margins and stock stay with the shop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.data import Value, gap_number, optional_money, score_number, whole_system_data
from budgetbuild.report.words.format import decimal_money

if TYPE_CHECKING:
    from budgetbuild.build import Bundle, Promotions


def promotions_data(found: Promotions) -> dict[str, Value]:
    """All promotions, in the order of the sheet, with what they come to together."""
    return {
        "score": score_number(found.score),
        "bound": score_number(found.bound),
        "gap": gap_number(found.score, found.bound),
        "bundles": [_bundle(bundle) for bundle in found.bundles],
    }


def _bundle(bundle: Bundle) -> dict[str, Value]:
    audited, sale = bundle.audited, bundle.sale
    return {
        "promotion": bundle.promotion.name,
        "brief": bundle.brief.name,
        "vehicle": bundle.vehicle.name,
        "tier": bundle.tier.name if bundle.tier else None,
        "bundle_price": optional_money(bundle.promotion.price),
        "sets": bundle.promotion.sets,
        "status": bundle.status.value,
        "solver": bundle.solver,
        "score": score_number(audited.score if audited else None),
        "list_total": optional_money(sale.list_total if sale else None),
        "price": optional_money(sale.price if sale else None),
        "saving": decimal_money(sale.discount) if sale else None,
        **whole_system_data(audited),
    }
