"""Every caution is said exactly where it should be, and every code has words."""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

import budgetbuild.audit
from budgetbuild.audit import audit
from budgetbuild.build import Caution, Mode, Part, Role
from budgetbuild.catalogue.kinds import Conductor, Location
from budgetbuild.report.words.cautions import caution_text
from tests.audit.handmade import FIVE_CHANNELS, INTERNAL, POWERED, SHARED_KIT, TWO_AMPLIFIERS, TWO_DRIVERS
from tests.audit.sounds import sounds
from tests.report import fixtures

if TYPE_CHECKING:
    from tests.audit.sound import Sound


def said(sound: Sound, code: str) -> list[Caution]:
    """Cautions of one code."""
    return [caution for caution in sound.audited().cautions if caution.code == code]


def strong(watt: float) -> Sound:
    """Bass of that power on 4 ohm over 1 mm2 of copper: 17 A by the table (18 AWG, 0.823 mm2), 17 A at 1,156 W."""
    amplified = TWO_AMPLIFIERS.with_product("AM-1", sub_w_at_4=watt, sub_w_at_2=None, sub_min_ohm=4.0)
    return amplified.with_product("SW-E", rms_w=watt).with_product("SC-2", mm2=1.0)


SAID: list[tuple[str, Sound, dict[str, Any]]] = [
    ("kit-fuse-above-ampacity", TWO_AMPLIFIERS.with_product("PK-A", fuse_a=137.0),
     {"fuse_a": 137.0, "ampacity_a": 136.0, "kit": "PK-A"}),
    ("alternator", FIVE_CHANNELS.with_vehicle(alternator_a=49.0),
     {"average_a": 20.0, "alternator_a": 49.0, "share_percent": 40.8163, "limit_percent": 40.0}),
    ("alternator-unknown", FIVE_CHANNELS.with_vehicle(alternator_a=None), {"average_a": 20.0}),
    ("factory-internal-assumed", INTERNAL.with_limits(factory_internal_w=18.0), {"watt": 18.0, "location": "front"}),
    ("out-of-stock", FIVE_CHANNELS.with_product("SC-1", stock=18), {"sku": "SC-1", "wanted": 19, "stock": 18}),
    ("out-of-stock", INTERNAL.with_product("SP-S", stock=1), {"sku": "SP-S", "wanted": 2, "stock": 1}),
    ("cca-kit", TWO_AMPLIFIERS, {"kit": "PK-C", "conductivity_percent": 62.9}),
    ("powered-fuse-assumed", POWERED, {"current_a": 19.7628}),
    ("amplifier-current-estimated", TWO_AMPLIFIERS, {"sku": "AM-4", "current_a": 9.058}),
    ("low-power", INTERNAL.with_product("SP-S", rms_w=30.1), {"ratio": 0.4983, "location": "front"}),
    ("high-power", FIVE_CHANNELS.with_product("SP-S", rms_w=59.9), {"ratio": 1.2521, "location": "rear"}),
    ("high-power", TWO_AMPLIFIERS.with_product("SW-E", rms_w=112.5), {"ratio": 1.3333, "location": "bass"}),
    ("thin-speaker-cable", strong(1300.0), {"cable": "SC-2", "current_a": 18.0278, "ampacity_a": 17.0}),
    ("cca-speaker-cable",
     SHARED_KIT.with_product("SC-1", conductor=Conductor.CCA).with_product("SC-2", conductor=Conductor.CCA)
     .with_limits(cca_allowed=False), {"cable": "SC-2"}),
    ("wiring-net", FIVE_CHANNELS, {"ohm": 4.0, "wiring": "coils in series"}),
    # Two pairs at 70.00 and an adapter at 11.00; both pairs rise by 10.00, for they are one product.
    ("prices-may-rise", INTERNAL.with_product("SP-S", price_high=8_000), {"products": 1, "most_cents": 17_100}),
    ("prices-may-rise", INTERNAL.with_product("SP-S", price_high=8_000).with_product("FK-A", price_high=1_101),
     {"products": 2, "most_cents": 17_101}),
]  # fmt: skip
"""A system in which a caution must be said, and its figures where it is said first."""
UNSAID: list[tuple[str, Sound]] = [
    ("measure-first", FIVE_CHANNELS),
    ("measure-first", POWERED),
    ("kit-fuse-above-ampacity", TWO_AMPLIFIERS.with_product("PK-A", fuse_a=136.0)),
    ("alternator", FIVE_CHANNELS.with_vehicle(alternator_a=50.0)),
    ("alternator", FIVE_CHANNELS.with_vehicle(alternator_a=None)),
    ("alternator", INTERNAL.with_vehicle(alternator_a=1.0)),
    ("alternator-unknown", FIVE_CHANNELS),
    ("alternator-unknown", INTERNAL.with_vehicle(alternator_a=None)),
    ("factory-internal-assumed", POWERED),
    ("factory-internal-assumed", TWO_AMPLIFIERS),
    ("out-of-stock", FIVE_CHANNELS.with_product("SC-1", stock=19)),
    ("out-of-stock", FIVE_CHANNELS),
    ("out-of-stock", FIVE_CHANNELS.with_product("SP-S", stock=1).with_product("AM-4", stock=0)),
    ("cca-kit", SHARED_KIT),
    ("heavy-box", INTERNAL),
    ("powered-fuse-assumed", POWERED.with_product("SW-P", fuse_a=20.0)),
    ("amplifier-current-estimated", FIVE_CHANNELS),
    ("over-budget", FIVE_CHANNELS),
    ("low-power", INTERNAL.with_product("SP-S", rms_w=30.0)),
    ("low-power", TWO_AMPLIFIERS.with_product("SW-E", rms_w=300.0)),
    ("high-power", TWO_AMPLIFIERS),
    ("high-power", FIVE_CHANNELS.with_product("SP-S", rms_w=60.0)),
    ("thin-speaker-cable", TWO_AMPLIFIERS),
    ("cca-speaker-cable", TWO_AMPLIFIERS.with_product("SC-2", conductor=Conductor.CCA)),
    ("cca-speaker-cable", SHARED_KIT.with_limits(cca_allowed=False)),
    ("thin-speaker-cable", strong(1156.0)),
    ("wiring-net", TWO_AMPLIFIERS),
    ("prices-may-rise", INTERNAL),
    ("prices-may-rise", INTERNAL.with_product("SP-S", price_high=7_000).with_product("AM-4", price_high=90_000)),
]
"""A system in which a caution must not be said."""


