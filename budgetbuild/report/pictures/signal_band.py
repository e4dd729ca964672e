"""The upper band of the wiring picture: source, leads, amplifiers with a row for each section, cables, speakers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import Location
from budgetbuild.report.pictures.bands import DROP, GAP, HEADING_HEIGHT, Band, below, down, fan, headings, straight, up
from budgetbuild.report.pictures.drawing import (
    PADDING,
    Box,
    Column,
    Line,
    Run,
    box,
    draw_box,
    draw_lines,
    draw_rule,
    lines_in,
    text_height,
)
from budgetbuild.report.words.format import capital, counted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.pictures.wiring import AmplifierSide, Speakers, Wiring

WIDTH = 760.0
SOURCE = Column(1, 143)
LEADS = Column(164, 112)
AMPLIFIER = Column(296, 184)
CABLE = Column(500, 92)
SPEAKERS = Column(612, 147)
LEADS_HEADING = "Signal leads"
UNIT = Column(SOURCE.x, AMPLIFIER.right - SOURCE.x)
"""A source with an internal amplifier in use takes all columns up to the amplifiers'."""


def signal_band(told: Wiring, top: float) -> Band:
    """Lay the band out: first what the source drives itself, then what takes a signal from it."""
    pieces = headings(_headings(told), top)
    y = top + HEADING_HEIGHT
    if told.internal:
        inner, source = _unit(told, y)
        y = source.bottom + DROP
    else:
        source = box(SOURCE, y, _source_lines(told))
        inner = [draw_box(source)]
    outer, bottom = _outside(told, source, y)
    return Band((*pieces, *inner, *outer), max(bottom, source.bottom))


def _headings(told: Wiring) -> list[tuple[Column, str]]:
    amplifier = bool(told.amplifiers or told.internal)
    there = (
        (SOURCE, "Source", True),
        (LEADS, LEADS_HEADING, bool(told.leads) and not told.internal),
        (AMPLIFIER, "Amplifier" if amplifier else "Powered subwoofer", amplifier or told.powered is not None),
        (CABLE, "Speaker cable", amplifier),
        (SPEAKERS, "Speakers", amplifier),
    )
    return [(column, words) for column, words, is_there in there if is_there]


def _source_lines(told: Wiring) -> tuple[Line, ...]:
    kind = told.source if told.source_name else ""
    pairs = "" if told.converter else told.pairs
    alone = not (told.internal or told.amplifiers or told.powered or told.converter)
    details = [kind, pairs, "nothing new is connected to it" if alone else ""]
    return lines_in(SOURCE, told.source_name or told.source, [detail for detail in details if detail])


def _unit(told: Wiring, top: float) -> tuple[list[str], Box]:
    """The source with a row for each location that it drives itself."""
    lines = _source_lines(told)
    rows, bottom = _rows(told.internal, top, "amplifier inside the unit")
    height = max(bottom - top, text_height(lines) + 2 * PADDING)
    frame = Box(UNIT, top, height, lines)
    inside = draw_rule((AMPLIFIER.x, top + PADDING), (AMPLIFIER.x, top + height - PADDING))
    return [draw_box(frame), inside, *rows], frame


def _outside(told: Wiring, source: Box, top: float) -> tuple[list[str], float]:
    """What stands beside or under the source: aerial, converter, leads, and the devices with what they drive."""
    shapes, pieces, feeder = [], [], source
    if told.aerial:
        aerial = box(SOURCE, source.bottom + DROP, lines_in(SOURCE, told.aerial, ["aerial"]))
        shapes.append(aerial)
        pieces.append(up(Run.AERIAL, aerial, source))
    if told.converter:
        details = ["line-output converter", told.pairs]
        feeder = box(SOURCE, source.bottom + DROP, lines_in(SOURCE, told.converter, filter(None, details)))
        shapes.append(feeder)
        pieces.append(down(Run.SIGNAL, source, feeder))
    devices, drawn, bottom = _devices(told, top)
    if told.leads:
        leads = box(LEADS, _leads_top(feeder, top), _lead_lines(told, needed=bool(devices)), dashed=True)
        shapes.append(leads)
        pieces += [_feed(source, feeder, leads), *fan(Run.SIGNAL, leads, devices)] if devices else []
    elif devices:
        pieces += fan(Run.SIGNAL, feeder, devices)
    return [*pieces, *drawn, *(draw_box(shape) for shape in shapes)], max(below(shapes, 0, 0), bottom)


