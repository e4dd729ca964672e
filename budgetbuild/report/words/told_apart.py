"""What tells the versions of one product apart, in as few words as will do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import (
    Aerial,
    Amplifier,
    Box,
    Converter,
    FittingKit,
    HeadUnit,
    PowerKit,
    Product,
    SignalLead,
    Speaker,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import AerialUse
from budgetbuild.catalogue.names import fold
from budgetbuild.report.words.format import label
from budgetbuild.report.words.notation import Notation, gauge

if TYPE_CHECKING:
    from collections.abc import Sequence

AERIALS = {AerialUse.SCREEN_MOUNT: "screen-mount", AerialUse.FACTORY_ADAPTER: "factory-aerial"}


def version_of(product: Product, others: Sequence[Product], notation: Notation) -> str:
    r"""The marks in which a product differs from at least one of the others, empty where none is known.

    >>> from budgetbuild.catalogue.items import SignalLead
    >>> short, long = (SignalLead(sku=sku, price=1, channels=2, length_m=m) for sku, m in (("A", 0.5), ("B", 5)))
    >>> version_of(short, [long], Notation())
    '0.5\xa0m'
    """
    rows = [marks(other, notation) for other in others]
    told = [mark for place, mark in enumerate(marks(product, notation)) if any(row[place] != mark for row in rows)]
    return ", ".join(mark for mark in told if mark)


def marks(product: Product, notation: Notation) -> tuple[str, ...]:
    """What may tell versions of a kind of product apart, each mark always in the same place; empty = not stated."""
    match product:
        case Speaker() | Subwoofer():
            return _sounding(product, notation)
        case HeadUnit():
            return f"{product.opening.value} size", f"{product.preout_pairs}-pair"
        case Converter():
            return (f"{product.output_pairs}-pair",)
        case Amplifier():
            return (f"{product.channels}-channel" if product.channels else "mono",)
        case _:
            return _accessory(product, notation)


def _sounding(product: Speaker | Subwoofer, notation: Notation) -> tuple[str, ...]:
    load = _or_empty(product.ohm, "ohm", notation) if isinstance(product, Speaker) else _load(product, notation)
    return load, _or_empty(product.size_mm, "mm", notation), product.type.value


def _accessory(product: Product, notation: Notation) -> tuple[str, ...]:
    match product:
        case Box():
            return (
                f"{notation.number(product.litres)}-litre",
                notation.measure(product.cutout_mm, "mm"),
                f"{product.drivers}-driver",
            )
        case PowerKit():
            return notation.measure(product.length_m, "m"), gauge(product, notation), product.conductor.value
        case SignalLead():
            return notation.measure(product.length_m, "m"), f"{product.channels}-channel"
        case Aerial():
            return (AERIALS[product.use],)
        case FittingKit():
            return f"{product.fits.value} kit", product.location or "", _or_empty(product.size_mm, "mm", notation)
        case _:
            return ()


def _load(subwoofer: Subwoofer, notation: Notation) -> str:
    """The load, coil by coil where there are several."""
    one = _or_empty(subwoofer.ohm, "ohm", notation)
    return f"{subwoofer.coils} x {one}" if one and subwoofer.coils > 1 else one


def _or_empty(value: float | None, unit: str, notation: Notation) -> str:
    return "" if value is None else notation.measure(value, unit)


def ordered_as(product: Product, version: str) -> str:
    """A product as one orders it: name, version where the name does not say it, SKU where that is not all."""
    name, sku = label(product.name), label(product.sku)
    said = not version or f" {fold(version)} " in f" {fold(name)} "
    named = name if said else f"{name}, {version}"
    return named if product.name == product.sku else f"{named} ({sku})"
