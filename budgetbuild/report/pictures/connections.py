"""A wiring in words: as running text and as a table, for those who do not see its picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.pictures.tables import TextTable
from budgetbuild.report.words.format import capital, counted

if TYPE_CHECKING:
    from budgetbuild.report.pictures.wiring import PowerSide, Speakers, Wiring

HEADER = ("From", "To", "Through", "Figures")
FUSE_PLACE = "within 0.45\u00a0m (18\u00a0in) of the battery"

Row = tuple[str, str, str, str]


def described(told: Wiring) -> str:
    """The wiring as running text."""
    source = f"{told.source} {told.source_name}".strip()
    sentences = [f"{source}{f' with converter {told.converter}' if told.converter else ''}."]
    sentences += [f"Aerial: {told.aerial}."] if told.aerial else []
    sentences += [f"Signal leads: {lead}." for lead in told.leads]
    sentences += [f"It drives {side.location} itself: {side.name}, {side.section}." for side in told.internal]
    for amplifier in told.amplifiers:
        sentences += [
            f"{amplifier.name} drives {side.location}: {side.name}, {side.section}." for side in amplifier.speakers
        ]
    if told.powered:
        sentences.append(f"{told.powered.name} has its own amplifier.")
    for power in told.power:
        fed = counted(len(power.devices), "device")
        earth = f"each with an earth lead of {power.earth}" if len(power.devices) > 1 else f"earth lead {power.earth}"
        sentences.append(f"Battery, main fuse {power.fuse}, {power.kit}, {', '.join(power.facts)}, to {fed}, {earth}.")
    return " ".join(sentences)


def wiring_table(told: Wiring) -> TextTable:
    """Every connection as a row, in the order of the picture."""
    rows: list[Row] = []
    source = told.source_name or told.source
    if told.aerial:
        rows.append((told.aerial, source, "aerial lead", ""))
    rows += [(source, side.name, "factory speaker cable", _figures(side)) for side in told.internal]
    if told.converter:
        rows.append((source, told.converter, "factory speaker outputs", ""))
    rows += _signal_rows(told, told.converter or source)
    for amplifier in told.amplifiers:
        rows += [(amplifier.name, side.name, _through(side), _figures(side)) for side in amplifier.speakers]
    for power in told.power:
        rows += _power_rows(power)
    return TextTable("Every connection in words", HEADER, tuple(rows))


def _signal_rows(told: Wiring, feeder: str) -> list[Row]:
    """What takes a signal, through the leads that are there for all of it."""
    through = "; ".join(str(lead) for lead in told.leads) or "signal lead"
    takers = [(amplifier.name, amplifier.channels) for amplifier in told.amplifiers]
    takers += [(told.powered.name, 2)] if told.powered else []
    return [(feeder, name, through, counted(channels, "channel")) for name, channels in takers]


def _through(side: Speakers) -> str:
    if side.cable is None:
        return "speaker cable"
    return f"{side.cable.name}: {side.cable.length}, {side.cable.gauge}, {side.cable.conductor}"


def _figures(side: Speakers) -> str:
    return "; ".join([f"{capital(side.location.value)}: {side.section}", *side.about])


def _power_rows(power: PowerSide) -> list[Row]:
    """From the battery over fuse and kit to each device, and from each device to the body."""
    kit = f"{power.kit}: {', '.join(power.facts)}"
    rows = [("Battery", f"Main fuse {power.fuse}", "power cable", FUSE_PLACE)]
    rows += [(f"Main fuse {power.fuse}", fed.name, kit, fed.current) for fed in power.devices]
    earth = f"earth lead: {power.earth}, {power.cable}"
    return [*rows, *((fed.name, "Vehicle body, bare metal", earth, "") for fed in power.devices)]
