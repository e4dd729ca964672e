"""From sound rows to the frozen items of the catalogue."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue import items, kinds, names, promotion, shop
from budgetbuild.faults import Cell

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from budgetbuild.catalogue.rows import Row

FINEST_HOURS = 10_000
"""Hours are held as exact fractions; 0.3333333333333333 typed by a spreadsheet is a third."""
PERCENT = 100
WEIGHT_DECIMALS = 3
"""Weights are added up exactly; a third typed by a spreadsheet is 0.333."""


def _product(made: type[items.Product]) -> Callable[[Row], items.Product]:
    """Builder of a product whose fields are the columns of its sheet; one that stays unrated is never offered."""
    return lambda row: made(at=_at(row), **(row.values | {"active": False} if row.unrated else row.values))


def _at(row: Row) -> Cell:
    """Where a row stands."""
    return Cell(row.table.title, row.number)


def _cable(made: type[items.Product]) -> Callable[[Row], items.Product]:
    """Builder of a cable: where area and gauge both stand and agree, the area counts."""

    def build(row: Row) -> items.Product:
        values = {name: value for name, value in row.values.items() if name != "awg" or "mm2" not in row.values}
        return made(at=_at(row), **values)

    return build


def _fitting_kit(row: Row) -> items.FittingKit:
    """A fitting kit, its vehicles as folded names."""
    listed = [names.fold(name) for name in row.values["vehicles"]]
    values = {name: value for name, value in row.values.items() if name != "vehicles"}
    return items.FittingKit(
        at=_at(row), vehicles=tuple(name for name in listed if name != "any"), any_vehicle="any" in listed, **values
    )


def _vehicle(row: Row) -> shop.Vehicle:
    """A vehicle with its two places; without a readable opening no brief replaces its head unit."""
    values = {"opening": kinds.Opening.NONE, **row.values}
    if "weight" in values:
        values["weight"] = round(values["weight"], WEIGHT_DECIMALS)
    front, rear = (
        shop.Place(
            size_mm=values.pop(f"{where}_mm", None),
            depth_mm=values.pop(f"{where}_depth_mm", None),
            tweeter_place=values.pop(f"{where}_tweeter_place", None),
        )
        for where in ("front", "rear")
    )
    return shop.Vehicle(at=_at(row), front=front, rear=rear, **values)


def _brief(row: Row) -> shop.Brief:
    """A brief; the sheet counts its share in percent, and one vehicle alone has none."""
    values: dict[str, Any] = dict(row.values)
    share = Fraction(values.pop("share", PERCENT)) / PERCENT
    return shop.Brief(at=_at(row), share=share if "vehicles" in values else Fraction(1), **values)


def _tier(row: Row) -> shop.Tier:
    """A tier; the sheet counts its allowance in percent."""
    values: dict[str, Any] = dict(row.values)
    if "allowance" in values:
        values["allowance"] = Fraction(values["allowance"]) / PERCENT
    return shop.Tier(at=_at(row), **values)


def _promotion(row: Row) -> promotion.Promotion:
    """A promotion; the sheet counts its margin in percent, and clears one product where it names some."""
    values: dict[str, Any] = dict(row.values)
    if "floor_share" in values:
        values["floor_share"] = Fraction(values["floor_share"]) / PERCENT
    if values.get("clear"):
        values.setdefault("clear_least", 1)
    return promotion.Promotion(at=_at(row), **values)


def _discount(row: Row) -> promotion.DiscountCeiling:
    """A discount ceiling; the sheet counts in percent."""
    values: dict[str, Any] = dict(row.values)
    values["most"] = Fraction(values["most"]) / PERCENT
    return promotion.DiscountCeiling(at=_at(row), **values)


def _text(row: Row) -> shop.Text:
    """A paragraph."""
    return shop.Text(at=_at(row), **row.values)


ITEMS: dict[str, type[items.Product]] = {
    "head_units": items.HeadUnit,
    "converters": items.Converter,
    "speakers": items.Speaker,
    "subwoofers": items.Subwoofer,
    "boxes": items.Box,
    "amplifiers": items.Amplifier,
    "power_kits": items.PowerKit,
    "signal_leads": items.SignalLead,
    "speaker_cables": items.SpeakerCable,
    "aerials": items.Aerial,
    "fitting_kits": items.FittingKit,
    "deadening": items.Deadening,
}
"""Kind of product of each product sheet, by the field of `Catalogue` that holds them."""
BUILDERS: dict[str, Callable[[Row], Any]] = {
    **{field: _product(made) for field, made in ITEMS.items()},
    "power_kits": _cable(items.PowerKit),
    "speaker_cables": _cable(items.SpeakerCable),
    "fitting_kits": _fitting_kit,
    "vehicles": _vehicle,
    "briefs": _brief,
    "tiers": _tier,
    "promotions": _promotion,
    "discounts": _discount,
    "texts": _text,
}
"""Builder of the items of each sheet, by the field of `Catalogue` that holds them."""


def build_labour(rows: Iterable[Row]) -> dict[kinds.Work, Fraction]:
    """Hours by work."""
    return {row.values["work"]: Fraction(row.values["hours"]).limit_denominator(FINEST_HOURS) for row in rows}
