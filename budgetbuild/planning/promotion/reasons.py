"""Why a promotion is not possible: which of its terms, taken away alone, would make it so, and what one has then."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

from budgetbuild.advice.explain import explain
from budgetbuild.advice.frontier import least_total
from budgetbuild.build import MissingPieces, NoBundle, Status, Waiver
from budgetbuild.program.offer import Offer
from budgetbuild.program.promotion import MARGIN, PRICE
from budgetbuild.trade import money

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from budgetbuild.planning.promotion.decide import Desk
    from budgetbuild.planning.promotion.terms import Terms


def no_bundle(desk: Desk, terms: Terms, stock: Mapping[str, int]) -> NoBundle:
    """Say why a promotion is not possible on its own, out of the whole stock."""
    offer = Offer(terms.catalogue, terms.brief, terms.vehicle)
    if least_total(offer) is None:
        return NoBundle(no_build=explain(offer, terms.deal.cap or terms.deal.price or 0))
    waivers = tuple(_waivers(desk, terms, stock))
    pairs = () if waivers else tuple(_pairs(desk, terms, stock))
    return NoBundle(waivers=waivers, pairs=pairs, sought=terms.promotion.name not in desk.stopped)


def _waivers(desk: Desk, terms: Terms, stock: Mapping[str, int]) -> Iterator[Waiver]:
    deal = terms.deal
    if deal.price is not None:
        yield from _prices(desk, terms, stock)
    else:
        cheapest = desk.best(terms.other(replace(deal, cap=None)), stock, first=PRICE)
        if cheapest.audited and cheapest.status is Status.OPTIMAL:
            yield Waiver("tier", cents=cheapest.audited.total)
    if terms.promotion.has_floor:
        earning = desk.best(terms.other(replace(deal, floor=None, floor_share=None)), stock, first=MARGIN)
        proven = earning.status is Status.OPTIMAL
        if proven and earning.sale and earning.sale.revenue is not None and earning.sale.cost is not None:
            net, cost = earning.sale.revenue, earning.sale.cost
            yield Waiver("floor", cents=money.margin(net, cost), share=money.margin_share(net, cost))
    if deal.bundled and deal.ceilings:
        free = desk.best(terms.other(replace(deal, ceilings=())), stock)
        if free.sale:
            yield Waiver("ceiling")
    yield from _clearing(desk, terms, stock)
    unlimited = desk.best(terms, {})
    if unlimited.audited:
        taken = {sku: pieces * terms.promotion.sets for sku, pieces in unlimited.pieces.items()}
        yield Waiver("stock", missing=missing(taken, stock))


def _pairs(desk: Desk, terms: Terms, stock: Mapping[str, int]) -> Iterator[tuple[str, str]]:
    """Terms of which two together, waived, make it possible."""
    deal = terms.deal
    asked = {
        "price": deal.price is not None,
        "tier": deal.cap is not None,
        "floor": terms.promotion.has_floor,
        "ceiling": deal.bundled and bool(deal.ceilings),
        "clear": bool(deal.clear_least),
        "stock": True,
    }
    for one, other in combinations((code for code, there in asked.items() if there), 2):
        if _possible(desk, terms, stock, {one, other}):
            yield one, other


def _possible(desk: Desk, terms: Terms, stock: Mapping[str, int], waived: Collection[str]) -> bool:
    """Whether there is a bundle without some of the terms."""
    deal = terms.deal
    if "floor" in waived:
        deal = replace(deal, floor=None, floor_share=None)
    if "ceiling" in waived:
        deal = replace(deal, ceilings=())
    if "clear" in waived:
        deal = replace(deal, clear_least=0)
    if "tier" in waived:
        deal = replace(deal, cap=None)
    left = {} if "stock" in waived else stock
    if "price" in waived:
        return desk.nearest_price(terms.other(replace(deal, price=None, asking=True)), left, 1, above=True) is not None
    return desk.best(terms.other(deal), left).audited is not None


def _prices(desk: Desk, terms: Terms, stock: Mapping[str, int]) -> Iterator[Waiver]:
    """The nearest price above the one asked, else below it."""
    price = terms.deal.price or 0
    asking = terms.other(replace(terms.deal, price=None, asking=True))
    for above in (True, False):
        found = desk.nearest_price(asking, stock, price, above=above)
        if found is not None:
            yield Waiver("price", cents=found)
            return


def _clearing(desk: Desk, terms: Terms, stock: Mapping[str, int]) -> Iterator[Waiver]:
    """As many as can be in it of what the shop wants gone."""
    for fewer in range(terms.deal.clear_least - 1, -1, -1):
        found = desk.best(terms.other(replace(terms.deal, clear_least=fewer)), stock)
        if found.audited:
            yield Waiver("clear", count=fewer)
        if found.status is not Status.INFEASIBLE:
            return


def missing(taken: Mapping[str, int], stock: Mapping[str, int]) -> tuple[MissingPieces, ...]:
    """Pieces that are taken and not there, in SKU order."""
    return tuple(
        MissingPieces(sku, pieces - stock[sku])
        for sku, pieces in sorted(taken.items())
        if sku in stock and pieces > stock[sku]
    )
