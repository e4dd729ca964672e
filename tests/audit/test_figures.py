"""Figures of the audit against figures reckoned on paper, and against brute force for random catalogues."""

from __future__ import annotations

from dataclasses import replace

import pytest

from budgetbuild.build import Audited, Check, Driver, LocationFigures, Mode, Part, Role
from budgetbuild.catalogue.kinds import Location, OneBrand
from tests.audit.handmade import FIVE_CHANNELS, INTERNAL, POWERED, SHARED_KIT, TWO_AMPLIFIERS, TWO_DRIVERS
from tests.audit.sounds import random_sound
from tests.oracle.enumerate import best

ORACLE_SEEDS = 130
"""Of these, 100 or more have a system."""


def at(audited: Audited, location: Location) -> LocationFigures:
    """Figures of a location."""
    return next(figures for figures in audited.locations if figures.location is location)


def points(audited: Audited) -> dict[tuple[str, str], int]:
    """Thousandths of each part of the score that earns any."""
    return {(part.part, part.subject): part.points for part in audited.score_parts if part.points}


def check(audited: Audited, rule: str, subject: str = "") -> Check:
    """One check of the table."""
    return next(found for found in audited.checks if found.rule == rule and subject in {"", found.subject})


def test_power_ratio_match_and_level_of_a_five_channel_system() -> None:
    """Front 75 W / 75 W = 1.0; rear 75 / 50 = 1.5; bass 200 W at 4 ohm / 250 W = 0.8.

    Match: 1; at 1.5 half; 1. Level: 90 + 10 log10(75) + 3 = 90 + 18.7506 + 3 = 111.7506 dB; at rear no more than the
    50 W that the speaker takes counts, 89 + 16.9897 + 3 = 108.9897 dB; the sensitivity of the driver is unknown.
    """
    audited = FIVE_CHANNELS.audited()
    front, rear, bass = (at(audited, location) for location in Location)
    assert [f.power_w for f in (front, rear, bass)] == [75, 75, 200]
    assert [f.rms_w for f in (front, rear, bass)] == [75, 50, 250]
    assert [f.ratio for f in (front, rear, bass)] == pytest.approx([1.0, 1.5, 0.8])
    assert [f.match for f in (front, rear, bass)] == pytest.approx([1.0, 0.5, 1.0])
    assert [front.level_db, rear.level_db] == pytest.approx([111.7506, 108.9897], abs=1e-4)
    assert bass.level_db is None
    assert (bass.ohm, bass.wiring, bass.mode) == (4.0, "coils in series", Mode.SUB)


def test_score_of_a_five_channel_system() -> None:
    """Source 20 x 0.8; front 25 x 0.8; rear 8 x 0.6; bass 20 x 0.9; the amplifier is rated 7.5 of 10.

    Amplification 6, 1, 5 x 0.75; match 5 x 1, 1 x 0.5, 4 x 1; three sheets of 0.35 m2 are 1.05 m2 of 1.5 m2, so 0.7
    x 5 x 0.6 = 2.1; bass and amplifier share the front's brand, a third of 3 points each. Sum 81.4.
    """
    audited = FIVE_CHANNELS.audited()
    assert points(audited) == {
        ("source", ""): 16_000,
        ("front", "front"): 20_000,
        ("rear", "rear"): 4_800,
        ("bass", "bass"): 18_000,
        ("amplification", "front"): 4_500,
        ("amplification", "rear"): 750,
        ("amplification", "bass"): 3_750,
        ("match", "front"): 5_000,
        ("match", "rear"): 500,
        ("match", "bass"): 4_000,
        ("treatment", ""): 2_100,
        ("one brand", "bass"): 1_000,
        ("one brand", "amplifier"): 1_000,
    }
    assert audited.score == 81_400
    assert audited.treated_m2 == 1.05
    assert audited.coverage == pytest.approx(0.7)
    assert sum(part.most for part in audited.score_parts) == 103_000


