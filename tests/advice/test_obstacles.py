"""Version alerts of fit, signal, power kit, brief, price: each sister changed in one thing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.advice.differences import least_load
from budgetbuild.build import Mode, Part, Role
from budgetbuild.catalogue.items import Amplifier, Product
from budgetbuild.catalogue.kinds import AerialUse, Location, OneBrand, SpeakerType
from budgetbuild.report.words.versions import alert_text
from budgetbuild.trade.amplifiers import section_power
from tests.advice.misfits import BRIDGED, MISFITS
from tests.advice.shelf import SISTER, alerts, difference, sister
from tests.audit.handmade import FIVE_CHANNELS, HANDMADE, SHARED_KIT, TWO_AMPLIFIERS, TWO_DRIVERS
from tests.audit.shop import SHOP
from tests.audit.sounds import random_sound
from tests.report import fixtures

if TYPE_CHECKING:
    from tests.audit.sound import Sound

AMPLIFIERS = (
    *SHOP.amplifiers,
    Amplifier(sku="4 only", price=1, channels=2, w_at_4=50, bridged_w_at_4=150, min_bridged_ohm=4),
    Amplifier(sku="3 at least", price=1, channels=2, w_at_4=50, w_at_2=80, min_ohm=3),
    Amplifier(sku="bridged from 6", price=1, channels=2, w_at_4=50, w_at_2=80, min_bridged_ohm=6),
    Amplifier(sku="mono", price=1, sub_w_at_4=100, sub_w_at_2=180, sub_w_at_1=300, sub_min_ohm=1.5),
)


@pytest.mark.parametrize(("sound", "sku", "changes", "code", "figures"), MISFITS)
def test_a_sister_that_does_not_fit_is_refused_with_the_figures(
    sound: Sound, sku: str, changes: dict[str, Any], code: str, figures: dict[str, Any]
) -> None:
    assert not sound.refused()
    told = difference(sound, sku, **changes)
    assert (told.code, told.forbids, told.figures) == (code, True, figures)


def test_an_aerial_of_the_other_kind_is_refused() -> None:
    told = difference(TWO_DRIVERS, "AE-S", use=AerialUse.FACTORY_ADAPTER)
    assert (told.code, told.figures) == ("wrong-aerial", {"needed": "screen-mount"})


def test_a_head_unit_with_digital_radio_needs_an_aerial_that_the_build_lacks() -> None:
    plain = TWO_DRIVERS.with_product("HU-2", digital_radio=False).without(Role.AERIAL)
    assert difference(plain, "HU-2", digital_radio=True).code == "needs-aerial"


def test_a_head_units_own_amplifier_gives_the_front_another_power() -> None:
    told = difference(TWO_DRIVERS, "HU-2", internal_w=25)
    assert (told.code, told.subject, told.figures["before_w"], told.figures["after_w"]) == ("power", "front", 20, 25)
    told = difference(TWO_DRIVERS, "HU-2", internal_w=0)
    assert (told.code, told.forbids) == ("no-internal-power", True)


def test_a_thinner_power_kit_carries_less_than_is_drawn() -> None:
    # 4 mm2 over 5 m at 60 C: 0.017241 x (1 + 0.00393 x 40) x 5 / 4 = 0.024939 ohm; 0.5 V / that = 20.05 A; drawn: 30 A.
    told = difference(TWO_AMPLIFIERS, "PK-A", awg=None, mm2=4)
    assert (told.code, told.forbids, told.figures["after_a"]) == ("kit-overloaded", True, 30)
    assert told.figures["carries_a"] == pytest.approx(20.05, abs=5e-3)


def test_two_devices_on_one_kit_are_told_with_their_sum() -> None:
    # AM-4 without a fuse: 2 x 50 W / (0.8 x 13.8 V) = 9.058 A, and 30 A of AM-1; AM-1's sister is fused at 60 A.
    told = difference(SHARED_KIT, "AM-1", fuse_a=60).figures
    assert told["before_a"] == pytest.approx(39.058, abs=5e-4)
    assert told["after_a"] == pytest.approx(69.058, abs=5e-4)


def test_the_brief_may_rule_a_sister_out() -> None:
    barred = TWO_AMPLIFIERS.with_brief(leave_out=(SISTER.lower(),))
    assert difference(barred, "AM-1").code == "left-out"
    asked = TWO_AMPLIFIERS.with_brief(must_include=("AM-1",))
    assert difference(asked, "AM-1").figures == {"term": "AM-1"}
    assert TWO_DRIVERS.brief.one_brand is OneBrand.MUST
    assert difference(TWO_DRIVERS, "AM-1", brand="Tessmar").code == "brand"


def test_a_lead_with_more_channels_is_no_fault_of_its_own() -> None:
    leads = TWO_AMPLIFIERS.with_product("SL-K", channels=2).with_quantity(Part(Role.SIGNAL_LEAD, "SL-K"), 2)
    assert not leads.refused()
    assert sister(leads, "SL-K", channels=4).differences == ()


def test_price_and_points_are_those_of_the_whole_build() -> None:
    # Source: 20 points x 0.8 before, x 0.7 after.
    found = sister(FIVE_CHANNELS, "HU-2", rating=7, price=19050)
    assert (found.differences, found.price_difference, found.score_difference) == ((), -950, -2000)


def test_what_a_sister_leaves_unsaid_is_to_be_measured_first() -> None:
    told = difference(FIVE_CHANNELS, "SP-F", depth_mm=None)
    assert (told.code, told.forbids, told.figures) == ("measure-first", False, {"what": "depth of the front speaker"})


def test_a_coaxial_set_that_fits_is_told_as_such() -> None:
    told = difference(FIVE_CHANNELS, "SP-F", type=SpeakerType.COAXIAL)
    assert (told.code, told.figures) == ("other-speaker-type", {"before": "component", "after": "coaxial"})


def test_a_load_between_bridged_ratings_is_told_as_not_rated() -> None:
    # Bridged it is rated at 4 ohm and, each half seeing 4 ohm of its own, from 8 ohm up: not at 6 ohm.
    sound = BRIDGED.with_product("AM-4", w_at_2=None, min_ohm=None, min_bridged_ohm=4)
    assert not sound.refused()
    told = difference(sound, "SW-E", ohm=6)
    assert (told.code, told.forbids, told.figures["ohm"], told.figures["mode"]) == (
        "load-not-rated",
        True,
        6,
        "bridged",
    )


@pytest.mark.parametrize("mode", list(Mode))
@pytest.mark.parametrize("amplifier", AMPLIFIERS, ids=lambda amplifier: amplifier.sku)
def test_the_least_load_is_allowed_and_none_below_it(amplifier: Amplifier, mode: Mode) -> None:
    loads = [quarter / 4 for quarter in range(1, 65)]
    allowed = [ohm for ohm in loads if section_power(amplifier, mode, ohm) is not None]
    assert least_load(amplifier, mode) == (min(allowed) if allowed else None)


@pytest.mark.parametrize("sound", HANDMADE, ids=lambda sound: sound.name)
def test_a_sister_is_forbidden_exactly_where_the_audit_refuses_it(sound: Sound) -> None:
    """Every product of the shop as a sister of every other one of its sheet."""
    assert check_all(sound) > 0


def test_so_is_it_in_the_best_systems_of_random_shops() -> None:
    assert sum(check_all(sound) for sound in map(random_sound, range(12)) if sound) > 100


def check_all(sound: Sound) -> int:
    """Hold every sister against the audit, and its words against holes; returns how many there were."""
    told = 0
    sound = replace(sound, cap=None)  # a dearer sister may still do its work
    products = {product.sku: product for product in sound.catalogue.products()}
    for kind in {type(product) for product in products.values()}:
        for alert in alerts(related(sound, kind)):
            words = alert_text(alert, products, fixtures.VOICE)
            assert not any(hole in words for hole in ("{", "None", "  ", "with ,")), words
            for found in alert.sisters:
                refused = other_rules(sound, alert.role, alert.sku, found.sku)
                assert found.forbidden is bool(refused), (alert.sku, found.sku, refused)
                told += 1
    return told


NOT_OF_THE_CAR = {
    "No signal lead too many",
    "Every part is an active product of the right sheet, in whole pieces",
}
"""What a sister may fail and still do its work."""


def related(sound: Sound, kind: type[Product]) -> Sound:
    """All products of a sheet made versions of one."""
    for product in sound.catalogue.products():
        if isinstance(product, kind):
            sound = sound.with_product(product.sku, family="all")
    return sound


def other_rules(sound: Sound, role: Role, old: str, new: str) -> set[str]:
    """What the audit refuses with another SKU in a role, at the kindest of the loads 0.5 to 16 ohm."""
    parts = tuple(replace(p, sku=new) if p.role is role and p.sku == old else p for p in sound.system.parts)
    system = replace(
        sound.system,
        parts=parts,
        amplifiers=tuple(new if sku == old else sku for sku in sound.system.amplifiers),
        feeds=tuple(replace(feed, sku=new) if feed.sku == old else feed for feed in sound.system.feeds),
    )
    tried = [replace(sound, system=system)]
    if role in (Role.FRONT, Role.REAR, Role.BASS):
        tried = [
            tried[0].with_drive(Location(role.value), ohm=ohm, wiring="") for ohm in (1.0, 2.0, 4.0, 8.0, 16.0, None)
        ]
    return min((one.refused() - NOT_OF_THE_CAR for one in tried), key=len)
