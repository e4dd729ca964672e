"""What is told of one system for several vehicles: what is the vehicle's own, whom it fits, and why not the others."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest

from budgetbuild.build import Role, Status
from budgetbuild.catalogue.kinds import AerialUse, HeadUnitMode, KitFor, Location, Opening, SpeakerType, Want
from budgetbuild.catalogue.shop import Place
from budgetbuild.planning.kit import question_of, solve_kit
from budgetbuild.program import covering_best
from budgetbuild.program.goals import Choice
from budgetbuild.program.solver import Answer, Solution, Solver
from budgetbuild.report.words.kit import why_not
from budgetbuild.report.words.voice import voice_of
from tests.kits.two import HERE, THERE, both, bought, of, solved, stock
from tests.oracle.catalogues import random_catalogue
from tests.program import small
from tests.program.small import answer

if TYPE_CHECKING:
    from budgetbuild.build import Build
    from budgetbuild.catalogue.items import Product

OWN_20: dict[str, Any] = {"own_internal_w": 20.0, "rear": Want.NONE, "bass": Want.NONE, "deadening": Want.NONE}
HALF = Fraction(1, 2)
BASS: dict[str, Any] = {"front": Want.NONE, "rear": Want.NONE, "bass": Want.REQUIRED, "share": HALF}
WIRED = (small.power_kit(), small.lead(), small.cable())
RING = small.fascia(sku="Y", price=15_00, fits=KitFor.SPEAKER, location=Location.FRONT, size_mm=165.0)


def why(build: Build, name: str = THERE) -> str:
    """What is said of a vehicle that is left out."""
    assert build.covered is not None
    one = of(build, name)
    assert not one.covered
    return why_not(one, build.covered, voice_of(small.stock().settings))


def test_fitting_kit_adapter_aerial_and_cable_are_the_vehicles_own_and_the_rest_is_the_same() -> None:
    products = (
        small.head_unit(digital_radio=True),
        small.fascia(sku="X1", price=10_00, any_vehicle=False, vehicles=("marl estate",)),
        small.fascia(sku="X2", price=18_00, any_vehicle=False, vehicles=("fenn coupe",)),
        small.aerial(sku="E1"),
        small.aerial(sku="E2", price=12_00, use=AerialUse.FACTORY_ADAPTER),
        small.front(),
        RING,
        small.stereo(),
        small.power_kit(),
        small.lead(),
        small.cable(metres_per_unit=10.0),
    )
    there = {
        "front": Place(size_mm=130.0, depth_mm=70.0),
        "factory_digital_aerial": True,
        "front_run_m": 3.0,
        "signal_run_m": 5.5,
    }
    brief = both(head_unit=HeadUnitMode.REPLACE, **{**OWN_20, "amplifier": Want.REQUIRED, "front": Want.REQUIRED})
    build = solved(stock(*products, there=there), brief)
    assert bought(build, HERE) == ("A", "C", "C", "E1", "F", "H", "K", "L", "X1")
    assert bought(build, THERE) == ("A", "C", "E2", "F", "H", "K", "L", "X2", "Y")
    assert [part.sku for part in of(build, THERE).own] == ["X2", "E2", "Y", "C"]


def test_what_is_shown_is_the_vehicle_where_it_costs_most() -> None:
    products = small.front(), RING
    build = solved(stock(*products, there={"front": Place(size_mm=130.0, depth_mm=70.0)}), both(**OWN_20))
    assert build.covered is not None
    assert (build.vehicle.name, build.total) == (THERE, 115_00)
    assert (build.covered.lowest, build.covered.highest) == (100_00, 115_00)
    assert build.audited == of(build, THERE).audited


def test_its_score_is_the_lowest_and_its_sheets_are_no_more_than_the_smallest_doors_take() -> None:
    """1.6 m2 in one sheet of 1.0 and one of 0.6: 4 points of 5 at rating 8 where the doors have 1.6 m2."""
    sheet = small.sheet(rating=8.0, sheet_m2=0.8)
    brief = both(**{**OWN_20, "front": Want.NONE, "deadening": Want.REQUIRED})
    alike = solved(stock(sheet, here={"door_m2": 1.6}, there={"door_m2": 3.2}), brief)
    assert [one.audited.score for one in alike.covered.vehicles] == [4000, 2000]  # type: ignore[union-attr]
    assert (alike.score, bought(alike, THERE)) == (2000, ("D", "D"))
    small_doors = solved(stock(sheet, here={"door_m2": 0.8}, there={"door_m2": 3.2}), brief)
    assert (small_doors.score, bought(small_doors, THERE)) == (1000, ("D",))


def test_a_vehicle_that_it_fits_with_fewer_points_is_left_out_where_the_share_allows_it_and_told_so() -> None:
    sheet = small.sheet(rating=8.0, sheet_m2=0.8)
    brief = both(HALF, **{**OWN_20, "front": Want.NONE, "deadening": Want.REQUIRED})
    build = solved(stock(sheet, here={"door_m2": 1.6}, there={"door_m2": 3.2}), brief)
    assert (build.score, bought(build, HERE)) == (4000, ("D", "D"))
    assert why(build) == "It fits, but with 2.00 points, fewer than the 4.00 that the others have at least"


def test_weights_decide_which_of_two_vehicles_is_covered() -> None:
    products = (
        small.front(sku="F1", depth_mm=60.0, type=SpeakerType.COAXIAL),
        small.front(sku="F2", depth_mm=40.0, type=SpeakerType.COMPONENT),
    )
    places = (
        {"front": Place(size_mm=165.0, depth_mm=70.0, tweeter_place=False)},
        {"front": Place(size_mm=165.0, depth_mm=50.0, tweeter_place=True)},
    )
    brief = both(Fraction(1, 3), **{**OWN_20, "front": Want.REQUIRED})
    for weight, covered in ((1.5, [True, False]), (0.5, [False, True])):
        build = solved(stock(*products, here=places[0] | {"weight": weight}, there=places[1]), brief)
        assert [one.covered for one in build.covered.vehicles] == covered  # type: ignore[union-attr]


REASONS: dict[str, tuple[tuple[Product, ...], dict[str, Any], dict[str, Any], str]] = {
    "no opening": (
        (small.head_unit(), small.fascia()),
        {"head_unit": HeadUnitMode.REPLACE, **OWN_20, "front": Want.NONE, "share": HALF},
        {"opening": Opening.NONE},
        "Its head unit cannot be replaced",
    ),
    "opening": (
        (small.head_unit(), small.fascia()),
        {"head_unit": HeadUnitMode.REPLACE, **OWN_20, "front": Want.NONE, "share": HALF},
        {"opening": Opening.SINGLE},
        "Its dash has a single opening, which does not take the head unit",
    ),
    "no fitting kit": (
        (small.head_unit(), small.fascia(any_vehicle=False, vehicles=("marl estate",))),
        {"head_unit": HeadUnitMode.REPLACE, **OWN_20, "front": Want.NONE, "share": HALF},
        {},
        "No fitting kit for it is in the list",
    ),
    "no aerial": (
        (small.head_unit(digital_radio=True), small.fascia(), small.aerial()),
        {"head_unit": HeadUnitMode.REPLACE, **OWN_20, "front": Want.NONE, "share": HALF},
        {"factory_digital_aerial": True},
        "An aerial of the kind that it needs is not in the list",
    ),
    "no adapter": (
        (small.front(),),
        {**OWN_20, "share": HALF},
        {"front": Place(size_mm=130.0, depth_mm=70.0)},
        "Its front speakers are of another size, and no adapter for it is in the list",
    ),
    "too deep": (
        (small.front(),),
        {**OWN_20, "share": HALF},
        {"front": Place(size_mm=165.0, depth_mm=52.5)},
        "The front speakers do not go in: speaker depth 60 mm, front place 52.5 mm",
    ),
    "no tweeter place": (
        (small.front(type=SpeakerType.COMPONENT),),
        {**OWN_20, "share": HALF},
        {"front": Place(size_mm=165.0, depth_mm=70.0, tweeter_place=False)},
        "The front speakers do not go in: a component set needs a tweeter place, and front has none",
    ),
    "boot": (
        (small.powered(width_mm=500.0, height_mm=200.0, depth_mm=300.0), *WIRED),
        BASS,
        {"boot_width_mm": 400.0, "boot_depth_mm": 400.0},
        "The bass does not go into its boot: width x depth 500 x 300 mm and 10 mm to spare, boot 400 x 400 mm",
    ),
    "lead": (
        (small.powered(), *WIRED),
        BASS,
        {"signal_run_m": 6.5},
        "The signal lead is 5.5 m long, and its run needs at least 6.5 m",
    ),
    "power kit": (
        (small.powered(), *WIRED),
        BASS,
        {"power_run_m": 6.2},
        "The power kit is 5 m long, and its run needs at least 6.2 m",
    ),
    "price": (
        (small.front(), RING),
        {**OWN_20, "share": HALF},
        {"front": Place(size_mm=130.0, depth_mm=70.0)},
        "It would cost €115.00 there, above the cap",
    ),
    "must include": (
        (
            small.head_unit(),
            small.fascia(sku="X1", any_vehicle=False, vehicles=("marl estate",)),
            small.fascia(sku="X2", any_vehicle=False, vehicles=("fenn coupe",)),
        ),
        {"head_unit": HeadUnitMode.REPLACE, **OWN_20, "front": Want.NONE, "share": HALF, "must_include": ("X1",)},
        {},
        "X1, which the brief asks for, does not go into it",
    ),
    "deadening": (
        (small.sheet(sheet_m2=0.8),),
        {**OWN_20, "front": Want.NONE, "deadening": Want.REQUIRED, "share": HALF},
        {"door_m2": 0.8, "weight": 0.5},
        "Its doors take 1 to 1 sheets of the deadening",
    ),
}
"""Products, brief, the second vehicle's own columns, and why it is left out."""


