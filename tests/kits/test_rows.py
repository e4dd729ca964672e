"""Each constraint of a system for several vehicles: without it a wrong system would win."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest

from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.catalogue.kinds import HeadUnitMode, KitFor, Location, Want
from budgetbuild.catalogue.shop import Place
from budgetbuild.program import covering_best, covering_rows
from budgetbuild.program.constraints import Row
from tests.kits.two import HERE, THERE, both, bought, of, solved, stock
from tests.program import small

if TYPE_CHECKING:
    from budgetbuild.build import Build
    from budgetbuild.catalogue.items import Product

NO_UNIT: dict[str, Any] = {"head_unit": HeadUnitMode.REPLACE, "front": Want.NONE, "rear": Want.NONE, "bass": Want.NONE}
FRONT_ONLY: dict[str, Any] = {"rear": Want.NONE, "bass": Want.NONE, "deadening": Want.NONE, "front": Want.REQUIRED}
WIRED = (small.power_kit(), small.lead(), small.cable())
ring = partial(replace, small.fascia(fits=KitFor.SPEAKER, location=Location.FRONT))
"""An adapter for front speakers of another size."""


@dataclass(frozen=True)
class Case:
    """Products and vehicles in which one constraint decides.

    Attributes:
        there: SKUs in the second vehicle; none where the right system does not cover it.
    """

    products: tuple[Product, ...]
    brief: dict[str, Any]
    there: tuple[str, ...]
    here_car: dict[str, Any] = field(default_factory=dict)
    there_car: dict[str, Any] = field(default_factory=dict)
    cap: int = small.PLENTY

    def solved(self) -> Build:
        """The answer."""
        return solved(stock(*self.products, here=self.here_car, there=self.there_car), both(**self.brief), self.cap)


CASES = {
    "fits_where_covered": Case(
        (
            small.powered(sku="P1", rating=9.0, width_mm=500.0, height_mm=200.0, depth_mm=300.0),
            small.powered(sku="P2", rating=4.0, width_mm=300.0, height_mm=200.0, depth_mm=300.0),
            *WIRED,
        ),
        {"front": Want.NONE, "rear": Want.NONE, "bass": Want.REQUIRED, "share": Fraction(1, 2)},
        (),
        there_car={"boot_width_mm": 400.0, "boot_depth_mm": 400.0},
    ),
    "highest_price": Case(
        (
            small.head_unit(sku="H1", price=100_00, rating=5.0),
            small.head_unit(sku="H2", price=110_00, rating=9.0),
            small.fascia(sku="X1", any_vehicle=False, vehicles=("marl estate",)),
            small.fascia(sku="X2", price=50_00, any_vehicle=False, vehicles=("fenn coupe",)),
        ),
        NO_UNIT,
        ("H1", "X2"),
        cap=155_00,
    ),
    "terms_in_every_vehicle": Case(
        (small.head_unit(), small.fascia(sku="X1", price=5_00), small.fascia(sku="X2", price=9_00)),
        {**NO_UNIT, "must_include": ("X2",)},
        ("H", "X2"),
    ),
    "dearer_versions": Case(
        (
            small.front(sku="F2", size_mm=130.0, rating=5.0),
            small.front(sku="F3", size_mm=100.0, rating=9.0),
            ring(sku="Y1", price=5_00, size_mm=130.0),
            ring(sku="Y2", price=9_00, size_mm=130.0, brand="Orvane"),
            ring(sku="Y3", price=5_00, size_mm=100.0),
            ring(sku="Y4", price=30_00, size_mm=100.0, brand="Orvane"),
        ),
        {**FRONT_ONLY, "own_internal_w": 20.0, "must_include": ("Orvane",)},
        ("F3", "Y4"),
    ),
    "shared_kit_everywhere": Case(
        (
            small.front(),
            small.enclosure(),
            small.stereo(),
            small.power_kit(sku="K1", price=200_00),
            small.power_kit(sku="K2", price=50_00, mm2=5.3, fuse_a=45.0, amplifiers_fed=2),
            small.lead(),
            small.cable(),
        ),
        {"front": Want.REQUIRED, "bass": Want.REQUIRED, "rear": Want.NONE, "amplifier": Want.REQUIRED},
        ("A", "A", "B", "C", "F", "K2", "K2", "L"),
        here_car={"power_run_m": 2.0},
        there_car={"power_run_m": 5.0},
    ),
    "cable_everywhere": Case(
        (
            small.front(),
            small.front(sku="F8", ohm=8.0, rating=1.0),
            small.stereo(),
            small.power_kit(),
            small.lead(),
            small.cable(sku="C1", price=5_00, mm2=1.0),
            small.cable(sku="C2", price=40_00, mm2=4.0),
        ),
        {**FRONT_ONLY, "amplifier": Want.REQUIRED},
        ("A", "C2", "F", "K", "L"),
        here_car={"front_run_m": 3.0},
        there_car={"front_run_m": 9.0},
    ),
}
"""For each constraint a case that it decides."""


def test_every_constraint_has_a_case() -> None:
    assert {each.__name__ for each in covering_rows.COVERING} == set(CASES)


@pytest.mark.parametrize("name", CASES)
def test_with_it_the_right_system_is_found(name: str) -> None:
    case, build = CASES[name], CASES[name].solved()
    assert (bought(build, THERE) if of(build, THERE).covered else ()) == case.there


@pytest.mark.parametrize("name", CASES)
def test_without_it_a_system_is_proposed_that_the_audit_refuses(name: str) -> None:
    kept = tuple(each for each in covering_rows.COVERING if each.__name__ != name)
    with patch.object(covering_rows, "COVERING", kept), pytest.raises(AuditRefusedError):
        CASES[name].solved()


def test_without_the_share_too_few_vehicles_would_do() -> None:
    """The better front speakers are too deep for one of three vehicles, the better rear ones for another."""
    products = (
        small.front(sku="F1", rating=9.0, depth_mm=60.0),
        small.front(sku="F2", rating=5.0, depth_mm=40.0),
        small.rear(sku="R1", rating=9.0, depth_mm=60.0),
        small.rear(sku="R2", rating=5.0, depth_mm=40.0),
    )
    shallow = Place(size_mm=165.0, depth_mm=50.0), Place(size_mm=130.0, depth_mm=50.0)
    catalogue = stock(*products, here={"front": shallow[0]}, there={"rear": shallow[1]})
    third = replace(catalogue.vehicles[0], name="Tarn Saloon", front=small.car().front)
    catalogue = replace(catalogue, vehicles=(*catalogue.vehicles, third))
    brief = replace(
        both(**FRONT_ONLY | {"rear": Want.REQUIRED}, own_internal_w=20.0, share=Fraction(2, 3)),
        vehicles=(HERE, THERE, "Tarn Saloon"),
    )
    build = solved(catalogue, brief)
    assert build.covered is not None
    assert [one.covered for one in build.covered.vehicles] == [False, True, True]
    assert bought(build, THERE) == ("F1", "R2")
    everything = Row("enough_covered", [])
    with patch.object(covering_best, "enough_covered", return_value=everything), pytest.raises(AuditRefusedError):
        solved(catalogue, brief)


def test_without_the_cap_a_system_would_be_too_dear() -> None:
    products = small.front(sku="F1", price=200_00, rating=9.0), small.front(sku="F2", price=100_00)
    catalogue, brief = stock(*products), both(**FRONT_ONLY, own_internal_w=20.0)
    assert bought(solved(catalogue, brief, 150_00), THERE) == ("F2",)
    with patch.object(covering_best, "every_cap", return_value=Row("every_cap", [])), pytest.raises(AuditRefusedError):
        solved(catalogue, brief, 150_00)


def test_without_the_sum_of_prices_a_system_that_costs_more_in_the_cheaper_vehicle_would_do() -> None:
    """Equal points, and the same highest price: what the other vehicle pays decides, before the SKU order does."""
    products = (
        small.front(sku="FA", price=110_00, size_mm=165.0),
        small.front(sku="FB", price=100_00, size_mm=130.0),
        ring(sku="Y1", price=10_00, size_mm=165.0),
        ring(sku="Y2", price=20_00, size_mm=130.0),
    )
    catalogue = stock(*products, there={"front": Place(size_mm=130.0, depth_mm=70.0)})
    brief = both(**FRONT_ONLY, own_internal_w=20.0)
    assert bought(solved(catalogue, brief), THERE) == ("FB",)
    with patch.object(covering_best, "paid_where_covered", return_value=[]):
        assert bought(solved(catalogue, brief), THERE) == ("FA", "Y1")
