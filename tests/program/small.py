"""Catalogues of a handful of products, so small that the best build of each can be worked out by hand.

The customer keeps an own head unit unless a test says otherwise, so nothing is bought that a test is not about.
Front takes 165 mm and rear 130 mm without any adapter on sale, so a speaker can go to one place only.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar
from unittest.mock import patch

from budgetbuild.catalogue.items import (
    Aerial,
    Amplifier,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    PowerKit,
    Product,
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
    Opening,
    SpeakerType,
    SubwooferType,
    Want,
)
from budgetbuild.catalogue.shop import Brief, Catalogue, Place, Tier, Vehicle
from budgetbuild.program import solve
from budgetbuild.program.candidates import candidates
from budgetbuild.program.constraints import CONSTRAINTS, Row
from budgetbuild.program.layout import lay_out
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import Program, formulate
from budgetbuild.program.solve import Proposal, best
from budgetbuild.program.solver import Clock, Solver

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.build import System
    from budgetbuild.program.weighing import Weighing

Item = TypeVar("Item", bound=Product | Vehicle | Brief)

SHEETS: dict[type[Product], str] = {
    HeadUnit: "head_units",
    Converter: "converters",
    Speaker: "speakers",
    Subwoofer: "subwoofers",
    Box: "boxes",
    Amplifier: "amplifiers",
    PowerKit: "power_kits",
    SignalLead: "signal_leads",
    SpeakerCable: "speaker_cables",
    Aerial: "aerials",
    FittingKit: "fitting_kits",
    Deadening: "deadening",
}
"""Where each kind of product stands in a catalogue."""

PLENTY = 10_000_00
"""A cap in cents that never binds here."""


def stock(*products: Product, vehicle: Vehicle | None = None, **columns: Any) -> Catalogue:  # noqa: ANN401 - any column
    """A catalogue of these products, for one vehicle."""
    sheets: dict[str, Any] = dict.fromkeys(SHEETS.values(), ())
    for product in products:
        sheets[SHEETS[type(product)]] += (product,)
    return Catalogue(vehicles=(vehicle or car(),), **sheets, **columns)


def _of(item: Item) -> Callable[..., Item]:
    """A builder: the same item with some columns changed."""
    return partial(replace, item)


car = _of(
    Vehicle(
        name="Marl Estate",
        opening=Opening.DOUBLE,
        front=Place(size_mm=165.0, depth_mm=70.0, tweeter_place=True),
        rear=Place(size_mm=130.0, depth_mm=70.0, tweeter_place=True),
        boot_width_mm=1000.0,
        boot_height_mm=500.0,
        boot_depth_mm=800.0,
        signal_run_m=5.0,
        power_run_m=4.0,
        front_run_m=5.0,
        rear_run_m=3.0,
        bass_run_m=1.0,
        door_m2=1.6,
    )
)
"""A vehicle whose every dimension is known."""

wants = _of(
    Brief(
        name="brief",
        vehicle="Marl Estate",
        head_unit=HeadUnitMode.KEEP_OWN,
        own_preout_pairs=3,
        own_internal_w=0.0,
        front=Want.OPTIONAL,
        rear=Want.OPTIONAL,
        bass=Want.OPTIONAL,
        amplifier=Want.OPTIONAL,
        deadening=Want.OPTIONAL,
    )
)
"""A brief that asks for nothing in particular; the own unit has 3 pairs and no internal amplifier."""

head_unit = _of(HeadUnit(sku="H", price=100_00, rating=5.0, preout_pairs=3, internal_w=20.0, opening=Opening.DOUBLE))
"""A head unit at 100: 10 points."""
fascia = _of(FittingKit(sku="X", price=10_00, fits=KitFor.HEAD_UNIT, any_vehicle=True))
"""The head unit's fitting kit at 10."""
converter = _of(Converter(sku="V", price=50_00, rating=5.0, output_pairs=3))
"""A converter at 50: 6 points."""
aerial = _of(Aerial(sku="E", price=20_00, use=AerialUse.SCREEN_MOUNT))
"""An aerial for the screen at 20; the vehicle has none of its own."""
front = _of(
    Speaker(
        sku="F", price=100_00, rating=6.0, type=SpeakerType.COAXIAL, size_mm=165.0, depth_mm=60.0, ohm=4.0, rms_w=60.0
    )
)
"""Front speakers at 100: 15 points; 4 ohm, 60 W."""
rear = _of(
    Speaker(
        sku="R", price=80_00, rating=5.0, type=SpeakerType.COAXIAL, size_mm=130.0, depth_mm=60.0, ohm=4.0, rms_w=60.0
    )
)
"""Rear speakers at 80: 4 points; 4 ohm, 60 W."""
enclosure = _of(Subwoofer(sku="B", price=150_00, rating=5.0, type=SubwooferType.ENCLOSURE, ohm=4.0, rms_w=120.0))
"""A loaded enclosure at 150: 10 points; 4 ohm, 120 W, of unknown size."""
powered = _of(Subwoofer(sku="P", price=200_00, rating=5.0, type=SubwooferType.POWERED, rms_w=120.0, fuse_a=15.0))
"""A powered subwoofer at 200: 10 + 2.5 + 4 points; 15 A."""
driver = _of(
    Subwoofer(sku="S", price=90_00, rating=5.0, type=SubwooferType.DRIVER, ohm=4.0, rms_w=120.0, size_mm=250.0)
)
"""A driver at 90 with one 4 ohm coil: 10 points; 120 W."""
box = _of(Box(sku="O", price=60_00, cutout_mm=250.0, drivers=1, litres=30.0))
"""An empty box at 60 for one driver, of unknown size."""
stereo = _of(
    Amplifier(
        sku="A",
        price=120_00,
        rating=5.0,
        channels=2,
        w_at_4=60.0,
        min_ohm=4.0,
        bridged_w_at_4=120.0,
        min_bridged_ohm=4.0,
        fuse_a=20.0,
    )
)
"""Two channels at 120: 2 x 60 W or 1 x 120 W into 4 ohm, so the match is full everywhere; 20 A."""
power_kit = _of(
    PowerKit(sku="K", price=40_00, mm2=20.0, conductor=Conductor.COPPER, length_m=5.0, fuse_a=60.0, amplifiers_fed=1)
)
"""A power kit at 40 for one device: 60 A by its fuse (its copper would carry 102 A, and 111 A by the drop)."""
lead = _of(SignalLead(sku="L", price=30_00, channels=6, length_m=5.5))
"""A six-channel lead at 30, enough for three pairs."""
cable = _of(SpeakerCable(sku="C", price=20_00, mm2=2.5, conductor=Conductor.COPPER, metres_per_unit=25.0))
"""A 25 m reel of speaker cable at 20: all three locations need 18.7 m, and lose 0.07 ohm in 5 m."""
sheet = _of(Deadening(sku="D", price=50_00, rating=5.0, sheet_m2=1.6))
"""One sheet of deadening at 50 that covers all there is to treat: 2.5 points."""


