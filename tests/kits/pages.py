"""A guide of one system for several vehicles, for the tests that every page has to pass."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import KitFor, Location, Want
from budgetbuild.catalogue.shop import Place
from budgetbuild.report import render_all
from tests.kits.two import both, solved, stock
from tests.program import small

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Catalogue


@cache
def kit_files(called: str = "Fenn Coupe") -> dict[str, bytes]:
    """Guides of two tiers in which such a system fits two of three vehicles, and of one in which none does.

    Args:
        called: What the second vehicle and its own adapter are called.
    """
    catalogue = _catalogue(called)
    brief = replace(
        both(Fraction(3, 4), own_internal_w=20.0, front=Want.REQUIRED, rear=Want.NONE, bass=Want.NONE),
        vehicles=tuple(vehicle.name for vehicle in catalogue.vehicles),
    )
    tiers = tuple(replace(small.tier(cap), name=f"{cap // 100}") for cap in (90_00, 116_00, 170_00))
    builds = [replace(solved(catalogue, brief, tier.cap), tier=tier) for tier in tiers]
    files = render_all(builds, replace(catalogue, briefs=(brief,), tiers=tiers))
    return {f"kit_{name}": content for name, content in files.items() if name.endswith((".html", ".md"))}


def _catalogue(called: str) -> Catalogue:
    ring = small.fascia(sku="Y", brand=called, price=15_00, fits=KitFor.SPEAKER, location=Location.FRONT, size_mm=165.0)
    there = {"front": Place(size_mm=130.0, depth_mm=70.0), "weight": 3.0, "door_m2": None}
    catalogue = stock(small.front(), ring, small.sheet(), here={"front": Place(size_mm=165.0)}, there=there)
    here, other = catalogue.vehicles
    shallow = replace(here, name="Heath Van", front=Place(size_mm=165.0, depth_mm=40.0))
    return replace(catalogue, vehicles=(here, replace(other, name=called), shallow))
