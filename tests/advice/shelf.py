"""Sisters put on the shelf of the small shop, and what a version alert says of them."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

from budgetbuild.advice.versions import version_alerts
from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.shop import Catalogue
from budgetbuild.report.words.versions import alert_text
from tests.report import fixtures

if TYPE_CHECKING:
    from budgetbuild.build import Difference, Sister, VersionAlert
    from tests.audit.sound import Sound

SISTER = "SISTER"


def with_sister(sound: Sound, sku: str, **changes: Any) -> Sound:  # noqa: ANN401 - fields of the product
    """The shop with one more version of a product: like it but for the changes, under the SKU `SISTER`."""
    family = {"family": "One Family"}
    sheets: dict[str, Any] = {}
    for field in fields(Catalogue):
        rows = getattr(sound.catalogue, field.name)
        if isinstance(rows, tuple) and any(isinstance(row, Product) and row.sku == sku for row in rows):
            grown = [replace(row, **family) if row.sku == sku else row for row in rows]
            chosen = next(row for row in grown if row.sku == sku)
            # Names of families are compared whatever their case and spaces.
            other = replace(chosen, **{"sku": SISTER, "family": " one  FAMILY", **changes})
            sheets[field.name] = (*grown, other)
    return replace(sound, catalogue=replace(sound.catalogue, **sheets))


def alerts(sound: Sound) -> tuple[VersionAlert, ...]:
    """The version alerts of a system."""
    return version_alerts(sound.catalogue, sound.brief, sound.vehicle, sound.audited())


def sister(sound: Sound, sku: str, **changes: Any) -> Sister:  # noqa: ANN401 - fields of the product
    """What the only sister of the only product with one would do."""
    (alert,) = alerts(with_sister(sound, sku, **changes))
    (found,) = alert.sisters
    assert (alert.sku, found.sku) == (sku, SISTER)
    return found


def difference(sound: Sound, sku: str, **changes: Any) -> Difference:  # noqa: ANN401 - fields of the product
    """The first thing that the sister would change."""
    return sister(sound, sku, **changes).differences[0]


def sentence(sound: Sound, sku: str, **changes: Any) -> str:  # noqa: ANN401 - fields of the product
    """The alert in words, no-break spaces as plain ones."""
    shelf = with_sister(sound, sku, **changes)
    (alert,) = alerts(shelf)
    products = {product.sku: product for product in shelf.catalogue.products()}
    return alert_text(alert, products, fixtures.VOICE).replace("\u00a0", " ")
