"""Which rows some brief can use: faults in the others do not stop the run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import HeadUnitMode, Want
from budgetbuild.catalogue.meant import folded_vehicles
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.schema import Sheet, SheetKind

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.catalogue.rows import Row

RowsBySheet = dict[str, list["Row"]]
"""Rows of every sheet, by the field that the sheet fills."""


def wants(brief: Row, *fields: str) -> bool:
    """Whether a brief may use any of these parts; a cell that cannot be read may say anything."""
    return any(brief.get(field) is not Want.NONE for field in fields)


def requires(brief: Row, *fields: str) -> bool:
    """Whether a brief requires any of these parts."""
    return any(brief.get(field) is Want.REQUIRED for field in fields)


def _mode(brief: Row, mode: HeadUnitMode) -> bool:
    """Whether a brief treats the head unit so, or cannot be read."""
    return brief.get("head_unit") in {mode, None}


def takes_pairs(brief: Row) -> bool:
    """Whether a build of the brief may have an external amplifier or a powered subwoofer."""
    return wants(brief, "amplifier") or wants(brief, "bass")


MAY_USE: dict[str, Callable[[Row], bool]] = {
    "head_units": lambda brief: _mode(brief, HeadUnitMode.REPLACE),
    "converters": lambda brief: _mode(brief, HeadUnitMode.KEEP_FACTORY) and takes_pairs(brief),
    "speakers": lambda brief: wants(brief, "front", "rear"),
    "subwoofers": lambda brief: wants(brief, "bass"),
    "boxes": lambda brief: wants(brief, "bass"),
    "amplifiers": lambda brief: wants(brief, "amplifier"),
    "power_kits": takes_pairs,
    "signal_leads": takes_pairs,
    "speaker_cables": lambda brief: wants(brief, "amplifier"),
    "aerials": lambda brief: _mode(brief, HeadUnitMode.REPLACE),
    "fitting_kits": lambda _: True,
    "deadening": lambda brief: wants(brief, "deadening"),
    "labour_hours": lambda brief: bool(brief.get("fitted")) or "fitted" in brief.spoilt,
}
"""Whether a brief may use a sheet; sheets that are not listed serve every run."""


@dataclass(frozen=True, slots=True)
class Usage:
    """What the tiers, promotions and briefs of the workbook can use.

    Attributes:
        everything: There is no brief at all, so nothing can be ruled out.
        briefs: Rows of the briefs that some tier or promotion names.
        vehicles: Folded names of the vehicles that those briefs name.
    """

    everything: bool
    briefs: tuple[Row, ...]
    vehicles: frozenset[str]

    def sheet(self, sheet: Sheet) -> bool:
        """Whether any brief may use a sheet."""
        return self._uses(sheet.field)

    def _uses(self, field: str) -> bool:
        """Whether any brief may use the sheet that fills a field."""
        may = MAY_USE.get(field)
        return self.everything or may is None or any(map(may, self.briefs))

    def row(self, row: Row) -> bool:
        """Whether any brief may use a row."""
        sheet = row.table.sheet
        if self.everything or sheet.field in {"tiers", "weights"}:
            return True
        if sheet.field == "briefs":
            return row in self.briefs
        if sheet.field == "points":
            return "of" not in row.values or self._uses(row.values["of"])
        if sheet.field == "vehicles":
            return _name(row, "name") in self.vehicles
        return self.sheet(sheet) and (sheet.kind is not SheetKind.PRODUCT or self._product(row))

    def _product(self, row: Row) -> bool:
        """Whether a product may be offered in any brief."""
        listed = row.get("vehicles")
        named = {fold(name) for name in listed or ()}
        if listed and "any" not in named and not named & self.vehicles:
            return False
        return row.get("active") is not False and not all(_leaves_out(brief, row) for brief in self.briefs)


def _leaves_out(brief: Row, row: Row) -> bool:
    """Whether a brief leaves a product out, by SKU or brand."""
    left_out = {fold(term) for term in brief.get("leave_out") or ()}
    return bool(left_out & {_name(row, "sku"), _name(row, "brand")})


def _name(row: Row, field: str) -> str:
    """A folded name; empty where the cell is blank or spoilt."""
    return fold(str(row.get(field) or ""))


def find_usage(rows: RowsBySheet) -> Usage:
    """Follow the names from tiers and promotions to briefs to vehicles; a misspelt name may mean any of them."""
    briefs, tiers = rows.get("briefs", []), rows.get("tiers", [])
    named = {fold(name) for tier in tiers for name in tier.get("briefs") or ()}
    named |= {_name(promotion, "brief") for promotion in rows.get("promotions", [])} - {""}
    every_brief = not all(tier.get("briefs") for tier in tiers) or not named <= {_name(one, "name") for one in briefs}
    used = tuple(brief for brief in briefs if every_brief or not tiers or _name(brief, "name") in named)
    vehicles = {name for brief in used for name in folded_vehicles(brief)}
    listed = {_name(vehicle, "name") for vehicle in rows.get("vehicles", [])}
    return Usage(everything=not used, briefs=used, vehicles=frozenset(listed if vehicles - listed else vehicles))
