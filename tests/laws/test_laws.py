"""What must hold between the answers to two shops, briefs or caps, whatever the right answer is.

Every law is put to both roads: to the budget curve at every budget, to the solver at the cap that was drawn.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING, Any

from hypothesis import given, settings
from hypothesis import strategies as st

from budgetbuild.advice.frontier import curve_of
from budgetbuild.audit.verdict import passed
from budgetbuild.catalogue.items import Amplifier, PowerKit, SpeakerCable
from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, Want
from budgetbuild.catalogue.names import fold
from budgetbuild.pipeline import Run, solve_one
from budgetbuild.quoting import quote
from tests.laws.worlds import (
    Asked,
    World,
    asked,
    assert_alike,
    assert_no_better,
    bought,
    lawful,
    one_of,
    score,
    worlds,
)
from tests.program import small
from tests.program.small import program_of, tier

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.build import Build, System
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Vehicle

LOCATIONS = ("front", "rear", "bass")
RATED = ("head_units", "converters", "speakers", "subwoofers", "amplifiers", "deadening")
"""Sheets whose ratings earn points."""


@given(one=asked(), data=st.data())
@lawful
def test_a_higher_budget_never_scores_lower(one: Asked, data: st.DataObject) -> None:
    """Nor costs less at the same score: what is cheaper would have been within the lower cap."""
    world, cap = one
    assert all(a.total < b.total and a.score < b.score for a, b in pairwise(world.curve))
    higher = cap + data.draw(st.integers(0, 200_000))
    low, high = world.answer(cap), world.answer(higher)
    assert score(low) <= score(high)
    assert low.total is None or low.total <= cap
    if low.score is not None and low.score == high.score:
        assert low == high


@given(one=asked())
@lawful
def test_both_roads_and_the_audit_agree_at_any_budget(one: Asked) -> None:
    """Score, total, parts and connections; the audit passes every point of the curve."""
    world, cap = one
    found, point = world.answer(cap), world.at(cap)
    assert (found.score, found.total, found.system) == (
        (point.score, point.total, point.system) if point else (None,) * 3
    )
    for each in world.curve:
        passed(world.catalogue, world.brief, world.vehicle, (each.system, each.score, each.total))


@given(one=asked())
@lawful
def test_a_cap_at_the_price_of_the_answer_gives_the_same_answer(one: Asked) -> None:
    """And one cent less does not."""
    world, cap = one
    found = world.answer(cap)
    if found.total is not None:
        assert world.answer(found.total) == found
        assert score(world.answer(found.total - 1)) < score(found)


@given(one=asked(), data=st.data())
@lawful
def test_one_more_product_never_scores_lower(one: Asked, data: st.DataObject) -> None:
    world, cap = one
    product = one_of(data, world.plain)
    assert_no_better(world.without(product.sku), than=world, cap=cap)


@given(one=asked(), data=st.data())
@lawful
def test_a_product_that_was_not_chosen_is_not_missed(one: Asked, data: st.DataObject) -> None:
    """One or all of them go: the same system, connections and all. Converter kits stay: each creates a need."""
    world, cap = one
    found = world.answer(cap)
    spare = sorted(row.sku for row in world.plain if row.sku not in bought(found.system))
    if found.system is None or not spare:
        return
    gone = spare if data.draw(st.booleans()) else [data.draw(st.sampled_from(spare))]
    fewer = world.without(*gone)
    assert fewer.answer(cap) == found
    assert fewer.at(cap) == world.at(cap)


@given(one=asked(), seed=st.integers(0, 10**6))
@lawful
def test_the_order_of_the_rows_does_not_matter(one: Asked, seed: int) -> None:
    world, cap = one
    rng = random.Random(seed)  # noqa: S311 - an order, no secret
    assert_alike(world.with_rows(lambda rows: rng.sample(rows, len(rows))), world, cap)


def in_whole_cents(world: World) -> World:
    """The same shop with hours and a rate of which every piece of work comes out in whole cents."""
    hours = {work: Fraction(ceil(4 * some), 4) for work, some in world.catalogue.labour_hours.items()}
    return replace(world, catalogue=replace(world.catalogue, labour_hours=hours)).with_settings(labour_rate=60_00)


def tenfold(world: World) -> World:
    """Every price and the labour rate times ten."""
    dear = world.with_rows(lambda rows: (replace(row, price=10 * row.price) for row in rows))
    return dear.with_settings(labour_rate=10 * (world.catalogue.settings.labour_rate or 0))


@given(one=asked())
@lawful
def test_ten_times_the_money_buys_the_same(one: Asked) -> None:
    """Prices, labour and cap, where labour comes out in whole cents: a rounded cent has no tenfold."""
    world, cap = one
    world = in_whole_cents(world)
    dear = tenfold(world)
    assert [(p.score, p.total, p.system) for p in dear.curve] == [
        (p.score, 10 * p.total, p.system) for p in world.curve
    ]
    found, more = world.answer(cap), dear.answer(10 * cap)
    assert (more.score, more.system) == (found.score, found.system)
    assert more.total == (None if found.total is None else 10 * found.total)


@given(one=asked(), data=st.data())
@lawful
def test_a_must_include_never_scores_higher(one: Asked, data: st.DataObject) -> None:
    """A product or a whole brand."""
    world, cap = one
    product = one_of(data, world.products)
    term = product.brand if data.draw(st.booleans()) else product.sku
    assert_no_better(world.with_brief(must_include=(*world.brief.must_include, term)), than=world, cap=cap)


@given(one=asked(), data=st.data())
@lawful
def test_asking_for_what_is_bought_anyway_changes_nothing(one: Asked, data: st.DataObject) -> None:
    world, cap = one
    free = world.answer(cap)
    if free.system is not None and free.system.parts:
        sku = data.draw(st.sampled_from(sorted(bought(free.system))))
        bound = world.with_brief(must_include=(*world.brief.must_include, sku))
        assert bound.answer(cap) == free
        assert bound.at(cap) == world.at(cap)


@given(one=asked(), data=st.data())
@lawful
def test_leaving_something_out_never_scores_higher(one: Asked, data: st.DataObject) -> None:
    """Nor finds anything of it; where nothing of it was bought, the same answer. Leaving out = not on the list."""
    world, cap = one
    product = one_of(data, world.products)
    term = product.brand if data.draw(st.booleans()) else product.sku
    barred = world.with_brief(leave_out=(*world.brief.leave_out, term))
    assert_no_better(barred, than=world, cap=cap)
    named = {row.sku for row in world.products if fold(term) in {fold(row.sku), fold(row.brand)}}
    found, free = barred.answer(cap), world.answer(cap)
    assert not bought(found.system) & named
    if not bought(free.system) & named:
        assert found == free


@given(one=asked(), data=st.data())
@lawful
def test_a_copy_under_a_later_sku_changes_nothing(one: Asked, data: st.DataObject) -> None:
    """The SKU follows the original's and comes before every other."""
    world, cap = one
    product = one_of(data, world.unnamed)
    assert_alike(world.with_copy(product, f"{product.sku}~"), world, cap)


