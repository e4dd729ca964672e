"""The way in: from a workbook to a sound catalogue, or to every fault that it has."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.asked import UNNEEDED, Asked, ask
from budgetbuild.catalogue.build_items import BUILDERS, build_labour
from budgetbuild.catalogue.checks import Shop, check_shop
from budgetbuild.catalogue.meant import name_vehicles
from budgetbuild.catalogue.needs import missing_sheets
from budgetbuild.catalogue.overlay import lay_over
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.points import read_points
from budgetbuild.catalogue.price_file import read_prices
from budgetbuild.catalogue.promotion_checks import check_promotions
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.catalogue.reckoned import reckon_ratings
from budgetbuild.catalogue.relevance import cell_used
from budgetbuild.catalogue.row_checks import check_row
from budgetbuild.catalogue.rows import parse_rows
from budgetbuild.catalogue.settings import build_settings, read_settings
from budgetbuild.catalogue.shop import Catalogue
from budgetbuild.catalogue.tables import find_tables
from budgetbuild.catalogue.usage import find_usage
from budgetbuild.catalogue.weights import build_weights
from budgetbuild.faults import Collector, Severity

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.package import Package
    from budgetbuild.catalogue.points import Points
    from budgetbuild.catalogue.read import RawSheet
    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.tables import SheetFaults
    from budgetbuild.catalogue.usage import RowsBySheet, Usage
    from budgetbuild.faults import Cell, Fault

DROPPED = "left out, for no brief can use it; "


def load_catalogue(path: Path, asked: Asked | None = None, prices: Path | None = None) -> Catalogue:
    """Read and check a catalogue workbook.

    Args:
        path: The workbook.
        asked: The one brief to read it for, instead of those that its tiers name.
        prices: A file of fresh prices and stock to lay over it.

    Returns:
        The catalogue; its `warnings` hold what did not stop the run, in workbook order.

    Raises:
        UserInputError: With every fault of both files at once, warnings and notices among them.
    """
    package = open_package(path)
    return catalogue_from(package, read_sheets(package), asked, prices)


def catalogue_from(
    package: Package, raw: list[RawSheet], asked: Asked | None = None, prices: Path | None = None
) -> Catalogue:
    """Check raw sheets and build the catalogue.

    Raises:
        UserInputError: With every fault of both files at once.
    """
    notes = Collector()
    tables, sheet_faults = find_tables(raw, notes)
    settings = read_settings(tables.get("settings"))
    currency = settings.values.get("currency", "EUR")
    rows = {field: parse_rows(table, currency) for field, table in tables.items() if field != "settings"}
    laid = lay_over(rows, read_prices(prices), currency) if prices else None
    notes.faults.extend(laid.faults if laid else ())
    if asked:
        ask(rows, asked)
    name_vehicles(rows)
    points = read_points(rows.get("points", []), tables, currency)
    reckoned = reckon_ratings(rows, points, currency)
    _keep_read(sheet_faults, points)
    for row in _every(rows):
        check_row(row)
    shop = Shop(rows, settings, find_usage(rows))
    check_shop(shop)
    check_promotions(shop)
    _gather(shop, sheet_faults, notes, unneeded=UNNEEDED if asked else frozenset())
    order = {one.title: index for index, one in enumerate(raw)}
    notes.faults.sort(key=lambda fault: _place(fault.at, order))
    notes.stop_if_needed()
    unsound = {field for field, table in tables.items() if not table.sound}
    built = _build(package, shop, unsound, tuple(notes.faults))
    offered = built.by_sku()
    return replace(
        built,
        points=tuple(criterion for some in points.criteria.values() for criterion, _ in some),
        reckoned={sku: earned for sku, earned in reckoned.items() if sku in offered},
        fresh=laid.fresh if laid else None,
    )


def _keep_read(sheet_faults: list[SheetFaults], points: Points) -> None:
    """A column of the shop's own that earns points is not ignored."""
    for one in sheet_faults:
        one.collector.faults = [fault for fault in one.collector.faults if fault.at not in points.headers]


def _place(at: Cell, order: dict[str, int]) -> tuple[int, str, int, int]:
    """A cell's place among all: in the order of the sheets, those of another file after them."""
    return order.get(at.page, len(order)), at.page if at.file else "", at.row, at.column


def _every(rows: RowsBySheet) -> list[Row]:
    """Every row of every sheet."""
    return [row for some in rows.values() for row in some]


def _gather(shop: Shop, sheet_faults: list[SheetFaults], notes: Collector, unneeded: frozenset[str]) -> None:
    """Bring all faults together; those in what no brief can use become warnings."""
    for one in sheet_faults:
        used = shop.usage.sheet(one.sheet) and one.sheet.name not in unneeded
        notes.faults.extend(fault if used else _lessened(fault) for fault in one.collector.faults)
    for row in _every(shop.rows):
        if row.faults:
            used = shop.usage.row(row)
            row.faults = [_lessened_cell(shop.usage, row, fault) for fault in row.faults]
            notes.faults.extend(fault if used else _lessened(fault) for fault in row.faults)
    notes.faults.extend(shop.settings.faults.faults)
    headless = {one.sheet.name for one in sheet_faults if one.collector.stopping}
    notes.faults.extend(fault for fault in missing_sheets(shop) if fault.at.sheet not in headless | unneeded)


def _lessened_cell(usage: Usage, row: Row, fault: Fault) -> Fault:
    """A fault in a cell that no brief can use, as a warning; the rest of the row stays in use."""
    field = row.field_at(fault.at)
    return fault if field is None or cell_used(usage, row, field) else _lessened(fault)


def _lessened(fault: Fault) -> Fault:
    """A fault in what no brief can use, as a warning."""
    if fault.severity is not Severity.FAULT:
        return fault
    return replace(fault, severity=Severity.WARNING, mend=f"{DROPPED}{fault.mend}")


def _build(package: Package, shop: Shop, unsound: set[str], warnings: tuple[Fault, ...]) -> Catalogue:
    """The catalogue of the sound rows."""
    sound = {field: [row for row in some if row.sound] for field, some in shop.rows.items() if field not in unsound}
    lists: dict[str, Any] = {
        field: tuple(map(build, sound[field])) for field, build in BUILDERS.items() if field in sound
    }
    return Catalogue(
        name=package.name,
        sha256=package.sha256,
        labour_hours=build_labour(sound.get("labour_hours", [])),
        weights=build_weights(sound.get("weights", [])),
        settings=build_settings(shop.settings),
        warnings=warnings,
        **lists,
    )
