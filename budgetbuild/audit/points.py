"""The score, part by part, recomputed from ratings and match factors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.audit.choice import brands
from budgetbuild.audit.locations import amplifier_of
from budgetbuild.build import Driver, LocationFigures, Role, ScorePart
from budgetbuild.catalogue.items import Converter, Deadening, HeadUnit, Product, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import Location, OneBrand
from budgetbuild.trade import score

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.audit.case import Case

SOUNDERS: dict[Location, tuple[type[Product], Role]] = {
    Location.FRONT: (Speaker, Role.FRONT),
    Location.REAR: (Speaker, Role.REAR),
    Location.BASS: (Subwoofer, Role.BASS),
}


def score_parts(case: Case, locations: Sequence[LocationFigures], coverage: float) -> tuple[ScorePart, ...]:
    """Points of every part, whole thousandths, each rounded half up on its own."""
    parts = [_source(case), *(_sounder(case, location) for location in Location)]
    parts += [_amplification(case, location) for location in Location]
    parts += [_match(case, location, locations) for location in Location]
    parts.append(_treatment(case, coverage))
    return (*parts, *_brand(case))


def _points(weight: float, product: Product | None, factor: float = 1.0) -> int:
    if product is None or product.rating is None:
        return 0
    return score.rating_points(weight * factor, product.rating)


def _part(name: str, subject: str, points: int, weight: float) -> ScorePart:
    return ScorePart(name, subject, points, int(score.thousandths(weight)))


def _source(case: Case) -> ScorePart:
    weight = case.catalogue.weights.source
    unit, converter = case.one(HeadUnit, Role.HEAD_UNIT), case.one(Converter, Role.CONVERTER)
    points = _points(weight, unit) if unit else _points(weight, converter, score.CONVERTER_FACTOR)
    return _part("source", "", points, weight)


def _sounder(case: Case, location: Location) -> ScorePart:
    kind, role = SOUNDERS[location]
    weight: float = getattr(case.catalogue.weights, str(location))
    return _part(str(location), str(location), _points(weight, case.one(kind, role)), weight)


def _amplification(case: Case, location: Location) -> ScorePart:
    weight = score.share(case.catalogue.weights, "amplification", location)
    drive = case.drive(location)
    amplifier: Product | None = None
    if drive and drive.by is Driver.AMPLIFIER:
        amplifier = amplifier_of(case, drive)
    elif drive and drive.by is Driver.SELF:
        amplifier = case.one(Subwoofer, Role.BASS)
    return _part("amplification", str(location), _points(weight, amplifier), weight)


def _match(case: Case, location: Location, locations: Sequence[LocationFigures]) -> ScorePart:
    weight = score.share(case.catalogue.weights, "match", location)
    factor = next((figures.match for figures in locations if figures.location is location), 0.0)
    return _part("match", str(location), int(score.thousandths(weight * factor)), weight)


def _treatment(case: Case, coverage: float) -> ScorePart:
    weight = case.catalogue.weights.treatment
    return _part("treatment", "", _points(weight, case.one(Deadening, Role.DEADENING), coverage), weight)


def _brand(case: Case) -> list[ScorePart]:
    """A third of the one-brand points for each of rear, bass and amplifier that shares the front's brand."""
    if case.brief.one_brand is not OneBrand.PREFER:
        return []
    found = brands(case)
    third = case.limits.one_brand_points / 3
    earned = [role for role in ("rear", "bass", "amplifier") if "front" in found and found.get(role) == found["front"]]
    return [
        _part("one brand", role, int(score.thousandths(third)) if role in earned else 0, third)
        for role in ("rear", "bass", "amplifier")
    ]
