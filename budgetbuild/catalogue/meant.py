"""Which vehicles a brief means: one by its name, several, or all of the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.catalogue.rows import Row

ALL = "all"
"""What a brief for every vehicle of the sheet says."""


def name_vehicles(rows: Mapping[str, list[Row]]) -> None:
    """Put what each brief means into its row: `vehicle`, the one name, or `vehicles`, several of them."""
    known = listed_vehicles(rows)
    for brief in rows.get("briefs", []):
        meant = meant_by(brief.get("vehicle") or (), known)
        if len(meant) == 1:
            brief.values["vehicle"] = meant[0]
        elif meant:
            brief.values["vehicles"] = meant
            del brief.values["vehicle"]


def listed_vehicles(rows: Mapping[str, list[Row]]) -> list[str]:
    """Names of the vehicles, in the order of the sheet."""
    return [str(row.get("name")) for row in rows.get("vehicles", []) if row.get("name")]


def meant_by(written: Sequence[str], known: Sequence[str]) -> tuple[str, ...]:
    """The vehicles that a cell means, as the sheet writes and orders them; then names that the sheet does not have.

    >>> meant_by(("fenn coupe", "Marl Estate"), ["Marl Estate", "Fenn Coupe", "Tarn Saloon"])
    ('Marl Estate', 'Fenn Coupe')
    >>> meant_by(("all",), ["Marl Estate", "Fenn Coupe"])
    ('Marl Estate', 'Fenn Coupe')
    """
    folded, listed = [fold(name) for name in written], set(map(fold, known))
    whole = "; ".join(folded)
    alone = [name for name in known if fold(name.replace(";", "; ")) == whole]
    if alone:
        return (alone[0],)
    if ALL in folded and known:
        return tuple(known)
    strange = {fold(name): name for name in reversed(written) if fold(name) not in listed}
    return (*(name for name in known if fold(name) in folded), *reversed(strange.values()))


def vehicles_of(brief: Row) -> tuple[str, ...]:
    """Names of the vehicles of a brief; none where its cell is blank or spoilt."""
    one = brief.get("vehicle")
    return brief.get("vehicles") or ((one,) if one else ())


def folded_vehicles(brief: Row) -> set[str]:
    """The same as names are compared; an empty one where it names none, which may mean any."""
    return {fold(name) for name in vehicles_of(brief)} or {""}