@given(one=asked(), data=st.data())
@lawful
def test_a_copy_under_an_earlier_sku_takes_the_place_of_the_original(one: Asked, data: st.DataObject) -> None:
    """Two equal products are interchangeable: the same answers under the other name."""
    world, cap = one
    product = one_of(data, world.unnamed)
    sku = f"{product.sku[:-1]}{chr(ord(product.sku[-1]) - 1)}~"
    copied = world.with_copy(product, sku)
    assert [p.system for p in copied.curve] == [renamed(p.system, {product.sku: sku}) for p in world.curve]
    assert [(p.score, p.total) for p in copied.curve] == [(p.score, p.total) for p in world.curve]
    found, free = copied.answer(cap), world.answer(cap)
    assert (found.score, found.total) == (free.score, free.total)
    assert found.system == (free.system and renamed(free.system, {product.sku: sku}))


def renamed(system: System, names: Mapping[str, str]) -> System:
    """The same system under other SKUs."""
    parts = tuple(replace(part, sku=names.get(part.sku, part.sku)) for part in system.parts)
    order = {role: place for place, role in enumerate(type(parts[0].role))} if parts else {}
    return replace(
        system,
        parts=tuple(sorted(parts, key=lambda part: (order[part.role], part.sku))),
        amplifiers=tuple(names.get(sku, sku) for sku in system.amplifiers),
        feeds=tuple(replace(feed, sku=names.get(feed.sku, feed.sku)) for feed in system.feeds),
        cables=tuple(replace(run, sku=names.get(run.sku, run.sku)) for run in system.cables),
    )


