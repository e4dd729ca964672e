"""Products that no upgrade path needs, because another stands in for them at every step at once.

Over several steps it matters which product it is: a part bought once serves again for nothing. So a candidate may stand
in for another of one step only if both are of the same products. But a product A stands in for a product B in all of a
path where it can do so wherever B is used: exchange every piece of B for one of A. No step's system loses anything; of
A and B together no more pieces are ever owned than before, and A is no dearer, so no step has cost more; what stayed
in the vehicle from one step to the next still stays, and nothing more is put aside. Where A is equal in price, it is
the first in SKU order. That holds for products that differ in little but their price:

power kits (carrying no less, feeding no fewer), signal leads (of as many channels: more could make another lead one too
many), boxes (of as many drivers, taking every driver that the other takes), fitting kits of a source, and aerials.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.items import Product, SignalLead
from budgetbuild.catalogue.kinds import SubwooferType
from budgetbuild.program import accessories
from budgetbuild.program.dominance import undominated
from budgetbuild.program.options import Option
from budgetbuild.program.sources import accessory, aerials, converter_kits, fitting_kits
from budgetbuild.trade import fit

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.catalogue.items import Box
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.program.offer import Offer


def apart(offer: Offer) -> Offer:
    """The offer with every product told apart, but for those that no upgrade path needs: they are not offered."""
    catalogue = without(offer.catalogue, superfluous(offer))
    return replace(offer, catalogue=catalogue, watched=frozenset(offer.catalogue.by_sku()))


def superfluous(offer: Offer) -> frozenset[str]:
    """SKUs of the products that another stands in for at every step."""
    found = _barred(offer.offered(offer.catalogue.power_kits), accessories.kits(offer))
    found |= _barred(_long_leads(offer), _leads(offer))
    found |= _barred(boxes := offer.offered(offer.catalogue.boxes), _boxes(offer, boxes))
    for kits in (fitting_kits(offer), converter_kits(offer) or []):
        found |= _barred(kits, accessory(offer, kits, Role.SOURCE_KIT))
    return found | _barred(aerials(offer), accessory(offer, aerials(offer), Role.AERIAL))


def without(catalogue: Catalogue, skus: frozenset[str]) -> Catalogue:
    """The catalogue with some products never offered."""
    sheets: dict[str, Any] = {}
    for sheet in fields(catalogue):
        items = getattr(catalogue, sheet.name)
        if isinstance(items, tuple) and any(isinstance(item, Product) and item.sku in skus for item in items):
            sheets[sheet.name] = tuple(replace(item, active=False) if item.sku in skus else item for item in items)
    return replace(catalogue, **sheets)


def _barred(offered: Iterable[Product], kept: Iterable[Option]) -> frozenset[str]:
    needed = {part.sku for option in kept for part in option.parts}
    return frozenset(product.sku for product in offered if product.sku not in needed)


def _long_leads(offer: Offer) -> list[SignalLead]:
    run_m = accessories.lead_run(offer)
    return [lead for lead in offer.offered(offer.catalogue.signal_leads) if lead.length_m >= run_m]


def _leads(offer: Offer) -> list[Option]:
    channels = {lead.sku: lead.channels for lead in offer.catalogue.signal_leads}
    single = [_one(offer, Role.SIGNAL_LEAD, lead) for lead in _long_leads(offer)]
    return undominated(single, key=lambda option: channels[option.parts[0].sku])


def _boxes(offer: Offer, boxes: Iterable[Box]) -> list[Option]:
    drivers = [one for one in offer.offered(offer.catalogue.subwoofers) if one.type is SubwooferType.DRIVER]
    fitting = {box.sku: box for box in filter(offer.goes_into_boot, boxes)}
    return undominated(
        [_one(offer, Role.BOX, box) for box in fitting.values()],
        key=lambda option: fitting[option.parts[0].sku].drivers,
        worse=lambda option: [-fit.box_takes(fitting[option.parts[0].sku], driver) for driver in drivers],
    )


def _one(offer: Offer, role: Role, product: Product) -> Option:
    parts = (Part(role, product.sku),)
    return Option(parts, product.price, tags=offer.tags(parts))
