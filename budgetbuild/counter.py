"""The curves of the counter page: every brief in every vehicle of which enough is known."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.advice.frontier import curve_of
from budgetbuild.catalogue.kinds import HeadUnitMode
from budgetbuild.catalogue.names import fold
from budgetbuild.faults import Severity
from budgetbuild.parallel import spread

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from budgetbuild.build import Curve
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.faults import Fault

Pair = tuple["Brief", "Vehicle"]


class Doubts:
    """What the check says of the rows of vehicles, as far as it keeps a brief from being asked there."""

    def __init__(self, catalogue: Catalogue) -> None:
        sheets = {vehicle.at.sheet for vehicle in catalogue.vehicles}
        self._noted: dict[int, list[Fault]] = {}
        for fault in catalogue.warnings:
            if fault.at.sheet in sheets:
                self._noted.setdefault(fault.at.row, []).append(fault)

    def about(self, brief: Brief, vehicle: Vehicle) -> tuple[Fault, ...]:
        """A cell that is spoilt; a blank opening where the head unit is replaced. Never of the brief's own vehicle."""
        if fold(vehicle.name) in map(fold, brief.named()):
            return ()
        replaced = brief.head_unit is HeadUnitMode.REPLACE
        return tuple(
            fault
            for fault in self._noted.get(vehicle.at.row, ())
            if fault.severity is Severity.WARNING or (replaced and fault.code == "blank-assumed")
        )


def pairs_at_the_counter(catalogue: Catalogue, briefs: Sequence[Brief]) -> list[Pair]:
    """Every brief in every vehicle whose row is sound for it; the brief's own vehicle always is."""
    doubts = Doubts(catalogue)
    return [(brief, vehicle) for brief in briefs for vehicle in catalogue.vehicles if not doubts.about(brief, vehicle)]


def own_pairs(catalogue: Catalogue, briefs: Sequence[Brief]) -> list[Pair]:
    """Every brief in its own vehicle, or in each of its own."""
    return [(brief, catalogue.vehicle(name)) for brief in briefs for name in brief.named()]


def curves_for(catalogue: Catalogue, pairs: Sequence[Pair], known: Iterable[Curve] = ()) -> Iterator[Curve]:
    """The budget curve of each brief and vehicle, in their order.

    Args:
        catalogue: The checked catalogue.
        pairs: Briefs and vehicles.
        known: Curves that are already there.

    Raises:
        AuditRefusedError: The audit found fault with a point: a defect.
    """
    there = {_key(curve.brief, curve.vehicle): curve for curve in known}
    missing = [pair for pair in pairs if _key(*pair) not in there]
    fresh = spread(_curve, catalogue, missing)
    for pair in pairs:
        yield there[_key(*pair)] if _key(*pair) in there else next(fresh)


def _key(brief: Brief, vehicle: Vehicle) -> tuple[str, str]:
    return fold(brief.name), fold(vehicle.name)


def _curve(catalogue: Catalogue, pair: Pair) -> Curve:
    brief, vehicle = pair
    curve = curve_of(catalogue, brief.in_vehicle(vehicle.name), vehicle)
    # Every point has passed its checks; they are most of what would travel between processes, and no page shows them.
    return replace(curve, points=tuple(replace(point, checks=()) for point in curve.points))


def left_out(catalogue: Catalogue, pairs: Sequence[Pair]) -> list[Vehicle]:
    """Vehicles that take no part with any brief."""
    there = {fold(vehicle.name) for _, vehicle in pairs}
    return [vehicle for vehicle in catalogue.vehicles if fold(vehicle.name) not in there]