@pytest.mark.parametrize("name", REASONS)
def test_each_vehicle_that_is_left_out_is_explained(name: str) -> None:
    products, brief, there, told = REASONS[name]
    build = solved(stock(*products, there=there), both(**brief), 110_00 if name == "price" else small.PLENTY)
    assert why(build) == told


def test_a_power_kit_that_carries_too_little_over_a_longer_run_and_a_cable_too_thin_for_one_are_told() -> None:
    products = (
        small.front(),
        small.stereo(),
        small.power_kit(mm2=5.3, fuse_a=40.0, length_m=9.0),
        small.lead(),
        small.cable(mm2=1.0),
    )
    brief = both(HALF, **{**OWN_20, "own_internal_w": 0.0, "amplifier": Want.REQUIRED, "front": Want.REQUIRED})
    runs = {"power_run_m": 3.0, "front_run_m": 3.0}, {"power_run_m": 8.0, "front_run_m": 9.0}
    told = why(solved(stock(*products, here=runs[0], there=runs[1]), brief))
    assert told.startswith("The speaker cable is too thin for its run to the front; the power kit feeds 20 A, and over")
    assert " its run it carries at most 15.6 (drop 15.6, " in told


def test_two_vehicles_that_are_alike_get_what_one_gets() -> None:
    """The same question by another road: one vehicle has its own program, held against its budget curve."""
    compared = 0
    for seed in range(22):
        catalogue, brief, vehicle, cap = random_catalogue(seed)
        twin = replace(vehicle, name="Fenn Coupe")
        kits = tuple(
            replace(kit, vehicles=(*(name for name in kit.vehicles if name != "fenn coupe"), "fenn coupe"))
            if "marl estate" in kit.vehicles
            else replace(kit, vehicles=tuple(name for name in kit.vehicles if name != "fenn coupe"))
            for kit in catalogue.fitting_kits
        )
        several = replace(brief, vehicle="", vehicles=(vehicle.name, twin.name))
        catalogue = replace(catalogue, fitting_kits=kits, vehicles=(vehicle, twin), briefs=(brief, several))
        one, both_ = (
            answer(catalogue, brief, cap),
            solve_kit(question_of(catalogue, several), small.tier(cap), Solver(), None),
        )
        assert (both_.status, both_.score, both_.total) == (one.status, one.score, one.total)
        if both_.audited:
            assert both_.audited.system == one.system
            compared += 1
    assert compared > 8


