"""Sheets that a brief needs and the workbook does not have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.columns import SHEETS
from budgetbuild.catalogue.kinds import HeadUnitMode, SubwooferType
from budgetbuild.catalogue.usage import MAY_USE, requires
from budgetbuild.faults import Cell, Fault, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from budgetbuild.catalogue.checks import Shop
    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.schema import Sheet


def _amplifies_speakers(brief: Row) -> bool:
    """Whether every build of the brief has an external amplifier."""
    return requires(brief, "amplifier") and requires(brief, "front", "rear")


def _needs_power(brief: Row) -> bool:
    """Whether every build of the brief has an external amplifier or a powered subwoofer."""
    return requires(brief, "bass") or _amplifies_speakers(brief)


MUST_USE: dict[str, Callable[[Row], bool]] = {
    "head_units": lambda brief: brief.get("head_unit") is HeadUnitMode.REPLACE,
    "converters": lambda brief: brief.get("head_unit") is HeadUnitMode.KEEP_FACTORY and _needs_power(brief),
    "speakers": lambda brief: requires(brief, "front", "rear"),
    "subwoofers": lambda brief: requires(brief, "bass"),
    "amplifiers": _amplifies_speakers,
    "power_kits": _needs_power,
    "signal_leads": _needs_power,
    "speaker_cables": _amplifies_speakers,
    "fitting_kits": lambda brief: brief.get("head_unit") is HeadUnitMode.REPLACE,
    "deadening": lambda brief: requires(brief, "deadening"),
    "labour_hours": lambda brief: bool(brief.get("fitted")),
}
"""Whether no build of a brief can do without a sheet."""


def missing_sheets(shop: Shop) -> Iterator[Fault]:
    """Every sheet without a single row that some brief needs (a fault) or may use (a warning)."""
    for sheet in SHEETS:
        if shop.of(sheet.field):
            yield from _nothing_rated(sheet, shop)
            continue
        if sheet.required:
            yield Fault(
                Cell(sheet.name),
                "missing-sheet",
                "no rows",
                f"a sheet {sheet.name} with at least one row",
                "add it; budgetbuild starter writes one with its columns",
            )
        elif sheet.field in MAY_USE:
            yield from _missing(sheet.name, sheet.field, shop)


def _needing(field: str, shop: Shop) -> list[Row]:
    """Briefs of which no build can do without a sheet."""
    must = MUST_USE.get(field)
    return [brief for brief in shop.usage.briefs if must is not None and must(brief)]


def _nothing_rated(sheet: Sheet, shop: Shop) -> Iterator[Fault]:
    """A sheet that some brief needs and whose every product stays unrated; each of them says so itself."""
    needing = _needing(sheet.field, shop)
    if needing and all(row.unrated for row in shop.of(sheet.field)):
        yield Fault(
            Cell(shop.of(sheet.field)[0].table.title),
            "nothing-rated",
            "no rated product",
            f"a sheet {sheet.name} with at least one rated product, which {_said(needing[0])} needs",
            "rate one, or fill in what its rating is reckoned from",
        )


def _missing(name: str, field: str, shop: Shop) -> Iterator[Fault]:
    """A sheet that only some briefs need."""
    needing = _needing(field, shop)
    using = [brief for brief in shop.usage.briefs if MAY_USE[field](brief)]
    if needing:
        yield Fault(
            Cell(name),
            "missing-sheet",
            "no rows",
            f"a sheet {name} with at least one row, which {_said(needing[0])} needs",
            "add it; budgetbuild starter writes one with its columns",
        )
    elif using and _worth_telling(field, shop):
        yield Fault(
            Cell(name),
            "missing-sheet",
            "no rows",
            f"a sheet {name}, which {_said(using[0])} could use",
            "the builds go without; add it, or write none in the brief",
            Severity.WARNING,
        )


def _said(brief: Row) -> str:
    """A brief in a message."""
    return f'the brief "{brief.get("name") or brief.number}"'


def _worth_telling(field: str, shop: Shop) -> bool:
    """Whether builds can lack a sheet that no brief requires."""
    if field == "boxes":
        return any(row.get("type") is SubwooferType.DRIVER for row in shop.of("subwoofers"))
    if field == "aerials":
        return any(row.get("digital_radio") for row in shop.of("head_units"))
    return field not in {"fitting_kits", "labour_hours"}