def test_bill_of_a_fitted_five_channel_system() -> None:
    """Parts and work, line by line, in cents; every running total is the one before plus the line.

    19 m of cable x 1.20 = 22.80; three sheets x 13.00 = 39.00. Work at 55.00 an hour: 1.5 h = 82.50, 1 h = 55.00,
    0.75 h = 41.25, 1.25 h = 68.75. Deadening 0.5 h x 55.00 x 1.05 m2 = 28.875, half up 28.88.
    """
    audited = FIVE_CHANNELS.audited()
    assert [(line.sku or line.description, line.line_total, line.running_total) for line in audited.lines] == [
        ("HU-2", 20_000, 20_000),
        ("FK-H", 4_500, 24_500),
        ("AE-S", 2_500, 27_000),
        ("SP-F", 16_000, 43_000),
        ("SP-S", 7_000, 50_000),
        ("FK-A", 1_100, 51_100),
        ("SW-D", 14_000, 65_100),
        ("BX-1", 6_000, 71_100),
        ("AM-5", 35_000, 106_100),
        ("PK-B", 9_000, 115_100),
        ("SL-6", 2_200, 117_300),
        ("SC-1", 2_280, 119_580),
        ("DD-1", 3_900, 123_480),
        ("Fitting: head unit", 8_250, 131_730),
        ("Fitting: front", 8_250, 139_980),
        ("Fitting: rear", 5_500, 145_480),
        ("Fitting: bass", 4_125, 149_605),
        ("Fitting: amplifier", 6_875, 156_480),
        ("Fitting: deadening, 1.05 m2", 2_888, 159_368),
    ]
    assert audited.total == 159_368


def test_labour_is_reckoned_on_the_area_as_it_is_written() -> None:
    """Three sheets of 0.35 m2 are 1.05 m2, though three times the binary 0.35 is less: 28.875 rounds up, not down."""
    assert 3 * 0.35 < 1.05
    assert FIVE_CHANNELS.audited().lines[-1].line_total == 2_888


def test_prices_without_tax_are_rounded_half_up_line_by_line() -> None:
    """A quarter tax on top: 200.00 / 1.25 = 160.00; 22.80 / 1.25 = 18.24; 28.88 / 1.25 = 23.104, so 23.10.

    The shop's cost is the head unit's alone: no other product states one.
    """
    lines = {line.sku or line.description: line for line in FIVE_CHANNELS.audited().lines}
    found = [lines[name].net_total for name in ("HU-2", "SC-1", "Fitting: deadening, 1.05 m2")]
    assert found == [16_000, 1_824, 2_310]
    assert {name: line.cost_total for name, line in lines.items() if line.cost_total is not None} == {"HU-2": 12_000}


def test_no_price_without_tax_where_the_shop_states_no_rate() -> None:
    settings = replace(FIVE_CHANNELS.catalogue.settings, tax_rate=None)
    untaxed = replace(FIVE_CHANNELS, catalogue=replace(FIVE_CHANNELS.catalogue, settings=settings))
    assert {line.net_total for line in untaxed.audited().lines} == {None}


def test_cost_of_several_pieces_is_that_of_one_as_often() -> None:
    """19 m that cost the shop 0.50 each: 9.50."""
    costed = FIVE_CHANNELS.with_product("SC-1", cost=50).audited()
    assert next(line.cost_total for line in costed.lines if line.sku == "SC-1") == 950


def test_speaker_cable_of_a_five_channel_system() -> None:
    """Front 2 x 5 m + 10 % = 11 m, rear 2 x 3 m + 10 % = 6.6 m, bass 1 m + 10 % = 1.1 m: 18.7 m, so 19 units of 1 m.

    The loop to the front: 0.017241 x 2 x 5 m / 1.5 mm2 = 0.11494 ohm, at most 5 % of 4 ohm = 0.2 ohm.
    """
    audited = FIVE_CHANNELS.audited()
    assert [f.cable_m for f in audited.locations] == pytest.approx([11.0, 6.6, 1.1])
    assert check(audited, "Speaker cable in whole units").limit == "exactly 19"
    loop = check(audited, "Speaker cable's loop resistance", "front")
    assert loop.figure == pytest.approx(0.1149, abs=1e-4)
    assert loop.limit == "at most 0.2 (5% of 4 ohm)"


