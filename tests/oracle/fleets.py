"""Small random catalogues with several vehicles, each of which takes other parts: one seed, one instance."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import fold
from tests.oracle.catalogues import brief_for, catalogue_of
from tests.oracle.kits import Fleet, least_cap
from tests.oracle.knobs import PROFILES, Knobs
from tests.oracle.products import Maker

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import FittingKit
    from budgetbuild.catalogue.kinds import KitFor, Location

Asked = tuple[Fleet, int]
"""Vehicles with a brief for several of them, and the cap in cents."""
NAMES = ("Marl Estate", "Fenn Coupe", "Tarn Saloon", "Heath Van")
TINY = {
    "head_units": 3, "speakers": 3, "subwoofers": 3, "boxes": 2, "amplifiers": 3, "power_kits": 3, "signal_leads": 3,
    "speaker_cables": 3,
}  # fmt: skip
SHARES = (Fraction(1), Fraction(1), Fraction(3, 4), Fraction(2, 3), Fraction(1, 2), Fraction(1, 3), Fraction(1, 100))
WEIGHTS = (1.0, 1.0, 2.0, 3.5, 0.25, 0.1)
UNLIKE, EQUAL, IMPOSSIBLE = 0.8, 0.5, 0.15
"""How often a vehicle is unlike the first, how often all count the same, how often one without any system is kept."""


class FleetMaker(Maker):
    """Makes fitting kits that list some of several vehicles."""

    def __init__(self, rng: random.Random, knobs: Knobs, names: tuple[str, ...]) -> None:
        super().__init__(rng, knobs)
        self.names = names

    def kit(self, fits: KitFor, location: Location | None = None, size_mm: float | None = None) -> FittingKit:
        """A fitting kit for some of the vehicles, or for any."""
        made = super().kit(fits, location, size_mm)
        some = self.rng.sample(self.names, self.rng.randint(1, len(self.names)))
        listed = () if made.any_vehicle else tuple(map(fold, some))
        return replace(made, vehicles=listed)


def random_fleet(seed: int, profile: str | None = None) -> Asked:
    """A small instance: equal seeds give equal instances.

    Args:
        seed: Any whole number.
        profile: One of `PROFILES`, `None` = by the seed.

    Returns:
        The cap lies around the lowest one within which the share can be covered, where there is one.
    """
    names = tuple(PROFILES)
    name = names[seed % len(names)] if profile is None else profile
    rng = random.Random(f"fleet/{name}/{seed}")  # noqa: S311 - test data, not secrets
    knobs, tries = replace(PROFILES[name], counts=TINY), 6
    fleet = _drawn(rng, knobs)
    while (least := least_cap(fleet)) is None and tries and rng.random() > IMPOSSIBLE:
        fleet, tries = _drawn(rng, knobs), tries - 1
    return fleet, _cap(rng, least)


def _drawn(rng: random.Random, knobs: Knobs) -> Fleet:
    some = NAMES[: rng.randint(2, len(NAMES))]
    maker = FleetMaker(rng, knobs, some)
    catalogue = catalogue_of(maker)
    first, equal = maker.vehicle(), rng.random() < EQUAL
    vehicles = tuple(
        replace(
            maker.vehicle() if rng.random() < UNLIKE else first,
            name=name,
            weight=1.0 if equal else rng.choice(WEIGHTS),
        )
        for name in some
    )
    brief = replace(brief_for(maker, catalogue), vehicle="", vehicles=some, share=rng.choice(SHARES))
    return Fleet(replace(catalogue, vehicles=vehicles, briefs=(brief,)), brief)


def _cap(rng: random.Random, least: int | None) -> int:
    if least is None:
        return rng.randrange(30_000, 200_000)
    draw = rng.random()
    if draw < 0.1:
        return least
    if draw < 0.2:
        return max(0, least - rng.choice((1, 100, 5_000)))
    return int(least * rng.uniform(1, 1.4 if draw < 0.6 else 2.5))