def called(world: World, names: Mapping[str, str]) -> World:
    """The same shop with other SKUs, also where the brief names them."""
    folded = {fold(old): new for old, new in names.items()}
    must, out = (
        tuple(folded.get(fold(term), term) for term in terms)
        for terms in (world.brief.must_include, world.brief.leave_out)
    )
    other = world.with_rows(lambda rows: (replace(row, sku=names[row.sku]) for row in rows))
    return other.with_brief(must_include=must, leave_out=out)


@given(one=asked())
@lawful
def test_other_skus_in_the_same_order_give_the_same_answers(one: Asked) -> None:
    """An SKU is a name: only its place in the order is ever used."""
    world, cap = one
    names = {sku: f"N{place:03d}" for place, sku in enumerate(sorted(row.sku for row in world.products))}
    other = called(world, names)
    assert [(p.score, p.total, p.system) for p in other.curve] == [
        (p.score, p.total, renamed(p.system, names)) for p in world.curve
    ]
    found, free = other.answer(cap), world.answer(cap)
    assert (found.score, found.total) == (free.score, free.total)
    assert found.system == (free.system and renamed(free.system, names))


@given(one=asked(), seed=st.integers(0, 10**6))
@lawful
def test_skus_in_another_order_give_the_same_scores_and_totals(one: Asked, seed: int) -> None:
    """The order of SKUs decides between equals alone."""
    world, cap = one
    skus = sorted(row.sku for row in world.products)
    order = random.Random(seed).sample(range(len(skus)), len(skus))  # noqa: S311 - an order, no secret
    other = called(world, {sku: f"N{place:03d}" for sku, place in zip(skus, order, strict=True)})
    assert [(p.score, p.total) for p in other.curve] == [(p.score, p.total) for p in world.curve]
    found, free = other.answer(cap), world.answer(cap)
    assert (found.status, found.score, found.total) == (free.status, free.score, free.total)


@given(one=asked(), data=st.data())
@lawful
def test_a_dearer_product_never_scores_higher(one: Asked, data: st.DataObject) -> None:
    """And where it was not bought, its price does not matter."""
    world, cap = one
    product = one_of(data, world.products)
    dearer = world.with_product(product.sku, price=product.price + data.draw(st.integers(1, 30_000)))
    assert_no_better(dearer, than=world, cap=cap)
    free = world.answer(cap)
    if product.sku not in bought(free.system):
        assert dearer.answer(cap) == free


@given(one=asked(), data=st.data())
@lawful
def test_a_better_rating_never_scores_lower(one: Asked, data: st.DataObject) -> None:
    world, cap = one
    rated: list[Product] = [row for sheet in RATED for row in getattr(world.catalogue, sheet)]
    product = one_of(data, rated)
    better = data.draw(st.floats(product.rating or 0.0, 10.0))
    assert_no_better(world, than=world.with_product(product.sku, rating=better), cap=cap)


@given(one=asked(), data=st.data())
@lawful
def test_what_no_rule_reads_changes_nothing(one: Asked, data: st.DataObject) -> None:
    """Cost, stock, link, note, family, model, and the rating of a sheet that earns no points."""
    world, cap = one
    product = one_of(data, world.products)
    other: dict[str, Any] = {
        "cost": 1,
        "stock": 0,
        "link": "https://example.com",
        "note": "new",
        "family": "one",
        "model": "Two",
    }
    if isinstance(product, PowerKit | SpeakerCable):
        other["rating"] = 1.0
    assert_alike(world.with_product(product.sku, **other), world, cap)


