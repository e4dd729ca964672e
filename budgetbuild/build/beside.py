"""What a run found beside the builds of its tiers: answers to further questions that the catalogue or the user asks."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Beside:
    """Everything of a run that is no build of a tier and brief on its own."""


NOTHING_BESIDE = Beside()
