"""Which cells of a row some brief can use: a fault in the others does not stop the run, and the row stays."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import HeadUnitMode, KitFor, SubwooferType
from budgetbuild.catalogue.meant import folded_vehicles
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.usage import takes_pairs, wants

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.usage import Usage


def _replaces(brief: Row) -> bool:
    """Whether a brief may replace the head unit."""
    return brief.get("head_unit") in {HeadUnitMode.REPLACE, None}


def _amplifies(*locations: str) -> Callable[[Row], bool]:
    """Whether a brief may have an external amplifier at one of these locations."""
    return lambda brief: wants(brief, *locations) and wants(brief, "amplifier")


def _wants(*parts: str) -> Callable[[Row], bool]:
    """Whether a brief may have one of these parts."""
    return lambda brief: wants(brief, *parts)


VEHICLE_FIELDS: dict[str, Callable[[Row], bool]] = {
    "opening": _replaces,
    "factory_digital_aerial": _replaces,
    "front_mm": _wants("front"),
    "front_depth_mm": _wants("front"),
    "front_tweeter_place": _wants("front"),
    "rear_mm": _wants("rear"),
    "rear_depth_mm": _wants("rear"),
    "rear_tweeter_place": _wants("rear"),
    "boot_width_mm": _wants("bass"),
    "boot_height_mm": _wants("bass"),
    "boot_depth_mm": _wants("bass"),
    "alternator_a": takes_pairs,
    "signal_run_m": takes_pairs,
    "power_run_m": takes_pairs,
    "front_run_m": _amplifies("front"),
    "rear_run_m": _amplifies("rear"),
    "bass_run_m": _amplifies("bass"),
    "door_m2": _wants("deadening"),
    "weight": lambda brief: bool(brief.get("vehicles")),
}
"""For each fact of a vehicle, whether a brief for that vehicle can use it."""


def _is(field: str, *kinds: object) -> Callable[[Row], bool]:
    """Whether a row is of one of these kinds, or its kind cannot be read."""
    return lambda row: row.get(field) in {*kinds, None}


ROW_FIELDS: dict[str, dict[str, Callable[[Row], bool]]] = {
    "briefs": {
        "own_preout_pairs": _is("head_unit", HeadUnitMode.KEEP_OWN),
        "own_internal_w": _is("head_unit", HeadUnitMode.KEEP_OWN),
    },
    "subwoofers": {
        "ohm": _is("type", SubwooferType.ENCLOSURE, SubwooferType.DRIVER),
        "coils": _is("type", SubwooferType.DRIVER),
        "box_litres_min": _is("type", SubwooferType.DRIVER),
        "box_litres_max": _is("type", SubwooferType.DRIVER),
        "width_mm": _is("type", SubwooferType.ENCLOSURE, SubwooferType.POWERED),
        "height_mm": _is("type", SubwooferType.ENCLOSURE, SubwooferType.POWERED),
        "depth_mm": _is("type", SubwooferType.ENCLOSURE, SubwooferType.POWERED),
        "fuse_a": _is("type", SubwooferType.POWERED),
    },
    "fitting_kits": {
        "location": _is("fits", KitFor.SPEAKER),
        "size_mm": _is("fits", KitFor.SPEAKER),
    },
}
"""For each column that only some kinds of rows use, whether a row is of such a kind."""


def cell_used(usage: Usage, row: Row, field: str) -> bool:
    """Whether some brief can use what stands in a cell."""
    of_kind = ROW_FIELDS.get(row.table.sheet.field, {}).get(field)
    if of_kind is not None:
        return of_kind(row)
    needs = VEHICLE_FIELDS.get(field) if row.table.sheet.field == "vehicles" else None
    if needs is None or usage.everything:
        return True
    name = fold(str(row.get("name") or ""))
    return any(needs(brief) for brief in usage.briefs if not name or folded_vehicles(brief) & {name, ""})