def test_current_of_an_amplifier_is_its_own_fuse_rating() -> None:
    """60 A on 1/0 AWG (53.475 mm2), 4.5 m + 0.5 m of earth lead at 60 degrees.

    rho = 0.017241 x (1 + 0.00393 x 40) = 0.0199513; x 5 / 53.475 = 0.0018655 ohm; 0.5 V / that = 268.0 A. The table
    gives 242 A, the main fuse is 150 A: the kit carries 150 A.
    """
    audited = FIVE_CHANNELS.audited()
    (device,) = audited.devices
    assert (device.sku, device.current_a, device.kit_sku) == ("AM-5", 60.0, "PK-B")
    assert (device.current_basis, device.kit_carries_a, device.shared) == ("own fuse rating", 150.0, False)
    assert check(audited, "Current to design for").limit == "at most 150.0 (drop 268.0, cable 242.0, fuse 150)"
    assert (audited.pairs_needed, audited.pairs_offered) == (3, 3)


def test_current_reckoned_from_rated_output_and_kits_of_their_own() -> None:
    """2 x 50 W / (0.80 x 13.8 V) = 100 / 11.04 = 9.0580 A; the mono amplifier's fuse rating is 30 A.

    10 mm2 copper-clad: 0.0199513 x 5 / 10 / 0.629 = 0.0158595 ohm, so 31.527 A; 68 A x sqrt(0.629) = 53.9 A; fuse 40 A.
    4 AWG copper, 21.151 mm2: 106.0 A by drop, 136 A by the table, fuse 100 A.
    """
    audited = TWO_AMPLIFIERS.audited()
    currents = {device.sku: device.current_a for device in audited.devices}
    assert currents == {"AM-4": pytest.approx(9.05797, abs=1e-5), "AM-1": 30.0}
    carries = {device.kit_sku: device.kit_carries_a for device in audited.devices}
    assert carries == {"PK-C": pytest.approx(31.527, abs=1e-3), "PK-A": 100.0}
    assert check(audited, "Current to design for", "PK-C").limit == "at most 31.5 (drop 31.5, cable 53.9, fuse 40)"
    assert check(audited, "Current to design for", "PK-A").limit == "at most 100.0 (drop 106.0, cable 136.0, fuse 100)"


def test_one_kit_carries_the_sum() -> None:
    """9.0580 A + 30 A = 39.0580 A."""
    audited = SHARED_KIT.audited()
    assert check(audited, "Current to design for").figure == pytest.approx(39.058, abs=1e-3)
    assert [device.shared for device in audited.devices] == [True, True]


def test_score_behind_a_converter() -> None:
    """Converter 20 x 0.6 x 0.7 = 8.4; front 20; bass 20 x 0.7 = 14; amplifiers 6 x 0.6 = 3.6 and 5 x 0.8 = 4.

    Match: 50 / 75 = 0.66667, so (0.66667 - 0.25) / 0.55 = 0.757576, x 5 = 3.787878, rounded 3.788; 150 / 200 = 0.75,
    so 0.5 / 0.55 = 0.909091, x 4 = 3.636364, rounded 3.636. Sum 57.424.
    """
    assert points(TWO_AMPLIFIERS.audited()) == {
        ("source", ""): 8_400,
        ("front", "front"): 20_000,
        ("bass", "bass"): 14_000,
        ("amplification", "front"): 3_600,
        ("amplification", "bass"): 4_000,
        ("match", "front"): 3_788,
        ("match", "bass"): 3_636,
    }
    assert TWO_AMPLIFIERS.audited().score == 57_424
    assert TWO_AMPLIFIERS.audited().total == 96_700


