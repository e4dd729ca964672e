"""The audit refuses every broken system by the rule that it breaks, and never crashes.

Sound systems, made by hand and solved from random catalogues, are each broken in one way at a time.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Driver, Feed, Part, Role
from budgetbuild.catalogue.kinds import Location, Want
from tests.audit import (
    breaking_drive,
    breaking_fit,
    breaking_lines,
    breaking_more,
    breaking_signals,
    breaking_supply,
)
from tests.audit.breaking import Breakage, breakages
from tests.audit.handmade import FIVE_CHANNELS, INTERNAL, POWERED, TWO_AMPLIFIERS
from tests.audit.sounds import sounds

if TYPE_CHECKING:
    from tests.audit.sound import Sound

BREAKAGES = breakages(breaking_lines, breaking_fit, breaking_drive, breaking_signals, breaking_supply, breaking_more)


def broken(breakage: Breakage) -> list[Sound]:
    """Every sound system that can be broken in that way, broken."""
    spoilt = (breakage.spoil(sound) for sound in sounds())
    return [sound for sound in spoilt if sound is not None]


def test_the_systems_to_be_broken_are_sound() -> None:
    for sound in sounds():
        assert sound.refused() == set(), sound.name


@pytest.mark.parametrize("breakage", BREAKAGES, ids=lambda breakage: breakage.kind)
def test_a_broken_system_is_refused_by_the_rule_it_breaks(breakage: Breakage) -> None:
    found = broken(breakage)
    assert found
    for sound in found:
        assert breakage.rule in sound.refused(), sound.name


NAMED = [
    (FIVE_CHANNELS.exchanged("AM-5", "AM-9"), breaking_lines.KNOWN, "AM-9", "all"),
    (FIVE_CHANNELS.with_more(Part(Role.REAR, "SP-S")), breaking_lines.KNOWN, "SP-S", "all"),
    (FIVE_CHANNELS.with_brief(leave_out=("orvane",)), "Nothing that the brief leaves out", "SP-F, SW-D, AM-5", "none"),
    (FIVE_CHANNELS.with_brief(must_include=("AM-4",)), "Includes what the brief asks for", "missing", "in"),
    (POWERED.with_more(Part(Role.SIGNAL_LEAD, "SL-6")), "No signal lead too many", "SL-2, SL-6", "only what"),
    (INTERNAL.with_brief(amplifier=Want.REQUIRED), breaking_drive.REQUIRED, "front, rear", "all"),
    (FIVE_CHANNELS.with_product("SP-F", depth_mm=61), breaking_fit.PLACE, "speaker depth 61 mm, front place 60 mm", ""),
    (POWERED.with_product("SW-P", height_mm=391), breaking_fit.BOOT, "height 391 mm and 10 mm to spare, boot 400", ""),
    (FIVE_CHANNELS.without(Role.AERIAL), breaking_fit.AERIAL, "0", "exactly 1"),
    (FIVE_CHANNELS.with_product("BX-1", litres=12), breaking_fit.BOX, "not taken", ""),
    (POWERED.with_system(feeds=()), breaking_supply.KITS, "0", "1 or 1"),
    (INTERNAL.with_system(feeds=(Feed("PK-A", ()),)), breaking_supply.KITS, "1", "none"),
    (TWO_AMPLIFIERS.with_limits(cca_allowed=False), "Conductor allowed", "CCA", "copper"),
    (POWERED.with_drive(Location.BASS, by=Driver.OWN_UNIT), breaking_drive.NET, "0.0", "none: it drives itself"),
    (replace(FIVE_CHANNELS, cap=159_367), "Total within the cap", "1593.68", "at most 1593.67"),
]


@pytest.mark.parametrize(("sound", "rule", "figure", "limit"), NAMED)
def test_a_refusal_names_what_is_wrong(sound: Sound, rule: str, figure: str, limit: str) -> None:
    """And the limit that it is held against."""
    check = next(check for check in sound.audited().refused if check.rule == rule)
    assert figure in str(check.figure)
    assert limit in check.limit


def test_systems_are_broken_in_very_many_ways() -> None:
    """At least 200 kinds by name, and 2,000 pairs of kind and system."""
    assert len(BREAKAGES) >= 200
    assert len({breakage.kind for breakage in BREAKAGES}) == len(BREAKAGES)
    assert sum(len(broken(breakage)) for breakage in BREAKAGES) >= 2000


def test_no_two_kinds_of_breaking_do_the_same() -> None:
    """Of every two kinds there is a system that they break differently, or that only one of them can break."""
    done = {breakage.kind: [repr(breakage.spoil(sound)) for sound in sounds(8)] for breakage in BREAKAGES}
    seen: dict[tuple[str, ...], str] = {}
    for kind, outcomes in done.items():
        assert seen.setdefault(tuple(outcomes), kind) == kind
