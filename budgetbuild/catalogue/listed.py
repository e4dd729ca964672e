"""What a workbook lists by name, whatever faults it has: for questions that come before anything is checked."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.catalogue.meant import meant_by
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.catalogue.rows import parse_rows
from budgetbuild.catalogue.settings import read_settings
from budgetbuild.catalogue.shop import ALLOWANCE, usual_allowance
from budgetbuild.catalogue.tables import find_tables
from budgetbuild.faults import Collector

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from budgetbuild.catalogue.rows import Row


@dataclass(frozen=True, slots=True)
class ListedBrief:
    """A brief as it stands; `vehicle` is empty where its cell is blank or spoilt, or where it is for several."""

    name: str
    vehicle: str
    fitted: bool
    several: bool = False


@dataclass(frozen=True, slots=True)
class Listed:
    """What one can ask for, in the order of the sheets.

    Attributes:
        vehicles: Names of the vehicles.
        currency: Code of the shop's currency.
        allowance: What a build may cost above a budget that no tier names, as a share of it.
    """

    briefs: tuple[ListedBrief, ...]
    vehicles: tuple[str, ...]
    currency: str
    allowance: Fraction


def names_of(path: Path) -> Listed:
    """Read what a workbook lists; faults in its cells are left for `load_catalogue` to tell.

    Raises:
        UserInputError: The file is no workbook that can be read.
    """
    tables, _ = find_tables(read_sheets(open_package(path)), Collector())
    currency = str(read_settings(tables.get("settings")).values.get("currency", "EUR"))

    def named(field: str) -> list[Row]:
        rows = parse_rows(tables[field], currency) if field in tables else []
        return [row for row in rows if row.get("name")]

    vehicles = tuple(str(row.get("name")) for row in named("vehicles"))
    return Listed(
        briefs=tuple(_brief(row, vehicles) for row in named("briefs")),
        vehicles=vehicles,
        currency=currency,
        allowance=usual_allowance(_allowance(row) for row in named("tiers")),
    )


def _brief(row: Row, vehicles: Sequence[str]) -> ListedBrief:
    """A brief with its vehicle, where it is for one alone."""
    meant = meant_by(row.get("vehicle") or (), vehicles)
    own = meant[0] if len(meant) == 1 else ""
    return ListedBrief(str(row.get("name")), own, bool(row.get("fitted")), several=len(meant) > 1)


def _allowance(tier: Row) -> Fraction:
    """What a tier allows above its budget, as a share; the sheet counts in percent, and blank is 1 %."""
    percent = tier.get("allowance")
    return ALLOWANCE if percent is None else Fraction(percent) / 100
