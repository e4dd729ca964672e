"""Invented amplifiers and subwoofers for large catalogues."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import Amplifier, Subwoofer
from budgetbuild.catalogue.kinds import AmplifierClass, SubwooferType

if TYPE_CHECKING:
    from tests.sample.scaled_draw import Draw

FUSES = (10, 15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 100, 120, 150, 175, 200)
EFFICIENCY = {AmplifierClass.AB: 0.55, AmplifierClass.D: 0.80}
SUPPLY_V = 13.8
FUSED = 0.85
"""Share of the amplifiers that state a fuse."""


def fuse(watts: float, efficiency: float) -> float:
    """The smallest usual fuse that carries the rated output, in A.

    >>> fuse(300, 0.8)
    30
    """
    current = watts / (efficiency * SUPPLY_V)
    return next((size for size in FUSES if size >= current), FUSES[-1])


def subwoofer(draw: Draw, number: int) -> Subwoofer:
    """A powered subwoofer, a loaded enclosure or a driver in turn, drivers twice."""
    return (powered, enclosure, driver, driver)[number % 4](draw, number)


def powered(draw: Draw, number: int) -> Subwoofer:
    """A powered subwoofer of 150 to 300 W."""
    watts = draw.steps(150, 300, 50)
    return Subwoofer(
        **draw.common("PW", number, watts * 1.25 * draw.spread(0.3), 270),
        type=SubwooferType.POWERED,
        rms_w=watts,
        size_mm=draw.pick((200, 250)),
        width_mm=draw.steps(330, 480, 10),
        height_mm=draw.steps(80, 380, 20),
        depth_mm=draw.steps(240, 480, 20),
        fuse_a=fuse(watts, EFFICIENCY[AmplifierClass.AB]) if draw.chance(FUSED) else None,
    )


def enclosure(draw: Draw, number: int) -> Subwoofer:
    """A loaded enclosure of 200 to 600 W at 2 or 4 ohm."""
    watts = draw.steps(200, 600, 50)
    return Subwoofer(
        **draw.common("EN", number, (60 + watts * 0.5) * draw.spread(0.35), 230),
        type=SubwooferType.ENCLOSURE,
        ohm=draw.pick((2, 4)),
        rms_w=watts,
        size_mm=draw.pick((250, 300)),
        width_mm=draw.steps(390, 480, 10),
        height_mm=draw.steps(330, 390, 10),
        depth_mm=draw.steps(290, 370, 10),
    )


def driver(draw: Draw, number: int) -> Subwoofer:
    """A bare driver with one 4 ohm coil or two of 2 or 4 ohm."""
    watts = draw.steps(200, 600, 50)
    size, least = draw.pick(((200, 8), (250, 17), (300, 27)))
    coils, ohm = draw.pick(((1, 4), (2, 2), (2, 4)))
    return Subwoofer(
        **draw.common("DR", number, (20 + watts * 0.4) * draw.spread(0.4), 170),
        type=SubwooferType.DRIVER,
        ohm=ohm,
        coils=coils,
        rms_w=watts,
        size_mm=size,
        box_litres_min=least,
        box_litres_max=round(least * 1.9),
    )


def amplifier(draw: Draw, number: int) -> Amplifier:
    """A four-, two-, five-, six-channel or mono amplifier."""
    channels, has_sub = ((4, False), (2, False), (0, True), (4, True), (4, False), (0, True), (6, False))[number % 7]
    efficient = has_sub or draw.chance(0.5)
    watts = draw.steps(35, 150, 5) if channels else 0.0
    sub = draw.steps(150, 450, 50) if has_sub else 0.0
    kind = AmplifierClass.D if efficient else AmplifierClass.AB
    fused = fuse(channels * watts + sub * 1.6, EFFICIENCY[kind])
    one_ohm = has_sub and not channels and draw.chance(0.4)
    return Amplifier(
        **draw.common("AM", number, (40 + channels * watts * 0.7 + sub * 0.5) * draw.spread(0.4), 250),
        channels=channels,
        w_at_4=watts or None,
        w_at_2=round(watts * 1.5) or None,
        min_ohm=2 if channels else None,
        bridged_w_at_4=round(watts * 3) or None,
        min_bridged_ohm=4 if channels else None,
        sub_w_at_4=sub or None,
        sub_w_at_2=round(sub * 1.6) or None,
        sub_w_at_1=round(sub * 2.2) if one_ohm else None,
        sub_min_ohm=(1 if one_ohm else 2) if has_sub else None,
        fuse_a=fused if draw.chance(FUSED) else None,
        amplifier_class=kind,
    )
