"""Invented sources, speakers and accessories for large catalogues."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import (
    Aerial,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    PowerKit,
    SignalLead,
    Speaker,
    SpeakerCable,
)
from budgetbuild.catalogue.kinds import AerialUse, Conductor, KitFor, Location, Opening, SpeakerType
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.sample.scaled_draw import Draw

SPEAKER_SIZES = (165, 130, 100, 200)
CHASSIS = (Opening.SINGLE, Opening.DOUBLE, Opening.FLOATING)
POWER_CABLES = ((10, 20, 22), (8, 40, 32), (4, 80, 60), (2, 100, 90), (0, 150, 130))
"""AWG, fuse in A, usual price in euro."""


def head_unit(draw: Draw, number: int) -> HeadUnit:
    """A source; the more it costs, the more pre-outs."""
    euros = 240 * draw.spread(0.5)
    return HeadUnit(
        **draw.common("HU", number, euros, 240),
        preout_pairs=3 if euros > 230 else draw.pick((1, 1, 2, 3)),
        internal_w=draw.steps(17, 22, 1),
        opening=CHASSIS[number % 3],
        digital_radio=draw.chance(0.6),
    )


def converter(draw: Draw, number: int) -> Converter:
    """A line-output converter."""
    pairs = 1 + number % 3
    return Converter(**draw.common("LC", number, (25 + 25 * pairs) * draw.spread(0.4), 75), output_pairs=pairs)


def speaker(draw: Draw, number: int) -> Speaker:
    """A pair of speakers; larger ones take more power and more depth."""
    size = SPEAKER_SIZES[(number * 7 % 10) // 3 if number % 10 else 0]
    rms = min(150.0, max(20.0, 5 * round(size * 0.08 * draw.spread(0.4)) + draw.pick((0, 5, 10))))
    component = draw.chance(0.45)
    return Speaker(
        **draw.common("SP", number, (30 + rms * (1.9 if component else 1.2)) * draw.spread(0.35), 110),
        type=SpeakerType.COMPONENT if component else SpeakerType.COAXIAL,
        size_mm=size,
        depth_mm=round(size * 0.25 + draw.steps(16, 26, 1)) if draw.chance(0.95) else None,
        ohm=draw.pick((4, 4, 4, 4, 4, 4, 3, 2)),
        rms_w=rms,
        sensitivity_db=draw.steps(87, 93, 0.5),
    )


def box(draw: Draw, number: int) -> Box:
    """An empty box whose outside grows with its litres."""
    cutout, litres = ((200, 12), (250, 24), (300, 38))[number % 3]
    drivers = 2 if draw.chance(0.2) else 1
    volume = round(litres * drivers * draw.steps(0.8, 1.3, 0.05))
    height, depth = cutout + draw.steps(50, 90, 10), cutout + draw.steps(20, 60, 10)
    return Box(
        **draw.common("BX", number, (30 + volume * 1.3) * draw.spread(0.2), 75),
        cutout_mm=cutout,
        drivers=drivers,
        litres=volume,
        width_mm=10.0 * round(volume * 1.35e6 / height / depth / 10),
        height_mm=height,
        depth_mm=depth,
    )


def power_kit(draw: Draw, number: int) -> PowerKit:
    """A power wiring kit, of copper or copper-clad."""
    awg, fuse, usual = POWER_CABLES[number % len(POWER_CABLES)]
    copper, twin = draw.chance(0.6), draw.chance(0.3)
    euros = usual * (1.3 if copper else 0.8) * (1.2 if twin else 1) * draw.spread(0.15)
    return PowerKit(
        **draw.common("PK", number, euros, usual),
        awg=awg,
        conductor=Conductor.COPPER if copper else Conductor.CCA,
        length_m=draw.pick((4.5, 5, 5.5, 6, 7)),
        fuse_a=fuse,
        amplifiers_fed=2 if twin else 1,
    )


def signal_lead(draw: Draw, number: int) -> SignalLead:
    """A signal lead."""
    channels, length = draw.pick((2, 2, 4, 6)), (0.5, 1.0, 5.0, 5.5, 6.0)[number % 5]
    euros = (3 + 1.4 * channels * length**0.7) * draw.spread(0.3)
    return SignalLead(**draw.common("SL", number, euros, 15), channels=channels, length_m=length)


def speaker_cable(draw: Draw, number: int) -> SpeakerCable:
    """Speaker cable, by the metre or by the reel."""
    area, metres = (1.5, 2.5, 4.0, 6.0)[number % 4], draw.pick((1, 1, 10, 20))
    euros = max(1.0, (0.6 + 0.55 * area) * metres**0.9 * draw.spread(0.2))
    return SpeakerCable(
        **draw.common("SC", number, euros, 12),
        mm2=area,
        conductor=Conductor.COPPER if draw.chance(0.7) else Conductor.CCA,
        metres_per_unit=metres,
    )


def aerial(draw: Draw, number: int) -> Aerial:
    """A digital-radio aerial or the adapter to a factory one."""
    use = tuple(AerialUse)[number % 2]
    return Aerial(**draw.common("AE", number, 25 * draw.spread(0.3), 25), use=use)


def fitting_kit(draw: Draw, number: int, vehicles: Sequence[str]) -> FittingKit:
    """A fitting kit; the first ones give every vehicle one for its head unit, later ones are mixed."""
    first = vehicles[number % len(vehicles)]
    names = tuple(sorted({fold(first), *(fold(draw.pick(vehicles)) for _ in range(int(draw.chance(0.4))))}))
    turn = number // len(vehicles) % 4
    euros = (45 if turn == 0 else 20) * draw.spread(0.3)
    common = draw.common("FK", number, euros, 30)
    if turn == 0:
        return FittingKit(**common, fits=KitFor.HEAD_UNIT, vehicles=names)
    if turn == 1 and draw.chance(0.3):
        return FittingKit(**common, fits=KitFor.CONVERTER, vehicles=names)
    location = Location.FRONT if turn == 1 else Location.REAR
    size = SPEAKER_SIZES[(number + turn) % len(SPEAKER_SIZES)]
    return FittingKit(**common, fits=KitFor.SPEAKER, vehicles=names, location=location, size_mm=size)


def deadening(draw: Draw, number: int) -> Deadening:
    """Sound deadening by the sheet."""
    area = (0.25, 0.4, 0.5, 1.0)[number % 4]
    return Deadening(**draw.common("DD", number, 38 * area * draw.spread(0.35), 38 * area), sheet_m2=area)
