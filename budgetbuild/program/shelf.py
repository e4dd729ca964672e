"""The shelf: what is the same for every brief and vehicle of one catalogue, shared by all of them."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable

    from budgetbuild.catalogue.items import FittingKit
    from budgetbuild.catalogue.shop import Catalogue, Vehicle

R = TypeVar("R")


class Shelf:
    """What is the same for every brief and vehicle of one catalogue; found when first asked for."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self._known: dict[Hashable, Any] = {}

    def holds(self, catalogue: Catalogue) -> bool:
        """Whether a catalogue has the very products of this one; all else may differ."""
        sheets = zip(catalogue.sheets(), self.catalogue.sheets(), strict=True)
        return catalogue is self.catalogue or all(one is other for one, other in sheets)

    def once(self, key: Hashable, make: Callable[[], R]) -> R:
        """What was made for the same key before, or is made now."""
        if key not in self._known:
            self._known[key] = make()
        found: R = self._known[key]
        return found

    def kits(self, vehicle: Vehicle) -> list[FittingKit]:
        """Fitting kits that list a vehicle by name, or any vehicle; on offer or not, in the order of the sheet."""
        named = self._kits.get(fold(vehicle.name), [])
        return [self.catalogue.fitting_kits[i] for i in sorted({*named, *self._kits.get(None, [])})]

    @cached_property
    def _kits(self) -> dict[str | None, list[int]]:
        """Rows of the sheet by the vehicles that they list; `None` = any."""
        found: dict[str | None, list[int]] = {}
        for i, kit in enumerate(self.catalogue.fitting_kits):
            for name in {*kit.vehicles, *([None] if kit.any_vehicle else [])}:
                found.setdefault(name, []).append(i)
        return found