def test_powered_subwoofer_beside_the_customers_own_unit() -> None:
    """The unit is no part of the build: source 0. Front 18 W / 50 W = 0.36: match 0.11 / 0.55 = 0.2.

    Points: front 25 x 0.6 = 15, its match 5 x 0.2 = 1; bass 20 x 0.5 = 10, amplification 5 x 0.5 = 2.5, match 4. Sum
    32.5. Current 150 W / (0.55 x 13.8 V) = 19.7628 A. Work: front 82.50, bass 41.25, no amplifier.
    """
    audited = POWERED.audited()
    assert audited.score == 32_500
    assert [device.current_a for device in audited.devices] == pytest.approx([19.7628], abs=1e-4)
    assert audited.devices[0].current_basis == "from rated output"
    assert [line.line_total for line in audited.lines if not line.sku] == [8_250, 4_125]
    assert audited.total == 7_000 + 22_000 + 5_000 + 900 + 8_250 + 4_125
    bass = at(audited, Location.BASS)
    assert (bass.by, bass.ohm, bass.power_w, bass.ratio, bass.match) == (Driver.SELF, None, None, None, 1.0)
    assert (audited.pairs_needed, audited.pairs_offered) == (1, 1)


def test_speakers_on_the_factory_unit() -> None:
    """15 W / 50 W = 0.3: match 0.05 / 0.55 = 0.090909. Points 15 + 0.455 at front, 4.8 + 0.091 at rear.

    Level 89 + 10 log10(15) + 3 = 103.7609 dB. No amplifier is fed, and the factory cable stays.
    """
    audited = INTERNAL.audited()
    assert audited.score == 15_000 + 455 + 4_800 + 91
    assert audited.devices == ()
    assert [figures.level_db for figures in audited.locations] == pytest.approx([103.7609, 103.7609], abs=1e-4)
    assert {(f.cable_sku, f.cable_m, f.amplifier_sku) for f in audited.locations} == {("", None, "")}


def test_internal_amplifier_keeps_its_voltage_into_eight_ohm() -> None:
    """15 W x 4 / 8 = 7.5 W, which is 0.25 of 30 W: just allowed, and no match at all."""
    eight = INTERNAL.with_product("SP-S", ohm=8.0, rms_w=30)
    eight = eight.with_drive(Location.FRONT, ohm=8.0).with_drive(Location.REAR, ohm=8.0)
    audited = eight.audited()
    assert audited.refused == ()
    assert [(f.power_w, f.ratio, f.match) for f in audited.locations] == [(7.5, 0.25, 0.0)] * 2


def test_two_drivers_with_two_coils_each() -> None:
    """Coils of 2 ohm in series are 4 ohm, two such drivers in parallel 2 ohm. 250 W / (2 x 250 W) = 0.5.

    Points: source 16, front 20, bass 18, amplification 5 x 0.8 = 4; front 20 W / 75 W = 0.266667, match 0.016667 / 0.55
    = 0.030303, x 5 = 0.152; bass match 0.25 / 0.55 = 0.454545, x 4 = 1.818. Sum 59.970.
    """
    audited = TWO_DRIVERS.audited()
    bass = at(audited, Location.BASS)
    assert (bass.ohm, bass.rms_w, bass.ratio) == (2.0, 500, 0.5)
    assert bass.wiring == "coils in series, drivers in parallel"
    assert check(audited, "Load can be wired", "bass").limit == "0.5 or 2 or 8"
    assert audited.score == 59_970


def test_bridged_pair_at_the_bass() -> None:
    """The stated 160 W at 4 ohm / 200 W = 0.8. One pair; 160 W / (0.80 x 13.8 V) = 14.4928 A beside the front's.

    In all (2 x 50 + 160) / 11.04 = 23.5507 A.
    """
    bridged = TWO_AMPLIFIERS.with_system(amplifiers=("AM-4",), feeds=TWO_AMPLIFIERS.system.feeds[:1])
    bridged = bridged.with_drive(Location.BASS, amplifier=0, mode=Mode.BRIDGED)
    kept = tuple(part for part in bridged.system.parts if part.sku not in {"AM-1", "PK-A"})
    audited = bridged.with_system(parts=kept).audited()
    assert audited.refused == ()
    assert at(audited, Location.BASS).ratio == pytest.approx(0.8)
    assert audited.devices[0].current_a == pytest.approx(23.5507, abs=1e-4)


