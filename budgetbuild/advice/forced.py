"""Why a product is not in the best build of a budget, and what insisting on it would cost and change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.advice.barred import barred
from budgetbuild.advice.changes import step
from budgetbuild.advice.entry import Market, entry, insisting
from budgetbuild.advice.explain import explain
from budgetbuild.advice.frontier import audited_point, best_within, points_of
from budgetbuild.build import Caution, Forced, Relief
from budgetbuild.program.offer import Offer

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import Product


def why(market: Market, product: Product) -> Forced:
    """What it means to insist on a product."""
    catalogue, brief, vehicle = market.catalogue, insisting(market.brief, product), market.vehicle
    points = points_of(catalogue, brief, vehicle)
    best, forced = market.best(), best_within(points, market.cap)
    now = audited_point(catalogue, market.brief, vehicle, best) if best else None
    then = audited_point(catalogue, brief, vehicle, forced) if forced else None
    obstacles: tuple[Caution, ...] = ()
    reliefs: tuple[Relief, ...] = ()
    if forced is None:
        told = explain(Offer(catalogue, brief, vehicle), market.cap)
        own = tuple(relief for relief in told.reliefs if relief.code != "must-include" or relief.subject != product.sku)
        reliefs = own
        obstacles = () if points else barred(market, product) or told.obstacles
    return Forced(
        sku=product.sku,
        best=now,
        with_it=then,
        step=step(now, then) if now and then and now.system != then.system else None,
        least_total=points[0].total if points else None,
        obstacles=obstacles,
        reliefs=reliefs,
        entry=entry(market, product, best),
    )
