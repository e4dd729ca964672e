"""The oracle itself: instances small enough to work out on paper, and two independent methods that must agree."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from budgetbuild.build import Mode
from budgetbuild.catalogue.items import (
    Aerial,
    Amplifier,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    PowerKit,
    SignalLead,
    Speaker,
    SpeakerCable,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import (
    AerialUse,
    Conductor,
    HeadUnitMode,
    KitFor,
    Location,
    OneBrand,
    Opening,
    SpeakerType,
    SubwooferType,
    Want,
    Work,
)
from budgetbuild.catalogue.limits import Limits
from budgetbuild.catalogue.shop import Brief, Catalogue, Settings, Vehicle
from tests.oracle import rules
from tests.oracle.catalogues import large_catalogue, random_catalogue
from tests.oracle.cpsat import best_cpsat, cheapest_cpsat
from tests.oracle.enumerate import Answer, best, cheapest, systems
from tests.oracle.knobs import PROFILES

ROUNDS = 5
"""Seeds per profile of random catalogues."""
VEHICLE = Vehicle(name="Marl Estate", opening=Opening.DOUBLE)
FRONT = Speaker(
    sku="FRONT", price=10000, brand="Orvane", rating=8.0, type=SpeakerType.COAXIAL, size_mm=165.0, ohm=4.0, rms_w=50.0
)
TWO_CHANNEL = Amplifier(
    sku="TWO", price=12000, rating=6.0, channels=2, w_at_4=50.0, min_ohm=2.0, bridged_w_at_4=150.0, min_bridged_ohm=4.0,
    fuse_a=20.0,
)  # fmt: skip
MONO = Amplifier(sku="MONO", price=18000, rating=9.0, sub_w_at_4=200.0, sub_w_at_2=300.0, sub_min_ohm=2.0, fuse_a=30.0)
KIT = PowerKit(sku="KIT", price=3000, mm2=20.0, conductor=Conductor.COPPER, length_m=5.0, fuse_a=60.0)
TWIN_KIT = replace(KIT, sku="KIT-TWIN", price=5500, amplifiers_fed=2)
LEAD = SignalLead(sku="LEAD", price=1000, channels=2, length_m=5.5)
LEAD_FOUR = replace(LEAD, sku="LEAD-4", price=1500, channels=4)
CABLE = SpeakerCable(sku="CABLE", price=200, mm2=2.5, conductor=Conductor.COPPER, metres_per_unit=1.0)
ENCLOSURE = Subwoofer(sku="ENCLOSURE", price=15000, rating=6.0, type=SubwooferType.ENCLOSURE, ohm=4.0, rms_w=200.0)
WIRES: dict[str, Any] = {"power_kits": (KIT, TWIN_KIT), "signal_leads": (LEAD, LEAD_FOUR), "speaker_cables": (CABLE,)}


def brief(mode: HeadUnitMode, **columns: Any) -> Brief:  # noqa: ANN401 - columns of many types
    """A brief for the vehicle: front only, no deadening, unless told otherwise."""
    plain = {"rear": Want.NONE, "bass": Want.NONE, "deadening": Want.NONE}
    return Brief(name="brief", vehicle=VEHICLE.name, head_unit=mode, **{**plain, **columns})


def both(catalogue: Catalogue, wanted: Brief, cap: int | None, vehicle: Vehicle = VEHICLE) -> Answer:
    """The brute-force answer, after the flat model has agreed on it."""
    answer = best(catalogue, wanted, vehicle, cap)
    assert best_cpsat(catalogue, wanted, vehicle, cap) == replace(answer, skus=None)
    assert cheapest_cpsat(catalogue, wanted, vehicle) == cheapest(catalogue, wanted, vehicle)
    return answer


def test_kept_factory_unit_takes_a_converter_only_with_an_amplifier() -> None:
    """Front on the factory unit, or on an amplifier behind a converter.

    Without: front 25 x 0.8 = 20; r = 15 / 50 = 0.3, m = 0.05 / 0.55 = 0.0909, match 0.455; 20.455 for 100.00.
    With: source 20 x 0.5 x 0.6 = 6; front 20; amplification 6 x 0.6 = 3.6; r = 1, match 5; 34.6.
    Cable 2 x 5.5 x 1.1 = 12.1 m, 13 units, 26.00; 100 + 40 + 120 + 30 + 10 + 26 = 326.00.
    """
    converter = Converter(sku="CONVERTER", price=4000, rating=5.0, output_pairs=2)
    catalogue = Catalogue(speakers=(FRONT,), converters=(converter,), amplifiers=(TWO_CHANNEL,), **WIRES)
    wanted = brief(HeadUnitMode.KEEP_FACTORY)
    assert both(catalogue, wanted, 32600) == Answer(
        "optimal", 34600, 32600, tuple(sorted(["CONVERTER", "FRONT", "KIT", "LEAD", "TWO", *["CABLE"] * 13]))
    )
    assert both(catalogue, wanted, 32599) == Answer("optimal", 20455, 10000, ("FRONT",))
    listed = FittingKit(sku="K", price=1, fits=KitFor.CONVERTER, vehicles=("marl estate",), active=False)
    assert both(replace(catalogue, fitting_kits=(listed,)), wanted, None).skus == ("FRONT",)


def test_powered_subwoofer_takes_a_pair_and_a_power_kit_and_no_cable() -> None:
    """Bass 20 x 0.7 = 14, amplification 5 x 0.7 = 3.5, match 4: 21.5.

    No fuse rating: 150 / (0.55 x 13.8) = 19.76 A, so the 15 A kit is out.
    Two one-channel leads at 4.00 beat one at 9.00. 200 + 25 + 8 = 233.00.
    """
    sub = Subwoofer(sku="POWERED", price=20000, rating=7.0, type=SubwooferType.POWERED, rms_w=150.0)
    kits = (replace(KIT, sku="KIT-15", price=1500, fuse_a=15.0), replace(KIT, sku="KIT-20", price=2500, fuse_a=20.0))
    leads = (replace(LEAD, price=900), replace(LEAD, sku="LEAD-1", price=400, channels=1))
    catalogue = Catalogue(subwoofers=(sub,), power_kits=kits, signal_leads=leads, speaker_cables=(CABLE,))
    wanted = brief(HeadUnitMode.KEEP_OWN, own_preout_pairs=1, front=Want.NONE, bass=Want.REQUIRED)
    assert both(catalogue, wanted, None) == Answer("optimal", 21500, 23300, ("KIT-20", "LEAD-1", "LEAD-1", "POWERED"))
    assert both(catalogue, replace(wanted, own_preout_pairs=0), None).status == "infeasible"


def test_driver_of_four_ohm_coils_reaches_two_ohm_and_matches_better() -> None:
    """Two coils of 2 ohm reach 1 (too low) and 4 ohm: r = 200 / 300, m = 0.41667 / 0.55 = 0.75758, match 3.030.

    Two coils of 4 ohm reach 8 (r = 100 / 300, too little) and 2 ohm: r = 1, match 4. Both: bass 16, amplification 4.5.
    24.5 for 160 + 50 + 180 + 30 + 10 + 2 x 2 (1.65 m) = 434.00; 23.53 for 424.00.
    """
    low = Subwoofer(
        sku="COILS-2", price=15000, rating=8.0, type=SubwooferType.DRIVER, ohm=2.0, coils=2, rms_w=300.0, size_mm=300.0,
        box_litres_min=28.0, box_litres_max=40.0,
    )  # fmt: skip
    high = replace(low, sku="COILS-4", price=16000, ohm=4.0)
    box = Box(sku="BOX", price=5000, cutout_mm=300.0, drivers=1, litres=30.0)
    small = replace(box, sku="BOX-SMALL", price=4000, litres=27.0)
    catalogue = Catalogue(subwoofers=(low, high), boxes=(box, small), amplifiers=(MONO,), **WIRES)
    wanted = brief(HeadUnitMode.KEEP_OWN, own_preout_pairs=1, front=Want.NONE, bass=Want.REQUIRED)
    others = ("BOX", "CABLE", "CABLE")
    assert both(catalogue, wanted, 43400) == Answer(
        "optimal", 24500, 43400, (*others, "COILS-4", "KIT", "LEAD", "MONO")
    )
    assert both(catalogue, wanted, 43399) == Answer(
        "optimal", 23530, 42400, (*others, "COILS-2", "KIT", "LEAD", "MONO")
    )
    assert both(catalogue, wanted, 42399).status == "infeasible"


def test_two_amplifiers_share_one_kit_and_one_reel_of_cable() -> None:
    """Front on the two-channel, bass on the mono: 20 + 3.6 + 5 + 12 + 4.5 + 4 = 49.1.

    30 + 20 = 50 A from one kit for two (55.00) instead of two at 30.00; one four-channel lead (15.00) instead of two;
    12.1 + 1.65 = 13.75 m, 14 units (28.00). 100 + 150 + 120 + 180 + 55 + 15 + 28 = 648.00.
    Or the two-channel twice, bridged at bass: r = 0.75, m = 0.5 / 0.55, match 3.636;
    20 + 3.6 + 5 + 12 + 3 + 3.636 for 588.00.
    """
    catalogue = Catalogue(speakers=(FRONT,), subwoofers=(ENCLOSURE,), amplifiers=(TWO_CHANNEL, MONO), **WIRES)
    wanted = brief(HeadUnitMode.KEEP_OWN, own_preout_pairs=2, bass=Want.REQUIRED)
    rest = ("ENCLOSURE", "FRONT", "KIT-TWIN", "LEAD-4")
    cable = ("CABLE",) * 14
    assert both(catalogue, wanted, 64800) == Answer("optimal", 49100, 64800, (*cable, *rest, "MONO", "TWO"))
    assert both(catalogue, wanted, 64799) == Answer("optimal", 47236, 58800, (*cable, *rest, "TWO", "TWO"))
    assert both(catalogue, wanted, 58799).status == "infeasible"


def test_internal_amplifier_drives_front_and_rear_of_four_ohm_or_more() -> None:
    """Source 12; front 20, r = 22 / 50, m = 0.19 / 0.55, match 1.727; rear 4, 8 ohm: r = 11 / 20, match 0.545; 38.272.

    100 + kit 20 + adapter to the factory aerial 15 + 100 + 40 = 275.00. The better 2 ohm pair cannot hang on it.
    The front's pair at rear as well: 6.4, r = 0.44, match 0.345; 40.472 for 335.00.
    """
    unit = HeadUnit(
        sku="HEAD", price=10000, rating=6.0, preout_pairs=0, internal_w=22.0, opening=Opening.DOUBLE, digital_radio=True
    )
    rear = replace(FRONT, sku="REAR", price=4000, rating=5.0, ohm=8.0, rms_w=20.0)
    better = replace(FRONT, sku="BETTER", price=5000, rating=9.5, ohm=2.0)
    mount = Aerial(sku="MOUNT", price=1000, use=AerialUse.SCREEN_MOUNT)
    catalogue = Catalogue(
        head_units=(unit,), speakers=(FRONT, rear, better), amplifiers=(TWO_CHANNEL,),
        aerials=(mount, Aerial(sku="ADAPTER", price=1500, use=AerialUse.FACTORY_ADAPTER)),
        fitting_kits=(FittingKit(sku="FASCIA", price=2000, fits=KitFor.HEAD_UNIT, any_vehicle=True),), **WIRES,
    )  # fmt: skip
    wanted = brief(HeadUnitMode.REPLACE, rear=Want.OPTIONAL)
    vehicle = replace(VEHICLE, factory_digital_aerial=True)
    parts = ("ADAPTER", "FASCIA", "FRONT", "HEAD", "REAR")
    assert both(catalogue, wanted, 27500, vehicle) == Answer("optimal", 38272, 27500, parts)
    assert both(catalogue, wanted, None, vehicle) == Answer("optimal", 40472, 33500, (*parts[:3], "FRONT", "HEAD"))
    assert both(catalogue, replace(wanted, amplifier=Want.REQUIRED), None, vehicle) == Answer("infeasible")
    assert both(catalogue, wanted, None, replace(vehicle, opening=Opening.SINGLE)) == Answer("infeasible")


def test_a_budget_below_the_cheapest_system_is_infeasible_though_a_system_exists() -> None:
    """Front on the factory unit is 100.00 and nothing is cheaper."""
    catalogue = Catalogue(speakers=(FRONT,))
    wanted = brief(HeadUnitMode.KEEP_FACTORY)
    assert both(catalogue, wanted, 9999) == Answer("infeasible")
    assert cheapest(catalogue, wanted, VEHICLE) == 10000
    assert cheapest(catalogue, replace(wanted, bass=Want.REQUIRED), VEHICLE) is None


def test_equals_are_told_apart_by_price_and_then_by_the_first_sku_in_code_point_order() -> None:
    """`B` comes before `a`; a dearer equal never wins."""
    twins = tuple(replace(FRONT, sku=sku) for sku in ("a", "B"))
    catalogue = Catalogue(speakers=(*twins, replace(FRONT, sku="A", price=10001)))
    assert both(catalogue, brief(HeadUnitMode.KEEP_FACTORY), None).skus == ("B",)


def test_a_lead_that_is_asked_for_is_bought_though_no_pair_needs_it() -> None:
    """100.00 + 15.00; asking by a brand that another part has costs nothing more."""
    catalogue = Catalogue(speakers=(FRONT,), **WIRES)
    wanted = brief(HeadUnitMode.KEEP_FACTORY, must_include=("lead-4",))
    assert both(catalogue, wanted, None) == Answer("optimal", 20455, 11500, ("FRONT", "LEAD-4"))
    assert both(catalogue, replace(wanted, must_include=("ORVANE",)), None).total == 10000
    assert both(catalogue, replace(wanted, leave_out=("orvane",)), None).status == "infeasible"


def test_money_left_over_goes_into_fitted_sheets_of_deadening() -> None:
    """1.6 m2 of doors, sheets of 0.5 m2: 2 sheets cover 0.625, 5 x 0.625 x 0.8 = 2.5 points; 4 sheets 4 points.

    Front fitted: 1 h at 65.00; deadening 0.5 h a m2: 2 sheets 40 + 32.50, 4 sheets 80 + 65.00.
    """
    hours = {Work.FRONT: Fraction(1), Work.DEADENING_PER_M2: Fraction(1, 2)}
    sheet = Deadening(sku="SHEET", price=2000, rating=8.0, sheet_m2=0.5)
    settings = Settings(labour_rate=6500)
    catalogue = Catalogue(speakers=(FRONT,), deadening=(sheet,), labour_hours=hours, settings=settings)
    wanted = brief(HeadUnitMode.KEEP_FACTORY, deadening=Want.OPTIONAL, fitted=True)
    assert both(catalogue, wanted, 16500 + 7250 + 3624) == Answer("optimal", 22955, 23750, ("FRONT", "SHEET", "SHEET"))
    assert both(catalogue, wanted, None) == Answer("optimal", 24455, 31000, ("FRONT", *["SHEET"] * 4))


def test_one_brand_preferred_adds_a_point_for_each_of_rear_bass_and_amplifier() -> None:
    """Front 20, rear 6.4, r = 0.3 at both, match 0.455 + 0.091; a rear pair of the front's brand: 1 more."""
    same = replace(FRONT, sku="Z-SAME", price=5000)
    other = replace(FRONT, sku="A-OTHER", price=5000, brand="Tessmar")
    catalogue = Catalogue(speakers=(FRONT, same, other))
    wanted = brief(HeadUnitMode.KEEP_FACTORY, rear=Want.REQUIRED, must_include=("FRONT",))
    assert both(catalogue, wanted, 15000) == Answer("optimal", 26946, 15000, ("A-OTHER", "FRONT"))
    preferred = replace(wanted, one_brand=OneBrand.PREFER)
    assert both(catalogue, preferred, 15000) == Answer("optimal", 27946, 15000, ("FRONT", "Z-SAME"))
    barred = replace(wanted, one_brand=OneBrand.MUST, leave_out=("Z-SAME",))
    assert both(catalogue, barred, 15000) == Answer("infeasible")


