"""One system under audit, and the notes taken on it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.build import Caution, Check, Drive, Driver, Part, Role, System
from budgetbuild.catalogue.items import (
    Aerial,
    Amplifier,
    Box,
    Converter,
    Deadening,
    FittingKit,
    HeadUnit,
    PowerKit,
    Product,
    SignalLead,
    Speaker,
    SpeakerCable,
    Subwoofer,
)
from budgetbuild.catalogue.kinds import Location, Want
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.trade.amplifiers import Way

P = TypeVar("P", bound=Product)

KINDS: dict[Role, type[Product]] = {
    Role.HEAD_UNIT: HeadUnit,
    Role.CONVERTER: Converter,
    Role.SOURCE_KIT: FittingKit,
    Role.AERIAL: Aerial,
    Role.FRONT: Speaker,
    Role.FRONT_ADAPTER: FittingKit,
    Role.REAR: Speaker,
    Role.REAR_ADAPTER: FittingKit,
    Role.BASS: Subwoofer,
    Role.BOX: Box,
    Role.AMPLIFIER: Amplifier,
    Role.POWER_KIT: PowerKit,
    Role.SIGNAL_LEAD: SignalLead,
    Role.SPEAKER_CABLE: SpeakerCable,
    Role.DEADENING: Deadening,
}
"""What kind of product may stand in each role."""

COMMON_PRACTICE = "common practice"
CONTRACT = "completeness: a car must not leave the bay without it"
BRIEF = "the brief"


@dataclass(slots=True)
class Notes:
    """Checks and cautions in the order in which they are taken."""

    checks: list[Check] = field(default_factory=list)
    cautions: list[Caution] = field(default_factory=list)

    def check(  # noqa: PLR0913 - one argument per part of a check
        self,
        rule: str,
        subject: str,
        figure: float | str,
        limit: str,
        *,
        ok: bool,
        unit: str = "",
        source: str = COMMON_PRACTICE,
    ) -> None:
        """Note a check."""
        shown = round(figure, 4) if isinstance(figure, float) else figure
        self.checks.append(Check(rule, subject, shown, limit, unit, bool(ok), source))

    def caution(self, code: str, subject: str, **figures: float | str) -> None:
        """Note a caution with the figures that its sentence quotes; the same one is said once."""
        rounded = {name: round(x, 4) if isinstance(x, float) else x for name, x in figures.items()}
        noted = Caution(code, subject, rounded)
        if noted not in self.cautions:
            self.cautions.append(noted)


@dataclass(frozen=True)
class Case:
    """A proposed system with everything that it is held against."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    cap: int | None
    system: System
    notes: Notes = field(default_factory=Notes)

    @property
    def limits(self) -> Limits:
        """The shop's limits."""
        return self.catalogue.settings.limits

    @cached_property
    def products(self) -> Mapping[str, Product]:
        """Every product of the catalogue by SKU."""
        return self.catalogue.by_sku()

    @cached_property
    def _by_role(self) -> Mapping[Role, list[Part]]:
        found: dict[Role, list[Part]] = {}
        for part in self.system.parts:
            found.setdefault(part.role, []).append(part)
        return found

    def parts(self, role: Role) -> list[Part]:
        """Parts in a role."""
        return self._by_role.get(role, [])

    def bought(self, kind: type[P], role: Role) -> list[tuple[P, int]]:
        """Products of a kind in a role with their quantity; parts of another kind are left to `known_parts`."""
        found = ((self.products.get(part.sku), part.quantity) for part in self.parts(role))
        return [(product, quantity) for product, quantity in found if isinstance(product, kind)]

    def one(self, kind: type[P], role: Role) -> P | None:
        """The first product of a kind in a role."""
        return next((product for product, _ in self.bought(kind, role)), None)

    def amplifiers(self) -> list[Amplifier | None]:
        """Each external amplifier by its number; `None` where the SKU is not an amplifier's."""
        found = (self.products.get(sku) for sku in self.system.amplifiers)
        return [product if isinstance(product, Amplifier) else None for product in found]

    def drive(self, location: Location) -> Drive | None:
        """What drives a location, where it is in the system."""
        return next((drive for drive in self.system.drives if drive.location is location), None)

    def driven_by(self, number: int) -> list[Drive]:
        """Locations that the external amplifier of that number is said to drive in some mode."""
        drives = self.system.drives
        return [d for d in drives if d.by is Driver.AMPLIFIER and d.amplifier == number and d.mode is not None]

    def way(self, number: int) -> Way:
        """How the external amplifier of that number is said to be used."""
        modes = {drive.location: drive.mode for drive in self.driven_by(number)}
        return tuple((location, mode) for location in Location if (mode := modes.get(location)))

    def asked(self, product: Product) -> bool:
        """Whether a must-include term of the brief names the product or its brand."""
        names = {fold(product.sku), fold(product.brand)}
        return any(fold(term) in names for term in self.brief.must_include)

    def wanted(self, location: Location) -> Want:
        """How the brief wants a location."""
        return {Location.FRONT: self.brief.front, Location.REAR: self.brief.rear, Location.BASS: self.brief.bass}[
            location
        ]


def total_quantity(parts: Iterable[Part]) -> int:
    """Pieces in all."""
    return sum(part.quantity for part in parts)
