"""What every fitter knows, asked of the whole tool: facts of the trade, common practice unless a source is named.

Each test builds the smallest price list that puts the question, and holds the answer against what a practitioner would
say. Figures in the docstrings are worked out by hand.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from budgetbuild.build import Role, Status
from budgetbuild.catalogue.items import (
    Aerial,
    Amplifier,
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
    AmplifierClass,
    Conductor,
    HeadUnitMode,
    KitFor,
    Opening,
    SpeakerType,
    SubwooferType,
    Want,
)
from budgetbuild.catalogue.shop import Brief, Catalogue, Place, Tier, Vehicle
from budgetbuild.pipeline import Run, solve_all

VEHICLE = Vehicle(
    name="Orle Saloon",
    opening=Opening.DOUBLE,
    front=Place(size_mm=165, depth_mm=70, tweeter_place=True),
    rear=Place(size_mm=165, depth_mm=60, tweeter_place=False),
    boot_width_mm=1000,
    boot_height_mm=500,
    boot_depth_mm=800,
    alternator_a=120,
)
FIVE_CHANNEL = Amplifier(
    sku="AMP-5", price=40000, rating=7.0, channels=4, w_at_4=75, w_at_2=110, min_ohm=2, sub_w_at_4=250, sub_w_at_2=400,
    sub_min_ohm=2, fuse_a=70, amplifier_class=AmplifierClass.D,
)  # fmt: skip
FRONT = Speaker(
    sku="FRONT", price=15000, rating=7.0, type=SpeakerType.COMPONENT, size_mm=165, depth_mm=60, ohm=4, rms_w=75
)
REAR = Speaker(sku="REAR", price=8000, rating=6.0, type=SpeakerType.COAXIAL, size_mm=165, depth_mm=50, ohm=4, rms_w=60)
BASS_2 = Subwoofer(
    sku="BASS-2", price=20000, rating=7.0, type=SubwooferType.ENCLOSURE, ohm=2, rms_w=400, width_mm=400, height_mm=350,
    depth_mm=350, family="Fjord 12",
)  # fmt: skip
BASS_4 = replace(BASS_2, sku="BASS-4", ohm=4)
UNIT = HeadUnit(
    sku="UNIT", price=25000, rating=7.0, preout_pairs=3, internal_w=20, opening=Opening.DOUBLE, digital_radio=True
)
CONVERTER = Converter(sku="CONV", price=9000, rating=7.0, output_pairs=3)
KIT_4 = PowerKit(sku="KIT-4", price=6000, awg=4, conductor=Conductor.COPPER, length_m=5.5, fuse_a=100)
LEAD_6 = SignalLead(sku="LEAD-6", price=3000, channels=6, length_m=5.5)
LEAD_2 = SignalLead(sku="LEAD-2", price=1500, channels=2, length_m=5.5)
SHORT_2 = SignalLead(sku="SHORT-2", price=400, channels=2, length_m=0.5)
METRE = SpeakerCable(sku="CABLE", price=150, mm2=2.5, conductor=Conductor.COPPER, metres_per_unit=1.0)
MAST = Aerial(sku="SCREEN", price=2500, use=AerialUse.SCREEN_MOUNT)
ADAPTER = Aerial(sku="ADAPTER", price=1200, use=AerialUse.FACTORY_ADAPTER)
FASCIA = FittingKit(sku="FASCIA", price=3500, fits=KitFor.HEAD_UNIT, any_vehicle=True)
SHEET = Deadening(sku="SHEET", price=2000, rating=6.0, sheet_m2=0.4)

SHOP = Catalogue(
    head_units=(UNIT,),
    converters=(CONVERTER,),
    speakers=(FRONT, REAR),
    subwoofers=(BASS_2,),
    amplifiers=(FIVE_CHANNEL,),
    power_kits=(KIT_4,),
    signal_leads=(LEAD_6, LEAD_2, SHORT_2),
    speaker_cables=(METRE,),
    aerials=(MAST, ADAPTER),
    fitting_kits=(FASCIA,),
    deadening=(SHEET,),
    vehicles=(VEHICLE,),
)
EVERYTHING = Brief(
    name="Everything", vehicle=VEHICLE.name, head_unit=HeadUnitMode.REPLACE, front=Want.REQUIRED, rear=Want.REQUIRED,
    bass=Want.REQUIRED, amplifier=Want.REQUIRED, deadening=Want.NONE,
)  # fmt: skip


def solve(brief: Brief = EVERYTHING, budget: int = 500000, **sheets: object) -> dict[Role, list[tuple[str, int]]]:
    """Parts by role of the one build of a brief; an empty list where there is no build."""
    shop = replace(SHOP, briefs=(brief,), tiers=(Tier(name="T", budget=budget),), **sheets)  # type: ignore[arg-type]
    (build,) = solve_all(shop, Run()).builds
    parts: dict[Role, list[tuple[str, int]]] = {role: [] for role in Role}
    for part in build.audited.system.parts if build.audited else ():
        parts[part.role].append((part.sku, part.quantity))
    return parts


def test_a_five_channel_system_takes_three_pairs_six_channels() -> None:
    """Front, rear and bass on one amplifier take three stereo pairs: one six-channel lead (30.00) beats three."""
    assert solve()[Role.SIGNAL_LEAD] == [("LEAD-6", 1)]
    (build,) = solve_all(replace(SHOP, briefs=(EVERYTHING,), tiers=(Tier(name="T", budget=500000),)), Run()).builds
    assert build.audited is not None
    assert build.audited.pairs_needed == 3


def test_a_six_channel_lead_does_the_work_of_three_pairs() -> None:
    """Take the six-channel lead off the list: three two-channel leads do the same."""
    assert solve(signal_leads=(LEAD_2, SHORT_2))[Role.SIGNAL_LEAD] == [("LEAD-2", 3)]


def test_five_and_a_half_metres_reach_from_dash_to_boot_and_half_a_metre_beside_a_converter() -> None:
    """With the head unit replaced the short leads are useless; beside a converter they do."""
    assert all(sku != "SHORT-2" for sku, _ in solve()[Role.SIGNAL_LEAD])
    kept = replace(EVERYTHING, head_unit=HeadUnitMode.KEEP_FACTORY)
    assert solve(kept)[Role.SIGNAL_LEAD] == [("SHORT-2", 3)]


def test_about_twenty_metres_of_speaker_cable_serve_two_pairs_and_a_subwoofer() -> None:
    """2 x 5.5 m and 2 x 3.0 m, both ways from the boot, and 1.5 m: 18.5 m, with 10 % to spare 20.35 m: 21 of 1 m."""
    assert solve()[Role.SPEAKER_CABLE] == [("CABLE", 21)]


@pytest.mark.parametrize(("fuse_a", "watt"), [(60, 600), (80, 900)])
def test_a_four_gauge_copper_kit_carries_a_five_channel_amplifier_of_600_to_900_w(fuse_a: float, watt: float) -> None:
    """Class D at 13.8 V and 80 %: 600 W draw 54 A and 900 W draw 82 A; 4 AWG carries 0.5 V / 5 mohm, about 100 A."""
    amplifier = replace(FIVE_CHANNEL, fuse_a=fuse_a)
    assert watt / (0.8 * 13.8) == pytest.approx(fuse_a, rel=0.12)
    assert solve(amplifiers=(amplifier,))[Role.POWER_KIT] == [("KIT-4", 1)]


def test_an_eight_gauge_kit_does_not_carry_it() -> None:
    """8 AWG, 8.37 mm2: 33 CFR 183.425 Table 5 allows 68 A in the engine space, and 0.5 V allow less still."""
    thin = replace(KIT_4, sku="KIT-8", awg=8, price=3000)
    assert solve(power_kits=(thin,))[Role.POWER_KIT] == []
    assert solve(power_kits=(thin, KIT_4))[Role.POWER_KIT] == [("KIT-4", 1)]


def test_a_digital_radio_in_a_car_without_the_aerial_needs_a_screen_mount_one() -> None:
    """With the factory aerial an adapter does, even though a screen-mount one is on the list too."""
    assert solve()[Role.AERIAL] == [("SCREEN", 1)]
    assert solve(vehicles=(replace(VEHICLE, factory_digital_aerial=True),))[Role.AERIAL] == [("ADAPTER", 1)]


def test_the_four_ohm_version_gets_clearly_less_from_the_same_amplifier() -> None:
    """400 W into 2 ohm, 250 W into 4 ohm: ratio 1.0 against 0.625, so the 2 ohm version is the one to order."""
    assert solve(subwoofers=(BASS_4, BASS_2))[Role.BASS] == [("BASS-2", 1)]
    powers = {}
    for bass in (BASS_2, BASS_4):
        shop = replace(SHOP, subwoofers=(bass,), briefs=(EVERYTHING,), tiers=(Tier(name="T", budget=500000),))
        (build,) = solve_all(shop, Run()).builds
        assert build.audited is not None
        powers[bass.sku] = build.audited.locations[-1].power_w
    assert powers == {"BASS-2": 400, "BASS-4": 250}


@pytest.mark.parametrize("over_percent", [0.3, 0.8])
def test_overshooting_two_thousand_by_a_little_is_acceptable(over_percent: float) -> None:
    """A system that costs 0.3 or 0.8 % more than the budget is offered; one of 1.1 % more is not."""
    brief = replace(EVERYTHING, rear=Want.NONE, bass=Want.NONE)
    least = 25000 + 3500 + 2500 + 15000 + 40000 + 6000 + 1500 + 13 * 150  # 2 x 5.5 m x 1.1 = 12.1 m of cable
    dear = replace(FIVE_CHANNEL, price=40000 + 200000 - least)
    over = replace(dear, price=dear.price + round(2000 * over_percent))
    assert solve(brief, 200000, speakers=(FRONT,), amplifiers=(over,))[Role.AMPLIFIER] == [("AMP-5", 1)]
    too_dear = replace(dear, price=dear.price + 2200)
    assert solve(brief, 200000, speakers=(FRONT,), amplifiers=(too_dear,))[Role.AMPLIFIER] == []


def test_a_passive_enclosure_needs_an_amplifier() -> None:
    """Bass asked for, no amplifier on the list: no build. With one, it is bought."""
    brief = replace(EVERYTHING, rear=Want.NONE, amplifier=Want.OPTIONAL)
    shop = replace(SHOP, amplifiers=(), briefs=(brief,), tiers=(Tier(name="T", budget=500000),))
    (build,) = solve_all(shop, Run()).builds
    assert build.status is Status.INFEASIBLE
    assert solve(brief)[Role.AMPLIFIER] == [("AMP-5", 1)]


def test_two_sheets_treat_the_area_around_the_speakers_not_the_whole_door() -> None:
    """2 sheets of 0.4 m2 cover half of the 1.6 m2 worth treating; four would cover it, and more are never sold."""
    brief = replace(EVERYTHING, deadening=Want.REQUIRED)
    assert solve(brief)[Role.DEADENING] == [("SHEET", 4)]
    full = 25000 + 3500 + 2500 + 15000 + 8000 + 20000 + 40000 + 6000 + 3000 + 21 * 150
    tight = full + 2 * 2000
    shop = replace(SHOP, briefs=(brief,), tiers=(Tier(name="T", budget=round(tight / 1.01) + 1),))
    (build,) = solve_all(shop, Run()).builds
    assert build.audited is not None
    assert build.audited.coverage == pytest.approx(0.5)