def test_front_on_two_bridged_pairs() -> None:
    """Each speaker on a pair of its own: 160 W / 128 W = 1.25, still a full match; 2 x 160 W / 11.04 V = 28.9855 A."""
    bridged = TWO_AMPLIFIERS.with_product("SP-F", rms_w=128).with_drive(Location.FRONT, mode=Mode.BRIDGED)
    audited = bridged.audited()
    assert audited.refused == ()
    front = at(audited, Location.FRONT)
    assert (front.power_w, front.ratio, front.match) == (160, 1.25, 1.0)
    assert check(audited, "Amplifier has the channels", "amplifier 1").figure == 2
    assert audited.devices[0].current_a == pytest.approx(28.9855, abs=1e-4)


def test_shops_own_weights_and_limits_count() -> None:
    """Match 20 points: front 10 x 1, rear 2 x 0.5, bass 8 x 1. Brand 4.5 points: 1.5 each for bass and amplifier."""
    weights = replace(FIVE_CHANNELS.catalogue.weights, match=20.0)
    weighted = replace(FIVE_CHANNELS, catalogue=replace(FIVE_CHANNELS.catalogue, weights=weights))
    found = points(weighted.with_limits(one_brand_points=4.5).audited())
    assert [found["match", str(location)] for location in Location] == [10_000, 1_000, 8_000]
    assert (found["one brand", "bass"], found["one brand", "amplifier"]) == (1_500, 1_500)


def test_preferred_brand_earns_nothing_where_an_amplifier_has_another() -> None:
    """Front and bass are of one brand; of the two amplifiers one is not."""
    preferred = TWO_AMPLIFIERS.with_brief(one_brand=OneBrand.PREFER)
    shared = [part for part in preferred.audited().score_parts if part.part == "one brand"]
    assert [(part.subject, part.points) for part in shared] == [("rear", 0), ("bass", 1_000), ("amplifier", 0)]


def test_amplifiers_taken_twice_are_fitted_twice() -> None:
    """5/4 h x 55.00 = 68.75 each, 137.50 for two."""
    twice = TWO_AMPLIFIERS.with_brief(fitted=True).audited()
    line = next(line for line in twice.lines if line.description == "Fitting: amplifier")
    assert (line.quantity, line.unit_price, line.line_total) == (2, 6_875, 13_750)


def test_more_than_needed_may_be_bought_where_the_brief_asks_for_it() -> None:
    """One reel and one lead more, both asked for by name."""
    asked = TWO_AMPLIFIERS.with_brief(must_include=("sc-2", "SL-K"))
    cable, lead = (asked.part(role) for role in (Role.SPEAKER_CABLE, Role.SIGNAL_LEAD))
    assert cable
    assert lead
    assert asked.with_quantity(cable, 3).with_quantity(lead, 2).refused() == set()


def test_unneeded_cable_that_is_asked_for_is_no_fault() -> None:
    asked = INTERNAL.with_brief(must_include=("SC-1",)).with_more(Part(Role.SPEAKER_CABLE, "SC-1"))
    assert asked.refused() == set()


def test_score_and_total_of_a_hundred_random_systems_are_those_of_brute_force() -> None:
    compared = 0
    for seed in range(ORACLE_SEEDS):
        sound = random_sound(seed)
        if sound is None:
            continue
        audited, answer = sound.audited(), best(sound.catalogue, sound.brief, sound.vehicle, sound.cap)
        assert audited.refused == (), seed
        assert (audited.score, audited.total) == (answer.score, answer.total), seed
        compared += 1
    assert compared >= 100
