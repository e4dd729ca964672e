"""Sound systems: those made by hand, and the program's best for random catalogues."""

from __future__ import annotations

from functools import cache

from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Clock, Solver
from tests.audit.handmade import HANDMADE
from tests.audit.sound import Sound
from tests.oracle.catalogues import random_catalogue

RANDOM_SEEDS = 100


@cache
def random_sound(seed: int) -> Sound | None:
    """The program's best system for a random catalogue; `None` where there is none."""
    catalogue, brief, vehicle, cap = random_catalogue(seed)
    proposal = best(formulate(candidates(Offer(catalogue, brief, vehicle))), cap, Solver(), Clock())
    if proposal.system is None:
        return None
    return Sound(f"seed {seed}", catalogue, brief, vehicle, cap, proposal.system)


@cache
def sounds(seeds: int = 44) -> tuple[Sound, ...]:
    """All systems made by hand, and the random ones of the first seeds."""
    found = (random_sound(seed) for seed in range(seeds))
    return (*HANDMADE, *(sound for sound in found if sound))
