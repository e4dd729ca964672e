"""The audit refuses every broken system by the rule that it breaks, and never crashes.

Sound systems, made by hand and solved from random catalogues, are each broken in one way at a time.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.audit import breaking_drive, breaking_fit, breaking_lines, breaking_signals, breaking_supply
from tests.audit.breaking import Breakage, breakages
from tests.audit.sounds import sounds

if TYPE_CHECKING:
    from tests.audit.sound import Sound

BREAKAGES = breakages(breaking_lines, breaking_fit, breaking_drive, breaking_signals, breaking_supply)


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


def test_systems_are_broken_in_very_many_ways() -> None:
    """At least 100 kinds, and 200 pairs of kind and system."""
    assert len(BREAKAGES) >= 100
    assert len({breakage.kind for breakage in BREAKAGES}) == len(BREAKAGES)
    assert sum(len(broken(breakage)) for breakage in BREAKAGES) >= 200
