"""What insisting on a product comes to, and which rule forbids one: by program, brute force and the rules' words."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.advice.barred import barred
from budgetbuild.advice.entry import Market, entry
from budgetbuild.advice.forced import why
from budgetbuild.build import Relief, Role
from budgetbuild.catalogue.kinds import (
    AerialUse,
    Conductor,
    HeadUnitMode,
    KitFor,
    Location,
    Opening,
    SpeakerType,
    Want,
)
from budgetbuild.catalogue.shop import Settings
from tests.advice.test_explain import lighter
from tests.oracle.catalogues import random_catalogue
from tests.oracle.enumerate import cheapest
from tests.oracle.knobs import PROFILES
from tests.program.small import (
    PLENTY,
    aerial,
    answer,
    box,
    cable,
    car,
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
    wants,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from budgetbuild.build import Forced
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue


def with_it(market: Market, product: Product) -> Brief:
    """The brief that must include a product too."""
    return replace(market.brief, must_include=(*market.brief.must_include, product.sku))


def assert_forced(market: Market, product: Product) -> Forced:
    """Both builds are the program's, the least total is brute force's, and the rest follows from these."""
    catalogue, brief, vehicle = market.catalogue, with_it(market, product), market.vehicle
    forced = why(market, product)
    best, insisted = answer(catalogue, market.brief, market.cap), answer(catalogue, brief, market.cap)
    for audited, proposal in ((forced.best, best), (forced.with_it, insisted)):
        told = (audited.score, audited.total, skus(audited.system)) if audited else (None, None, ())
        assert told == (proposal.score, proposal.total, skus(proposal.system)), product
    assert forced.least_total == cheapest(catalogue, brief, vehicle), product
    assert bool(forced.obstacles) == (forced.least_total is None), product
    if forced.with_it:
        assert product.sku in skus(forced.with_it.system)
        assert forced.reliefs == ()
    if forced.best and forced.with_it and skus(forced.best.system) != skus(forced.with_it.system):
        assert forced.step is not None
        assert forced.step.audited == forced.with_it
        assert forced.step.gain == forced.with_it.score - forced.best.score <= 0
        assert forced.step.extra == forced.with_it.total - forced.best.total
    else:
        assert forced.step is None
    assert forced.entry == entry(market, product, market.best())
    assert forced.entry.chosen == (product.sku in skus(best.system))
    return forced


def assert_reliefs(market: Market, product: Product, forced: Forced) -> None:
    """Every other requirement that makes a build with the product possible or cheaper, with its price then."""
    expected = {
        (code, subject): (total, total <= market.cap)
        for (code, subject), light in lighter(market.brief).items()
        if (total := cheapest(market.catalogue, with_it(replace(market, brief=light), product), market.vehicle))
        is not None
        and (forced.least_total is None or total < forced.least_total)
    }
    assert {(r.code, r.subject): (r.least_total, r.within_cap) for r in forced.reliefs} == expected, product


def some_forced(profile: str, seed: int, start: int, step: int) -> Counter[str]:
    """Every so many products of a random catalogue, with the cap that just buys what the brief requires."""
    catalogue, brief, vehicle, cap = random_catalogue(seed, profile)
    market = Market(catalogue, brief, vehicle, cap)
    found = Counter[str]()
    for product in catalogue.products()[start::step]:
        forced = assert_forced(market, product)
        if forced.with_it is None:
            assert_reliefs(market, product, forced)
        found["possible" if forced.with_it else "too dear" if forced.least_total else "impossible"] += 1
        found["relieved"] += bool(forced.reliefs)
    return found


def test_insisting_comes_to_what_program_and_brute_force_say() -> None:
    """One or two products of one catalogue of every profile."""
    found = sum((some_forced(profile, 730, i, 40) for i, profile in enumerate(PROFILES)), Counter[str]())
    assert min(found[kind] for kind in ("possible", "impossible", "relieved")) > 3


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_insisting_comes_to_what_program_and_brute_force_say_for_many_products(profile: str) -> None:
    """Every fourth product of one more catalogue."""
    some_forced(profile, 731, 3, 4)


@pytest.mark.slow
@pytest.mark.parametrize("profile", PROFILES)
def test_what_is_called_forbidden_is_in_no_complete_system(profile: str) -> None:
    """By brute force, for every product of a catalogue."""
    catalogue, brief, vehicle, cap = random_catalogue(733, profile)
    market = Market(catalogue, brief, vehicle, cap)
    for product in catalogue.products():
        if barred(market, product):
            assert cheapest(catalogue, with_it(market, product), vehicle) is None, product


INSIDE = wants(own_internal_w=20.0)
"""The own unit can drive speakers."""
FRONTS = replace(INSIDE, front=Want.REQUIRED, rear=Want.NONE)
REPLACED = wants(head_unit=HeadUnitMode.REPLACE)
FACTORY = wants(head_unit=HeadUnitMode.KEEP_FACTORY)
AMPLIFIED = wants(front=Want.REQUIRED, amplifier=Want.REQUIRED)
WIRING = power_kit(), lead(), cable()
NO_CLADDING = Settings(limits=replace(Settings().limits, cca_allowed=False))
LOW = car(boot_height_mm=300.0)
"""A boot that takes 290 mm of height, with 10 to spare."""
TALL: dict[str, Any] = {"width_mm": 400.0, "depth_mm": 300.0, "height_mm": 291.0}


@dataclass(frozen=True)
class Forbidden:
    """A product of a shop, and what is to be said of it."""

    product: Product
    catalogue: Catalogue
    brief: Brief
    code: str
    figures: dict[str, float | int | str]


def forbidden(
    code: str,
    product: Product,
    *others: Product,
    brief: Brief = INSIDE,
    figures: Any = None,  # noqa: ANN401
    **columns: Any,  # noqa: ANN401
) -> Forbidden:
    """A case; figures are the one word `what` or `reason`, or all of them."""
    word = {"unwanted": "what", "does-not-fit": "reason"}.get(code, "")
    told = {word: figures} if word else figures or {}
    return Forbidden(product, stock(product, *others, **columns), brief, code, told)


def offered_and_wanted() -> Iterator[Forbidden]:
    """Rows that are not offered, terms that leave out, and briefs that have no place for a product."""
    yield forbidden("not-offered", front(active=False))
    yield forbidden("left-out", front(), brief=replace(INSIDE, leave_out=("f",)), figures={"term": "F"})
    by_brand = replace(INSIDE, leave_out=("ORVANE",))
    yield forbidden("left-out", front(brand="Orvane"), brief=by_brand, figures={"term": "Orvane"})
    for unit in (head_unit(), aerial(), fascia()):
        yield forbidden("unwanted", unit, figures="a new head unit")
    named = fascia(fits=KitFor.CONVERTER, any_vehicle=False, vehicles=("marl estate",))
    for brief in (INSIDE, REPLACED, replace(FACTORY, amplifier=Want.NONE, bass=Want.NONE)):
        products = head_unit(), fascia(sku="X2")
        yield forbidden("unwanted", converter(), *products, brief=brief, figures="a line-output converter")
        yield forbidden("unwanted", named, *products, brief=brief, figures="a line-output converter")
    neither = replace(INSIDE, front=Want.NONE, rear=Want.NONE)
    yield forbidden("unwanted", front(), brief=neither, figures="front or rear speakers")
    adapter = fascia(fits=KitFor.SPEAKER, location=Location.REAR, size_mm=165.0)
    yield forbidden("unwanted", adapter, front(), brief=FRONTS, figures="rear speakers")
    for bass in (enclosure(), powered(), driver(), box()):
        rest = box(sku="O2"), driver(sku="S2"), stereo(), *WIRING
        yield forbidden("unwanted", bass, *rest, brief=replace(INSIDE, bass=Want.NONE), figures="bass")
    unamplified = replace(INSIDE, amplifier=Want.NONE)
    yield forbidden("unwanted", stereo(), front(), *WIRING, brief=unamplified, figures="an external amplifier")
    untreated = replace(INSIDE, deadening=Want.NONE)
    yield forbidden("unwanted", sheet(), brief=untreated, figures="sound deadening")


def misfits_in_the_dash() -> Iterator[Forbidden]:
    """A double unit for a single opening, an aerial of the other kind, kits of other vehicles, too few pairs."""
    reason = "a double unit, where the dash opening is single"
    single = car(opening=Opening.SINGLE)
    yield forbidden("does-not-fit", head_unit(), fascia(), brief=REPLACED, vehicle=single, figures=reason)
    reason = "no aerial on offer for its digital radio suits the vehicle"
    other = aerial(use=AerialUse.FACTORY_ADAPTER)
    digital = head_unit(digital_radio=True)
    yield forbidden("does-not-fit", digital, fascia(), other, brief=REPLACED, figures=reason)
    reason = "what the brief requires takes 2 stereo pairs from it, and it has 1"
    rest: tuple[Product, ...] = (front(), enclosure(), stereo(channels=4), *WIRING)
    brief = replace(AMPLIFIED, bass=Want.REQUIRED, head_unit=HeadUnitMode.REPLACE)
    yield forbidden("does-not-fit", head_unit(preout_pairs=1), fascia(), *rest, brief=brief, figures=reason)
    brief = replace(brief, head_unit=HeadUnitMode.KEEP_FACTORY)
    yield forbidden("does-not-fit", converter(output_pairs=1), *rest, brief=brief, figures=reason)
    reason = "a factory adapter aerial, where the vehicle needs a screen-mount one"
    yield forbidden("does-not-fit", other, digital, fascia(), aerial(sku="E2"), brief=REPLACED, figures=reason)
    reason = "a screen-mount aerial, where the vehicle needs a factory adapter one"
    fitted = car(factory_digital_aerial=True)
    rest = digital, fascia(), aerial(sku="E2", use=AerialUse.FACTORY_ADAPTER)
    yield forbidden("does-not-fit", aerial(), *rest, brief=REPLACED, vehicle=fitted, figures=reason)
    reason = "no head unit on offer for the vehicle has digital radio"
    yield forbidden("does-not-fit", aerial(), head_unit(), fascia(), brief=REPLACED, figures=reason)
    reason = "it is not listed for the Marl Estate"
    elsewhere: dict[str, Any] = {"any_vehicle": False, "vehicles": ("fenn coupe",)}
    rest = head_unit(), fascia(sku="X2")
    yield forbidden("does-not-fit", fascia(**elsewhere), *rest, brief=REPLACED, figures=reason)
    rest = converter(), powered(), *WIRING
    for columns in (elsewhere, {}):  # a converter kit must name the vehicle
        kit = fascia(fits=KitFor.CONVERTER, **columns)
        yield forbidden("does-not-fit", kit, *rest, brief=replace(FACTORY, bass=Want.REQUIRED), figures=reason)


def misfits_in_the_doors() -> Iterator[Forbidden]:
    """Speakers too deep, without a tweeter place or of another size; adapters that nothing needs."""
    deep = front(depth_mm=71.0)
    yield forbidden("does-not-fit", deep, brief=FRONTS, figures="speaker depth 71 mm, front place 70 mm")
    blind = car(front=replace(car().front, tweeter_place=False))
    reason = "a component set needs a tweeter place, and front has none"
    component = front(type=SpeakerType.COMPONENT)
    yield forbidden("does-not-fit", component, brief=FRONTS, vehicle=blind, figures=reason)
    reason = "130 mm speakers, front place 165 mm, and no adapter is listed"
    yield forbidden("does-not-fit", rear(), brief=FRONTS, figures=reason)
    reason = "no speakers on offer for the front need an adapter of its size"
    for size in (165.0, 100.0):  # what the place takes anyway, and what nobody sells
        adapter = fascia(fits=KitFor.SPEAKER, location=Location.FRONT, size_mm=size)
        yield forbidden("does-not-fit", adapter, front(), rear(), brief=FRONTS, figures=reason)


def misfits_in_the_boot() -> Iterator[Forbidden]:
    """Too high by a millimetre; drivers and boxes that do not suit each other."""
    reason = "height 291 mm and 10 mm to spare, boot 300 mm"
    rest = stereo(), *WIRING
    for product in (enclosure(**TALL), powered(**TALL)):
        yield forbidden("does-not-fit", product, *rest, vehicle=LOW, figures=reason)
    yield forbidden("does-not-fit", box(**TALL), driver(), *rest, vehicle=LOW, figures=reason)
    reason = "no box on offer that suits it goes into the boot"
    yield forbidden("does-not-fit", driver(), box(**TALL), *rest, vehicle=LOW, figures=reason)
    reason = "no box on offer has its cut-out and litres"
    for other in (box(cutout_mm=300.0), box(litres=31.0)):
        yield forbidden("does-not-fit", driver(box_litres_max=30.0), other, *rest, figures=reason)
    reason = "no driver on offer has its cut-out and suits its litres"
    yield forbidden("does-not-fit", box(), driver(size_mm=300.0), enclosure(), *rest, figures=reason)
    reason = "no amplifier on offer gives the drivers that suit it the right power"
    yield forbidden("does-not-fit", box(), driver(rms_w=300.0), *rest, figures=reason)


def electrical() -> Iterator[Forbidden]:
    """Powers, loads and currents.

    20 W are under a quarter of 100 W, and 120 W bridged under half of 300 W. An amplifier that stands 8 ohm and more
    drives no 4 ohm speakers, and bridged nothing under 16 ohm.
    """
    yield forbidden("not-driven", front(rms_w=100.0), brief=FRONTS, figures={"ohm": 4.0, "rms_w": 100.0})
    strong = enclosure(rms_w=300.0)
    yield forbidden("not-driven", strong, stereo(), *WIRING, figures={"ohm": 4.0, "rms_w": 300.0})
    pair = driver(rms_w=300.0), box(drivers=2, litres=60.0)
    yield forbidden("not-driven", *pair, stereo(), *WIRING, figures={"ohm": 4.0, "rms_w": 300.0})
    shy = stereo(min_ohm=8.0, min_bridged_ohm=16.0)
    yield forbidden("drives-nothing", shy, front(), rear(), enclosure(), *WIRING)
    barred_kit = power_kit(sku="K2", conductor=Conductor.CCA, mm2=50.0, fuse_a=150.0)
    short = power_kit(sku="K3", length_m=3.5, fuse_a=150.0)
    for hungry in (stereo(fuse_a=61.0), powered(fuse_a=61.0)):
        rest = front(), power_kit(), barred_kit, short, lead(), cable()
        figures = {"current_a": 61.0, "carries_a": 60.0}
        yield forbidden("current-not-carried", hungry, *rest, settings=NO_CLADDING, figures=figures)
    yield forbidden(
        "current-not-carried", stereo(), front(), lead(), cable(), figures={"current_a": 20.0, "carries_a": 0.0}
    )


def wiring() -> Iterator[Forbidden]:
    """4 m of power run and 5 m of signal run; half a metre from a converter."""
    rest = front(), stereo(), power_kit(sku="K2"), lead(sku="L2"), cable()
    yield forbidden("too-short", power_kit(length_m=3.9), *rest, figures={"length_m": 3.9, "run_m": 4.0})
    yield forbidden("too-short", lead(length_m=4.9), *rest, figures={"length_m": 4.9, "run_m": 5.0})
    shortest = lead(length_m=0.4)
    figures = {"length_m": 0.4, "run_m": 0.5}
    yield forbidden("too-short", shortest, *rest, converter(), brief=FACTORY, figures=figures)
    clad = power_kit(conductor=Conductor.CCA)
    yield forbidden("copper-clad-barred", clad, *rest, settings=NO_CLADDING)


CASES: tuple[Callable[[], Iterator[Forbidden]], ...] = (
    offered_and_wanted,
    misfits_in_the_dash,
    misfits_in_the_doors,
    misfits_in_the_boot,
    electrical,
    wiring,
)


@pytest.mark.parametrize("cases", CASES, ids=lambda cases: cases.__name__)
def test_the_rule_that_forbids_a_product_is_named(cases: Callable[[], Iterator[Forbidden]]) -> None:
    """That rule alone, with its figures; brute force finds no system with the product."""
    for case in cases():
        vehicle = case.catalogue.vehicle(case.brief.vehicle)
        market = Market(case.catalogue, case.brief, vehicle, PLENTY)
        assert cheapest(case.catalogue, with_it(market, case.product), vehicle) is None, case
        forced = why(market, case.product)
        assert (forced.with_it, forced.step, forced.least_total, forced.entry.entry) == (None, None, None, None)
        told = [(one.code, one.subject, one.figures) for one in forced.obstacles]
        assert told == [(case.code, case.product.sku, case.figures)], case


def test_every_place_that_a_speaker_might_go_to_has_its_reason() -> None:
    """Too deep for the front, of another size than the rear."""
    catalogue = stock(front(depth_mm=71.0), vehicle=car(rear=replace(car().rear, depth_mm=80.0)))
    forced = why(Market(catalogue, INSIDE, catalogue.vehicles[0], PLENTY), catalogue.speakers[0])
    assert [one.figures["reason"] for one in forced.obstacles] == [
        "speaker depth 71 mm, front place 70 mm",
        "165 mm speakers, rear place 130 mm, and no adapter is listed",
    ]


def test_what_several_things_forbid_together_is_still_explained() -> None:
    """The own unit has no stereo pair for the amplifier: no single rule forbids it, yet something is said."""
    catalogue = stock(front(), stereo(), *WIRING)
    market = Market(catalogue, replace(INSIDE, own_preout_pairs=0), catalogue.vehicles[0], PLENTY)
    assert barred(market, catalogue.amplifiers[0]) == ()
    assert [one.code for one in why(market, catalogue.amplifiers[0]).obstacles] == ["other"]


def reliefs(market: Market, product: Product) -> tuple[Relief, ...]:
    """What would make a product possible."""
    forced = why(market, product)
    assert_reliefs(market, product, forced)
    return forced.reliefs


def test_what_would_make_a_product_possible_is_named_with_its_price() -> None:
    """A head unit at 100 with its kit at 10, a front at 100 of a brand left out, an amplifier with 90 of wiring."""
    catalogue = stock(head_unit(), fascia(), front(brand="Orvane"), rear(), stereo(), *WIRING)
    brief = replace(INSIDE, leave_out=("Orvane",), amplifier=Want.NONE)
    market = Market(catalogue, brief, catalogue.vehicles[0], 109_00)
    replaced = Relief("head-unit", "replace", 110_00, within_cap=False)
    assert reliefs(market, catalogue.head_units[0]) == (replaced,)
    again = Relief("leave-out", "Orvane", 100_00, within_cap=True)
    assert reliefs(market, catalogue.speakers[0]) == (again,)
    amplified = Relief("amplifier", "none", 290_00, within_cap=False)
    assert reliefs(market, catalogue.amplifiers[0]) == (amplified,)


def test_a_product_that_the_cap_does_not_buy_has_a_price_and_reliefs() -> None:
    """Rear at 80 beside a required front at 100, and 150 to spend: 180, or 80 without the front. The front costs 100.

    At 50 the rear would be in.
    """
    catalogue = stock(front(), rear())
    brief = replace(INSIDE, front=Want.REQUIRED)
    market = Market(catalogue, brief, catalogue.vehicles[0], 150_00)
    forced = assert_forced(market, catalogue.speakers[1])
    assert (forced.least_total, forced.obstacles, forced.with_it) == (180_00, (), None)
    assert forced.reliefs == (Relief("front", "", 80_00, within_cap=True),)
    assert forced.entry.entry == 50_00
    assert forced.best is not None
    assert forced.best.total == 100_00


def test_insisting_on_a_worse_product_says_what_it_costs_and_changes() -> None:
    """Rated 5 and not 6, at the same price: 2.5 points less, and the deadening for 20 more stays."""
    catalogue = stock(front(), front(sku="G", rating=5.0), sheet())
    market = Market(catalogue, INSIDE, catalogue.vehicles[0], 150_00)
    forced = assert_forced(market, catalogue.speakers[1])
    assert forced.step is not None
    assert (forced.step.extra, forced.step.gain) == (0, -2_500)
    assert [change.role for change in forced.step.changes] == [Role.FRONT]


def test_insisting_on_what_is_chosen_changes_nothing() -> None:
    """There is no step, in whatever case the brief already asks for it."""
    catalogue = stock(front(), sheet())
    for brief in (INSIDE, replace(INSIDE, must_include=("f",)), replace(INSIDE, must_include=("F",))):
        forced = assert_forced(Market(catalogue, brief, catalogue.vehicles[0], 150_00), catalogue.speakers[0])
        assert (forced.step, forced.entry.chosen) == (None, True)


def test_to_take_the_wish_itself_away_is_no_relief() -> None:
    """A brief that insists on a product already, in another case, and cannot have it."""
    catalogue = stock(front(), rear(depth_mm=75.0))
    brief = replace(INSIDE, must_include=("r",))
    forced = why(Market(catalogue, brief, catalogue.vehicles[0], PLENTY), catalogue.speakers[1])
    assert (forced.best, forced.reliefs) == (None, ())


def test_a_brand_that_is_called_like_the_product_does_not_stand_in_for_it() -> None:
    """F is of the brand R, and better; with the rear R itself and 100 to spend there is no room for F."""
    catalogue = stock(front(brand="R"), rear())
    forced = why(Market(catalogue, INSIDE, catalogue.vehicles[0], 100_00), catalogue.speakers[1])
    assert forced.with_it is not None
    assert skus(forced.with_it.system) == ("R",)


def test_a_fitted_brief_without_hours_for_what_the_product_needs_has_no_relief_there() -> None:
    """The shop lists no hours for head units, so replacing it has no price."""
    catalogue = stock(head_unit(), fascia(), settings=Settings(labour_rate=50_00), labour_hours={})
    brief = wants(
        front=Want.NONE, rear=Want.NONE, bass=Want.NONE, amplifier=Want.NONE, deadening=Want.NONE, fitted=True
    )
    forced = why(Market(catalogue, brief, catalogue.vehicles[0], PLENTY), catalogue.head_units[0])
    assert [one.code for one in forced.obstacles] == ["unwanted"]
    assert forced.reliefs == ()