@given(one=asked(), data=st.data())
@lawful
def test_a_product_that_is_not_active_changes_nothing(one: Asked, data: st.DataObject) -> None:
    """However cheap, and whatever its SKU."""
    world, cap = one
    product = one_of(data, world.plain)
    more = world.with_copy(product, "A").with_product("A", price=1, active=False)
    assert_alike(more, world, cap)


TIGHTER: tuple[tuple[str, Any], ...] = (
    ("ratio_min", 0.5), ("ratio_max", 1.1), ("bass_ratio_min", 0.9), ("bass_ratio_max", 1.1), ("max_amplifiers", 1),
    ("max_amplifiers", 0), ("allowed_drop_v", 0.1), ("conductor_c", 105.0), ("earth_lead_m", 2.0),
    ("cca_allowed", False), ("efficiency_ab", 0.3), ("efficiency_d", 0.4), ("cable_loss_share", 0.01),
    ("cable_spare_share", 0.5), ("boot_spare_mm", 120.0),
)  # fmt: skip
"""Limits, each with a figure that is stricter than any of the shops'."""


def stricter(limits: Limits, name: str, figure: Any) -> Any:  # noqa: ANN401 - a limit
    """The stricter of what the shop has and the figure."""
    held = getattr(limits, name)
    greater = name in {
        "ratio_min",
        "bass_ratio_min",
        "conductor_c",
        "earth_lead_m",
        "cable_spare_share",
        "boot_spare_mm",
    }
    return max(held, figure) if greater else min(held, figure)


@given(one=asked(), data=st.data())
@lawful
def test_a_stricter_limit_never_scores_higher(one: Asked, data: st.DataObject) -> None:
    """The shop's own: power ratios, amplifiers, voltage drop, copper-clad, efficiency, cable loss and spare, boot."""
    world, cap = one
    name, figure = data.draw(st.sampled_from(TIGHTER))
    tight = world.with_limits(**{name: stricter(world.catalogue.settings.limits, name, figure)})
    assert_no_better(tight, than=world, cap=cap)


RUNS = ("signal_run_m", "power_run_m", "front_run_m", "rear_run_m", "bass_run_m")
BOOT = ("boot_width_mm", "boot_height_mm", "boot_depth_mm")


def narrower(vehicle: Vehicle, name: str) -> dict[str, Any]:
    """One figure of the vehicle less accommodating: a longer run, a smaller boot, a shallower or lost place."""
    if name in RUNS:
        return {name: 6.5 + (getattr(vehicle, name) or 0.0)}
    if name in BOOT:
        return {name: min(getattr(vehicle, name) or 400.0, 400.0)}
    location, _, what = name.partition(" ")
    place = getattr(vehicle, location)
    least = {"depth_mm": min(place.depth_mm or 50.0, 50.0), "tweeter_place": False}
    return {location: replace(place, **{what: least[what]})}


@given(
    one=asked(),
    name=st.sampled_from(
        (*RUNS, *BOOT, *(f"{a} {b}" for a in ("front", "rear") for b in ("depth_mm", "tweeter_place")))
    ),
)
@lawful
def test_a_vehicle_that_takes_less_never_scores_higher(one: Asked, name: str) -> None:
    """So one more usable place, a larger boot or a shorter run never scores lower."""
    world, cap = one
    assert_no_better(world.with_vehicle(**narrower(world.vehicle, name)), than=world, cap=cap)


@given(one=asked(), role=st.sampled_from((*LOCATIONS, "amplifier", "deadening")))
@lawful
def test_what_is_optional_never_scores_lower_than_required_or_barred(one: Asked, role: str) -> None:
    """One more location that may be used is never worse."""
    world, cap = one
    free = world.with_brief(**{role: Want.OPTIONAL})
    for want in (Want.REQUIRED, Want.NONE):
        assert_no_better(world.with_brief(**{role: want}), than=free, cap=cap)


