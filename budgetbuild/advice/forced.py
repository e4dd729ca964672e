"""Why a product is not in the best build of a budget, and what insisting on it would cost and change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.advice.barred import barred
from budgetbuild.advice.changes import step
from budgetbuild.advice.entry import Market, apart, entry, insisting
from budgetbuild.advice.explain import explain
from budgetbuild.advice.frontier import audited_point, best_within, points_of
from budgetbuild.build import Caution, Forced, Relief
from budgetbuild.catalogue.names import fold
from budgetbuild.program.offer import Offer

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import Product


def why(market: Market, product: Product) -> Forced:
    """What it means to insist on a product."""
    catalogue, brief, vehicle = market.catalogue, insisting(market.brief, product), market.vehicle
    alone = apart(catalogue, product)
    points = points_of(alone, brief, vehicle)
    best, forced = market.best(), best_within(points, market.cap)
    now = audited_point(catalogue, market.brief, vehicle, best) if best else None
    then = audited_point(catalogue, brief, vehicle, forced) if forced else None
    obstacles: tuple[Caution, ...] = ()
    reliefs: tuple[Relief, ...] = ()
    if forced is None:
        told = explain(Offer(alone, brief, vehicle), market.cap)
        reliefs = tuple(r for r in told.reliefs if r.code != "must-include" or fold(r.subject) != fold(product.sku))
        obstacles = () if points else barred(market, product) or told.obstacles
    return Forced(
        sku=product.sku,
        best=now,
        with_it=then,
        step=step(now, then, product.sku) if now and then and now.system != then.system else None,
        least_total=points[0].total if points else None,
        obstacles=obstacles,
        reliefs=reliefs,
        entry=entry(market, product, best),
    )