def program_of(catalogue: Catalogue, brief: Brief, weighing: Weighing | None = None) -> Program:
    """The whole program."""
    return formulate(candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle), weighing=weighing)))


def answer(catalogue: Catalogue, brief: Brief, cap: int = PLENTY, weighing: Weighing | None = None) -> Proposal:
    """What the whole program proposes."""
    return best(program_of(catalogue, brief, weighing), cap, Solver(), Clock())


def answer_without(
    constraint: str, catalogue: Catalogue, brief: Brief, cap: int = PLENTY, weighing: Weighing | None = None
) -> Proposal:
    """What the program proposes once one constraint is dropped, by the name of its function."""
    layout = lay_out(candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle), weighing=weighing)))
    kept = [each for each in CONSTRAINTS if each.__name__ != constraint]
    program = Program(tuple(layout.columns), tuple(row for each in kept for row in each(layout)), layout)
    if constraint != "budget_cap":
        return best(program, cap, Solver(), Clock())
    with patch.object(solve, "budget_cap", return_value=Row("budget_cap", [])):
        return best(program, cap, Solver(), Clock())


def skus(system: System | None) -> tuple[str, ...]:
    """SKUs of a system, each repeated by its quantity, sorted."""
    parts = () if system is None else system.parts
    return tuple(sorted(part.sku for part in parts for _ in range(part.quantity)))


def tier(cap: int) -> Tier:
    """A tier of exactly that cap."""
    return Tier(name="tier", budget=cap, allowance=Fraction(0))
