"""The lower band of the wiring picture: battery, main fuse, power cable, what it feeds, earth lead, vehicle body."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.pictures.bands import DROP, HEADING_HEIGHT, Band, below, down, fan, headings, straight
from budgetbuild.report.pictures.connections import FUSE_PLACE
from budgetbuild.report.pictures.drawing import PADDING, Box, Column, Run, box, draw_box, draw_path, lines_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.pictures.wiring import PowerSide

BATTERY = Column(1, 84)
FUSE = Column(106, 112)
KIT = Column(239, 150)
DEVICE = Column(410, 150)
EARTH = Column(581, 84)
BODY = Column(686, 73)
COLUMNS = (
    (BATTERY, "Battery"),
    (FUSE, "Main fuse"),
    (KIT, "Power cable"),
    (DEVICE, "Feeds"),
    (EARTH, "Earth lead"),
    (BODY, "Body"),
)
EARTH_SIGN = ((22.0, 0.0), (14.0, 5.0), (6.0, 10.0))
"""Strokes of the earth sign: length, and how far below the first."""


def power_band(power: Sequence[PowerSide], top: float) -> Band:
    """Lay the band out: from the battery to each kit, from each kit to its devices, from each device to the body."""
    y = top + HEADING_HEIGHT
    battery = box(BATTERY, y, lines_in(BATTERY, "Battery", ["disconnect it before work"]))
    pieces = headings(COLUMNS, top)
    shapes = [battery]
    earths: list[Box] = []
    for side in power:
        fuse = box(FUSE, y, lines_in(FUSE, side.fuse, [FUSE_PLACE]))
        kit = box(KIT, y, lines_in(KIT, side.kit, side.facts), dashed=True)
        feeder, spread = _distribution(side, kit)
        devices, leads = _devices(side, y)
        pieces += [*fan(Run.POWER, battery, [fuse]), straight(Run.POWER, fuse, kit), *spread]
        pieces += fan(Run.POWER, feeder, devices)
        pieces += [straight(Run.EARTH, device, lead) for device, lead in zip(devices, leads, strict=True)]
        shapes += [fuse, kit, feeder, *devices, *leads]
        earths += leads
        y = below([fuse, kit, feeder, *devices], y)
    body, sign = _body(earths)
    pieces += [*(straight(Run.EARTH, lead, body) for lead in earths), *map(draw_box, dict.fromkeys(shapes)), sign]
    return Band(tuple(pieces), below([*shapes, body], 0, 0))


def _distribution(side: PowerSide, kit: Box) -> tuple[Box, list[str]]:
    """Where a kit that feeds several devices branches: a box under it; else the kit itself."""
    if len(side.devices) == 1:
        return kit, []
    told = lines_in(KIT, "Distribution", [f"part of the kit, to {len(side.devices)} devices"])
    branch = box(KIT, kit.bottom + DROP, told)
    return branch, [down(Run.POWER, kit, branch)]


def _devices(side: PowerSide, top: float) -> tuple[list[Box], list[Box]]:
    """What the kit feeds, each with its earth lead beside it."""
    devices: list[Box] = []
    leads: list[Box] = []
    for fed in side.devices:
        devices.append(box(DEVICE, top, lines_in(DEVICE, fed.name, [f"design for {fed.current}"])))
        leads.append(box(EARTH, top, lines_in(EARTH, side.earth, [side.cable]), dashed=True))
        top = below([devices[-1], leads[-1]], top)
    return devices, leads


def _body(earths: Sequence[Box]) -> tuple[Box, str]:
    """The vehicle's body, as high as all earth leads beside it, with the sign for earth under its text."""
    lines = lines_in(BODY, "Vehicle body", ["bare metal"])
    least = box(BODY, earths[0].y, lines)
    room = EARTH_SIGN[-1][1] + PADDING + 6
    height = max(least.height + room, earths[-1].bottom - earths[0].y)
    body = Box(BODY, earths[0].y, height, lines)
    top = least.bottom + 4
    strokes = [
        draw_path([(BODY.middle - length / 2, top + down), (BODY.middle + length / 2, top + down)])
        for length, down in EARTH_SIGN
    ]
    return body, draw_box(body) + "".join(strokes)
