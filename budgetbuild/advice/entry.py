"""Entry prices: the highest price at which a product would be in the best build of a budget.

With the product at a price p, a build that holds q of it costs A + q p, where A is the price of everything else. It
takes the place of the best build without the product as soon as it scores more and stays within the cap, or scores as
much and costs less (or as much, and comes first in SKU order). So each build that holds the product has a price up to
which it does so, and the entry price is the highest of these. Which builds are worth looking at depends on the price
itself where they hold different numbers of it; so the curve of builds with the product is drawn at a price, the price
raised to the highest found, and so on, until no build does at a cent more.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from math import ceil
from typing import TYPE_CHECKING, Any

from budgetbuild.advice.frontier import best_within, points_of, skus
from budgetbuild.build import Entry
from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.names import fold
from budgetbuild.parallel import spread
from budgetbuild.program.offer import Offer

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.curve.whole import CurveBuild


@dataclass(frozen=True, slots=True)
class Market:
    """A brief in a vehicle within a cap in cents."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    cap: int

    def best(self) -> CurveBuild | None:
        """The best build."""
        return best_within(points_of(self.catalogue, self.brief, self.vehicle, cap=self.cap), self.cap)

    def without(self, product: Product) -> CurveBuild | None:
        """The best build that does not hold a product; `None` where the brief insists on it, or there is none."""
        return replace(self, catalogue=changed(self.catalogue, product, active=False)).best()

    def holding(self, product: Product, price: int) -> tuple[CurveBuild, ...]:
        """The builds worth looking at that hold a product, at a price of it in cents."""
        brief = insisting(self.brief, product)
        catalogue = changed(apart(self.catalogue, product), product, price=price)
        return points_of(catalogue, brief, self.vehicle, cap=self.cap)


def entry(market: Market, product: Product, best: CurveBuild | None) -> Entry:
    """The entry price of a product.

    Args:
        market: The brief, vehicle and cap.
        product: On offer.
        best: The best build today.
    """
    chosen = best is not None and holds(best, product)
    without = market.without(product) if chosen else best
    return Entry(product.sku, product.price, _highest(market, product, without, None), chosen)


def entry_from(market: Market, product: Product, best: CurveBuild | None, price: int) -> Entry | None:
    """The entry price of a product; `None` where it is not in the best build even at a price in cents."""
    if best is None or holds(best, product):
        found = entry(market, product, best)
        return found if found.entry is not None and found.entry >= price else None
    reached = max(_limits(market, product, best, price), default=0)
    if reached < price:
        return None
    return Entry(product.sku, product.price, _highest(market, product, best, reached), chosen=False)


def _highest(market: Market, product: Product, without: CurveBuild | None, price: int | None) -> int | None:
    """The entry price, from a price on at which the product is in; `None` = none is known yet."""
    while True:
        tried = 1 if price is None else price + 1
        reached = max(_limits(market, product, without, tried), default=0)
        if reached < tried:
            return price
        price = reached


def _limits(market: Market, product: Product, without: CurveBuild | None, price: int) -> list[int]:
    """Up to which price of the product each build that holds it beats the best one without, in cents."""
    return [
        limit
        for build in market.holding(product, price)
        if (limit := _limit(market.cap, product, without, build, price)) is not None
    ]


def _limit(cap: int, product: Product, without: CurveBuild | None, build: CurveBuild, price: int) -> int | None:
    """Up to which price of the product one build beats the best one without; `None` where it is worse at any."""
    quantity = count(build, product)
    others = build.total - quantity * price
    if without is None or build.score > without.score:
        return (cap - others) // quantity
    if build.score < without.score:
        return None
    first = skus(build) < skus(without)
    return (without.total - (0 if first else 1) - others) // quantity


def insisting(brief: Brief, product: Product) -> Brief:
    """The brief with a product among what it must include; for a catalogue where it stands `apart`."""
    return replace(brief, must_include=(*brief.must_include, product.sku))


def apart(catalogue: Catalogue, product: Product) -> Catalogue:
    """The catalogue in which no brand is called like a product's SKU, so that to insist on it means it alone.

    A brand that is called so gets another name, for all its products alike. Every term of a brief that means it is met
    by the product itself.
    """
    name = fold(product.sku)
    namesakes = [other for other in catalogue.products() if fold(other.brand) == name]
    for other in namesakes:
        catalogue = changed(catalogue, other, brand=f"{other.brand} (brand)")
    return catalogue


def holds(build: CurveBuild, product: Product) -> bool:
    """Whether a build holds a product."""
    return count(build, product) > 0


def count(build: CurveBuild, product: Product) -> int:
    """How many of a product a build holds."""
    return sum(part.quantity for part in build.system.parts if fold(part.sku) == fold(product.sku))


def changed(catalogue: Catalogue, product: Product, **columns: Any) -> Catalogue:  # noqa: ANN401 - any column
    """The catalogue with other values in some columns of one product."""

    def row(item: Product) -> Product:
        return replace(item, **columns) if item.sku == product.sku else item

    lists: dict[str, Any] = {
        one.name: tuple(map(row, value))
        for one in fields(catalogue)
        if isinstance(value := getattr(catalogue, one.name), tuple)
        and any(isinstance(item, Product) and item.sku == product.sku for item in value)
    }
    return replace(catalogue, **lists)


def entries(market: Market, share: Fraction, processes: int | None = None) -> Iterator[tuple[Product, Entry | None]]:
    """Every product on offer, with its entry price where it is in the best build or would be for up to a share less.

    Args:
        market: The brief, vehicle and cap.
        share: Largest price cut that counts as near, 0 to 1.
        processes: At most so many; `None` = as many as there are processors.
    """
    best = market.best()
    offered = Offer(market.catalogue, market.brief, market.vehicle).offered(market.catalogue.products())
    yield from zip(offered, spread(_near, (market, best, share), offered, processes), strict=True)


def _near(told: tuple[Market, CurveBuild | None, Fraction], product: Product) -> Entry | None:
    market, best, share = told
    return entry_from(market, product, best, max(1, ceil(product.price * (1 - share))))
