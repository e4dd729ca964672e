"""The audit refuses what is not so of paths, bundles, kits and claims in words that say what, and passes what is so."""

from __future__ import annotations

import re

import pytest

from budgetbuild.audit.verdict import AuditRefusedError
from tests.audit.breaking_claims import GROUPS

BROKEN = [(group, name) for group, members in GROUPS.items() for name in members.broken]


@pytest.mark.parametrize("group", GROUPS)
def test_what_is_so_passes(group: str) -> None:
    for sound in GROUPS[group].sound:
        sound.judge()


@pytest.mark.parametrize(("group", "name"), BROKEN, ids=lambda word: str(word).replace(" ", "-"))
def test_what_is_not_so_is_refused_and_named(group: str, name: str) -> None:
    broken, said = GROUPS[group].broken[name]
    with pytest.raises(AuditRefusedError, match=re.escape(said)):
        broken.judge()
