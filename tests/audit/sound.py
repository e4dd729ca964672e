"""One system with everything that it is held against, and small changes to any of it."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any, TypeVar

from budgetbuild.audit import audit
from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

if TYPE_CHECKING:
    from budgetbuild.build import Audited, Drive, Driver, Part, Role, System
    from budgetbuild.catalogue.kinds import Location

P = TypeVar("P", bound=Product)


@dataclass(frozen=True, slots=True)
class Sound:
    """A system, the catalogue and brief it answers, the vehicle, and the cap in cents.

    The `with_...` methods return a changed copy; their keywords are fields of what they change.
    """

    name: str
    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    cap: int | None
    system: System

    def audited(self) -> Audited:
        """The audit of the system."""
        return audit(self.catalogue, self.brief, self.vehicle, self.cap, self.system)

    def refused(self) -> set[str]:
        """Rules that the system fails."""
        return {check.rule for check in self.audited().refused}

    def part(self, role: Role) -> Part | None:
        """The first part in a role."""
        return next((part for part in self.system.parts if part.role is role), None)

    def product(self, kind: type[P], role: Role) -> P | None:
        """The product of the first part in a role."""
        part = self.part(role)
        found = next((p for p in self.catalogue.products() if part and p.sku == part.sku), None)
        return found if isinstance(found, kind) else None

    def drive(self, location: Location) -> Drive | None:
        """What drives a location."""
        return next((drive for drive in self.system.drives if drive.location is location), None)

    def driven_by(self, *drivers: Driver) -> Drive | None:
        """The first drive by one of these."""
        return next((drive for drive in self.system.drives if drive.by in drivers), None)

    def with_system(self, **changes: Any) -> Sound:  # noqa: ANN401 - fields of the system
        """Another system."""
        return replace(self, system=replace(self.system, **changes))

    def with_brief(self, **changes: Any) -> Sound:  # noqa: ANN401 - fields of the brief
        """Another brief."""
        return replace(self, brief=replace(self.brief, **changes))

    def with_vehicle(self, **changes: Any) -> Sound:  # noqa: ANN401 - fields of the vehicle
        """Another vehicle."""
        return replace(self, vehicle=replace(self.vehicle, **changes))

    def with_limits(self, **changes: Any) -> Sound:  # noqa: ANN401 - fields of the limits
        """Another shop's limits."""
        settings = replace(self.catalogue.settings, limits=replace(self.catalogue.settings.limits, **changes))
        return replace(self, catalogue=replace(self.catalogue, settings=settings))

    def with_product(self, sku: str, **changes: Any) -> Sound:  # noqa: ANN401 - fields of the product
        """The product of that SKU changed in the catalogue."""
        sheets: dict[str, Any] = {}
        for field in fields(Catalogue):
            rows = getattr(self.catalogue, field.name)
            if isinstance(rows, tuple) and any(isinstance(row, Product) and row.sku == sku for row in rows):
                sheets[field.name] = tuple(replace(row, **changes) if row.sku == sku else row for row in rows)
        return replace(self, catalogue=replace(self.catalogue, **sheets))

    def with_drive(self, location: Location, **changes: Any) -> Sound:  # noqa: ANN401 - fields of the drive
        """One location driven otherwise."""
        drives = self.system.drives
        return self.with_system(drives=tuple(replace(d, **changes) if d.location is location else d for d in drives))

    def with_quantity(self, part: Part, quantity: float) -> Sound:
        """So many of a part."""
        changes: dict[str, Any] = {"quantity": quantity}  # half a piece is one of the faults
        other = replace(part, **changes)
        return self.with_system(parts=tuple(other if p == part else p for p in self.system.parts))

    def with_more(self, *parts: Part) -> Sound:
        """More lines on the list."""
        return self.with_system(parts=(*self.system.parts, *parts))

    def without(self, role: Role) -> Sound:
        """Nothing in a role."""
        return self.with_system(parts=tuple(part for part in self.system.parts if part.role is not role))

    def exchanged(self, old: str, new: str) -> Sound:
        """Another SKU wherever one stands in the system."""
        system = self.system
        return self.with_system(
            parts=tuple(replace(p, sku=new) if p.sku == old else p for p in system.parts),
            amplifiers=tuple(new if sku == old else sku for sku in system.amplifiers),
            feeds=tuple(replace(feed, sku=new) if feed.sku == old else feed for feed in system.feeds),
            cables=tuple(replace(run, sku=new) if run.sku == old else run for run in system.cables),
        )
