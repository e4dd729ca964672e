"""What a row of the `Promotions` sheet asks, in figures, and which products may take part at all."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.names import fold
from budgetbuild.program.candidates import Candidates, candidates
from budgetbuild.program.deal import Deal
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.promotion import Promoted, promote
from budgetbuild.trade.promotion import ceilings_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.catalogue.promotion import Promotion
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle
    from budgetbuild.program.options import Option


@dataclass(frozen=True)
class Terms:
    """One promotion, with what it is held against.

    Attributes:
        tier: The tier that it is sold in; `None` where it has a price of its own.
        counts: Whether its margin counts: a floor is set, or every product that may take part has a cost.
        uncosted: Products without a cost that could take part otherwise, in SKU order.
        scarce: Products that could take part, but for a stock that does not cover a piece for each set.
    """

    catalogue: Catalogue
    promotion: Promotion
    brief: Brief
    vehicle: Vehicle
    tier: Tier | None
    counts: bool
    uncosted: tuple[str, ...]
    scarce: tuple[str, ...]
    deal: Deal
    _made: dict[object, Promoted] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def barred(self) -> frozenset[str]:
        """Products that never take part."""
        return frozenset(self.uncosted) if self.counts else frozenset()

    def offer(self, watched: frozenset[str], stock: Mapping[str, int]) -> Offer:
        """What the promotion may be made of, where so many pieces are there of each product whose stock is tracked."""
        out = self.barred | {sku for sku, there in stock.items() if there < self.promotion.sets}
        return Offer(
            withdrawn(self.catalogue, out), self.brief, self.vehicle, watched=watched, weighing=self.deal.weighing()
        )

    def program(self, watched: frozenset[str], stock: Mapping[str, int]) -> Promoted:
        """Its program, its stock apart."""
        short = frozenset(sku for sku, there in stock.items() if there < self.promotion.sets)
        key = watched, short
        if key not in self._made:
            self._made[key] = promote(formulate(candidates(self.offer(watched, stock))), self.deal)
        return self._made[key]

    def other(self, deal: Deal) -> Terms:
        """The same promotion on other terms; without a cap it is in no tier."""
        return replace(self, deal=deal, tier=None if deal.cap is None else self.tier)


def tracked(catalogue: Catalogue) -> dict[str, int]:
    """Pieces in stock of every product whose stock is tracked."""
    return {product.sku: product.stock for product in catalogue.products() if product.stock is not None}


def terms_of(catalogue: Catalogue, promotion: Promotion) -> Terms:
    """What one promotion asks.

    Raises:
        LookupError: It names no brief or tier of the catalogue, or a margin without a tax rate; the catalogue checks
            refuse that earlier.
    """
    brief = next((one for one in catalogue.briefs if fold(one.name) == fold(promotion.brief)), None)
    tier = next((one for one in catalogue.tiers if promotion.tier and fold(one.name) == fold(promotion.tier)), None)
    tax = catalogue.settings.tax_rate
    if brief is None or (tier is None and promotion.price is None) or (promotion.has_floor and tax is None):
        raise LookupError(f"{promotion.name}: no such brief or tier, or no tax rate")
    vehicle = catalogue.vehicle(brief.vehicle)
    uncosted, scarce = _out(catalogue, Offer(catalogue, brief, vehicle), promotion.sets)
    counts = promotion.has_floor or (tax is not None and not uncosted)
    return Terms(
        catalogue=catalogue,
        promotion=promotion,
        brief=brief,
        vehicle=vehicle,
        tier=tier,
        counts=counts,
        uncosted=uncosted,
        scarce=scarce,
        deal=Deal(
            products=catalogue.by_sku(),
            price=promotion.price,
            cap=tier.cap if tier else None,
            tax=tax if counts else None,
            ceilings=ceilings_of(catalogue.discounts, promotion.name),
            floor=promotion.floor,
            floor_share=promotion.floor_share,
            clear=_clear(catalogue, promotion),
            clear_least=promotion.clear_least,
        ),
    )


def _clear(catalogue: Catalogue, promotion: Promotion) -> tuple[str, ...]:
    wanted = {fold(sku) for sku in promotion.clear}
    return tuple(sorted(product.sku for product in catalogue.products() if fold(product.sku) in wanted))


def _out(catalogue: Catalogue, offer: Offer, sets: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Products without a cost, and products whose stock does not cover the sets, that the brief could use."""
    uncosted = {product.sku for product in catalogue.products() if product.cost is None}
    scarce = {sku for sku, there in tracked(catalogue).items() if there < sets}
    if not uncosted | scarce:
        return (), ()
    used = _used(candidates(replace(offer, watched=frozenset(uncosted | scarce))))
    return tuple(sorted(uncosted & used)), tuple(sorted(scarce & used))


def _used(found: Candidates) -> set[str]:
    options: Iterable[Option] = (
        *found.sources,
        *(sounder for some in found.sounders.values() for sounder in some),
        *found.arrangements,
        *found.kits,
        *found.leads,
        *found.cables,
        *found.deadening,
    )
    return {part.sku for option in options for part in option.parts}


def withdrawn(catalogue: Catalogue, skus: frozenset[str]) -> Catalogue:
    """The catalogue with some products not offered; they stay listed, for what follows from their being listed."""
    if not skus:
        return catalogue

    def marked(rows: tuple[Product, ...]) -> tuple[Product, ...]:
        return tuple(replace(row, active=False) if row.sku in skus else row for row in rows)

    sheets: dict[str, Any] = {
        one.name: marked(rows)
        for one in fields(catalogue)
        if isinstance(rows := getattr(catalogue, one.name), tuple) and rows and isinstance(rows[0], Product)
    }
    return replace(catalogue, **sheets)
