"""What a published file should hold, as far as it follows from its list, and what it holds otherwise."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.build import Shown
from budgetbuild.report.content import curve_point
from budgetbuild.report.data import (
    VERSION,
    Value,
    line_data,
    list_data,
    optional_money,
    score_number,
    whole_system_data,
)
from budgetbuild.report.held import Held
from budgetbuild.report.json_text import json_text
from budgetbuild.report.rated import criteria_data, ratings_data
from budgetbuild.report.results import point_data
from budgetbuild.report.results_certain import risen_data
from budgetbuild.report.results_kit import vehicle_data
from budgetbuild.report.results_ladder import climbed_data
from budgetbuild.report.words.format import decimal_money
from budgetbuild.report.words.safety import for_every_job, safety
from budgetbuild.report.words.voice import voice_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Audited, Covered, InVehicle, Published, Verification, Verified
    from budgetbuild.catalogue.promotion import Promotion
    from budgetbuild.catalogue.shop import Catalogue, Tier
    from budgetbuild.report.words.voice import Voice


def held_against(document: Value, verification: Verification, catalogue: Catalogue, published: Published) -> Held:
    """Hold a published file against everything reckoned anew.

    Args:
        document: The file as JSON.
        verification: Its systems by the list.
        catalogue: The list.
        published: The file as read.
    """
    same = published.version == __version__
    # What `build` and `quote` write of a tier lacks nothing; of other systems, and in a recheck, less is printed.
    whole = same and not is_recheck(document)
    held, voice = Held(same_words=same), voice_of(catalogue.settings)
    held.hold(document, as_json(_around(verification, catalogue, voice)), "", whole=whole)
    for system in verification.systems:
        held.findings += system.findings
        expected = as_json(_expected(system, catalogue, voice))
        held.hold(_value_at(document, system.at), expected, system.at, whole=whole and system.tier_build)
    return held


def is_recheck(document: Value) -> bool:
    """Whether a file is what `recheck` wrote."""
    return isinstance(document, dict) and "verdict" in document


def verification_data(held: Held, verification: Verification, catalogue: Catalogue, published: Published) -> str:
    """What came of it as JSON, with a newline at its end."""
    content = {
        "version": VERSION,
        "tool": {"name": "budgetbuild", "version": __version__},
        "holds": not held.findings,
        "results": {"name": published.name, "sha256": published.sha256, "version": published.version},
        **list_data(catalogue),
        "systems": [
            {"at": system.at, "name": system.name, "rules": system.rules, "shown": system.shown.value}
            for system in verification.systems
        ],
        "compared": held.compared,
        "findings": [asdict(finding) for finding in held.findings],
    }
    return json_text(content)


def as_json(content: Mapping[str, Value]) -> Value:
    """Values as a data file has them once it is read."""
    return json.loads(json_text(content))


def _value_at(document: Value, path: str) -> Value:
    """The value at a place such as `certain[0].steps[1]`."""
    for step in path.replace("]", "").replace("[", ".").split("."):
        if isinstance(document, list):
            document = document[int(step)]
        elif isinstance(document, dict):
            document = document[step]
    return document


def _around(verification: Verification, catalogue: Catalogue, voice: Voice) -> Mapping[str, Value]:
    """What should stand around the systems."""
    found: dict[str, Value] = {
        **{key: _unnamed(value) for key, value in list_data(catalogue).items()},
        "guide": {"safety": for_every_job(voice)},
        "points": criteria_data(catalogue),
        "ratings": ratings_data(catalogue),
    }
    if verification.curves:
        points = [point_data(curve_point(one, point)) for one in verification.curves for point in one.points]
        found |= {"curve": points, "curve_is_whole": bool(points)}
    return found


def _unnamed(data: Value) -> Value:
    """Without the names of files: what says which list it is, is its hash."""
    if isinstance(data, dict):
        return {key: _unnamed(value) for key, value in data.items() if key not in {"name", "file"}}
    return [_unnamed(value) for value in data] if isinstance(data, list) else data


def _expected(system: Verified, catalogue: Catalogue, voice: Voice) -> dict[str, Value]:
    """What should stand of one system."""
    found = {**_claimed(system), **_reckoned(system), **_beside(system)}
    if system.audited and system.tier_build:
        found["safety"] = [sentence.text for sentence in safety(system.audited, catalogue.by_sku(), voice)]
    return found


def _claimed(system: Verified) -> dict[str, Value]:
    """Its tier, and how good it is said to be."""
    found: dict[str, Value] = {}
    if system.tier:
        found |= {"budget": decimal_money(system.tier.budget), "cap": decimal_money(system.tier.cap)}
    if system.shown is Shown.BEST and system.best:
        found |= {"bound": score_number(system.best.score), "gap": 0.0}
    if system.shown is Shown.NONE:
        found |= dict.fromkeys(("score", "bound", "gap", "total", "net_total", "tax", "left_over"))
        found["least_budget"] = optional_money(system.least_total)
    return found


def _reckoned(system: Verified) -> dict[str, Value]:
    """Its figures by the audit, in one vehicle or in several."""
    found = _of_audited(system.audited, system.tier) if system.audited else {}
    return found | (_of_covered(system.covered) if system.covered else {})


def _beside(system: Verified) -> dict[str, Value]:
    """What is asked of some systems beside their parts."""
    found: dict[str, Value] = climbed_data(system.climbed) if system.climbed else {}
    if system.dearest is not None:
        rises = [risen_data(rise) for rise in system.risen or ()]
        found |= {"dearest_total": decimal_money(system.dearest), "risen": rises}
    if system.audited and system.promotion and system.price is not None:
        found |= _of_promotion(system.promotion, system.audited, system.price)
    return found


def _of_audited(audited: Audited, tier: Tier | None) -> dict[str, Value]:
    """List, rules, figures and money of a system."""
    return {
        **whole_system_data(audited),
        "lines": [{**line_data(line), "net_total": optional_money(line.net_total)} for line in audited.lines],
        "score": score_number(audited.score),
        "total": decimal_money(audited.total),
        "net_total": optional_money(audited.net_total),
        "tax": optional_money(audited.tax),
        **({"left_over": decimal_money(tier.budget - audited.total)} if tier else {}),
    }


def _of_covered(covered: Covered) -> dict[str, Value]:
    """What a system for several vehicles comes to in each; its score is that of the one where it is lowest."""
    return {
        "score": score_number(covered.score),
        "score_parts": whole_system_data(covered.poorest)["score_parts"],
        "kit": {
            "share": float(covered.share),
            "price_from": decimal_money(covered.lowest),
            "price_to": decimal_money(covered.highest),
            "vehicles": [_of_vehicle(one) for one in covered.vehicles],
        },
    }


def _of_vehicle(one: InVehicle) -> dict[str, Value]:
    return {**vehicle_data(one), "refused": [asdict(check) for check in one.audited.refused]}


def _of_promotion(promotion: Promotion, audited: Audited, price: int) -> dict[str, Value]:
    """What the bundle of a promotion lists and sells for."""
    return {
        "bundle_price": optional_money(promotion.price),
        "sets": promotion.sets,
        "list_total": decimal_money(audited.total),
        "price": decimal_money(price),
        "saving": decimal_money(audited.total - price),
    }
