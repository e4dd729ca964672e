"""Version alerts in words: what a salesperson would say, figure beside unit, singular beside plural."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.build import Difference, Role, Sister, VersionAlert
from budgetbuild.catalogue.items import Aerial, Amplifier, Deadening, FittingKit, HeadUnit, PowerKit, Product, Subwoofer
from budgetbuild.catalogue.kinds import (
    AerialUse,
    Conductor,
    KitFor,
    Location,
    Opening,
    SpeakerType,
    SubwooferType,
)
from budgetbuild.report.words.told_apart import ordered_as, version_of
from budgetbuild.report.words.versions import alert_text
from tests.advice.misfits import BRIDGED, MISFITS
from tests.advice.shelf import sentence
from tests.audit.handmade import FIVE_CHANNELS, POWERED, SHARED_KIT, TWO_AMPLIFIERS, TWO_DRIVERS
from tests.report import fixtures

if TYPE_CHECKING:
    from tests.audit.sound import Sound

PARALLEL = FIVE_CHANNELS.with_product("SW-D", ohm=4).with_drive(Location.BASS, ohm=2.0, wiring="coils in parallel")

SENTENCES: list[tuple[Sound, str, dict[str, Any], str]] = [
    (FIVE_CHANNELS, "SW-D", {"ohm": 4},
     ("Order Orvane, 2 x 2 ohm (SW-D): the 2 x 4 ohm version (SISTER), with coils in parallel (2 ohm), would get 300 W "
     "instead of 200 W from the amplifier.")),
    (FIVE_CHANNELS, "SW-D", {"ohm": 8, "price": 14500},
     ("Order Orvane, 2 x 2 ohm (SW-D): the 2 x 8 ohm version (SISTER), with coils in parallel (4 ohm), would get the "
     "same 200 W from the amplifier; it is €5.00 dearer.")),
    (PARALLEL, "SW-D", {"ohm": 2},
     ("Order Orvane, 2 x 4 ohm (SW-D): the 2 x 2 ohm version (SISTER), with coils in series (4 ohm), would get 200 W "
     "instead of 300 W from the amplifier; it would, if wired as this one is, load the amplifier with 1 ohm, below its "
     "minimum of 2 ohm.")),
    (FIVE_CHANNELS, "SW-D", {"ohm": 1.5, "rms_w": 500},
     ("Order Orvane, 2 x 2 ohm (SW-D): the 2 x 1.5 ohm version (SISTER), with coils in parallel, would load the "
     "amplifier with 0.75 ohm, below its minimum of 2 ohm; with coils in series (3 ohm) it would get only 233.3 W from "
     "the amplifier: 0.47 times its RMS rating of 500 W, where at least 0.5 is asked for.")),
    (TWO_DRIVERS, "SW-D", {"ohm": 4, "rms_w": 150, "price": 13000},
     ("Order Orvane, 2 x 2 ohm (SW-D): the 2 x 4 ohm version (SISTER), with coils in series and drivers in parallel "
     "(4 ohm), would get 150 W instead of 250 W from the amplifier; it is €20.00 cheaper.")),
    (FIVE_CHANNELS, "SW-D", {"rms_w": 200},
     "Order Orvane (SW-D): its other version (SISTER) is rated 200 W RMS instead of 250 W, against the same 200 W."),
    (FIVE_CHANNELS, "SP-F", {"ohm": 2},
     ("Order Orvane, 4 ohm (SP-F) for the front: the 2 ohm version (SISTER) would need thicker speaker cable than "
     "SC-1, whose 0.115 ohm is more than the 0.1 ohm that a load of 2 ohm allows.")),
    (TWO_AMPLIFIERS, "SP-F", {"ohm": 2, "active": False},
     ("Order Orvane, 4 ohm (SP-F) for the front: the 2 ohm version (SISTER, not on offer) would get 80 W a speaker "
     "instead of 50 W from the amplifier.")),
    (FIVE_CHANNELS, "AM-5", {"w_at_4": 60},
     ("Order Orvane (AM-5): its other version (SISTER) would give each front speaker 60 W instead of 75 W; it would "
     "give each rear speaker 60 W instead of 75 W.")),
    (TWO_AMPLIFIERS, "AM-1", {"sub_min_ohm": 8},
     "Order Orvane (AM-1): its other version (SISTER) may not drive the bass: 4 ohm is below its minimum of 8 ohm."),
    (TWO_AMPLIFIERS, "AM-1", {"fuse_a": 60, "rating": 7},
     ("Order Orvane (AM-1): its other version (SISTER) would bring the current on power kit PK-A from 30 A to 60 A, "
     "within the 100 A that it carries here; it would score 0.50 points less.")),
    (POWERED, "SW-P", {"fuse_a": 110},
     ("Order Bractow (SW-P): its other version (SISTER) would bring the current on power kit PK-A to 110 A, more than "
     "the 100 A that it carries here.")),
    (TWO_AMPLIFIERS, "PK-A", {"awg": None, "mm2": 4},
     "Order PK-A, 4 AWG: the 4 mm² version (SISTER) carries 20 A here, less than the 30 A that this system draws."),
    (TWO_AMPLIFIERS, "CV-1", {"output_pairs": 1},
     ("Order Quellin, 2-pair (CV-1): the 1-pair version (SISTER) has too few outputs: 1 pair where this system takes "
     "2 pairs.")),
    (TWO_DRIVERS, "HU-2", {"internal_w": 0},
     "Order Quellin Deck (HU-2): its other version (SISTER) has no amplifier of its own to drive the front."),
    (FIVE_CHANNELS, "HU-2", {"rating": 7, "price": 19050},
     "Order Quellin Deck (HU-2): its other version (SISTER) would score 2.00 points less; it is €9.50 cheaper."),
    (FIVE_CHANNELS, "PK-B", {},
     "Order PK-B: its other version (SISTER) would serve as well by every figure here, at the same price."),
    (FIVE_CHANNELS, "PK-B", {"price": 9500, "brand": "Harbour"},
     "Order PK-B: its other version Harbour (SISTER) would serve as well by every figure here; it is €5.00 dearer."),
    (BRIDGED, "SW-E", {"ohm": 2},
     ("Order Orvane, 4 ohm (SW-E): the 2 ohm version (SISTER) would load the amplifier with 2 ohm, below its minimum "
     "of 4 ohm when bridged.")),
    (FIVE_CHANNELS, "SP-F", {"sensitivity_db": 90.01},
     ("Order Orvane (SP-F) for the front: its other version (SISTER) would serve as well by every figure here, at the "
     "same price.")),
]  # fmt: skip


@pytest.mark.parametrize(("sound", "sku", "changes", "words"), SENTENCES)
def test_an_alert_says_what_the_other_version_would_do(
    sound: Sound, sku: str, changes: dict[str, Any], words: str
) -> None:
    assert sentence(sound, sku, **changes) == words


@pytest.mark.parametrize(("sound", "sku", "changes", "code", "figures"), MISFITS)
def test_every_misfit_has_words(
    sound: Sound, sku: str, changes: dict[str, Any], code: str, figures: dict[str, Any]
) -> None:
    told = sentence(sound, sku, **changes)
    assert told.endswith("."), (code, figures)
    assert "{" not in told
    assert "  " not in told
    assert "None" not in told


def test_a_sister_that_changes_less_than_a_tenth_of_a_watt_is_told_as_no_change() -> None:
    assert "would serve as well" in sentence(FIVE_CHANNELS, "AM-5", sub_w_at_4=200.04)


def test_a_second_sister_gets_a_sentence_of_its_own() -> None:
    driver = {"type": SubwooferType.DRIVER, "rms_w": 200.0, "price": 1, "brand": "Orvane"}
    products: dict[str, Product] = {
        sku: Subwoofer(sku=sku, ohm=ohm, **driver)  # type: ignore[arg-type]
        for sku, ohm in (("A", 2.0), ("B", 4.0), ("C", 1.0))
    }
    sisters = tuple(Sister(sku, True, 0, 0, ()) for sku in ("B", "C"))  # noqa: FBT003
    assert alert_text(VersionAlert(Role.BASS, "A", sisters), products, fixtures.VOICE).replace("\u00a0", " ") == (
        "Order Orvane, 2 ohm (A): the 4 ohm version (B) would serve as well by every figure here, at the same price. "
        "The 1 ohm version (C) would serve as well by every figure here, at the same price."
    )


def test_a_difference_without_words_or_figures_is_a_defect() -> None:
    products: dict[str, Product] = {sku: Amplifier(sku=sku, price=1) for sku in ("A", "B")}

    def told(difference: Difference) -> str:
        sister = Sister("B", True, 0, None, (difference,))  # noqa: FBT003
        return alert_text(VersionAlert(Role.AMPLIFIER, "A", (sister,)), products, fixtures.VOICE)

    with pytest.raises(ValueError, match="no words for version 'unheard'"):
        told(Difference("unheard", "", {}, forbids=True))
    with pytest.raises(ValueError, match="boot lacks its figure 'reason'"):
        told(Difference("boot", "", {}, forbids=True))
    assert told(Difference("refused", "", {"rule": "Some rule", "limit": "at most 1"}, forbids=True)).endswith(
        "does not meet a rule (Some rule: at most 1)."
    )


@pytest.mark.parametrize(
    ("product", "other", "mark"),
    [
        (HeadUnit(sku="A", price=1, preout_pairs=2, opening=Opening.SINGLE),
         HeadUnit(sku="B", price=1, preout_pairs=2, opening=Opening.DOUBLE), "single size"),
        (Amplifier(sku="A", price=1, channels=0), Amplifier(sku="B", price=1, channels=4), "mono"),
        (PowerKit(sku="A", price=1, awg=4, conductor=Conductor.CCA, length_m=5, fuse_a=80),
         PowerKit(sku="B", price=1, awg=0, conductor=Conductor.COPPER, length_m=5, fuse_a=80), "4 AWG, CCA"),
        (Aerial(sku="A", price=1, use=AerialUse.FACTORY_ADAPTER), Aerial(sku="B", price=1, use=AerialUse.SCREEN_MOUNT),
         "factory-aerial"),
        (FittingKit(sku="A", price=1, fits=KitFor.SPEAKER, location=Location.REAR, size_mm=165),
         FittingKit(sku="B", price=1, fits=KitFor.SPEAKER, location=Location.REAR, size_mm=130), "165 mm"),
        (Subwoofer(sku="A", price=1, type=SubwooferType.POWERED, rms_w=100),
         Subwoofer(sku="B", price=1, type=SubwooferType.POWERED, rms_w=100, size_mm=200), ""),
        (Deadening(sku="A", price=1, sheet_m2=1), Deadening(sku="B", price=1, sheet_m2=2), ""),
    ],
)  # fmt: skip
def test_versions_are_told_apart_by_what_differs(product: Product, other: Product, mark: str) -> None:
    assert version_of(product, [other], fixtures.VOICE.notation).replace("\u00a0", " ") == mark


def test_a_name_that_says_the_version_does_not_say_it_twice() -> None:
    product = Amplifier(sku="A-2", price=1, brand="Quillon", model="Four 2 ohm")
    assert ordered_as(product, "2\u00a0ohm") == "Quillon Four 2 ohm (A-2)"
    assert ordered_as(product, "12\u00a0ohm") == "Quillon Four 2 ohm, 12\u00a0ohm (A-2)"


def test_two_devices_on_one_kit_are_told_together() -> None:
    assert sentence(SHARED_KIT, "AM-1", fuse_a=60).endswith(
        "would bring the current on power kit PK-B from 39.1 A to 69.1 A, within the 150 A that it carries here."
    )


def test_a_coaxial_version_of_a_component_set_is_named_as_such() -> None:
    assert sentence(FIVE_CHANNELS, "SP-F", type=SpeakerType.COAXIAL) == (
        "Order Orvane, component (SP-F) for the front: the coaxial version (SISTER) is a pair of coaxial speakers, "
        "not of component ones."
    )
