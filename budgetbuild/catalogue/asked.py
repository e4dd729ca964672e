"""One brief asked for at the counter: a row of the `Briefs` sheet with some of its cells told otherwise.

The change is made before anything is checked, so that the checks are those of this brief and no other: what it cannot
use does not stop it, and what it needs is looked for, whatever the tiers of the workbook name.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.columns import PRODUCT_SHEETS
from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, TextPlace, Want
from budgetbuild.catalogue.meant import listed_vehicles, meant_by
from budgetbuild.catalogue.names import fold
from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.usage import RowsBySheet

UNNEEDED = frozenset({"Tiers", "Promotions", "Discounts"})
"""Sheets that one brief alone does not need."""

MOST_NAMED = 30
"""Names in one message; more are of no help."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked for; blank fields leave the brief as it stands.

    Attributes:
        brief: Name of a brief; may be blank where the workbook has one alone.
        vehicle: Name of another vehicle.
        must_include: SKUs or brands beside the brief's own.
        leave_out: SKUs or brands beside the brief's own.
        own_preout_pairs: Pre-out pairs of the customer's own head unit, which then stays.
        tier: Name of the tier to keep, whatever briefs it names; all others are left out.
    """

    brief: str = ""
    vehicle: str = ""
    must_include: tuple[str, ...] = ()
    leave_out: tuple[str, ...] = ()
    own_preout_pairs: int | None = None
    no_bass: bool = False
    fitted: bool = False
    brand_match: bool = False
    tier: str = ""


def ask(rows: RowsBySheet, asked: Asked) -> None:
    """Leave the one brief that is asked for in the rows, changed as told, and no tier and no promotion.

    Raises:
        UserInputError: There is no such brief or vehicle; the nearest names are told.
    """
    briefs = rows.get("briefs", [])
    brief = _named(briefs, asked.brief) if asked.brief or len(briefs) != 1 else briefs[0]
    faults = [] if brief else [unknown("--brief", asked.brief, _names(briefs))]
    if brief and not asked.vehicle:
        faults += _one_of_several(brief, listed_vehicles(rows))
    if asked.vehicle and not _named(rows.get("vehicles", []), asked.vehicle):
        faults.append(unknown("--vehicle", asked.vehicle, _names(rows.get("vehicles", []))))
    known = sorted({str(row.get(field)) for row in _products(rows) for field in ("sku", "brand") if row.get(field)})
    folded = {fold(name) for name in known}
    faults += [
        unknown(option, term, known)
        for option, terms in (("--must", asked.must_include), ("--without", asked.leave_out))
        for term in terms
        if fold(term) not in folded
    ]
    tier = _named(rows.get("tiers", []), asked.tier) if asked.tier else None
    if asked.tier and tier is None:
        faults.append(unknown("--tier", asked.tier, _names(rows.get("tiers", []))))
    if brief is None or faults:
        raise UserInputError(faults)
    for option, field, value in _told(brief, asked):
        brief.tell(field, value, Cell(option))
    if tier:
        tier.tell("briefs", (), Cell("--tier"))
    kept: RowsBySheet = {"briefs": [brief], "tiers": [tier] if tier else []}
    rows["texts"] = [row for row in rows.get("texts", []) if not _about_another(row, rows, kept)]
    rows |= kept
    rows["promotions"], rows["discounts"] = [], []


def _about_another(text: Row, rows: RowsBySheet, kept: RowsBySheet) -> bool:
    """Whether a paragraph is about a tier or brief of the workbook that is not asked for."""
    sheet = {TextPlace.TIER: "tiers", TextPlace.BRIEF: "briefs"}.get(text.get("place"))
    about = text.get("about")
    if sheet is None or not about:
        return False
    return _named(rows.get(sheet, []), about) is not None and _named(kept[sheet], about) is None


def _told(brief: Row, asked: Asked) -> Iterator[tuple[str, str, Any]]:
    """Option, field and value of every change."""
    if asked.vehicle:
        yield "--vehicle", "vehicle", (asked.vehicle,)
    if asked.must_include:
        yield "--must", "must_include", (*(brief.get("must_include") or ()), *asked.must_include)
    if asked.leave_out:
        yield "--without", "leave_out", (*(brief.get("leave_out") or ()), *asked.leave_out)
    if asked.own_preout_pairs is not None:
        yield "--own-head-unit", "head_unit", HeadUnitMode.KEEP_OWN
        yield "--own-head-unit", "own_preout_pairs", asked.own_preout_pairs
    if asked.no_bass:
        yield "--no-bass", "bass", Want.NONE
    if asked.fitted:
        yield "--fitted", "fitted", True
    if asked.brand_match:
        yield "--brand-match", "one_brand", OneBrand.MUST


def _one_of_several(brief: Row, known: list[str]) -> list[Fault]:
    """A brief for several vehicles is asked for in one of them."""
    meant = meant_by(brief.get("vehicle") or (), known)
    if len(meant) <= 1:
        return []
    found = f"a brief for {len(meant)} vehicles"
    return [Fault(Cell("--vehicle"), "several-vehicles", found, _choices(list(known)), "name the customer's vehicle")]


def _named(rows: list[Row], name: str) -> Row | None:
    return next((row for row in rows if fold(str(row.get("name") or "")) == fold(name)), None)


def _products(rows: RowsBySheet) -> Iterator[Row]:
    return (row for sheet in PRODUCT_SHEETS for row in rows.get(sheet.field, []))


def _names(rows: list[Row]) -> list[str]:
    return [str(row.get("name")) for row in rows if row.get("name")]


def unknown(option: str, asked: str, names: list[str]) -> Fault:
    """A name that the workbook does not have, with the nearest ones."""
    folded, wanted = [fold(name) for name in names], fold(asked)
    within = [name for name in folded if asked and wanted in name]
    near = within[:3] or get_close_matches(wanted, folded, 3, 0.5)
    nearest = [name for one in near for name, same in zip(names, folded, strict=True) if same == one]
    return Fault(
        Cell(option),
        "unknown-name",
        asked or "nothing",
        _choices(names),
        f"write {' or '.join(dict.fromkeys(nearest))}" if nearest else _look_up(names),
    )


def _look_up(names: list[str]) -> str:
    return "use one of these names" if len(names) <= MOST_NAMED else "look it up in the workbook"


def _choices(names: list[str]) -> str:
    if not names:
        return "a name, but the workbook lists none"
    return f"one of: {'; '.join(names)}" if len(names) <= MOST_NAMED else "a name that the workbook has"
