"""Breakages of signal: pairs that the source has not, and leads that are missing, short or too many."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.kinds import HeadUnitMode
from tests.audit.breaking import breaks

if TYPE_CHECKING:
    from tests.audit.sound import Sound


@breaks("Stereo pairs from the source")
def head_unit_with_too_few_pre_outs(sound: Sound) -> Sound | None:
    unit, needed = sound.part(Role.HEAD_UNIT), sound.audited().pairs_needed
    return sound.with_product(unit.sku, preout_pairs=needed - 1) if unit and needed else None


@breaks("Stereo pairs from the source")
def converter_with_too_few_outputs(sound: Sound) -> Sound | None:
    unit, needed = sound.part(Role.CONVERTER), sound.audited().pairs_needed
    return sound.with_product(unit.sku, output_pairs=needed - 1) if unit else None


@breaks("Stereo pairs from the source")
def own_unit_with_too_few_pre_outs(sound: Sound) -> Sound | None:
    own, needed = sound.brief.head_unit is HeadUnitMode.KEEP_OWN, sound.audited().pairs_needed
    return sound.with_brief(own_preout_pairs=needed - 1) if own and needed else None


@breaks("Signal lead channels")
def leads_missing(sound: Sound) -> Sound | None:
    return sound.without(Role.SIGNAL_LEAD) if sound.audited().pairs_needed else None


@breaks("Signal lead channels")
def leads_with_too_few_channels(sound: Sound) -> Sound | None:
    if not sound.audited().pairs_needed:
        return None
    leads = tuple(replace(lead, channels=0) for lead in sound.catalogue.signal_leads)
    return replace(sound, catalogue=replace(sound.catalogue, signal_leads=leads))


@breaks("Signal lead reaches")
def lead_too_short(sound: Sound) -> Sound | None:
    lead = sound.part(Role.SIGNAL_LEAD)
    return sound.with_product(lead.sku, length_m=0.4) if lead else None


@breaks("Signal lead reaches")
def lead_too_short_for_this_vehicle(sound: Sound) -> Sound | None:
    far = sound.with_vehicle(signal_run_m=11.0)
    replaced = sound.brief.head_unit is not HeadUnitMode.KEEP_FACTORY
    return far if replaced and sound.part(Role.SIGNAL_LEAD) else None


@breaks("No signal lead too many")
def one_lead_too_many(sound: Sound) -> Sound | None:
    lead = sound.part(Role.SIGNAL_LEAD)
    plain = sound.with_brief(must_include=())
    return plain.with_quantity(lead, lead.quantity + 1) if lead else None


@breaks("No signal lead too many")
def leads_that_nothing_needs(sound: Sound) -> Sound | None:
    if sound.audited().pairs_needed or sound.part(Role.SIGNAL_LEAD):
        return None
    lead = replace(sound.catalogue.signal_leads[0], length_m=9.0)
    return sound.with_product(lead.sku, length_m=9.0).with_more(Part(Role.SIGNAL_LEAD, lead.sku))
