"""A catalogue as plain tables, one per sheet: header to cell value, row by row."""

from __future__ import annotations

import datetime as dt
from dataclasses import fields
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.columns import LIMIT_SETTINGS, SHEETS, SHOP_SETTINGS, Column, Kind, Sheet, SheetKind
from budgetbuild.catalogue.items import FittingKit
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

if TYPE_CHECKING:
    from collections.abc import Callable
    from fractions import Fraction

    from budgetbuild.catalogue.value import CellValue

Value = str | int | float | dt.date | None
Row = dict[str, Value]
Tables = dict[str, list[Row]]


def tables_of(catalogue: Catalogue) -> Tables:
    """Every sheet of the catalogue, by sheet name; the rows keep their order."""
    return {sheet.name: _rows(sheet, catalogue) for sheet in SHEETS}


def _rows(sheet: Sheet, catalogue: Catalogue) -> list[Row]:
    """The rows of one sheet."""
    keyed: dict[str, Callable[[Catalogue], list[Row]]] = {
        "Labour": _labour,
        "Weights": _weights,
        "Points": _points,
        "Settings": _settings,
    }
    if sheet.kind is SheetKind.TABLE:
        return keyed[sheet.name](catalogue)
    names = {fold(vehicle.name): vehicle.name for vehicle in catalogue.vehicles}
    rows = [
        {column.header: cell_value(column, _held(item, column.field, names)) for column in sheet.columns}
        for item in getattr(catalogue, sheet.field)
    ]
    return [row | {"Rating": None} if row.get("SKU") in catalogue.reckoned else row for row in rows]


def _held(item: object, field: str, vehicle_names: dict[str, str]) -> object:
    """The value that an item holds for a column."""
    if isinstance(item, FittingKit) and field == "vehicles":
        return ("any",) if item.any_vehicle else tuple(vehicle_names.get(name, name) for name in item.vehicles)
    if isinstance(item, Brief) and field == "vehicle":
        return item.named()
    if isinstance(item, Vehicle) and field.startswith(("front_", "rear_")) and not field.endswith("_run_m"):
        location, _, name = field.partition("_")
        return getattr(getattr(item, location), {"mm": "size_mm"}.get(name, name))
    return getattr(item, field)


def cell_value(column: Column, held: Any) -> Value:  # noqa: ANN401 - whatever an item holds
    """What a cell shows for a value held in an item.

    >>> cell_value(Column(header="AWG", field="awg", kind=Kind.AWG, help=""), 0)
    '1/0'
    """
    if held is None or held in ("", ()):
        return None
    return _SHOWN.get(column.kind, _plain)(held)


def _plain(held: Any) -> Value:  # noqa: ANN401 - whatever an item holds
    """A number as it is, anything else as text."""
    return held if isinstance(held, int | float) else str(held)


def _percent(share: Fraction) -> float:
    """A share in percent."""
    return float(share * 100)


def _awg(number: int) -> str:
    """A wire gauge as it is said."""
    return str(number) if number > 0 else f"{1 - number}/0"


_SHOWN: dict[Kind, Callable[[Any], Value]] = {
    Kind.MONEY: lambda cents: cents / 100,
    Kind.PERCENT: _percent,
    Kind.SHARE: float,
    Kind.YES_NO: lambda yes: "yes" if yes else "no",
    Kind.NAMES: "; ".join,
    Kind.AWG: _awg,
    Kind.DATE: dt.date.fromisoformat,
}


def _labour(catalogue: Catalogue) -> list[Row]:
    """Hours by work."""
    return [{"Work": str(work), "Hours": float(hours)} for work, hours in catalogue.labour_hours.items()]


def _weights(catalogue: Catalogue) -> list[Row]:
    """Points by part."""
    return [{"Part": part.name, "Points": getattr(catalogue.weights, part.name)} for part in fields(catalogue.weights)]


def _points(catalogue: Catalogue) -> list[Row]:
    """What earns points towards a rating: a row for each number, and for each word."""
    rows: list[Row] = []
    for one in catalogue.points:
        about: Row = {"Sheet": one.title, "Column": one.column}
        if one.worst is not None and one.best is not None:
            rows.append(about | {"Worst": float(one.worst), "Best": float(one.best), "Points": float(one.most)})
        rows += [about | {"Value": _word(word.value), "Points": float(word.points)} for word in one.words]
    return rows


def _word(value: CellValue) -> Value:
    """A word as it stands in a cell."""
    return ("yes" if value else "no") if isinstance(value, bool) else value


def _settings(catalogue: Catalogue) -> list[Row]:
    """The shop's settings that are filled in, then every limit."""
    settings, limits = catalogue.settings, catalogue.settings.limits
    shop = [(column, getattr(settings, column.field)) for column in SHOP_SETTINGS]
    limit = [(column, getattr(limits, column.field)) for column in LIMIT_SETTINGS]
    return [
        {"Setting": column.header, "Value": cell_value(column, held)}
        for column, held in (*shop, *limit)
        if held not in (None, "")
    ]