@pytest.mark.parametrize(("code", "sound", "figures"), SAID)
def test_caution_is_said_with_its_figures(code: str, sound: Sound, figures: dict[str, Any]) -> None:
    assert sound.refused() == set()
    assert said(sound, code)[0].figures == figures


@pytest.mark.parametrize(("code", "sound"), UNSAID)
def test_caution_is_not_said_without_cause(code: str, sound: Sound) -> None:
    assert sound.refused() == set()
    assert said(sound, code) == []


@pytest.mark.parametrize("sound", [FIVE_CHANNELS, TWO_AMPLIFIERS, POWERED, TWO_DRIVERS], ids=lambda sound: sound.name)
def test_whatever_stands_in_the_boot_is_called_heavy(sound: Sound) -> None:
    assert [caution.subject for caution in said(sound, "heavy-box")] == ["bass"]


def test_each_speaker_on_the_factory_unit_is_told_of_its_assumed_power() -> None:
    assert [caution.subject for caution in said(INTERNAL, "factory-internal-assumed")] == ["front", "rear"]


def _place(location: Location, **unknown: None) -> Sound:
    """A five-channel system in a vehicle of which something is unknown; without the adapter that it then needs not."""
    field = str(location)
    sound = FIVE_CHANNELS.with_vehicle(**{field: replace(getattr(FIVE_CHANNELS.vehicle, field), **unknown)})
    return sound.without(Role.REAR_ADAPTER) if location is Location.REAR and "size_mm" in unknown else sound


UNKNOWN = [
    (_place(Location.FRONT, depth_mm=None), "depth of the front speaker place", "front"),
    (_place(Location.FRONT, size_mm=None), "size of the front speaker place", "front"),
    (_place(Location.FRONT, tweeter_place=None), "tweeter place at front", "front"),
    (_place(Location.REAR, size_mm=None), "size of the rear speaker place", "rear"),
    (FIVE_CHANNELS.with_product("SP-F", depth_mm=None), "depth of the front speaker", "front"),
    (FIVE_CHANNELS.with_vehicle(boot_width_mm=None), "boot width", "boot"),
    (FIVE_CHANNELS.with_vehicle(boot_height_mm=None), "boot height", "boot"),
    (FIVE_CHANNELS.with_product("BX-1", depth_mm=None), "enclosure depth", "boot"),
    (POWERED.with_product("SW-P", height_mm=None), "enclosure height", "boot"),
    (FIVE_CHANNELS.with_vehicle(factory_digital_aerial=None), "whether the car has a digital-radio aerial", "aerial"),
    (FIVE_CHANNELS.with_vehicle(signal_run_m=None), "signal run, taken as 5.5 m", "dash to amplifier"),
    (FIVE_CHANNELS.with_vehicle(power_run_m=None), "power run, taken as 5 m", "battery to amplifier"),
    (POWERED.with_vehicle(power_run_m=None), "power run, taken as 5 m", "battery to amplifier"),
    (TWO_AMPLIFIERS.with_vehicle(bass_run_m=None), "run to the bass, taken as 1.5 m", "speaker cable"),
    (TWO_AMPLIFIERS.with_vehicle(front_run_m=None).with_limits(front_run_m=5.2), "run to the front, taken as 5.2 m",
     "speaker cable"),
]  # fmt: skip


