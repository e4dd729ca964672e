"""A guide of which every kind of thing has become of some system, with names of one's choice, and its pages."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.kinds import Want
from budgetbuild.planning.recheck import recheck
from budgetbuild.report.recheck import render_recheck
from budgetbuild.report.words.voice import voice_of
from tests.program.small import front, lead, rear, stereo
from tests.recheck.shop import BRIEF, SHEETS, TIER, later, list_of, published

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from budgetbuild.build import Recheck
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue

BRIEFS = (
    BRIEF,
    replace(BRIEF, name="Front and rear", rear=Want.REQUIRED),
    replace(BRIEF, name="Fitted", fitted=True),
    replace(BRIEF, name="Bass too", bass=Want.REQUIRED),
    replace(BRIEF, name="Going"),
    replace(BRIEF, name="Quiet", amplifier=Want.NONE, own_internal_w=60.0),
)
TIERS = (
    replace(TIER, briefs=("Front only", "Going", "Quiet")),
    replace(TIER, name="Low", budget=250_00, briefs=("Front only",)),
    replace(TIER, name="High", budget=700_00, briefs=("Front and rear", "Fitted", "Bass too")),
)


def before() -> Catalogue:
    """The list that the guide was made from: of the second tier it had no system, of the third no bass."""
    leads = lead(sku="L2", price=25_00, channels=2), lead(sku="L4", price=29_00, channels=4)
    return replace(list_of(rear(brand="Orvane", model="Rear"), *leads), briefs=BRIEFS, tiers=TIERS)


def after(catalogue: Catalogue) -> Catalogue:
    """The list some weeks later."""
    changes: dict[str, dict[str, Any] | None] = {
        "A": {"price": 40_00, "w_at_4": 55.0, "stock": 0, "model": "Two mk II"},
        "R": None,
        "K": {"rating": 3.0},
        "L2": {"active": False},
    }
    found = later(catalogue, changes)
    better = front(sku="F9", brand="Orvane", model="Front 9", rating=9.0, price=100_00)
    strong = stereo(sku="A9", brand="Orvane", model="Strong", price=45_00, w_at_4=70.0)
    briefs = tuple(brief for brief in found.briefs if brief.name != "Going")
    settings = replace(found.settings, labour_rate=66_00)
    return replace(
        found,
        speakers=(*found.speakers, better),
        amplifiers=(*found.amplifiers, strong),
        briefs=briefs,
        settings=settings,
    )


def named(catalogue: Catalogue, name: str) -> Catalogue:
    """The list with a name for its shop and in every product, tier and brief."""
    if not name:
        return catalogue
    sheets: dict[str, Any] = {sheet: tuple(_named(getattr(catalogue, sheet), name)) for sheet in SHEETS}
    briefs = tuple(replace(brief, name=f"{brief.name} {name}") for brief in catalogue.briefs)
    tiers = tuple(
        replace(tier, name=f"{tier.name} {name}", briefs=tuple(f"{one} {name}" for one in tier.briefs))
        for tier in catalogue.tiers
    )
    settings = replace(catalogue.settings, shop_name=name)
    return replace(catalogue, name=name, briefs=briefs, tiers=tiers, settings=settings, **sheets)


def _named(products: Iterable[Product], name: str) -> Iterator[Product]:
    return (replace(product, brand=name, model=f"{product.model} {name}") for product in products)


@cache
def eventful(name: str = "") -> tuple[Recheck, Catalogue]:
    """A recheck with every standing, and the later list."""
    then = named(before(), name)
    now = named(after(before()), name)
    with tempfile.TemporaryDirectory() as folder:
        return recheck(now, published(then, Path(folder))), now


@cache
def changed_files(name: str = "") -> dict[str, bytes]:
    """Everything that is written of it."""
    found, catalogue = eventful(name)
    return render_recheck(found, catalogue, voice_of(catalogue.settings))
