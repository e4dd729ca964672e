"""Fit: openings, speaker places, adapters, kits, boot, box, aerial; all common practice but the single opening."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.kinds import AerialUse, KitFor, Location, Opening, SpeakerType, SubwooferType
from budgetbuild.catalogue.limits import Limits
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.shop import Place
from budgetbuild.trade.fit import (
    Fit,
    adapter_fits,
    adapter_needed,
    aerial_use,
    boot_fits,
    box_takes,
    kit_fits,
    kit_names,
    opening_takes,
    place,
    size_unknown,
    speaker_fits,
)
from tests.trade.make import box, fitting_kit, speaker, subwoofer, vehicle
from tests.trade.make import place as speaker_place
from tests.trade.published import value

FRONT, REAR, BASS = Location
SINGLE, DOUBLE, FLOATING, NONE = Opening
LIMITS = Limits()
BOOT = {"boot_width_mm": 1000.0, "boot_height_mm": 450.0, "boot_depth_mm": 700.0}
SIDE = st.one_of(st.none(), st.floats(100, 1500))


@pytest.mark.parametrize(
    ("opening", "units"),
    [
        (SINGLE, {SINGLE, FLOATING}),
        (DOUBLE, {SINGLE, DOUBLE, FLOATING}),
        (NONE, set()),
    ],
)
def test_an_opening_takes_just_the_units_that_fit_it(opening: Opening, units: set[Opening]) -> None:
    assert {unit for unit in Opening if opening_takes(opening, unit)} == units


def test_the_single_panel_goes_through_its_own_opening_and_the_double_one() -> None:
    # ISO 7736: 180 x 50 mm panel, 182 x 52 mm opening. Weak: the millimetres come from secondary pages, and the
    # double size (100 mm high) is practice, not in that standard.
    panel = value("loads", "L0044"), value("loads", "L0045")
    opening = value("loads", "L0047"), value("loads", "L0048")
    assert all(outside < inside for outside, inside in zip(panel, opening, strict=True))
    double_height = value("loads", "L0046")
    assert opening_takes(DOUBLE, SINGLE) is (panel[1] <= double_height)
    assert opening_takes(SINGLE, DOUBLE) is (double_height <= opening[1])


def test_front_and_rear_have_their_own_places_and_bass_has_none() -> None:
    car = vehicle(front=speaker_place(size_mm=165.0), rear=speaker_place(size_mm=130.0))
    assert place(car, FRONT).size_mm == 165
    assert place(car, REAR).size_mm == 130
    with pytest.raises(ValueError, match=r"^bass has no speaker place$"):
        place(car, BASS)


def test_a_speaker_no_deeper_than_its_place_fits() -> None:
    car = vehicle(front=speaker_place(depth_mm=65.0))
    assert speaker_fits(speaker(depth_mm=65.0), car, FRONT) == Fit(allowed=True)
    deep = speaker_fits(speaker(depth_mm=65.5), car, FRONT)
    assert deep == Fit(allowed=False, reason="speaker depth 65.5 mm, front place 65 mm")


def test_unknown_depths_ask_for_a_measurement_and_refuse_nothing() -> None:
    assert speaker_fits(speaker(), vehicle(), REAR) == Fit(allowed=True, unknown=("depth of the rear speaker place",))
    assert speaker_fits(speaker(depth_mm=None), vehicle(front=speaker_place()), FRONT) == Fit(
        allowed=True, unknown=("depth of the front speaker",)
    )


def test_a_component_set_needs_a_tweeter_place_and_a_coaxial_does_not() -> None:
    component = speaker(type=SpeakerType.COMPONENT)
    without = vehicle(front=speaker_place(tweeter_place=False))
    assert not speaker_fits(component, without, FRONT).allowed
    assert "tweeter place" in speaker_fits(component, without, FRONT).reason
    assert speaker_fits(speaker(), without, FRONT).allowed
    assert speaker_fits(component, vehicle(front=speaker_place()), FRONT) == Fit(allowed=True)


def test_an_unknown_tweeter_place_is_to_be_looked_at_first() -> None:
    unsure = vehicle(front=speaker_place(tweeter_place=None))
    fit = speaker_fits(speaker(type=SpeakerType.COMPONENT), unsure, FRONT)
    assert fit == Fit(allowed=True, unknown=("tweeter place at front",))


def test_what_is_unknown_is_still_said_where_something_else_refuses() -> None:
    car = vehicle(front=Place(size_mm=165.0, tweeter_place=False))
    fit = speaker_fits(speaker(type=SpeakerType.COMPONENT), car, FRONT)
    assert not fit.allowed
    assert fit.unknown == ("depth of the front speaker place",)


def test_another_size_than_the_vehicles_needs_an_adapter() -> None:
    car = vehicle(front=speaker_place(size_mm=165.0))
    assert not adapter_needed(speaker(size_mm=165.0), car, FRONT)
    assert adapter_needed(speaker(size_mm=130.0), car, FRONT)


def test_an_unknown_size_needs_no_adapter_but_a_measurement() -> None:
    assert not adapter_needed(speaker(), vehicle(), FRONT)
    assert size_unknown(vehicle(), FRONT)
    assert not size_unknown(vehicle(front=speaker_place()), FRONT)


def test_an_adapter_fits_one_size_at_one_location_of_its_vehicles() -> None:
    car = vehicle(front=speaker_place(size_mm=165.0))
    kit = fitting_kit(fits=KitFor.SPEAKER, location=FRONT, size_mm=130.0, vehicles=(fold("tern coupe"),))
    assert adapter_fits(kit, speaker(size_mm=130.0), car, FRONT)
    assert not adapter_fits(kit, speaker(size_mm=100.0), car, FRONT)
    assert not adapter_fits(kit, speaker(size_mm=130.0), car, REAR)
    assert not adapter_fits(kit, speaker(size_mm=130.0), vehicle(name="Plover Van"), FRONT)


def test_a_kit_for_something_else_adapts_no_speaker() -> None:
    kit = fitting_kit(any_vehicle=True, location=FRONT, size_mm=130.0)
    assert not adapter_fits(kit, speaker(size_mm=130.0), vehicle(), FRONT)


def test_a_kit_fits_the_vehicles_it_lists_whatever_the_spelling() -> None:
    kit = fitting_kit(vehicles=(fold("  TERN   coupe"),))
    assert kit_names(kit, vehicle())
    assert kit_fits(kit, vehicle())
    assert not kit_fits(kit, vehicle(name="Tern"))


def test_a_kit_for_any_vehicle_fits_all_and_names_none() -> None:
    kit = fitting_kit(any_vehicle=True)
    assert kit_fits(kit, vehicle())
    assert not kit_names(kit, vehicle())


@pytest.mark.parametrize(
    ("width", "height", "depth", "allowed"),
    [
        (990.0, 440.0, 690.0, True),
        (690.0, 440.0, 990.0, True),
        (991.0, 440.0, 690.0, False),
        (690.0, 441.0, 400.0, False),
        (720.0, 300.0, 720.0, False),
        (440.0, 690.0, 400.0, False),
    ],
)
def test_an_enclosure_goes_in_either_way_round_with_room_to_spare(
    width: float, height: float, depth: float, *, allowed: bool
) -> None:
    fit = boot_fits(width, height, depth, vehicle(**BOOT), LIMITS)
    assert fit.allowed is allowed
    assert fit.unknown == ()
    assert bool(fit.reason) is not allowed


def test_the_reason_for_refusal_says_both_figures() -> None:
    high = boot_fits(500.0, 460.0, 400.0, vehicle(**BOOT), LIMITS)
    assert high.reason == "height 460 mm and 10 mm to spare, boot 450 mm"
    wide = boot_fits(1200.0, 300.0, None, vehicle(**BOOT), LIMITS)
    assert wide.reason == "width x depth 1200 x unknown mm and 10 mm to spare, boot 1000 x 700 mm"
    large = boot_fits(1200.0, 300.0, 900.0, vehicle(**BOOT), LIMITS)
    assert large.reason == "width x depth 1200 x 900 mm and 10 mm to spare, boot 1000 x 700 mm"


def test_unknown_boot_dimensions_ask_for_a_measurement() -> None:
    fit = boot_fits(500.0, 300.0, 400.0, vehicle(), LIMITS)
    assert fit == Fit(allowed=True, unknown=("boot width", "boot height", "boot depth"))


def test_unknown_enclosure_dimensions_ask_for_a_measurement() -> None:
    fit = boot_fits(None, None, None, vehicle(**BOOT), LIMITS)
    assert fit == Fit(allowed=True, unknown=("enclosure width", "enclosure height", "enclosure depth"))


def test_a_known_side_that_goes_in_no_way_round_is_refused_though_the_other_is_unknown() -> None:
    assert not boot_fits(1200.0, 300.0, None, vehicle(**BOOT), LIMITS).allowed
    assert boot_fits(800.0, 300.0, None, vehicle(**BOOT), LIMITS).allowed


@given(width=SIDE, height=SIDE, depth=SIDE, boot=st.tuples(SIDE, SIDE, SIDE))
def test_turning_an_enclosure_changes_nothing_and_forgetting_a_side_never_refuses(
    width: float | None, height: float | None, depth: float | None, boot: tuple[float | None, ...]
) -> None:
    car = vehicle(boot_width_mm=boot[0], boot_height_mm=boot[1], boot_depth_mm=boot[2])
    allowed = boot_fits(width, height, depth, car, LIMITS).allowed
    assert boot_fits(depth, height, width, car, LIMITS).allowed is allowed
    if allowed:
        assert boot_fits(None, height, depth, car, LIMITS).allowed
        assert boot_fits(width, None, depth, car, LIMITS).allowed


@pytest.mark.parametrize(
    ("litres", "drivers", "fits"),
    [
        (25.0, 1, True),
        (35.0, 1, True),
        (24.9, 1, False),
        (35.1, 1, False),
        (60.0, 2, True),
        (80.0, 2, False),
    ],
)
def test_a_box_takes_a_driver_by_its_litres_for_each(litres: float, drivers: int, *, fits: bool) -> None:
    driver = subwoofer(box_litres_min=25.0, box_litres_max=35.0)
    assert box_takes(box(litres=litres, drivers=drivers), driver) is fits


def test_a_blank_bound_does_not_bind() -> None:
    assert box_takes(box(litres=300.0), subwoofer(box_litres_min=25.0))
    assert box_takes(box(litres=1.0), subwoofer(box_litres_max=35.0))
    assert box_takes(box(), subwoofer())


def test_a_box_takes_only_drivers_of_its_own_cut_out() -> None:
    assert not box_takes(box(cutout_mm=300.0), subwoofer(size_mm=250.0))
    assert not box_takes(box(), subwoofer(size_mm=None))
    assert not box_takes(box(), subwoofer(type=SubwooferType.ENCLOSURE))


def test_digital_radio_uses_the_factory_aerial_where_there_is_one() -> None:
    assert aerial_use(vehicle(factory_digital_aerial=True)) is AerialUse.FACTORY_ADAPTER
    assert aerial_use(vehicle()) is AerialUse.SCREEN_MOUNT
