"""Signal: stereo pairs needed and offered, the converter that makes them, and the leads that carry them."""

from __future__ import annotations

from dataclasses import dataclass

from budgetbuild.audit.case import CONTRACT, Case, total_quantity
from budgetbuild.build import Driver, Role
from budgetbuild.catalogue.items import Converter, HeadUnit, SignalLead
from budgetbuild.catalogue.kinds import HeadUnitMode
from budgetbuild.trade import signal


@dataclass(frozen=True, slots=True)
class Pairs:
    """Stereo pairs that the system takes, and that its source offers."""

    needed: int
    offered: int


def check_signals(case: Case) -> Pairs:
    """Check source and leads against the pairs that are taken."""
    taking = [drive for drive in case.system.drives if drive.by in (Driver.AMPLIFIER, Driver.SELF)]
    pairs = Pairs(len(taking), _offered(case))
    case.notes.check(
        "Stereo pairs from the source",
        "",
        pairs.needed,
        f"at most {pairs.offered}",
        ok=pairs.needed <= pairs.offered,
        unit="pairs",
        source="one pair per amplified location (common practice)",
    )
    if case.brief.head_unit is HeadUnitMode.KEEP_FACTORY:
        count, wanted = total_quantity(case.parts(Role.CONVERTER)), int(pairs.needed > 0)
        case.notes.check("Converters", "", count, f"exactly {wanted}", ok=count == wanted, source=CONTRACT)
    _leads(case, pairs.needed)
    return pairs


def _offered(case: Case) -> int:
    match case.brief.head_unit:
        case HeadUnitMode.REPLACE:
            unit = case.one(HeadUnit, Role.HEAD_UNIT)
            return unit.preout_pairs if unit else 0
        case HeadUnitMode.KEEP_FACTORY:
            converter = case.one(Converter, Role.CONVERTER)
            return converter.output_pairs if converter else 0
        case HeadUnitMode.KEEP_OWN:
            return case.brief.own_preout_pairs


def _leads(case: Case, pairs: int) -> None:
    leads = case.bought(SignalLead, Role.SIGNAL_LEAD)
    channels, needed = sum(lead.channels * count for lead, count in leads), signal.channels_needed(pairs)
    case.notes.check(
        "Signal lead channels",
        "",
        channels,
        f"at least {needed}",
        ok=channels >= needed,
        unit="channels",
        source=CONTRACT,
    )
    surplus = [lead.sku for lead, _ in leads if channels - lead.channels >= needed and not case.asked(lead)]
    case.notes.check(
        "No signal lead too many",
        "",
        ", ".join(surplus) or "none",
        "only what the brief asks for by name",
        ok=not surplus,
        source=CONTRACT,
    )
    _lead_lengths(case, [lead for lead, _ in leads], pairs)


def _lead_lengths(case: Case, leads: list[SignalLead], pairs: int) -> None:
    mode = case.brief.head_unit
    run = signal.run_m(mode, case.vehicle, case.limits)
    if pairs and mode is not HeadUnitMode.KEEP_FACTORY and case.vehicle.signal_run_m is None:
        what = f"signal run, taken as {run:g} m"
        case.notes.caution("measure-first", "signal lead", what=what, where="dash to amplifier")
    for lead in leads:
        case.notes.check(
            "Signal lead reaches", lead.sku, lead.length_m, f"at least {run:g}", ok=lead.length_m >= run, unit="m"
        )
