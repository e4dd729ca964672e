"""The part of `results.json` about one system for several vehicles."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from budgetbuild.report.data import optional_money, score_number

if TYPE_CHECKING:
    from budgetbuild.build import InVehicle, Shortfall
    from budgetbuild.report.data import Value
    from budgetbuild.report.shown import ReportBuild, ToldVehicle


def kit_data(shown: ReportBuild) -> dict[str, Value]:
    """What a system for several vehicles comes to in each; where there is none, how many some system fits."""
    build = shown.build
    covered, lacking = build.covered, build.no_build.shortfall if build.no_build else None
    return {
        "asked_share": float(build.brief.share),
        "share": float(covered.share) if covered else None,
        "price_from": optional_money(covered.lowest if covered else None),
        "price_to": optional_money(covered.highest if covered else None),
        "vehicles": [_vehicle(told) for told in shown.told_vehicles],
        "shortfall": _shortfall(lacking) if lacking else None,
    }


def _vehicle(told: ToldVehicle) -> dict[str, Value]:
    one = told.one
    return {
        **vehicle_data(one),
        "own_parts": [asdict(part) for part in one.own],
        "why_not": told.why_not,
        "refused": [asdict(check) for check in one.audited.refused],
        "cautions": list(told.cautions),
    }


def vehicle_data(one: InVehicle) -> dict[str, Value]:
    """What the system comes to in one vehicle."""
    return {
        "vehicle": one.vehicle.name,
        "weight": float(one.weight),
        "covered": one.covered,
        "score": score_number(one.audited.score),
        "total": optional_money(one.audited.total),
    }


def _shortfall(lacking: Shortfall) -> dict[str, Value]:
    at_any_price = lacking.whatever_price
    return {
        "greatest_share": float(lacking.greatest),
        "proven": lacking.proven,
        "covers": list(lacking.covers),
        "lacks": list(lacking.lacks),
        "greatest_share_at_any_price": None if at_any_price is None else float(at_any_price),
        "alone": [
            {
                "vehicle": one.vehicle,
                "least_budget": optional_money(one.least_total),
                "obstacles": [asdict(obstacle) for obstacle in one.obstacles],
            }
            for one in lacking.alone
        ],
    }
