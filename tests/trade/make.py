"""Products and vehicles for the trade tests, with only what a test is about."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any, TypeVar

from budgetbuild.catalogue.items import (
    Amplifier,
    Box,
    Deadening,
    FittingKit,
    PowerKit,
    Speaker,
    SpeakerCable,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import Conductor, KitFor, Opening, SpeakerType, SubwooferType
from budgetbuild.catalogue.shop import Place, Vehicle

Item = TypeVar("Item", Amplifier, Box, FittingKit, Place, PowerKit, Speaker, SpeakerCable, Subwoofer, Vehicle)


def with_columns(item: Item, **columns: Any) -> Item:  # noqa: ANN401 -- columns are of every kind
    """The same item with some columns changed."""
    return replace(item, **columns)


amplifier = partial(with_columns, Amplifier(sku="AMP", price=1))
"""An amplifier with nothing but what is given."""

five_channel = partial(
    with_columns,
    Amplifier(sku="FIVE", price=1, channels=4, w_at_4=75.0, w_at_2=110.0, sub_w_at_4=180.0, sub_w_at_2=300.0),
)
"""A five-channel amplifier: 4 x 75 W at 4 ohm, 4 x 110 W at 2 ohm, 300 W into 2 ohm at its sub channel."""

subwoofer = partial(
    with_columns, Subwoofer(sku="SUB", price=1, type=SubwooferType.DRIVER, ohm=4.0, rms_w=250.0, size_mm=250.0)
)
"""A 250 mm driver with one 4 ohm coil."""

box = partial(with_columns, Box(sku="BOX", price=1, cutout_mm=250.0, drivers=1, litres=30.0))
"""An empty box of 30 litres for one 250 mm driver."""

speaker = partial(
    with_columns,
    Speaker(sku="SPK", price=1, type=SpeakerType.COAXIAL, size_mm=165.0, depth_mm=60.0, ohm=4.0, rms_w=60.0),
)
"""A pair of 165 mm coaxials, 60 mm deep."""

power_kit = partial(with_columns, PowerKit(sku="KIT", price=1, conductor=Conductor.COPPER, length_m=5.0, fuse_a=80.0))
"""A copper power kit of 5 m with an 80 A fuse; its gauge is given by the test."""

speaker_cable = partial(with_columns, SpeakerCable(sku="CAB", price=1, conductor=Conductor.COPPER, metres_per_unit=1.0))
"""Copper speaker cable by the metre; its gauge is given by the test."""

fitting_kit = partial(with_columns, FittingKit(sku="FIT", price=1, fits=KitFor.HEAD_UNIT))
"""A head-unit kit that lists no vehicle yet."""

vehicle = partial(with_columns, Vehicle(name="Tern Coupe", opening=Opening.DOUBLE))
"""A vehicle of which nothing is known but a double opening."""

place = partial(with_columns, Place(size_mm=165.0, depth_mm=65.0, tweeter_place=True))
"""A speaker place: 165 mm, 65 mm deep, with a tweeter place, unless the test says otherwise."""


def deadening(sheet_m2: float) -> Deadening:
    """Sound deadening by the sheet."""
    return Deadening(sku="DEA", price=1, sheet_m2=sheet_m2)