def _leads_top(feeder: Box, top: float) -> float:
    """Leads stand beside what feeds them, or under a unit that is as wide as they are."""
    return top if feeder.column is UNIT else feeder.y


def _feed(source: Box, feeder: Box, leads: Box) -> str:
    return down(Run.SIGNAL, source, leads) if feeder.column is UNIT else straight(Run.SIGNAL, feeder, leads)


def _lead_lines(told: Wiring, *, needed: bool) -> tuple[Line, ...]:
    """The leads; under a unit as wide as they are, where no heading is, with what they are."""
    above = lines_in(LEADS, "", [LEADS_HEADING.lower()] if told.internal else [])
    lines = [line for lead in told.leads for line in lines_in(LEADS, lead.counted, [lead.kind])]
    return (*above, *lines, *lines_in(LEADS, "", [] if needed else ["nothing takes a signal"]))


def _devices(told: Wiring, top: float) -> tuple[list[Box], list[str], float]:
    """Amplifiers with what hangs on them, and the powered subwoofer; the boxes are where the leads end."""
    devices: list[Box] = []
    pieces: list[str] = []
    for amplifier in told.amplifiers:
        device, drawn = _amplifier(amplifier, top)
        devices.append(device)
        pieces += drawn
        top = device.bottom + GAP
    if told.powered:
        details = [f"powered subwoofer, {told.powered.location}", *told.powered.about, "2 channels in"]
        devices.append(box(AMPLIFIER, top, lines_in(AMPLIFIER, told.powered.name, details)))
        pieces.append(draw_box(devices[-1]))
    return devices, pieces, below(devices, 0, 0)


def _amplifier(amplifier: AmplifierSide, top: float) -> tuple[Box, list[str]]:
    lines = lines_in(AMPLIFIER, amplifier.name, [f"{counted(amplifier.channels, 'channel')} in"])
    first = top + 2 * PADDING + text_height(lines)
    rows, bottom = _rows(amplifier.speakers, first, "")
    device = Box(AMPLIFIER, top, bottom - top, lines)
    return device, [draw_box(device), draw_rule((AMPLIFIER.x, first), (AMPLIFIER.right, first)), *rows]


def _rows(sides: Sequence[Speakers], top: float, inside: str) -> tuple[list[str], float]:
    """A row for each location: section, cable, speakers; hairlines between them, each in the frame around."""
    pieces: list[str] = []
    for place, side in enumerate(sides):
        if place:
            pieces.append(draw_rule((AMPLIFIER.x, top), (AMPLIFIER.right, top)))
        section = Box(AMPLIFIER, top, 0, _section_lines(side, inside))
        pieces.append(draw_lines(AMPLIFIER.x + PADDING, top + PADDING, section.lines))
        cable = box(CABLE, top, _cable_lines(side), dashed=True)
        speakers = box(SPEAKERS, top, lines_in(SPEAKERS, side.name, [str(side.location), *side.about]))
        pieces += [straight(Run.SPEAKER, section, cable), straight(Run.SPEAKER, cable, speakers)]
        pieces += [draw_box(cable), draw_box(speakers)]
        top = max(top + text_height(section.lines) + 2 * PADDING, cable.bottom, speakers.bottom) + GAP
    return pieces, top - GAP


def _section_lines(side: Speakers, inside: str) -> tuple[Line, ...]:
    title = f"{capital(side.location.value)}: {side.mode or 'internal'}"
    details = [inside, f"{side.load}, {side.power}", f"ratio\u00a0{side.ratio}"]
    return lines_in(AMPLIFIER, title, filter(None, details))


def _cable_lines(side: Speakers) -> tuple[Line, ...]:
    if side.cable is None:
        return lines_in(CABLE, "factory cable", ["stays"])
    both = "" if side.location is Location.BASS else "both sides"
    return lines_in(CABLE, side.cable.length, filter(None, [both, side.cable.gauge, side.cable.conductor]))
