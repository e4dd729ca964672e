"""Invented catalogues of any size, made as items: few electrical values, many prices, as in a real price list."""

from __future__ import annotations

import random
from fractions import Fraction
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.kinds import HeadUnitMode, Want, Work
from budgetbuild.catalogue.kinds import Opening as Dash
from budgetbuild.catalogue.shop import Brief, Catalogue, Place, Settings, Tier, Vehicle
from tests.sample.scaled_draw import Draw
from tests.sample.scaled_electrical import amplifier, subwoofer
from tests.sample.scaled_parts import (
    SPEAKER_SIZES,
    aerial,
    box,
    converter,
    deadening,
    fitting_kit,
    head_unit,
    power_kit,
    signal_lead,
    speaker,
    speaker_cable,
)
from tests.sample.sheets import Writer
from tests.sample.tables import tables_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

Made = TypeVar("Made", bound=Product)

SHARES = {
    "head_units": 8,
    "converters": 2,
    "subwoofers": 18,
    "boxes": 5,
    "amplifiers": 16,
    "power_kits": 6,
    "signal_leads": 4,
    "speaker_cables": 3,
    "aerials": 2,
    "fitting_kits": 12,
    "deadening": 2,
}
"""Percent of the products on each sheet; speakers take the rest."""
HOURS = {
    Work.HEAD_UNIT: "1",
    Work.CONVERTER: "0.75",
    Work.FRONT: "1.5",
    Work.REAR: "1.25",
    Work.BASS: "1",
    Work.AMPLIFIER: "1.5",
    Work.DEADENING_PER_M2: "0.8",
}


def scaled_catalogue(products: int, seed: int = 1, *, vehicles: int | None = None) -> Catalogue:
    """An invented catalogue of so many products (100 or more), with vehicles, three briefs and three tiers.

    The same arguments give the same catalogue. The briefs name the first vehicle, whose every dimension is known.

    Args:
        products: How many.
        seed: Another one gives another catalogue.
        vehicles: How many; `None` = as many as such a catalogue usually has, 8 to 200.
    """
    draw = Draw(random.Random(seed), brands=min(60, 8 + products // 100))  # noqa: S311 - no secret is made here
    counts = {sheet: products * share // 100 for sheet, share in SHARES.items()}
    usual = min(200, 8 + counts["fitting_kits"] // 30)
    fleet = tuple(_vehicle(draw, number) for number in range(vehicles or usual))
    names = [vehicle.name for vehicle in fleet]

    def many(count: int, make: Callable[[Draw, int], Made]) -> tuple[Made, ...]:
        return tuple(make(draw, number) for number in range(count))

    return Catalogue(
        name=f"scaled-{products}-{seed}",
        head_units=many(counts["head_units"], head_unit),
        converters=many(counts["converters"], converter),
        speakers=many(products - sum(counts.values()), speaker),
        subwoofers=many(counts["subwoofers"], subwoofer),
        boxes=many(counts["boxes"], box),
        amplifiers=many(counts["amplifiers"], amplifier),
        power_kits=many(counts["power_kits"], power_kit),
        signal_leads=many(counts["signal_leads"], signal_lead),
        speaker_cables=many(counts["speaker_cables"], speaker_cable),
        aerials=many(counts["aerials"], aerial),
        fitting_kits=many(counts["fitting_kits"], lambda draw, number: fitting_kit(draw, number, names)),
        deadening=many(counts["deadening"], deadening),
        labour_hours={work: Fraction(hours) for work, hours in HOURS.items()},
        vehicles=fleet,
        briefs=_briefs(names[0]),
        tiers=tuple(Tier(name=str(budget), budget=budget * 100) for budget in (650, 1300, 2600)),
        settings=Settings(
            shop_name="A large invented shop", tax_rate=Fraction(21, 100), labour_rate=6500, date="2026-11-02"
        ),
    )


def _vehicle(draw: Draw, number: int) -> Vehicle:
    """A vehicle; about one dimension in ten is unknown, none of the first vehicle's."""
    known = number == 0

    def some(value: float) -> float | None:
        return value if known or draw.chance(0.9) else None

    front, rear = (165, 130) if known else (draw.pick(SPEAKER_SIZES), draw.pick(SPEAKER_SIZES))
    return Vehicle(
        name=f"Vehicle {number + 1:03d}",
        opening=Dash.DOUBLE if known else draw.pick((Dash.SINGLE, Dash.DOUBLE, Dash.DOUBLE, Dash.NONE)),
        factory_digital_aerial=known or draw.chance(0.5),
        front=Place(size_mm=some(front), depth_mm=some(draw.steps(60, 75, 1)), tweeter_place=known or draw.chance(0.7)),
        rear=Place(size_mm=some(rear), depth_mm=some(draw.steps(54, 62, 1)), tweeter_place=known or draw.chance(0.2)),
        boot_width_mm=some(draw.steps(850, 1150, 10)),
        boot_height_mm=some(draw.steps(420, 560, 10)),
        boot_depth_mm=some(draw.steps(550, 1000, 10)),
        alternator_a=some(draw.steps(90, 180, 10)),
        signal_run_m=some(draw.steps(4, 5.4, 0.1)),
        power_run_m=some(draw.steps(4, 5, 0.1)),
        front_run_m=some(draw.steps(4.4, 5.6, 0.1)),
        rear_run_m=some(draw.steps(2.4, 3.6, 0.1)),
        bass_run_m=some(draw.steps(1, 2, 0.1)),
        door_m2=some(draw.steps(1, 2.2, 0.1)),
    )


def _briefs(vehicle: str) -> tuple[Brief, ...]:
    """The three ways of keeping or replacing the head unit."""
    return (
        Brief(name="Replace everything", vehicle=vehicle, head_unit=HeadUnitMode.REPLACE, rear=Want.REQUIRED),
        Brief(name="Keep the factory head unit", vehicle=vehicle, head_unit=HeadUnitMode.KEEP_FACTORY),
        Brief(
            name="Keep own head unit",
            vehicle=vehicle,
            head_unit=HeadUnitMode.KEEP_OWN,
            own_preout_pairs=3,
            own_internal_w=20,
        ),
    )


def write_workbook(catalogue: Catalogue, path: Path) -> None:
    """Write any catalogue as a workbook that the reader can read; whole cents, and shares with a short decimal form."""
    writer = Writer(path)
    writer.sheets(tables_of(catalogue))
    writer.book.close()
