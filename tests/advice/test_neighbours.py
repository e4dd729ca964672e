"""A little more, a little less: single swaps and drops against brute force, and what they mean by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

import pytest

from budgetbuild.advice.advice import advise
from budgetbuild.advice.changes import changes
from budgetbuild.advice.frontier import curve_of
from budgetbuild.advice.neighbours import Around
from budgetbuild.build import Audited, Change, Part, Role, Step
from budgetbuild.catalogue.kinds import HeadUnitMode, Want
from budgetbuild.catalogue.shop import Settings, Tier
from tests.oracle.around import best_near, one_exchanged, one_exchanged_or_gone, scored
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
    front,
    lead,
    power_kit,
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

    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

COMPARED = {"head unit", "converter", "front", "rear", "bass", "box", "amplifier", "deadening"}
"""Roles that a customer compares; what else there is follows."""
Told = tuple[int, int, tuple[str, ...]] | None
"""Minus thousandths, cents and SKUs of a build."""


def told(step: Step | None) -> Told:
    """What a step leads to."""
    return (-step.audited.score, step.audited.total, skus(step.audited.system)) if step else None


def some_builds(profile: str, seed: int) -> Iterator[tuple[Catalogue, Brief, Vehicle, Audited]]:
    """Two builds inside the curve of a random catalogue; none where none is possible."""
    catalogue, brief, vehicle, _ = random_catalogue(seed, profile)
    points = curve_of(catalogue, brief, vehicle).points
    for i in sorted({len(points) // 3, 2 * len(points) // 3} if points else ()):
        yield catalogue, brief, vehicle, points[i]


def assert_as_by_brute_force(profile: str, seed: int) -> Counter[str]:
    """Swaps and drops around some builds, narrowly and widely; how many there were of each."""
    found: Counter[str] = Counter()
    for catalogue, brief, vehicle, now in some_builds(profile, seed):
        around, shop, before = (
            Around(catalogue, brief, vehicle, now),
            Shop(catalogue, brief, vehicle),
            scored(now.system),
        )
        for cap in (now.total + 60_00, 2 * now.total):
            expected = best_near(shop, before, cap, one_exchanged)
            gains = expected is not None and -expected[0] > now.score
            swap = around.swap(cap)
            assert told(swap) == (expected if gains else None), f"swap, seed {seed}, {now.total} to {cap}"
            found["swap"] += swap is not None
        for cap in (now.total - 1, now.total - 120_00):
            drop = around.drop(cap)
            expected = best_near(shop, before, cap, one_exchanged_or_gone)
            assert told(drop) == expected, f"drop, seed {seed}, {now.total} to {cap}"
            found["drop"] += drop is not None
    return found


@pytest.mark.parametrize("profile", PROFILES)
def test_swap_and_drop_are_those_of_brute_force(profile: str) -> None:
    """Score, total and parts of the best system that differs in one scored part."""
    assert_as_by_brute_force(profile, 610)


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_swap_and_drop_are_those_of_brute_force_on_many_catalogues(profile: str) -> None:
    """Five more of every profile, and not all of them without an answer."""
    found = sum((assert_as_by_brute_force(profile, seed) for seed in range(611, 616)), Counter[str]())
    assert profile == "impossible" or (found["swap"] and found["drop"])


@cache
def some_steps() -> list[tuple[Audited, int, str, Step]]:
    """A build, the cap of a step from it, which step it is, and the step."""
    return list(_some_steps())


def _some_steps() -> Iterator[tuple[Audited, int, str, Step]]:
    for profile in ("plain", "two amplifiers", "six channels", "factory", "drivers", "fitted", "one brand preferred"):
        for catalogue, brief, vehicle, now in some_builds(profile, 620):
            around = Around(catalogue, brief, vehicle, now)
            for stretch in (1, 100_00):
                for name, step, cap in (
                    ("swap", around.swap(now.total + stretch), now.total + stretch),
                    ("drop", around.drop(now.total - stretch), now.total - stretch),
                ):
                    if step:
                        yield now, cap, name, step


def test_steps_keep_their_caps_and_count_right() -> None:
    """Within the cap, audited without a refusal, a swap gains; prices and points are differences of the two builds."""
    found = Counter[str]()
    for now, cap, name, step in some_steps():
        found[name] += 1
        assert step.audited.total <= cap
        assert not step.audited.refused
        assert step.extra == step.audited.total - now.total
        assert step.gain == step.audited.score - now.score
        assert step.gain > 0 if name == "swap" else step.extra < 0
        assert step.changes == changes(now, step.audited) != ()
    assert min(found["swap"], found["drop"]) > 8


def lines(audited: Audited, role: str) -> Counter[str]:
    """Pieces of each product that the bill has in a role."""
    found: Counter[str] = Counter()
    for line in audited.lines:
        if line.role == role:
            found[line.sku] += line.quantity
    return found


def test_changes_are_exactly_the_compared_roles_that_differ() -> None:
    """By the two bills, not by the systems."""
    for now, _, _, step in some_steps():
        differing = {role for role in COMPARED if lines(now, role) != lines(step.audited, role)}
        assert {change.role.value for change in step.changes} == differing
        for change in step.changes:
            for audited, parts in ((now, change.before), (step.audited, change.after)):
                assert Counter({part.sku: part.quantity for part in parts}) == lines(audited, change.role.value)


@pytest.mark.parametrize("profile", ["plain", "two amplifiers", "drivers", "one brand preferred"])
def test_step_up_is_the_first_build_of_the_curve_with_the_visible_gain(profile: str) -> None:
    """The cheapest one of those that gain so much, to the thousandth; swap and drop stretch by 5 % of the budget."""
    for seed in range(630, 633):
        catalogue, brief, vehicle, _ = random_catalogue(seed, profile)
        curve = curve_of(catalogue, brief, vehicle)
        for now in curve.points[:: max(1, len(curve.points) // 4)]:
            now_tier = Tier(name="tier", budget=now.total, allowance=Fraction(1, 50))
            better = [point for point in curve.points if point.score - now.score >= 2000]
            advice = advise(catalogue, curve, now_tier, now)
            assert (advice.visible, advice.stretch) == (2000, now.total // 20)
            assert (advice.step_up and advice.step_up.audited) == min(better, key=lambda p: p.total, default=None)
            around = Around(catalogue, brief, vehicle, now)
            assert advice.swap == around.swap(now_tier.cap + now.total // 20)
            assert advice.drop == around.drop(now_tier.cap - now.total // 20)


def test_the_shop_decides_what_is_visible_and_how_far_to_stretch() -> None:
    """Deadening earns 2.5 points; 3 points are visible here, so there is no step up. A tenth of 100 is 10."""
    settings = replace(Settings(), visible_gain=3.0, stretch_share=Fraction(1, 10))
    catalogue, brief = stock(front(), sheet(), settings=settings), wants(own_internal_w=20.0)
    curve = curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle))
    advice = advise(catalogue, curve, tier(100_00), curve.points[-2])
    assert (advice.visible, advice.stretch, advice.step_up) == (3000, 10_00, None)


def around_best(catalogue: Catalogue, brief: Brief, cap: int = PLENTY) -> Around:
    """The best build within a cap."""
    vehicle = catalogue.vehicle(brief.vehicle)
    best = curve_of(catalogue, brief, vehicle).at(cap)
    assert best is not None
    return Around(catalogue, brief, vehicle, best)


WIRING = power_kit(), lead(), cable()
ALIKE = front(), driver(ohm=8.0, coils=2), box(), stereo(), power_kit(), lead(), cable(metres_per_unit=11.0)
"""Two equal amplifiers at 120 are needed, one for the front (100), one bridged for a boxed driver (90 + 60), with two
kits at 40, a lead at 30 and 12.1 m of cable, two units at 20: 640 in all."""


def test_one_of_two_equal_amplifiers_can_be_exchanged() -> None:
    """Rated 7 and not 5, at 5 more: 6 x 0.2 points at the front, where it earns more than at the bass (5 x 0.2)."""
    catalogue, brief = stock(*ALIKE, stereo(sku="Z", price=125_00, rating=7.0)), wants()
    around = around_best(catalogue, brief, 640_00)
    assert (around.audited.total, around.audited.system.amplifiers) == (640_00, ("A", "A"))
    swap = around.swap(645_00)
    assert swap is not None
    assert (swap.extra, swap.gain) == (5_00, 1200)
    before, after = (Part(Role.AMPLIFIER, "A", 2),), (Part(Role.AMPLIFIER, "A"), Part(Role.AMPLIFIER, "Z"))
    assert swap.changes == (Change(Role.AMPLIFIER, before, after),)


def test_another_wiring_with_the_same_two_amplifiers_is_no_exchange() -> None:
    """Thin cable at 10 would do for the bass at 16 ohm (it loses 0.34 ohm; allowed 0.8 there, and 0.2 at 4 ohm).

    That saves 10 without another part, so it is no drop. The bass (16.5 points) goes with its amplifier, kit and a
    unit of cable: 330 less.
    """
    catalogue, brief = stock(*ALIKE, cable(sku="T", price=10_00, mm2=0.1, metres_per_unit=11.0)), wants()
    around = around_best(catalogue, brief)
    assert (around.audited.total, around.audited.system.amplifiers) == (640_00, ("A", "A"))
    drop = around.drop(635_00)
    assert drop is not None
    assert (drop.extra, drop.gain) == (-330_00, -16_500)
    assert [change.role for change in drop.changes] == [Role.BASS, Role.BOX, Role.AMPLIFIER]


def test_an_amplifier_that_only_the_dropped_location_needed_goes_with_it() -> None:
    """Two four-channel amplifiers drive front, rear and bass, which take two pairs less than four without the rear.

    So the rear (80) goes with an amplifier (120) and its kit (40); its points 4, 0.5 and 1 go, no others.
    """
    catalogue = stock(front(), rear(), enclosure(), stereo(channels=4), *WIRING)
    around = around_best(catalogue, wants(front=Want.REQUIRED, bass=Want.REQUIRED))
    assert around.audited.total == 100_00 + 80_00 + 150_00 + 2 * 120_00 + 2 * 40_00 + 30_00 + 20_00
    drop = around.drop(around.audited.total - 240_00)
    assert drop is not None
    assert (drop.extra, drop.gain) == (-240_00, -5_500)
    assert drop.changes == (
        Change(Role.REAR, (Part(Role.REAR, "R"),), ()),
        Change(Role.AMPLIFIER, (Part(Role.AMPLIFIER, "A", 2),), (Part(Role.AMPLIFIER, "A"),)),
    )


def test_a_location_does_not_go_with_an_amplifier_that_another_one_still_needs() -> None:
    """Front and rear on one amplifier: 390. Without it both hang on the own unit: 180, one part less.

    The front alone on the own unit would be 100: that is two parts less, rear and amplifier, each of which could stay.
    """
    catalogue = stock(front(), rear(), stereo(channels=4), *WIRING)
    around = around_best(catalogue, wants(own_internal_w=20.0))
    assert around.audited.total == 390_00
    drop = around.drop(289_00)
    assert drop is not None
    assert (drop.audited.total, [change.role for change in drop.changes]) == (180_00, [Role.AMPLIFIER])
    assert around.drop(179_00) is None


def test_the_amplifier_that_stays_must_drive_as_many_of_the_other_locations() -> None:
    """Two channels for the front at 120 and four for rear and bass at 300: 880 in all, 540 without the four.

    The two alone would do for the front, without bass and with the rear on the own unit, for 390: but the rear is on
    an external amplifier, so that is more than the bass less.
    """
    catalogue = stock(front(), rear(), enclosure(), stereo(), stereo(sku="Q", price=300_00, channels=4), *WIRING)
    brief = wants(own_internal_w=20.0, front=Want.REQUIRED, rear=Want.REQUIRED)
    around = around_best(catalogue, brief, 880_00)
    assert (around.audited.total, around.audited.system.amplifiers) == (880_00, ("A", "Q"))
    drop = around.drop(569_99)
    assert drop is not None
    assert (drop.audited.total, [change.role for change in drop.changes]) == (540_00, [Role.AMPLIFIER])
    assert around.drop(539_99) is None


def test_an_amplifier_does_not_go_with_the_bass_where_the_front_is_on_it_too() -> None:
    """Front and bass on two pairs, the rear on the own unit: 540. Without bass and amplifier 180 would be left."""
    catalogue = stock(front(), rear(), enclosure(), stereo(channels=4), *WIRING)
    brief = wants(own_internal_w=20.0, own_preout_pairs=2, front=Want.REQUIRED, rear=Want.REQUIRED)
    around = around_best(catalogue, brief, 540_00)
    assert around.audited.total == 540_00
    assert around.drop(389_99) is None
    drop = around.drop(390_00)
    assert drop is not None
    assert [change.role for change in drop.changes] == [Role.BASS]


def test_a_converter_goes_with_the_amplifier_that_needed_it() -> None:
    """The factory unit gives 15 W, a quarter of what the front takes, which is just allowed."""
    brief = wants(head_unit=HeadUnitMode.KEEP_FACTORY, front=Want.REQUIRED)
    around = around_best(stock(front(), stereo(), converter(), *WIRING), brief)
    drop = around.drop(100_00)
    assert drop is not None
    assert [change.role for change in drop.changes] == [Role.CONVERTER, Role.AMPLIFIER]


def test_what_the_brief_requires_or_asks_for_stays() -> None:
    """Neither the required front nor the deadening that it must include goes, so nothing can."""
    brief = wants(own_internal_w=20.0, front=Want.REQUIRED, must_include=("D",))
    around = around_best(stock(front(), sheet()), brief)
    assert around.audited.total == 150_00
    assert around.drop(149_99) is None


def test_nothing_need_go_where_the_build_stays_within_the_lower_cap() -> None:
    """150 for everything on sale, whatever the cap."""
    around = around_best(stock(front(), sheet()), wants(own_internal_w=20.0))
    assert around.drop(150_00) is None
    drop = around.drop(149_99)
    assert drop is not None
    assert (drop.extra, drop.gain) == (-50_00, -2_500)


def test_another_number_of_sheets_is_an_exchange() -> None:
    """Sheets of 0.4 m2 at 20 treat 1.6 m2: four earn 2.5 points, three 1.875."""
    around = around_best(stock(sheet(price=20_00, sheet_m2=0.4)), wants(deadening=Want.REQUIRED), 60_00)
    swap, drop = around.swap(80_00), around.drop(59_99)
    assert swap is not None
    assert drop is not None
    assert [(step.extra, step.gain) for step in (swap, drop)] == [(20_00, 625), (-20_00, -625)]
