"""A published system for several vehicles is held against today's list in each of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Standing
from budgetbuild.catalogue.shop import Place
from tests.kits.test_outputs import BRIEF, CATALOGUE
from tests.kits.two import HERE
from tests.program.small import tier
from tests.recheck.shop import codes, later, only, published, rechecked

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue

LIST = replace(CATALOGUE, briefs=(BRIEF,), tiers=(tier(116_00),))
"""Front speakers at 100 for two of three vehicles; one of these needs a ring at 15, and its list is printed."""


def with_front(place: Place) -> Catalogue:
    """The list with another place for front speakers in the vehicle that needs no ring."""
    vehicles = (replace(one, front=place) if one.name == HERE else one for one in LIST.vehicles)
    return replace(LIST, vehicles=tuple(vehicles))


def test_every_vehicle_that_it_fits_is_read_with_its_total(tmp_path: Path) -> None:
    (build,) = published(LIST, tmp_path).builds
    assert build.covered == ((HERE, 100_00), ("Fenn Coupe", 115_00))
    assert build.total == 115_00


def test_an_unchanged_list_leaves_it_true_and_asks_for_nothing(tmp_path: Path) -> None:
    found = rechecked(LIST, LIST, tmp_path)
    assert (only(found).standing, codes(only(found)), only(found).best, found.unpublished) == (
        Standing.HOLDS, [], None, (),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("place", "standing", "drifted"),
    [
        (Place(size_mm=165.0, depth_mm=40.0), Standing.PARTS, ["fits-no-longer"]),
        (Place(size_mm=130.0, depth_mm=70.0), Standing.FIGURES, ["vehicle-total"]),
    ],
)
def test_what_drifts_in_another_vehicle_than_the_printed_one_is_found(
    tmp_path: Path, place: Place, standing: Standing, drifted: list[str]
) -> None:
    build = only(rechecked(LIST, with_front(place), tmp_path))
    assert (build.standing, codes(build)) == (standing, drifted)
    assert {drift.subject for drift in build.drifts} == {HERE}


def test_a_price_drifts_in_all_of_them(tmp_path: Path) -> None:
    build = only(rechecked(LIST, later(LIST, {"F": {"price": 101_00}}), tmp_path))
    assert build.standing is Standing.FIGURES
    assert sorted(codes(build)) == ["price", "vehicle-total"]
    assert build.total == 116_00


def test_a_brief_that_is_for_one_vehicle_now_is_another_one(tmp_path: Path) -> None:
    now = replace(LIST, briefs=(replace(BRIEF, vehicle=HERE, vehicles=()),))
    build = only(rechecked(LIST, now, tmp_path))
    assert build.standing is Standing.PARTS
    assert "other-vehicle" in codes(build)
