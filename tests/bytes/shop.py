"""A tiny shop whose one list has something for every command: promotions, price ranges, two tiers, vehicles, costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tests.catalogue.workbooks import sound_book, write_shared

if TYPE_CHECKING:
    from pathlib import Path

    from tests.catalogue.workbooks import Book

FRESH = "SKU;Price;Stock\nSP-2;133,50;4\nAM-4;255,00;0\n"
"""Prices of a later day: a system that was published has become dearer."""


class Shop(NamedTuple):
    """Its files."""

    catalogue: Path
    fresh: Path


def book() -> Book:
    """The list as plain values; names have letters that not every encoding has."""
    book = sound_book()
    for rows in book.values():
        for row in rows:
            if "Price" in row:
                row |= {"Cost": round(row["Price"] / 2, 2), "Stock": 5}
    book["Amplifiers"][0] |= {"Price high": 289, "Model": "Ştrömüng İ ٤"}
    tier = book["Tiers"][0]
    book["Tiers"] = [tier, tier | {"Tier": "Higher", "Budget": 1300}]
    hatch = book["Vehicles"][0]
    book["Vehicles"] = [hatch, hatch | {"Vehicle": "Skerry Wagon", "Front depth mm": 58, "Power run m": 4.5}]
    (kit,) = book["Fitting kits"]
    book["Fitting kits"] = [kit, kit | {"SKU": "FK-2", "Price": 31, "Vehicles": "Skerry Wagon"}]
    book["Briefs"].append(book["Briefs"][0] | {"Brief": "For both", "Vehicle": "all"})
    book["Settings"] += [{"Setting": "Tax rate", "Value": "21 %"}, {"Setting": "Locale", "Value": "de_DE"}]
    book["Labour"] = [{"Work": work, "Hours": 1.5} for work in ("head unit", "front", "amplifier")]
    spring = {"Promotion": "Spring", "Brief": "Everyday", "Tier": "First", "Sets": 2, "Margin floor in %": "30 %"}
    return book | {"Promotions": [spring]}


def write_shop(folder: Path) -> Shop:
    """Write its files: once, for a workbook's own bytes hold the time of writing."""
    fresh = folder / "fresh.csv"
    fresh.write_bytes(FRESH.encode())
    return Shop(write_shared(folder / "prices.xlsx", book()), fresh)
