"""What each part of a build won against: runners-up against brute force, laws that hold of them, and by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

import pytest

from budgetbuild.advice.advice import advise
from budgetbuild.advice.frontier import curve_of
from budgetbuild.advice.neighbours import Around
from budgetbuild.build import Part, Role
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, Want
from budgetbuild.catalogue.shop import Tier
from budgetbuild.quoting import quote
from tests.oracle.around import others_near, scored
from tests.oracle.catalogues import random_catalogue
from tests.oracle.choices import Shop
from tests.oracle.knobs import PROFILES
from tests.program.small import (
    PLENTY,
    box,
    cable,
    converter,
    driver,
    enclosure,
    fascia,
    front,
    head_unit,
    lead,
    power_kit,
    powered,
    rear,
    sheet,
    skus,
    stereo,
    stock,
    tier,
    wants,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.build import Audited, Curve, RunnerUp
    from budgetbuild.catalogue.shop import Brief, Catalogue
    from tests.oracle.enumerate import Key

PLACES: dict[Role, Location | str] = {
    Role.HEAD_UNIT: "source",
    Role.CONVERTER: "source",
    Role.FRONT: Location.FRONT,
    Role.REAR: Location.REAR,
    Role.BASS: Location.BASS,
    Role.AMPLIFIER: "amplifier",
    Role.DEADENING: "deadening",
}
"""What brute force calls the place of a scored part."""


def key(audited: Audited) -> Key:
    """What decides between builds, smallest best."""
    return -audited.score, audited.total, skus(audited.system)


def curve_from(profile: str, seed: int) -> tuple[Catalogue, Curve]:
    """A random catalogue with its budget curve."""
    catalogue, brief, vehicle, _ = random_catalogue(seed, profile)
    return catalogue, curve_of(catalogue, brief, vehicle)


def around(catalogue: Catalogue, curve: Curve, now: Audited, reach: int | None = None) -> Around:
    """What is around a build."""
    return Around(catalogue, curve.brief, curve.vehicle, now, reach)


def assert_is(runner_up: RunnerUp, others: dict[Key, str], cap: int) -> None:
    """The best of all systems with another product there, that product, and the price of the cheapest."""
    assert runner_up.least_total == min((total for _, total, _ in others), default=None)
    best = min((other for other in others if other[1] <= cap), default=None)
    assert (runner_up.step and key(runner_up.step.audited)) == best
    assert (runner_up.other.sku if runner_up.other else None) == (others[best] if best else None)


def assert_as_by_brute_force(profile: str, seed: int) -> Counter[str]:
    """Every runner-up of two builds of the curve, within their own price, a little more, and a lot more."""
    found: Counter[str] = Counter()
    catalogue, curve = curve_from(profile, seed)
    for i in sorted({len(curve.points) // 3, 2 * len(curve.points) // 3} if curve.points else ()):
        now = curve.points[i]
        parts = scored(now.system)
        others = others_near(Shop(catalogue, curve.brief, curve.vehicle), parts)
        for cap in (now.total, now.total + 40_00, 3 * now.total):
            told = around(catalogue, curve, now, cap).runners_up(cap)
            for runner_up in told:
                place = PLACES[runner_up.part.role], runner_up.part.sku
                assert_is(runner_up, others.get(place, {}), cap)
                found["within" if runner_up.step else "too dear" if runner_up.least_total else "none"] += 1
            assert {(PLACES[one.part.role], one.part.sku) for one in told} >= set(others)
    return found


@pytest.mark.parametrize("profile", PROFILES)
def test_runners_up_are_those_of_brute_force(profile: str) -> None:
    """Score, total and SKUs of the best system with another product in a place, and the price of the cheapest."""
    assert_as_by_brute_force(profile, 640)


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_runners_up_are_those_of_brute_force_on_many_catalogues(profile: str) -> None:
    """Five more of every profile, and not all of them without an answer."""
    found = sum((assert_as_by_brute_force(profile, seed) for seed in range(641, 646)), Counter[str]())
    assert profile == "impossible" or found["within"]


@cache
def some_builds() -> list[tuple[Catalogue, Curve, Audited, int]]:
    """Builds of curves, each with the highest cap at which it is the best: a cent less than the next one."""
    return list(_some_builds())


def _some_builds() -> Iterator[tuple[Catalogue, Curve, Audited, int]]:
    for profile in ("plain", "two amplifiers", "six channels", "factory", "drivers", "fitted", "twins"):
        catalogue, curve = curve_from(profile, 650)
        points = curve.points
        for i in range(0, len(points) - 1, max(1, len(points) // 3)):
            yield catalogue, curve, points[i], points[i + 1].total - 1


def test_no_runner_up_beats_the_build_at_any_cap_at_which_it_is_the_best() -> None:
    """Not in score; of equal scores not in price; of equal prices not in SKU order. It keeps the cap too."""
    found = 0
    for catalogue, curve, now, cap in some_builds():
        for runner_up in around(catalogue, curve, now).runners_up(cap):
            if runner_up.step:
                found += 1
                assert key(now) < key(runner_up.step.audited)
                assert runner_up.step.gain <= 0
                assert runner_up.step.audited.total <= cap
                assert not runner_up.step.audited.refused
    assert found > 20


def test_every_scored_part_has_one_and_nothing_else_moves_with_it() -> None:
    """One for each product in a scored role; of all scored roles its step changes that one alone."""
    for catalogue, curve, now, cap in some_builds():
        told = around(catalogue, curve, now).runners_up(cap)
        held = [(part.role, part.sku) for part in now.system.parts if part.role in PLACES]
        assert [(one.part.role, one.part.sku) for one in told] == sorted(
            held, key=lambda pair: list(Role).index(pair[0])
        )
        for one in told:
            assert (one.step is None) == (one.other is None)
            if one.step and one.other:
                assert {change.role for change in one.step.changes} - {Role.BOX} == {one.part.role}
                assert one.other.role is one.part.role
                assert one.other.sku != one.part.sku
                assert one.least_total is not None
                assert one.least_total <= one.step.audited.total


def test_the_best_swap_is_the_best_runner_up_that_gains_or_another_quantity() -> None:
    """Within the stretched cap. A swap gains, so within the cap of a best build there is none: it always exceeds it."""
    found = Counter[str]()
    for catalogue, curve, now, cap in some_builds():
        reach = cap + 150_00
        near = around(catalogue, curve, now, reach)
        assert near.swap(cap) is None
        swap, steps = near.swap(reach), [one.step for one in near.runners_up(reach) if one.step]
        best = min((step for step in steps if step.gain > 0), key=lambda step: key(step.audited), default=None)
        if swap is None:
            assert best is None
            continue
        assert swap.audited.total > cap
        before, after = (
            {part.sku for part in system.parts if part.role in PLACES} for system in (now.system, swap.audited.system)
        )
        found["quantity" if before == after else "product"] += 1
        if before == after:
            assert best is None or key(swap.audited) < key(best.audited)
        else:
            assert swap == best
    assert found["product"] > 3


def test_what_is_asked_for_in_common_is_what_is_asked_for_alone() -> None:
    """Curves drawn up to one cap and read at lower ones, curves without a cap, and advice as a whole."""
    for catalogue, curve, now, cap in some_builds():
        within = Tier(name="tier", budget=cap, allowance=Fraction(0))
        stretch = int(cap * catalogue.settings.stretch_share)
        advice, free = advise(catalogue, curve, within, now), around(catalogue, curve, now)
        assert (
            advice.swap == around(catalogue, curve, now, cap + stretch).swap(cap + stretch) == free.swap(cap + stretch)
        )
        assert (
            advice.drop == around(catalogue, curve, now, cap - stretch).drop(cap - stretch) == free.drop(cap - stretch)
        )
        assert advice.runners_up == around(catalogue, curve, now, cap).runners_up(cap) == free.runners_up(cap)


def test_nothing_is_read_beyond_the_cap_that_the_curves_were_drawn_for() -> None:
    """A swap within 100 is no answer to what could be had within 100.01."""
    near = best_around(stock(front(), sheet()), wants(own_internal_w=20.0), 150_00, reach=150_00)
    for ask in (near.swap, near.runners_up):
        with pytest.raises(ValueError, match="15001 cents is beyond the reach of 15000"):
            ask(150_01)


def best_around(catalogue: Catalogue, brief: Brief, cap: int = PLENTY, reach: int | None = None) -> Around:
    """What is around the best build within a cap."""
    curve = curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle))
    best = curve.at(cap)
    assert best is not None
    return around(catalogue, curve, best, reach)


def only(catalogue: Catalogue, brief: Brief, role: Role, cap: int = PLENTY) -> RunnerUp:
    """The only runner-up of a role around the best build within a cap, asked for within that cap alone."""
    (found,) = (one for one in best_around(catalogue, brief, cap, cap).runners_up(cap) if one.part.role is role)
    return found


WIRING = power_kit(), lead(), cable()
INSIDE = wants(own_internal_w=20.0)


def test_a_lower_rating_is_told_in_points_and_price() -> None:
    """Rated 6 and not 5 at the front is 2.5 points; 10 less in price."""
    found = only(
        stock(front(), front(sku="G", price=90_00, rating=5.0), front(sku="I", price=20_00, rating=4.0)),
        INSIDE,
        Role.FRONT,
    )
    assert found.step is not None
    assert (found.part, found.other) == (Part(Role.FRONT, "F"), Part(Role.FRONT, "G"))
    assert (found.step.gain, found.step.extra, found.least_total) == (-2_500, -10_00, 20_00)


def test_where_only_the_price_or_the_sku_decided_nothing_is_lost() -> None:
    """Three alike: the first in SKU order is chosen, the second is next; one a cent dearer comes last."""
    alike = [front(sku="F"), front(sku="G"), front(sku="H"), front(sku="A", price=100_01)]
    for shelf in (alike, alike[::-1]):
        found = only(stock(*shelf), INSIDE, Role.FRONT)
        assert found.step is not None
        assert (found.part.sku, found.other, found.step.gain, found.step.extra) == ("F", Part(Role.FRONT, "G"), 0, 0)
    found = only(stock(front(), front(sku="A", price=100_01)), INSIDE, Role.FRONT)
    assert found.step is not None
    assert (found.step.gain, found.step.extra) == (0, 1)


def test_nothing_else_fits_is_not_the_same_as_what_else_fits_is_too_dear() -> None:
    """At 100 within a cap of 100: alone; with one that is too deep; with one that would take the total to 150.01."""
    assert only(stock(front()), INSIDE, Role.FRONT, 100_00).least_total is None
    deep = only(stock(front(), front(sku="G", price=10_00, depth_mm=90.0)), INSIDE, Role.FRONT, 100_00)
    assert (deep.other, deep.step, deep.least_total) == (None, None, None)
    dear = only(stock(front(), front(sku="G", price=150_01)), INSIDE, Role.FRONT, 100_00)
    assert (dear.other, dear.step, dear.least_total) == (None, None, 150_01)


def test_the_cheapest_is_told_whether_it_lies_within_the_stretch_or_far_beyond() -> None:
    """Two that score alike at 104 and 900: the stretch of 5 goes to 105."""
    for price in (104_00, 900_00):
        catalogue = stock(front(), front(sku="G", price=price))
        curve = curve_of(catalogue, INSIDE, catalogue.vehicle(INSIDE.vehicle))
        best = curve.at(100_00)
        assert best is not None
        (found,) = advise(catalogue, curve, tier(100_00), best).runners_up
        assert (found.step, found.least_total) == (None, price)


def test_what_the_brief_insists_on_has_no_runner_up() -> None:
    """Only F meets the term."""
    found = only(stock(front(), front(sku="G")), replace(INSIDE, must_include=("f",)), Role.FRONT)
    assert (found.step, found.least_total) == (None, None)


def test_another_quantity_of_the_same_product_is_no_runner_up() -> None:
    """Sheets of 0.4 m2 at 20, rated 5: four treat it all. Foil rated 4 at 30 for 0.8 m2: two do, for 2 points."""
    catalogue = stock(sheet(price=20_00, sheet_m2=0.4), sheet(sku="O", price=30_00, rating=4.0, sheet_m2=0.8))
    found = only(catalogue, wants(deadening=Want.REQUIRED), Role.DEADENING)
    assert found.step is not None
    assert (found.part, found.other) == (Part(Role.DEADENING, "D", 4), Part(Role.DEADENING, "O", 2))
    assert (found.step.gain, found.step.extra, found.least_total) == (-500, -20_00, 30_00)
    alone = only(stock(sheet(price=20_00, sheet_m2=0.4)), wants(deadening=Want.REQUIRED), Role.DEADENING)
    assert (alone.step, alone.least_total) == (None, None)


def test_a_box_goes_with_its_driver() -> None:
    """The enclosure at 150 in place of a driver at 90 in a box at 60, both rated 5: the SKUs decide, B before S."""
    catalogue = stock(enclosure(rating=4.0), driver(), box(), stereo(), *WIRING)
    found = only(catalogue, wants(), Role.BASS)
    assert found.step is not None
    assert (found.part, found.other) == (Part(Role.BASS, "S"), Part(Role.BASS, "B"))
    assert [change.role for change in found.step.changes] == [Role.BASS, Role.BOX]


def test_of_two_equal_amplifiers_one_is_exchanged() -> None:
    """Rated 4 and not 5 at the bass: 5 x 0.1 points, where it loses less than at the front (6 x 0.1)."""
    parts = front(), driver(ohm=8.0, coils=2), box(), stereo(), power_kit(), lead(), cable(metres_per_unit=11.0)
    found = only(stock(*parts, stereo(sku="Z", price=110_00, rating=4.0)), wants(), Role.AMPLIFIER, 640_00)
    assert found.step is not None
    assert (found.part, found.other) == (Part(Role.AMPLIFIER, "A"), Part(Role.AMPLIFIER, "Z"))
    assert (found.step.gain, found.step.extra) == (-500, -10_00)


def test_of_two_amplifiers_each_has_its_own() -> None:
    """Two channels at 120 and four at 300: the two can only give way to a four, the four to the two not at all.

    With the four twice, 180 more. Two amplifiers of two channels drive two of the three places only.
    """
    catalogue = stock(front(), rear(), enclosure(), stereo(), stereo(sku="Q", price=300_00, channels=4), *WIRING)
    brief = wants(front=Want.REQUIRED, rear=Want.REQUIRED, bass=Want.REQUIRED)
    near = best_around(catalogue, brief, 880_00)
    assert near.audited.system.amplifiers == ("A", "Q")
    two, four = (one for one in near.runners_up(PLENTY) if one.part.role is Role.AMPLIFIER)
    assert two.step is not None
    assert (two.part.sku, two.other, two.step.extra) == ("A", Part(Role.AMPLIFIER, "Q"), 180_00)
    assert (four.part.sku, four.other, four.least_total) == ("Q", None, None)


def test_a_head_unit_and_a_converter_have_theirs() -> None:
    """Rated 5 and 4 of 10: 2 of the 20 points of a head unit, 1.2 of the 12 of a converter."""
    head = stock(head_unit(), head_unit(sku="I", rating=4.0), fascia(), front())
    found = only(head, wants(head_unit=HeadUnitMode.REPLACE), Role.HEAD_UNIT)
    assert found.step is not None
    assert (found.other, found.step.gain) == (Part(Role.HEAD_UNIT, "I"), -2_000)
    kept = stock(converter(), converter(sku="W", rating=4.0), powered(), power_kit(), lead())
    found = only(kept, wants(head_unit=HeadUnitMode.KEEP_FACTORY, bass=Want.REQUIRED), Role.CONVERTER)
    assert found.step is not None
    assert (found.other, found.step.gain) == (Part(Role.CONVERTER, "W"), -1_200)


def test_a_kept_unit_and_an_empty_place_have_none() -> None:
    """The customer's own unit was not chosen here, and nothing stands at the rear."""
    told = best_around(stock(front()), INSIDE).runners_up(PLENTY)
    assert [one.part.role for one in told] == [Role.FRONT]


def test_a_quote_tells_the_runners_up_of_its_build() -> None:
    """As asked for around that build within the cap."""
    catalogue = stock(front(), front(sku="G", price=90_00, rating=5.0))
    curve = curve_of(catalogue, INSIDE, catalogue.vehicle(INSIDE.vehicle))
    build = quote(catalogue, tier(100_00), curve)
    assert build.advice is not None
    assert [one.other for one in build.advice.runners_up] == [Part(Role.FRONT, "G")]
