"""Budget curves made up at random from the fixture products: many points, no solver."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.build import Caution, Curve, DeviceFigures, Driver, Part, Role, ScorePart
from tests.report import fixtures

if TYPE_CHECKING:
    from budgetbuild.build import Audited
    from budgetbuild.catalogue.shop import Brief, Vehicle

ESTATE = replace(fixtures.HATCH, name="Tern Estate")
CATALOGUE = replace(fixtures.CATALOGUE, vehicles=(fixtures.HATCH, ESTATE))

SHARES = (
    ("source", "", 20), ("front", "front", 25), ("rear", "rear", 8), ("bass", "bass", 20),
    ("amplification", "front", 6), ("amplification", "rear", 1), ("amplification", "bass", 5),
    ("match", "front", 5), ("match", "rear", 1), ("match", "bass", 4), ("treatment", "", 5),
)  # fmt: skip
"""Parts of the score in the order in which an audit tells them, and the most that each can earn, in points."""

OPTIONAL = (
    (Role.AERIAL, "AE-1", 1), (Role.REAR, "SP-R", 1), (Role.BASS, "SW-D2", 2), (Role.BOX, "BX-1", 1),
    (Role.AMPLIFIER, "AM-1", 2), (Role.AMPLIFIER, "AM-4", 2), (Role.POWER_KIT, "PK-1", 2),
    (Role.SIGNAL_LEAD, "SL-2", 3), (Role.SIGNAL_LEAD, "SL-4", 2), (Role.SPEAKER_CABLE, "SC-25", 40),
    (Role.DEADENING, "DD-1", 4),
)  # fmt: skip
"""Parts that a point may have, and the most of each."""


def curve(brief: Brief = fixtures.REPLACE, vehicle: Vehicle = fixtures.HATCH, count: int = 300, seed: int = 1) -> Curve:
    """A curve of about so many points, dearer and better one after the other."""
    chance = random.Random(seed)  # noqa: S311 - the same on every run
    found = {each.total: each for each in (_some_build(chance) for _ in range(count))}
    totals = sorted(found)
    points = tuple(_scored(found[total], 20_000 + 70_000 * rank // len(totals)) for rank, total in enumerate(totals))
    return Curve(brief, vehicle, points)


def _some_build(chance: random.Random) -> Audited:
    """Front speakers and a head unit, and whatever else chance gives."""
    parts = [Part(Role.HEAD_UNIT, "HU-1"), Part(Role.SOURCE_KIT, "FK-H"), Part(Role.FRONT, "SP-F")]
    chosen = [(role, sku, chance.randint(0, most)) for role, sku, most in OPTIONAL]
    parts += [Part(role, sku, quantity) for role, sku, quantity in chosen if quantity]
    parts.sort(key=lambda part: (list(Role).index(part.role), part.sku))
    device = DeviceFigures("AM-4", 50.0, "own fuse rating", "PK-1", 100.0, shared=False, kit_ampacity_a=136.0)
    powered = any(part.role is Role.POWER_KIT for part in parts)
    found = fixtures.audited(
        tuple(parts),
        (fixtures.front(Driver.FACTORY_UNIT, 15.0),),
        (device,) if powered else (),
        labour=chance.choice((0, 9000)),
    )
    caution = Caution("out-of-stock", "", {"sku": "SP-F", "wanted": chance.randint(1, 3), "stock": 0})
    return replace(found, cautions=(caution, *found.cautions) if chance.random() < 0.5 else ())


def _scored(found: Audited, score: int) -> Audited:
    """The same build with that score, in whole thousandths, spread over its parts."""
    earned = [score * most // 100 for _, _, most in SHARES]
    earned[0] += score - sum(earned)
    parts = (
        ScorePart(part, subject, points, most * 1000)
        for (part, subject, most), points in zip(SHARES, earned, strict=True)
    )
    return replace(found, score_parts=tuple(parts))
