"""Products that no other makes superfluous, in whatever vehicle: left out before they become candidates.

A product is superfluous in every vehicle where another that nothing can tell apart from it but by price, rating and
figures of which less is better (a depth, a current) is no dearer, rated no lower and no greater in any of them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import numpy as np

from budgetbuild.build import Role
from budgetbuild.catalogue.items import (
    Amplifier,
    Box,
    Converter,
    Deadening,
    HeadUnit,
    PowerKit,
    Product,
    SignalLead,
    Speaker,
    SpeakerCable,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import OneBrand
from budgetbuild.catalogue.names import fold
from budgetbuild.program.dominance import numbered, peeled
from budgetbuild.trade import cable, power

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Mapping

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.program.offer import Offer

P = TypeVar("P", bound=Product)

FITS_ANYTHING = -1.0
"""A dimension that is not known refuses no place: less than any that is."""


class Seen(NamedTuple):
    """What the trade rules see of a product beside its price, rating and brand.

    Attributes:
        alike: What must be the same where one stands in for another.
        less: Figures of which less is better.
    """

    alike: Callable[[Any], Hashable]
    less: Callable[[Any], tuple[float, ...]]


def _outside(product: Subwoofer | Box) -> tuple[float, ...]:
    """Outside dimensions, the base either way round."""
    width, height, depth = map(_or_any, (product.width_mm, product.height_mm, product.depth_mm))
    return min(width, depth), max(width, depth), height


def _or_any(size_mm: float | None) -> float:
    return FITS_ANYTHING if size_mm is None else size_mm


def _amplifier(one: Amplifier) -> Hashable:
    """Without a fuse rating the class says what current it draws; with one it does not matter."""
    ratings = (one.w_at_4, one.w_at_2, one.min_ohm, one.bridged_w_at_4, one.min_bridged_ohm)
    sub = (one.sub_w_at_4, one.sub_w_at_2, one.sub_w_at_1, one.sub_min_ohm)
    return one.channels, *ratings, *sub, one.amplifier_class if one.fuse_a is None else "fused"


def _subwoofer(one: Subwoofer) -> Hashable:
    return one.type, one.ohm, one.coils, one.rms_w, one.size_mm, one.box_litres_min, one.box_litres_max, one.fuse_a


SEEN: dict[type[Product], Seen] = {
    HeadUnit: Seen(lambda u: (u.opening, u.internal_w, u.digital_radio), lambda u: (-u.preout_pairs,)),
    Converter: Seen(lambda _: 0, lambda c: (-c.output_pairs,)),
    Speaker: Seen(lambda s: (s.type, s.size_mm, s.ohm, s.rms_w), lambda s: (_or_any(s.depth_mm),)),
    Subwoofer: Seen(_subwoofer, _outside),
    Box: Seen(lambda b: (b.cutout_mm, b.drivers, b.litres), _outside),
    Amplifier: Seen(_amplifier, lambda a: (a.fuse_a or 0.0,)),
    PowerKit: Seen(lambda k: k.conductor, lambda k: (-power.area(k), -k.length_m, -k.fuse_a, -k.amplifiers_fed)),
    SignalLead: Seen(lambda lead: lead.channels, lambda lead: (-lead.length_m,)),
    SpeakerCable: Seen(lambda c: c.metres_per_unit, lambda c: (cable.loop_resistance(c, 1.0),)),
    Deadening: Seen(lambda d: d.sheet_m2, lambda _: ()),
}
"""Sheets whose products are sorted; aerials and fitting kits are seen only through a vehicle."""


def useful(offer: Offer, products: Iterable[P], role: Role) -> list[P]:
    """Products of one sheet that may fill a role in some best build, in SKU order; see `Offer.offered`.

    Where lines are counted, or more than the price counts, only the candidates of a build can be compared: then none is
    left out here; nor where an offer is narrowed to certain products.

    Of two at one price only the first in SKU order can make the other superfluous, however much better the other is
    rated: both may earn the same points in the end, and then the first is what a tie asks for.
    """
    offered = offer.offered(products, role)
    narrowed = role in offer.narrowing.only
    if not offered or narrowed or offer.weighing is not None or offer.lines_count:
        return offered
    apart = offer.watched | {part.sku for part in offer.narrowing.never.get(role, ())}
    classes = numbered(_class(offer, product, apart) for product in offered)
    less = SEEN[type(offered[0])].less
    better = np.array([(product.rating or 0.0, *(-figure for figure in less(product))) for product in offered])
    prices = np.array([product.price for product in offered])
    order = np.lexsort((np.arange(len(offered)), prices, classes))
    return [offered[i] for i in sorted(peeled(order, classes, better))]


ROLES: Mapping[str, Role] = {
    "head_units": Role.HEAD_UNIT,
    "converters": Role.CONVERTER,
    "speakers": Role.FRONT,
    "subwoofers": Role.BASS,
    "boxes": Role.BOX,
    "amplifiers": Role.AMPLIFIER,
    "power_kits": Role.POWER_KIT,
    "signal_leads": Role.SIGNAL_LEAD,
    "speaker_cables": Role.SPEAKER_CABLE,
    "deadening": Role.DEADENING,
}
"""Sheets whose products are sorted, and a role of each; rear speakers are those of the front."""


def pruned(offer: Offer, sheets: Iterable[str] = ROLES) -> Catalogue:
    """The catalogue without what is superfluous in every vehicle; the offer's own is not looked at."""
    catalogue: Any = offer.catalogue
    kept = {sheet: tuple(useful(offer, getattr(catalogue, sheet), ROLES[sheet])) for sheet in sheets}
    found: Catalogue = replace(catalogue, **kept)
    return found


def trimmed(offer: Offer) -> Catalogue:
    """The catalogue without what connects, feeds and carries but is superfluous: for many questions about one vehicle.

    The answers stay the same as long as their briefs insist on the same accessories and leave the same ones out.
    """
    carrying = pruned(offer, ("boxes", "power_kits", "signal_leads", "speaker_cables"))
    boxes = tuple(filter(offer.goes_into_boot, carrying.boxes))
    return replace(carrying, boxes=boxes, fitting_kits=tuple(offer.fitting_kits))


def _class(offer: Offer, product: Product, apart: frozenset[str]) -> Hashable:
    """What must be the same where one stands in for another; some stand `apart` from all others."""
    brand = "" if offer.brief.one_brand is OneBrand.NO else fold(product.brand)
    alone = product.sku if product.sku in apart else ""
    return SEEN[type(product)].alike(product), brand, offer.terms_met(product), alone