@given(one=asked())
@lawful
def test_one_brand_as_a_must_never_scores_higher_and_as_a_wish_never_lower(one: Asked) -> None:
    world, cap = one
    must, prefer, free = (world.with_brief(one_brand=wish) for wish in (OneBrand.MUST, OneBrand.PREFER, OneBrand.NO))
    assert_no_better(must, than=free, cap=cap)
    assert_no_better(free, than=prefer, cap=cap)


@given(one=asked())
@lawful
def test_fitting_in_the_price_never_scores_higher(one: Asked) -> None:
    """Labour is money that buys no points."""
    world, cap = one
    assert_no_better(world.with_brief(fitted=True), than=world.with_brief(fitted=False), cap=cap)


@given(one=asked("own", "terms"), pairs=st.integers(0, 3))
@lawful
def test_one_more_pre_out_of_the_own_unit_never_scores_lower(one: Asked, pairs: int) -> None:
    world, cap = one
    own = world.with_brief(head_unit=HeadUnitMode.KEEP_OWN, own_preout_pairs=pairs)
    assert_no_better(own, than=own.with_brief(own_preout_pairs=pairs + 1), cap=cap)


@given(one=asked())
@lawful
def test_a_quote_is_the_build_of_the_tier(one: Asked) -> None:
    """What is read off the curve at the counter and what the solver proves: the same build, with the same beside it."""
    world, cap = one
    step = tier(cap)
    curve = curve_of(world.catalogue, world.brief, world.vehicle)
    program = program_of(world.catalogue, world.brief)
    told, built = quote(world.catalogue, step, curve), solve_one(program, world.catalogue, step, curve, Run())
    assert neutral(told) == neutral(built)


def neutral(build: Build) -> Build:
    """Without how it was found."""
    return replace(build, solver="", seconds=0.0)


def test_the_shops_are_varied() -> None:
    """Most have an answer, of few or many budgets; with no amplifier, one, or two.

    What hypothesis draws turns on the modules that are loaded too (it takes constants out of them): hence the room.
    """
    seen: list[World] = []

    @given(world=worlds())
    @settings(lawful, max_examples=80)
    def draw(world: World) -> None:
        seen.append(world)

    draw()
    amplifiers = Counter(len(world.curve[-1].system.amplifiers) for world in seen if world.curve)
    assert amplifiers.total() > len(seen) * 0.6
    assert all(amplifiers[count] >= 2 for count in (0, 1, 2))
    assert max(len(world.curve) for world in seen) > 15


def test_a_cable_that_was_not_chosen_does_not_say_which_cable_serves_the_bass() -> None:
    """One reel of C2 reaches the front and the bass, one of the thinner C1 the rear and the bass; B0 is too dear.

    The same two reels are bought with and without B0 on sale, and either may serve the bass. So the answer must not
    turn on B0, which only stands earlier in the list.
    """
    five = Amplifier(
        sku="A", price=300_00, rating=5.0, channels=4, w_at_4=60.0, min_ohm=4.0, sub_w_at_4=120.0, sub_min_ohm=4.0,
        fuse_a=30.0,
    )  # fmt: skip
    reels = (
        small.cable(sku="C1", price=10_00, mm2=0.75, metres_per_unit=10.0),
        small.cable(sku="C2", price=20_00, metres_per_unit=12.5),
    )
    dear = small.cable(sku="B0", price=100_00, metres_per_unit=1.0)
    shop = small.stock(small.front(), small.rear(), small.enclosure(), five, small.power_kit(), small.lead(), *reels)
    more = replace(shop, speaker_cables=(*reels, dear))
    wanted = small.wants(front=Want.REQUIRED, rear=Want.REQUIRED, bass=Want.REQUIRED, amplifier=Want.REQUIRED)
    without, beside = (World(one, wanted, one.vehicles[0]) for one in (shop, more))
    assert bought(without.answer(small.PLENTY).system) == bought(beside.answer(small.PLENTY).system)
    assert_alike(beside, without, small.PLENTY)
