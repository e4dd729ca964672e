"""Version alerts of loads and powers, reckoned on paper from the small shop's ratings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from budgetbuild.build import Role
from budgetbuild.catalogue.items import Subwoofer
from budgetbuild.catalogue.kinds import Location, SubwooferType
from tests.advice.shelf import SISTER, alerts, difference, sister, with_sister
from tests.audit.handmade import FIVE_CHANNELS, INTERNAL, POWERED, TWO_AMPLIFIERS, TWO_DRIVERS


def test_another_wiring_of_a_sister_gets_another_power() -> None:
    # 2 x 4 ohm in parallel is 2 ohm: 300 W for 250 W RMS. In series it is 8 ohm: 200 x 4 / 8 = 100 W, refused at 0.4.
    found = sister(FIVE_CHANNELS, "SW-D", ohm=4)
    assert not found.forbidden
    (told,) = found.differences
    assert (told.code, told.subject, told.figures["wiring"]) == ("power", "bass", "coils in parallel")
    assert (told.figures["before_w"], told.figures["after_w"], told.figures["ohm"]) == (200, 300, 2)
    assert found.score_difference == 0  # ratio 0.8 before, 1.2 after: both match in full


def test_the_same_power_by_another_wiring_says_the_wiring() -> None:
    # 2 x 8 ohm in parallel is 4 ohm, as 2 x 2 ohm in series is.
    told = sister(FIVE_CHANNELS, "SW-D", ohm=8).differences
    assert [(one.code, one.figures["wiring"], one.figures["power_w"]) for one in told] == [
        ("same-power", "coils in parallel", 200)
    ]


def test_a_sister_wired_like_the_chosen_one_may_load_the_amplifier_too_low() -> None:
    # Chosen now: 2 x 4 ohm in parallel, 2 ohm, 300 W. Sister 2 x 2 ohm: in series 4 ohm, 200 W; in parallel 1 ohm.
    chosen = FIVE_CHANNELS.with_product("SW-D", ohm=4).with_drive(Location.BASS, ohm=2.0, wiring="coils in parallel")
    power, danger = sister(chosen, "SW-D", ohm=2).differences
    assert (power.figures["before_w"], power.figures["after_w"]) == (300, 200)
    assert (danger.code, danger.figures["ohm"], danger.figures["least_ohm"]) == ("wired-alike", 1, 2)
    assert not danger.forbids


def test_where_no_wiring_is_allowed_every_one_is_told() -> None:
    # 2 x 1.5 ohm: in parallel 0.75 ohm, below the minimum of 2 ohm; in series 3 ohm: linear in 1/z between 300 W at 2
    # and 200 W at 4, (1/3 - 1/4) / (1/2 - 1/4) = 1/3 of the way: 233.3 W, ratio 0.467 of 500 W.
    found = sister(FIVE_CHANNELS, "SW-D", ohm=1.5, rms_w=500)
    assert found.forbidden
    assert found.score_difference is None
    low, weak = found.differences
    assert (low.code, low.figures["ohm"], low.figures["least_ohm"]) == ("load-too-low", 0.75, 2)
    assert low.figures["wiring"] == "coils in parallel"
    assert (weak.code, weak.figures["wiring"], weak.figures["limit"]) == ("power-too-low", "coils in series", 0.5)
    assert weak.figures["after_w"] == pytest.approx(700 / 3)
    assert weak.figures["ratio"] == pytest.approx(1400 / 3000)


def test_a_single_coil_of_one_ohm_is_below_the_amplifiers_minimum() -> None:
    told = difference(FIVE_CHANNELS, "SW-D", ohm=1, coils=1)
    assert told.forbids
    assert (told.code, told.figures["ohm"], told.figures["least_ohm"]) == ("load-too-low", 1, 2)


def test_both_drivers_of_a_box_are_exchanged() -> None:
    # Two drivers of 2 x 4 ohm: nets 1, 4 and 16 ohm; at 4 ohm 150 W for 2 x 150 W RMS, ratio 0.5, instead of 250 W.
    told = difference(TWO_DRIVERS, "SW-D", ohm=4, rms_w=150)
    assert (told.code, told.figures["before_w"], told.figures["after_w"]) == ("power", 250, 150)
    assert sister(TWO_DRIVERS, "SW-D", ohm=4, rms_w=150, price=13000).price_difference == -2000


def test_too_much_power_is_refused() -> None:
    told = difference(FIVE_CHANNELS, "SW-D", ohm=4, coils=1, rms_w=120)  # 200 W for 120 W is 1.67, above 1.5
    assert (told.code, told.forbids, told.figures["limit"]) == ("power-too-high", True, 1.5)
    assert told.figures["ratio"] == pytest.approx(5 / 3)


def test_another_rating_at_the_same_power_is_told() -> None:
    told = difference(FIVE_CHANNELS, "SW-D", rms_w=200)
    assert (told.code, told.figures["before_w"], told.figures["after_w"]) == ("rms", 250, 200)


def test_a_lower_load_asks_for_thicker_speaker_cable() -> None:
    # 1.5 mm2 over 2 x 5 m: 0.017241 x 10 / 1.5 = 0.1149 ohm, more than 5 % of 2 ohm.
    told = difference(FIVE_CHANNELS, "SP-F", ohm=2)
    assert (told.code, told.subject, told.figures["cable"]) == ("cable-too-thin", "front", "SC-1")
    assert told.figures["loop_ohm"] == pytest.approx(0.11494)
    assert told.figures["most_ohm"] == pytest.approx(0.1)


def test_front_speakers_of_half_the_load_get_the_rating_at_that_load() -> None:
    # 2.5 mm2 suffices (0.069 ohm). 50 W at 4 ohm, 80 W at 2 ohm, 75 W RMS: match 0.758 before, 1 after, of 5 points:
    # (50 / 75 - 0.25) / 0.55 = 0.757576 -> 3.788 points, so 1.212 more.
    found = sister(TWO_AMPLIFIERS, "SP-F", ohm=2)
    (told,) = found.differences
    assert (told.code, told.subject, told.figures["before_w"], told.figures["after_w"]) == ("power", "front", 50, 80)
    assert found.score_difference == 1212


def test_a_factory_unit_drives_nothing_below_four_ohm() -> None:
    front, rear = alerts(with_sister(INTERNAL, "SP-S", ohm=2))
    assert (front.role, rear.role) == (Role.FRONT, Role.REAR)
    told = [alert.sisters[0].differences[0] for alert in (front, rear)]
    assert [(one.code, one.subject, one.figures["least_ohm"]) for one in told] == [
        ("load-too-low", "front", 4),
        ("load-too-low", "rear", 4),
    ]


def test_eight_ohm_speakers_get_half_of_the_factory_units_power() -> None:
    front, _ = alerts(with_sister(INTERNAL, "SP-S", ohm=8))
    told = front.sisters[0].differences[0]  # 15 x 4 / 8 = 7.5 W for 50 W RMS: 0.15, below 0.25
    assert (told.code, told.figures["after_w"], told.figures["ratio"]) == ("power-too-low", 7.5, 0.15)


def test_a_better_sensitivity_is_told_in_decibels() -> None:
    told = difference(FIVE_CHANNELS, "SP-F", sensitivity_db=91.5)
    assert told.code == "louder"
    assert told.figures["by_db"] == pytest.approx(1.5)
    assert difference(FIVE_CHANNELS, "SP-F", sensitivity_db=89).code == "softer"


def test_an_amplifier_gives_each_location_its_own_power() -> None:
    # Front 4 ohm 75 W RMS, rear 4 ohm 50 W RMS: 60 W instead of 75 W each; bass as before.
    found = sister(FIVE_CHANNELS, "AM-5", w_at_4=60, w_at_2=90)
    assert [(one.code, one.subject, one.figures["before_w"], one.figures["after_w"]) for one in found.differences] == [
        ("power", "front", 75, 60),
        ("power", "rear", 75, 60),
    ]


def test_an_amplifier_with_a_higher_minimum_may_not_drive_the_load() -> None:
    told = difference(TWO_AMPLIFIERS, "AM-1", sub_min_ohm=8)
    assert (told.code, told.subject, told.figures["ohm"], told.figures["least_ohm"]) == ("load-too-low", "bass", 4, 8)


def test_an_amplifier_with_fewer_channels_or_no_sub_channel_is_refused() -> None:
    told = difference(FIVE_CHANNELS, "AM-5", channels=2)
    assert (told.code, told.figures) == ("channels", {"offered_pairs": 1, "needed_pairs": 2})
    (alone,) = sister(FIVE_CHANNELS, "AM-5", sub_w_at_4=None, sub_w_at_2=None).differences
    assert alone.code == "no-sub-channel"


def test_an_amplifiers_greater_current_is_held_against_the_power_kit() -> None:
    # 4 AWG over 4.5 + 0.5 m at 60 C carries 106 A by drop and 136 A by ampacity; its fuse is 100 A.
    told = difference(TWO_AMPLIFIERS, "AM-1", fuse_a=120)
    assert (told.code, told.figures["after_a"], told.figures["carries_a"]) == ("kit-overloaded", 120, 100)
    told = difference(TWO_AMPLIFIERS, "AM-1", fuse_a=60)
    assert (told.code, told.figures["before_a"], told.figures["after_a"]) == ("current", 30, 60)
    assert not told.forbids


def test_a_powered_subwoofers_current_is_held_against_the_power_kit() -> None:
    told = difference(POWERED, "SW-P", fuse_a=110)
    assert (told.code, told.figures["after_a"], told.figures["carries_a"]) == ("kit-overloaded", 110, 100)
    louder = sister(POWERED, "SW-P", rms_w=300)
    assert [one.code for one in louder.differences] == ["own-power", "current"]
    current = louder.differences[1].figures  # 150 and 300 W / (0.55 x 13.8 V)
    assert current["before_a"] == pytest.approx(19.763, abs=5e-4)
    assert current["after_a"] == pytest.approx(39.526, abs=5e-4)


def test_a_sister_of_another_type_is_no_like_for_like() -> None:
    told = difference(FIVE_CHANNELS, "SW-D", type=SubwooferType.ENCLOSURE)
    assert (told.code, told.forbids, told.figures) == ("other-type", True, {"before": "driver", "after": "enclosure"})


def test_a_product_without_family_or_of_another_sheet_has_no_alert() -> None:
    assert alerts(FIVE_CHANNELS) == ()
    named = FIVE_CHANNELS.with_product("AM-5", family="x").with_product("SP-F", family="x")
    assert alerts(named) == ()


def test_versions_that_stand_in_the_same_role_are_both_ordered() -> None:
    both = TWO_AMPLIFIERS.with_product("AM-1", family="x").with_product("AM-4", family="X")
    assert alerts(both) == ()


def test_speaker_cable_and_deadening_have_no_alert() -> None:
    assert alerts(with_sister(FIVE_CHANNELS, "SC-1")) == ()
    assert alerts(with_sister(FIVE_CHANNELS, "DD-1")) == ()


def test_several_sisters_are_told_in_the_order_of_the_catalogue() -> None:
    shelf = with_sister(FIVE_CHANNELS, "SW-D", ohm=4, active=False)
    more = Subwoofer(sku="SW-1", price=1, family="one family", type=SubwooferType.DRIVER, ohm=1, rms_w=250, size_mm=250)
    grown = replace(shelf, catalogue=replace(shelf.catalogue, subwoofers=(*shelf.catalogue.subwoofers, more)))
    (alert,) = alerts(grown)
    assert [(one.sku, one.offered, one.forbidden) for one in alert.sisters] == [
        (SISTER, False, False),
        ("SW-1", True, True),
    ]
