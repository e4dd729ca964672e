"""Prices that may rise: the dearest case of a system, reckoned anew from the rows of the catalogue alone."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from budgetbuild.build import Risen

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.build import Part
    from budgetbuild.catalogue.items import Product


def risen(products: Mapping[str, Product], parts: Iterable[Part], rising: int | None = None) -> tuple[Risen, ...]:
    """The prices of a system that rise in its dearest case, the greatest rise first.

    Args:
        products: Every product of the catalogue by SKU.
        parts: Of the system; they count by product, for a price belongs to a product on whatever lines it stands.
        rising: How many prices rise; `None` = all that may.
    """
    counts: Counter[str] = Counter()
    for part in parts:
        counts[part.sku] += part.quantity
    rises = [
        Risen(sku, count, product.price, product.price_high)
        for sku, count in counts.items()
        if (product := products.get(sku)) and product.price_high is not None and product.price_high > product.price
    ]
    return tuple(sorted(rises, key=lambda rise: (-rise.cents, rise.sku))[:rising])