def test_the_order_of_the_vehicles_changes_nothing() -> None:
    products = small.front(), RING, small.sheet()
    there = {"front": Place(size_mm=130.0, depth_mm=70.0), "door_m2": 2.0}
    catalogue = stock(*products, there=there)
    brief = both(**{**OWN_20, "deadening": Want.OPTIONAL})
    turned = replace(catalogue, vehicles=catalogue.vehicles[::-1]), replace(brief, vehicles=(THERE, HERE))
    one, other = solved(catalogue, brief), solved(*turned)
    assert (one.score, one.total, one.vehicle) == (other.score, other.total, other.vehicle)
    assert bought(one, HERE) == bought(other, HERE)


def test_a_search_that_is_stopped_is_never_called_the_best() -> None:
    brief = both(**OWN_20)
    build = solve_kit(question_of(stock(small.front()), brief), small.tier(small.PLENTY), Solver(), 1e-9)
    assert (build.status, build.covered, build.audited) == (Status.TIME_LIMIT, None, None)


@pytest.mark.parametrize("stopped", ["minimise", "achieve"])
def test_a_search_that_is_stopped_after_the_score_is_proven_says_that_the_price_is_open(stopped: str) -> None:
    """Time runs out while other sets of vehicles are looked for, or while the first one is priced."""
    late: dict[str, Any] = {
        "minimise": Solution(Answer.UNKNOWN),
        "achieve": Choice(Status.TIME_LIMIT),
    }
    catalogue = stock(small.front(), there={"front": Place(size_mm=165.0, depth_mm=40.0)})
    with patch.object(covering_best, stopped, return_value=late[stopped]):
        build = solved(catalogue, both(HALF, **OWN_20))
    assert (build.status, build.score, build.bound) == (Status.TIME_LIMIT, 15758, 15758)
    assert [one.covered for one in build.covered.vehicles] == [True, False]  # type: ignore[union-attr]


def test_every_part_of_the_vehicles_own_is_told_for_its_role() -> None:
    build = solved(stock(small.front(), RING, there={"front": Place(size_mm=130.0)}), both(**OWN_20))
    assert [part.role for part in of(build, THERE).own] == [Role.FRONT_ADAPTER]
