"""The wiring picture of a build: source, leads, amplifiers and speakers above, battery, fuses and kits below.

Boxes stand in four columns and lines run only in the gaps between them, so no line crosses a text; every text is
wrapped to its box, and a box grows with its text.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.drawing import Box, box, document, draw_box, draw_path, draw_text
from budgetbuild.report.wiring import PowerSide, Speakers, Wiring, described

if TYPE_CHECKING:
    from collections.abc import Sequence

COLUMNS = (10.0, 250.0, 490.0, 730.0)
WIDTH = 200.0
GAP = 16.0
PAGE_WIDTH = COLUMNS[3] + WIDTH + 10
BANDS_APART = 34.0
HEADING = 26.0


def render_diagram(name: str, title: str, told: Wiring) -> str:
    """The picture as an SVG element.

    Args:
        name: Distinguishes it from other pictures in one page.
        title: What it shows.
        told: The connections.
    """
    pieces, bottom = _signal_band(told, HEADING)
    body = [draw_text(COLUMNS[0], 16, "Signal and speakers", bold=True), *pieces]
    if told.power:
        top = bottom + BANDS_APART
        body.append(draw_text(COLUMNS[0], top, "Power run", bold=True))
        pieces, bottom = _power_band(told.power, top + GAP)
        body += pieces
    return document(name, (PAGE_WIDTH, bottom + 10), title, described(told), body)


def _signal_band(told: Wiring, top: float) -> tuple[list[str], float]:
    """The upper band and where it ends: first what the source drives itself, then what takes leads."""
    source = box(COLUMNS[0], top, WIDTH, told.source, [told.source_name] if told.source_name else [])
    internal = _internal_lanes(told.internal, top)
    top = _below(internal, top)
    devices, speakers = _device_lanes(told, top)
    feeder, leads = source, []
    pieces: list[str] = []
    if told.converter:
        feeder = box(COLUMNS[0], max(source.bottom + GAP, top), WIDTH, "Line-output converter", [told.converter])
        middle = source.x + WIDTH / 2
        pieces += [draw_box(feeder), draw_path((middle, source.bottom), (middle, feeder.y))]
    if told.leads:
        leads = [box(COLUMNS[1], max(top, feeder.y), WIDTH, "Signal leads", told.leads, "cable")]
    pieces += [draw_box(shape) for shape in (source, *internal, *leads, *devices, *speakers)]
    pieces += _fan(source, internal[::2])
    for cable, speaker in zip(internal[::2], internal[1::2], strict=True):
        pieces += _fan(cable, [speaker])
    pieces += [*_fan(feeder, leads), *_fan(leads[0], devices)] if leads else _fan(feeder, devices)
    for device in devices:
        pieces += _fan(device, [shape for shape in speakers if device.y <= shape.y < _lane_end(device, devices)])
    return pieces, _below([source, feeder, *internal, *leads, *devices, *speakers], 0) - GAP


def _internal_lanes(internal: Sequence[Speakers], top: float) -> list[Box]:
    """Cable and speakers of each location that the source drives itself, in pairs."""
    shapes: list[Box] = []
    for side in internal:
        cable = box(COLUMNS[2], top, WIDTH, "Factory speaker cable", [side.section], "cable")
        speaker = _speaker_box(side, top)
        shapes += [cable, speaker]
        top = _below([cable, speaker], top)
    return shapes


def _device_lanes(told: Wiring, top: float) -> tuple[list[Box], list[Box]]:
    """Amplifiers, and the powered subwoofer, each beside what it drives."""
    devices: list[Box] = []
    speakers: list[Box] = []
    for amplifier in told.amplifiers:
        uses = [f"{side.location}: {side.section}" for side in amplifier.speakers]
        device = box(COLUMNS[2], top, WIDTH, amplifier.name, uses)
        lane = [device]
        for side in amplifier.speakers:
            speaker = _speaker_box(side, top)
            speakers.append(speaker)
            lane.append(speaker)
            top = speaker.bottom + GAP
        devices.append(device)
        top = _below(lane, top)
    if told.powered:
        facts = [str(told.powered.location), told.powered.section, *told.powered.facts]
        devices.append(box(COLUMNS[2], top, WIDTH, told.powered.name, facts))
    return devices, speakers


def _speaker_box(side: Speakers, top: float) -> Box:
    return box(COLUMNS[3], top, WIDTH, side.name, [str(side.location), *side.facts])


def _lane_end(device: Box, devices: Sequence[Box]) -> float:
    """Where the lane of the next device begins."""
    return min((other.y for other in devices if other.y > device.y), default=float("inf"))


def _power_band(power: Sequence[PowerSide], top: float) -> tuple[list[str], float]:
    """The lower band and where it ends: battery, then per kit its fuse, its cable and the devices that it feeds."""
    battery = box(COLUMNS[0], top, WIDTH, "Battery", ["disconnect it before work"])
    shapes, pieces = [battery], []
    for side in power:
        fuse = box(COLUMNS[1], top, WIDTH, f"Main fuse {side.fuse}", ["within 0.45 m (18 in) of the battery"])
        kit = box(COLUMNS[2], top, WIDTH, side.kit, side.facts, "cable")
        fed: list[Box] = []
        for name, current in side.devices:
            fed.append(box(COLUMNS[3], _below(fed, top), WIDTH, name, [current]))
        pieces += [*_fan(battery, [fuse], 3), *_fan(fuse, [kit], 3), *_fan(kit, fed, 3)]
        shapes += [fuse, kit, *fed]
        top = _below([fuse, kit, *fed], top)
    return [*pieces, *(draw_box(shape) for shape in shapes)], _below(shapes, 0) - GAP


def _below(shapes: Sequence[Box], top: float) -> float:
    """Where the next box may begin under some boxes."""
    return max((shape.bottom + GAP for shape in shapes), default=top)


def _fan(start: Box, ends: Sequence[Box], width: float = 1.5) -> list[str]:
    """Lines from one box to boxes on its right, turning in the gap behind it."""
    turn = start.right + (COLUMNS[1] - COLUMNS[0] - WIDTH) / 2
    return [
        draw_path((start.right, start.port), (turn, start.port), (turn, end.port), (end.x, end.port), width=width)
        for end in ends
    ]
