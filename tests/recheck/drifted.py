"""Random small catalogues, the best build of each, and the same catalogue after some weeks of price lists."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

from budgetbuild.catalogue.items import Product
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Clock, Solver
from tests.oracle.catalogues import drawn_by
from tests.oracle.enumerate import cheapest
from tests.oracle.knobs import PROFILES
from tests.recheck.shop import SHEETS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.build import System
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

P = TypeVar("P", bound=Product)
TINY = {
    "head_units": 3, "speakers": 4, "subwoofers": 4, "boxes": 2, "amplifiers": 3, "power_kits": 4, "signal_leads": 4,
    "speaker_cables": 3,
}  # fmt: skip
TRIES = 8
"""So many lists are drawn until one has a system."""
CHOSEN_DRIFTS, OTHERS_DRIFT = 0.5, 0.15
"""How many of the products that were chosen, and of the others, are not as they were."""


@dataclass(frozen=True)
class Case:
    """A published system, and the list on a later day; `cap` in cents."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    cap: int
    before: System


def case(seed: int, profile: str) -> Case | None:
    """One case; `None` where no list drawn has any system at all."""
    rng = random.Random(f"drift/{profile}/{seed}")  # noqa: S311 - test data, not secrets
    knobs, least = replace(PROFILES[profile], counts=TINY), None
    for _ in range(TRIES):
        catalogue, brief, vehicle = drawn_by(rng, profile, knobs)
        if (least := cheapest(catalogue, brief, vehicle)) is not None:
            break
    else:
        return None
    cap = int(least * rng.uniform(1.0, 2.0))
    proposal = best(formulate(candidates(Offer(catalogue, brief, vehicle))), cap, Solver(), Clock())
    assert proposal.system
    chosen = {part.sku for part in proposal.system.parts}
    sheets: dict[str, Any] = {name: tuple(_drifted(rng, getattr(catalogue, name), chosen)) for name in SHEETS}
    return Case(replace(catalogue, **sheets), brief, vehicle, cap, proposal.system)


def _drifted(rng: random.Random, products: tuple[P, ...], chosen: set[str]) -> Iterator[P]:
    for product in products:
        if rng.random() >= (CHOSEN_DRIFTS if product.sku in chosen else OTHERS_DRIFT):
            yield product
            continue
        draw = rng.random()
        if draw < 0.4:
            yield replace(product, price=max(1, int(product.price * rng.uniform(0.7, 1.6))))
        elif draw < 0.6:
            yield replace(product, active=False)
        elif draw < 0.8 and product.rating is not None:
            yield replace(product, rating=round(rng.uniform(1, 10), 1))
        elif draw < 0.9:
            yield replace(product, stock=0)
        # else the row is gone
