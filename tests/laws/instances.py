"""Random instances for the four roads: three small ones of every profile, then one of 80 to 150 products, and so on."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

from tests.oracle.catalogues import large_catalogue, random_catalogue
from tests.oracle.knobs import PROFILES

if TYPE_CHECKING:
    from tests.oracle.catalogues import Instance

EVERY_FOURTH = 4
"""One instance in so many is of medium size."""
SCALES = (2, 3)
"""Times 40 products, about."""


def is_medium(number: int) -> bool:
    """Whether the instance of that number has 80 products or more."""
    return number % EVERY_FOURTH == EVERY_FOURTH - 1


def instance(number: int, seed: int = 0) -> Instance:
    """The instance of a number: catalogue, brief, vehicle, cap in cents; equal numbers and seeds, equal instances."""
    rng = random.Random(f"roads/{seed}/{number}")  # noqa: S311 - test data, no secrets
    drawn, profile = rng.randrange(10**9), tuple(PROFILES)[number % len(PROFILES)]
    if not is_medium(number):
        return random_catalogue(drawn, profile)
    return large_catalogue(drawn, rng.choice(SCALES), profile)