@pytest.mark.parametrize(("sound", "what", "where"), UNKNOWN)
def test_what_is_unknown_is_to_be_measured_first(sound: Sound, what: str, where: str) -> None:
    """It is the only thing unknown, it refuses nothing, and it is said once."""
    assert sound.refused() == set()
    (caution,) = said(sound, "measure-first")
    assert caution.figures == {"what": what, "where": where}


@pytest.mark.parametrize(
    "sound",
    [
        TWO_AMPLIFIERS.with_vehicle(signal_run_m=None),
        POWERED.with_vehicle(front_run_m=None, bass_run_m=None),
        INTERNAL.with_vehicle(signal_run_m=None, power_run_m=None, front_run_m=None, rear_run_m=None),
        INTERNAL.with_vehicle(boot_width_mm=None, boot_height_mm=None, boot_depth_mm=None),
    ],
    ids=("leads from a converter", "internal and powered", "no amplifier", "nothing in the boot"),
)
def test_what_no_part_depends_on_need_not_be_measured(sound: Sound) -> None:
    assert sound.refused() == set()
    assert said(sound, "measure-first") == []


def test_a_total_between_budget_and_cap_is_said() -> None:
    """The total is 1,593.68; the budget 1,590.00 with 10.00 allowed over it."""
    sound = replace(FIVE_CHANNELS, cap=160_000)
    within = (sound.catalogue, sound.brief, sound.vehicle, sound.cap, sound.system)
    (caution,) = (c for c in audit(*within, allowed_over=1_000).cautions if c.code == "over-budget")
    assert caution.figures == {"over_cents": 368, "allowance_cents": 1_000}
    assert "over-budget" not in {c.code for c in audit(*within, allowed_over=632).cautions}


def test_the_same_caution_is_said_once() -> None:
    """Two amplifiers of a kind, equally loaded, on two kits of a kind."""
    sound = TWO_AMPLIFIERS.exchanged("AM-1", "AM-4").exchanged("PK-A", "PK-C").with_product("SW-E", rms_w=200)
    sound = sound.with_product("AM-4", w_at_4=80.0).with_drive(Location.BASS, mode=Mode.BRIDGED)
    kept = [part for part in sound.system.parts if part.sku not in {"AM-4", "PK-C"}]
    sound = sound.with_system(parts=(*kept, Part(Role.AMPLIFIER, "AM-4", 2), Part(Role.POWER_KIT, "PK-C", 2)))
    assert sound.refused() == set()
    assert len(said(sound, "cca-kit")) == 1
    assert len(said(sound, "amplifier-current-estimated")) == 1


def _codes() -> set[str]:
    """Every code that the audit can say, read from its source."""
    folder = Path(budgetbuild.audit.__file__).parent
    calls = (node for path in folder.glob("*.py") for node in ast.walk(ast.parse(path.read_text("utf-8"))))
    return {
        str(call.args[0].value)
        for call in calls
        if isinstance(call, ast.Call)
        and isinstance(call.func, ast.Attribute)
        and call.func.attr == "caution"
        and isinstance(call.args[0], ast.Constant)
    }


def test_every_code_of_the_audit_is_tested_and_has_words() -> None:
    tested = {code for code, *_ in SAID} | {"measure-first", "heavy-box", "over-budget"}
    assert _codes() == tested == set(fixtures.VOICE.sentences["cautions"])


def test_every_caution_that_is_said_can_be_put_into_words() -> None:
    told = {caution_text(caution, fixtures.VOICE) for sound in sounds() for caution in sound.audited().cautions}
    assert len(told) > 50
    assert not [text for text in told if "{" in text]