def test_nets_of_two_drivers_with_two_coils_of_four_ohm() -> None:
    assert rules.nets(4.0, 2, 2) == [1, 4, 16]


def test_nets_of_four_coils_include_two_by_two() -> None:
    assert rules.nets(4.0, 4, 1) == [1, 4, 16]


@pytest.mark.parametrize(
    ("mode", "ohm", "watt"),
    [
        (Mode.STEREO, 4, Fraction(50)),
        (Mode.STEREO, 8, Fraction(25)),
        (Mode.STEREO, 3, Fraction(175, 3)),
        (Mode.STEREO, 2, Fraction(75)),
        (Mode.STEREO, 1, None),
        (Mode.BRIDGED, 4, Fraction(140)),
        (Mode.BRIDGED, 8, Fraction(100)),
        (Mode.BRIDGED, 6, Fraction(350, 3)),
        (Mode.BRIDGED, 3, None),
        (Mode.SUB, 4, None),
    ],
)
def test_power_of_fifty_watt_at_four_and_seventy_five_at_two_ohm(mode: Mode, ohm: int, watt: Fraction | None) -> None:
    """At 3 ohm a third of the way from 1/4 to 1/2 towards 75 W; bridged at 6 ohm twice that."""
    amplifier = Amplifier(sku="A", price=1, channels=2, w_at_4=50.0, w_at_2=75.0, min_ohm=2.0, bridged_w_at_4=140.0)
    assert rules.power(amplifier, mode, Fraction(ohm)) == watt


