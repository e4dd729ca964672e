"""Why no build is possible: what stands in the way, the least price, and what giving way would cost."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.advice.explain import explain
from budgetbuild.advice.frontier import curve_of
from budgetbuild.build import NoBuild, Relief, Status
from budgetbuild.catalogue.kinds import Conductor, HeadUnitMode, KitFor, OneBrand, Opening, Want, Work
from budgetbuild.catalogue.shop import Settings
from budgetbuild.program.offer import Offer
from budgetbuild.quoting import quote
from tests.oracle.catalogues import random_catalogue
from tests.oracle.enumerate import cheapest
from tests.oracle.knobs import PROFILES
from tests.program.small import (
    PLENTY,
    answer,
    cable,
    car,
    converter,
    enclosure,
    fascia,
    front,
    head_unit,
    lead,
    power_kit,
    powered,
    rear,
    sheet,
    stereo,
    stock,
    tier,
    wants,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from budgetbuild.catalogue.shop import Brief, Catalogue

Lighter = dict[tuple[str, str], "Brief"]
"""Briefs with one requirement less, by code and subject."""


def explained(catalogue: Catalogue, brief: Brief, cap: int = PLENTY) -> NoBuild:
    """The explanation of an answer that must be infeasible."""
    assert answer(catalogue, brief, cap).status is Status.INFEASIBLE
    return explain(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle)), cap)


def lighter(brief: Brief) -> Lighter:
    """Every requirement that a brief makes, each taken away on its own: written down anew."""
    found: Lighter = {}
    for part in ("front", "rear", "bass", "deadening"):
        if getattr(brief, part) is Want.REQUIRED:
            columns: dict[str, Any] = {part: Want.OPTIONAL}
            found[part, ""] = replace(brief, **columns)
    if brief.amplifier is not Want.OPTIONAL:
        found["amplifier", str(brief.amplifier)] = replace(brief, amplifier=Want.OPTIONAL)
    if brief.one_brand is OneBrand.MUST:
        found["one-brand", ""] = replace(brief, one_brand=OneBrand.NO)
    if brief.fitted:
        found["fitted", ""] = replace(brief, fitted=False)
    for i, term in enumerate(brief.must_include):
        found["must-include", term] = replace(brief, must_include=brief.must_include[:i] + brief.must_include[i + 1 :])
    for i, term in enumerate(brief.leave_out):
        found["leave-out", term] = replace(brief, leave_out=brief.leave_out[:i] + brief.leave_out[i + 1 :])
    replaced = brief.head_unit is HeadUnitMode.REPLACE
    other = HeadUnitMode.KEEP_FACTORY if replaced else HeadUnitMode.REPLACE
    found["head-unit", str(other)] = replace(brief, head_unit=other)
    return found


@dataclass(frozen=True)
class Refusal:
    """An infeasible instance, what the tool says of it, and what brute force finds."""

    name: str
    told: NoBuild
    least: int | None
    cap: int
    reliefs: dict[tuple[str, str], int | None]


@cache
def refusals() -> list[Refusal]:
    """One instance of every profile with a cent too little to spend, or without any system at any price."""
    drawn = [(profile, 900) for profile in PROFILES] + [("impossible", seed) for seed in range(901, 909)]
    found = []
    for profile, seed in drawn:
        catalogue, brief, vehicle, cap = random_catalogue(seed, profile)
        least = cheapest(catalogue, brief, vehicle)
        cap = cap if least is None else least - 1
        reliefs = {key: cheapest(catalogue, light, vehicle) for key, light in lighter(brief).items()}
        found.append(Refusal(f"{profile} {seed}", explained(catalogue, brief, cap), least, cap, reliefs))
    return found


def test_least_total_is_that_of_brute_force() -> None:
    """To the cent; none where no system exists at any price, and then something stands in the way."""
    for refusal in refusals():
        assert refusal.told.least_total == refusal.least, refusal.name
        assert bool(refusal.told.obstacles) == (refusal.least is None), refusal.name


def test_reliefs_are_the_requirements_that_make_a_system_possible_or_cheaper() -> None:
    """All of those and only those, each with the price of the cheapest system then, and whether the cap allows it."""
    for refusal in refusals():
        expected = {
            (code, subject): (total, total <= refusal.cap)
            for (code, subject), total in refusal.reliefs.items()
            if total is not None and (refusal.least is None or total < refusal.least)
        }
        told = {(r.code, r.subject): (r.least_total, r.within_cap) for r in refusal.told.reliefs}
        assert told == expected, refusal.name
        assert len(refusal.told.reliefs) == len(told)


def test_refusals_are_varied() -> None:
    """Some without any system, many reliefs of many kinds, within the cap and not."""
    reliefs = [relief for refusal in refusals() for relief in refusal.told.reliefs]
    assert sum(refusal.least is None for refusal in refusals()) >= 3
    assert len({relief.code for relief in reliefs}) >= 6
    assert {relief.within_cap for relief in reliefs} == {True, False}


REPLACED = wants(head_unit=HeadUnitMode.REPLACE)
FACTORY = wants(head_unit=HeadUnitMode.KEEP_FACTORY, bass=Want.REQUIRED)
AMPLIFIED = wants(front=Want.REQUIRED, amplifier=Want.REQUIRED)
Impossible = tuple["Catalogue", "Brief"]


def no_source_fits() -> Impossible:
    """A double unit does not go into a single opening."""
    return stock(head_unit(), fascia(), vehicle=car(opening=Opening.SINGLE)), REPLACED


def no_source_fits_an_opening_that_is_none() -> Impossible:
    """Nothing goes into a dash without an opening, whatever is on sale."""
    return stock(head_unit(opening=Opening.FLOATING), fascia(), vehicle=car(opening=Opening.NONE)), REPLACED


def no_fitting_kit() -> Impossible:
    """The only kit is for another vehicle."""
    kit = fascia(any_vehicle=False, vehicles=("fenn coupe",))
    return stock(head_unit(), kit), REPLACED


def no_fitting_kit_of_a_converter() -> Impossible:
    """A converter kit is listed for the vehicle by name, so one is needed, but it is no longer sold."""
    kit = fascia(fits=KitFor.CONVERTER, any_vehicle=False, vehicles=("marl estate",), active=False)
    return stock(converter(), kit, powered(), power_kit(), lead()), FACTORY


def no_aerial() -> Impossible:
    """A digital-radio unit, and neither an aerial for the screen nor a unit without digital radio."""
    return stock(head_unit(digital_radio=True), fascia()), REPLACED


def nothing_for_location() -> Impossible:
    """Front speakers on sale are deeper than the place."""
    return stock(front(depth_mm=75.0)), wants(own_internal_w=20.0, front=Want.REQUIRED)


def no_converter() -> Impossible:
    """Bass always takes a pair, and the factory unit has none."""
    return stock(powered(), power_kit(), lead()), FACTORY


def no_power_kit() -> Impossible:
    """The only kit is too short."""
    return stock(front(), stereo(), power_kit(length_m=3.5), lead(), cable()), AMPLIFIED


def no_lead() -> Impossible:
    """The only lead is too short."""
    return stock(front(), stereo(), power_kit(), lead(length_m=4.5), cable()), AMPLIFIED


def no_cable() -> Impossible:
    """The only cable is too thin: 2 x 5 m of 0.5 mm2 copper have 0.34 ohm, more than 5 % of 4 ohm."""
    return stock(front(), stereo(), power_kit(), lead(), cable(mm2=0.5)), AMPLIFIED


def no_amplifier() -> Impossible:
    """None on sale."""
    return stock(front(), power_kit(), lead(), cable()), AMPLIFIED


def no_deadening() -> Impossible:
    """Required, and none on sale."""
    return stock(front()), wants(own_internal_w=20.0, deadening=Want.REQUIRED)


def must_include_impossible() -> Impossible:
    """No such SKU or brand is on sale."""
    return stock(front()), wants(own_internal_w=20.0, must_include=("Zettel",))


def other() -> Impossible:
    """Everything is on sale, but the own unit has one pair and front and bass take two."""
    products = front(), stereo(), enclosure(), power_kit(), lead(), cable()
    return stock(*products), replace(AMPLIFIED, own_preout_pairs=1, bass=Want.REQUIRED)


OBSTACLES: dict[Callable[[], Impossible], tuple[str, str]] = {
    no_source_fits: ("no-source-fits", "Marl Estate"),
    no_source_fits_an_opening_that_is_none: ("no-source-fits", "Marl Estate"),
    no_fitting_kit: ("no-fitting-kit", "Marl Estate"),
    no_fitting_kit_of_a_converter: ("converter-kit-barred", "Marl Estate"),
    no_aerial: ("no-aerial", "Marl Estate"),
    nothing_for_location: ("nothing-for-location", "front"),
    no_converter: ("no-converter", ""),
    no_power_kit: ("no-power-kit", ""),
    no_lead: ("no-lead", ""),
    no_cable: ("no-cable", "front"),
    no_amplifier: ("no-amplifier", ""),
    no_deadening: ("no-deadening", ""),
    must_include_impossible: ("must-include-impossible", "Zettel"),
    other: ("other", ""),
}
"""Code and subject of what stands in the way."""


@pytest.mark.parametrize("make", OBSTACLES, ids=lambda make: make.__name__)
def test_what_stands_in_the_way_is_named(make: Callable[[], Impossible]) -> None:
    """That first of all, whatever follows from it; brute force agrees that there is no system."""
    catalogue, brief = make()
    assert cheapest(catalogue, brief, catalogue.vehicle(brief.vehicle)) is None
    told = explained(catalogue, brief)
    assert told.least_total is None
    assert OBSTACLES[make] in {(obstacle.code, obstacle.subject) for obstacle in told.obstacles}
    if OBSTACLES[make][0] not in {"no-amplifier", "nothing-for-location"}:  # these two may name each other
        assert len(told.obstacles) == 1


def reasons() -> Iterator[tuple[str, Catalogue, Brief]]:
    """Why nothing goes at a location, in words, with a case for each."""
    required = wants(own_internal_w=20.0, front=Want.REQUIRED)
    bass = wants(bass=Want.REQUIRED)
    yield "no speakers on offer", stock(), required
    yield "1 too deep", stock(front(depth_mm=75.0)), required
    yield "2 another size without a listed adapter", stock(rear(), rear(sku="R2")), required
    yield (
        "no enclosure, powered subwoofer or boxed driver on offer goes into the boot",
        stock(power_kit(), lead()),
        bass,
    )
    yield (
        "the brief allows no external amplifier, and none in the dash gives the right power",
        stock(front(rms_w=100.0)),
        replace(required, amplifier=Want.NONE),
    )


@pytest.mark.parametrize(("words", "catalogue", "brief"), list(reasons()))
def test_why_nothing_goes_at_a_location_is_said(words: str, catalogue: Catalogue, brief: Brief) -> None:
    """20 W are too little for 100 W speakers; 130 mm speakers need an adapter at a 165 mm place."""
    told = explained(catalogue, brief)
    assert [obstacle.figures.get("reason") for obstacle in told.obstacles] == [words]


def test_a_cap_too_low_names_what_could_give_way() -> None:
    """Front (100) and deadening (50) required, 120 to spend, nothing else on sale.

    Without the front 50 suffice, without the deadening 100. A new head unit is not on sale.
    """
    brief = wants(own_internal_w=20.0, front=Want.REQUIRED, deadening=Want.REQUIRED)
    told = explained(stock(front(), sheet()), brief, cap=120_00)
    reliefs = (Relief("front", "", 50_00, within_cap=True), Relief("deadening", "", 100_00, within_cap=True))
    assert told == NoBuild(150_00, (), reliefs)


def test_a_relief_beyond_the_cap_says_so() -> None:
    """90 to spend: without the deadening, front still costs 100."""
    brief = wants(own_internal_w=20.0, front=Want.REQUIRED, deadening=Want.REQUIRED)
    told = explained(stock(front(), sheet()), brief, cap=90_00)
    reliefs = (Relief("front", "", 50_00, within_cap=True), Relief("deadening", "", 100_00, within_cap=False))
    assert told.reliefs == reliefs


def test_a_forbidden_metal_is_no_kit_at_all() -> None:
    """A shop that sells no copper-clad power kits has none here."""
    products = front(), stereo(), power_kit(conductor=Conductor.CCA), lead(), cable()
    limits = replace(Settings().limits, cca_allowed=False)
    told = explained(stock(*products, settings=Settings(limits=limits)), AMPLIFIED)
    assert [obstacle.code for obstacle in told.obstacles] == ["no-power-kit"]


def test_what_the_shop_lists_no_hours_for_is_no_relief() -> None:
    """Keeping the factory unit would need no converter here, and its hours are not listed: 100 and an hour's 50.

    The brief itself: head unit 100, its kit 10 and front 100, with an hour for each of the two.
    """
    catalogue = stock(
        head_unit(),
        fascia(),
        front(),
        converter(),
        labour_hours={Work.HEAD_UNIT: Fraction(1), Work.FRONT: Fraction(1)},
        settings=Settings(labour_rate=50_00),
    )
    brief = wants(head_unit=HeadUnitMode.REPLACE, front=Want.REQUIRED, amplifier=Want.NONE, bass=Want.NONE, fitted=True)
    told = explained(catalogue, brief, cap=10_00)
    assert told.least_total == 310_00
    assert {relief.code: relief.least_total for relief in told.reliefs} == {
        "front": 160_00,
        "fitted": 210_00,
        "head-unit": 150_00,
    }


def test_an_infeasible_build_carries_its_explanation() -> None:
    """Front costs 100, the cap is 50."""
    catalogue, brief = stock(front()), wants(own_internal_w=20.0, front=Want.REQUIRED)
    build = quote(catalogue, tier(50_00), curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle)))
    assert (build.status, build.score, build.total) == (Status.INFEASIBLE, None, None)
    assert build.no_build == NoBuild(100_00, (), (Relief("front", "", 0, within_cap=True),))
