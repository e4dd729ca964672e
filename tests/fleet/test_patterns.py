"""Vehicles of one pattern: their curves are found once, and are what each would have had alone."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.advice.frontier import points_of
from budgetbuild.catalogue.items import NOWHERE
from budgetbuild.catalogue.kinds import Opening
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.shop import Place, Vehicle
from budgetbuild.fleet import bench
from budgetbuild.fleet.bench import Bench
from budgetbuild.fleet.fleet import CounterFiles, fleet_of
from budgetbuild.fleet.patterns import MOST_TOGETHER, patterns_of, together
from tests.sample.scaled import scaled_catalogue

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Catalogue

TWIN = "Twin"
"""A vehicle that differs from the first one in nothing that a system is chosen by."""
SAID_ONLY = {"at", "name", "weight", "alternator_a"}
"""What no system is chosen by."""


def with_twin() -> Catalogue:
    """A small price list in which the first two vehicles are of one pattern, and named by the same fitting kits."""
    catalogue = scaled_catalogue(100)
    first = catalogue.vehicles[0]
    twin = replace(first, name=TWIN, weight=3.0, alternator_a=None)
    kits = tuple(
        replace(kit, vehicles=(*kit.vehicles, fold(TWIN))) if fold(first.name) in kit.vehicles else kit
        for kit in catalogue.fitting_kits
    )
    return replace(catalogue, vehicles=(first, twin, *catalogue.vehicles[1:3]), fitting_kits=kits)


@pytest.mark.parametrize("counter", [CounterFiles.DATA, CounterFiles.NONE])
def test_curves_of_vehicles_of_one_pattern_are_found_once(
    counter: CounterFiles, monkeypatch: pytest.MonkeyPatch
) -> None:
    fleet = fleet_of(with_twin(), briefs=["Keep own head unit"], counter=counter)
    alone = [Bench(fleet).answers([number])[0] for number in range(3)]
    found = []

    def noted(*asked):  # type: ignore[no-untyped-def] # noqa: ANN002, ANN202
        found.append(asked[2].name)
        return points_of(*asked)

    monkeypatch.setattr(bench, "points_of", noted)
    assert Bench(fleet).answers(range(3)) == alone
    assert found == ["Vehicle 001", "Vehicle 002"]
    assert all("alternator-unknown" in row["cautions"] for row in alone[1].rows if row["status"] == "optimal")


def test_whatever_else_differs_makes_another_pattern() -> None:
    first = Vehicle(name="One", opening=Opening.SINGLE, factory_digital_aerial=True)
    for one in fields(Vehicle):
        change: dict[str, Any] = {one.name: other(one.name)}
        changed = replace(first, **change)
        alike = patterns_of(scaled_catalogue(100), [first, changed])
        assert (alike[0] == alike[1]) is (one.name in SAID_ONLY), one.name


def other(field: str) -> object:
    """Something else than a vehicle has there by default."""
    return {
        "at": replace(NOWHERE, sheet="Vehicles"),
        "name": "Two",
        "opening": Opening.DOUBLE,
        "factory_digital_aerial": None,
        "front": Place(size_mm=130.0),
        "rear": Place(size_mm=130.0),
    }.get(field, 7.5)


def test_a_fitting_kit_of_its_own_makes_another_pattern() -> None:
    catalogue = with_twin()
    kits = [replace(kit, vehicles=tuple(n for n in kit.vehicles if n != fold(TWIN))) for kit in catalogue.fitting_kits]
    for other_kits, same in ((catalogue.fitting_kits, True), (tuple(kits), False)):
        first, twin, *_ = patterns_of(replace(catalogue, fitting_kits=other_kits), catalogue.vehicles)
        assert (first == twin) is same


def test_no_batch_is_so_large_that_much_is_lost_with_it() -> None:
    batches = together("a" * 20, range(20))
    assert [number for batch in batches for number in batch] == list(range(20))
    assert max(map(len, batches)) == MOST_TOGETHER