@pytest.mark.parametrize(
    ("ratio", "factor"),
    [("0.2", 0), ("0.25", 0), ("0.525", Fraction(1, 2)), ("0.8", 1), ("1.25", 1), ("1.5", Fraction(1, 2)), ("2", 0)],
)
def test_match_factor_is_straight_between_its_corners(ratio: str, factor: Fraction) -> None:
    assert rules.match_factor(Fraction(ratio), Limits()) == factor


def test_five_channel_amplifier_covers_all_three_locations_in_one_way_only() -> None:
    """Two pairs: front and rear take one each, bass the sub channel."""
    amplifier = Amplifier(sku="A", price=1, channels=4, w_at_4=50.0, sub_w_at_2=300.0)
    whole = [way for way in rules.ways_of_use(amplifier) if len(way) == len(Location)]
    assert whole == [{Location.FRONT: Mode.STEREO, Location.REAR: Mode.STEREO, Location.BASS: Mode.SUB}]


@pytest.mark.parametrize("profile", PROFILES)
def test_brute_force_and_the_flat_model_agree(profile: str) -> None:
    for seed in range(ROUNDS):
        catalogue, wanted, vehicle, cap = random_catalogue(seed, profile)
        both(catalogue, wanted, cap, vehicle)


@pytest.mark.parametrize("seed", range(10))
def test_pruning_loses_neither_the_best_nor_the_first_in_sku_order(seed: int) -> None:
    catalogue, wanted, vehicle, cap = random_catalogue(seed, "twins")
    every = (key for key in systems(catalogue, wanted, vehicle, lambda _, cost: cost > cap) if key[1] <= cap)
    found = min(every, default=None)
    answer = best(catalogue, wanted, vehicle, cap)
    assert found == (None if answer.score is None else (-answer.score, answer.total, answer.skus))


def test_about_half_of_the_random_instances_or_more_have_an_answer() -> None:
    """And the answers differ in size: a random catalogue that is always trivial would test nothing."""
    answers = [best(*random_catalogue(seed)) for seed in range(len(PROFILES) * 2)]
    sizes = {len(answer.skus) for answer in answers if answer.skus is not None}
    assert sum(answer.status == "optimal" for answer in answers) >= len(answers) / 2
    assert max(sizes) > 12
    assert len(sizes) > 8


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_the_flat_model_settles_three_hundred_products(seed: int) -> None:
    catalogue, wanted, vehicle, cap = large_catalogue(seed, 8, "replaced")
    answer = best_cpsat(catalogue, wanted, vehicle, cap)
    assert answer.total is None or answer.total <= cap
