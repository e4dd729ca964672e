"""The money of a promotion: which discount ceiling a part has, and what it leaves room for."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.build import Role
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.promotion import Discounted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.promotion import DiscountCeiling

WHOLE = Fraction(1)
"""The ceiling of what none is named for: nothing is sold for less than nothing."""

ROLES: dict[Discounted, frozenset[Role]] = {
    Discounted.HEAD_UNIT: frozenset({Role.HEAD_UNIT}),
    Discounted.CONVERTER: frozenset({Role.CONVERTER}),
    Discounted.FITTING_KIT: frozenset({Role.SOURCE_KIT}),
    Discounted.AERIAL: frozenset({Role.AERIAL}),
    Discounted.SPEAKERS: frozenset({Role.FRONT, Role.REAR}),
    Discounted.FRONT: frozenset({Role.FRONT}),
    Discounted.REAR: frozenset({Role.REAR}),
    Discounted.ADAPTER: frozenset({Role.FRONT_ADAPTER, Role.REAR_ADAPTER}),
    Discounted.BASS: frozenset({Role.BASS}),
    Discounted.BOX: frozenset({Role.BOX}),
    Discounted.AMPLIFIER: frozenset({Role.AMPLIFIER}),
    Discounted.POWER_KIT: frozenset({Role.POWER_KIT}),
    Discounted.SIGNAL_LEAD: frozenset({Role.SIGNAL_LEAD}),
    Discounted.SPEAKER_CABLE: frozenset({Role.SPEAKER_CABLE}),
    Discounted.DEADENING: frozenset({Role.DEADENING}),
}
"""The lines of a build that each kind of part stands on."""


def ceilings_of(ceilings: Iterable[DiscountCeiling], promotion: str) -> tuple[DiscountCeiling, ...]:
    """The ceilings that hold for a promotion: its own, and those for all of which it has none about the same."""
    some = tuple(ceilings)
    own = [one for one in some if fold(promotion) in map(fold, one.promotions)]
    said = {_about(one) for one in own}
    return (*own, *(one for one in some if not one.promotions and _about(one) not in said))


def _about(ceiling: DiscountCeiling) -> str:
    return str(ceiling.part or fold(ceiling.about))


def ceiling(ceilings: Iterable[DiscountCeiling], role: Role, product: Product) -> Fraction:
    """The most by which a part may be discounted, as a share of its list price.

    What names its SKU comes first; else the lowest of what names its kind or its brand, for each of them is a promise;
    else what names all parts; else there is none.

    Args:
        ceilings: Those of the promotion, see `ceilings_of`.
        role: The line that the part stands on; labour is never discounted and has no ceiling.
        product: What the part is.
    """
    some = tuple(ceilings)
    sku, brand = fold(product.sku), fold(product.brand)
    named = [one.most for one in some if one.part is None and fold(one.about) == sku]
    if named:
        return min(named)
    kinds = [one.most for one in some if one.part and role in ROLES.get(one.part, ())]
    brands = [one.most for one in some if one.part is None and brand and fold(one.about) == brand]
    everything = [one.most for one in some if one.part is Discounted.ALL]
    return min([*kinds, *brands] or everything or [WHOLE])


def room(line_total: int, most: Fraction) -> int:
    """By how many cents a line may be discounted: its ceiling's share of the line total, rounded down.

    >>> room(9999, Fraction(15, 100)), room(100, Fraction(1))
    (1499, 100)
    """
    return math.floor(line_total * most)
