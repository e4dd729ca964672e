"""One system for several vehicles: what it comes to in each of them, and why where it does not fit.

Money is whole cents, scores whole thousandths of a point; weights and shares are exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.build.system import Role

if TYPE_CHECKING:
    from budgetbuild.build.audited import Audited, Caution
    from budgetbuild.build.system import Part
    from budgetbuild.catalogue.shop import Vehicle

OWN_ROLES = frozenset({Role.SOURCE_KIT, Role.AERIAL, Role.FRONT_ADAPTER, Role.REAR_ADAPTER})
"""Roles whose products belong to the vehicle; of the speaker cable the number of units does."""


@dataclass(frozen=True, slots=True)
class InVehicle:
    """The system in one of the vehicles.

    Attributes:
        weight: How much the vehicle counts.
        covered: Whether it is one of those that the system is for.
        audited: The system with the vehicle's own parts. Where the vehicle is not covered it has the best of them that
            there are, and the checks that it fails say why; where it fails none, only its score is lower.
    """

    vehicle: Vehicle
    weight: Fraction
    covered: bool
    audited: Audited

    @property
    def own(self) -> tuple[Part, ...]:
        """Parts that are the vehicle's own, or of which it takes a number of its own."""
        return tuple(p for p in self.audited.system.parts if p.role in OWN_ROLES or p.role is Role.SPEAKER_CABLE)


@dataclass(frozen=True, slots=True)
class Covered:
    """One system for several vehicles.

    Attributes:
        asked: Least share of the weights that was asked for.
        vehicles: Every vehicle of the brief, in the order of the sheet.
    """

    asked: Fraction
    vehicles: tuple[InVehicle, ...]

    @property
    def inside(self) -> tuple[InVehicle, ...]:
        """The vehicles that it covers."""
        return tuple(one for one in self.vehicles if one.covered)

    @property
    def outside(self) -> tuple[InVehicle, ...]:
        """The others."""
        return tuple(one for one in self.vehicles if not one.covered)

    @property
    def share(self) -> Fraction:
        """Share of the weights that it covers."""
        return sum((one.weight for one in self.inside), Fraction(0)) / sum(one.weight for one in self.vehicles)

    @property
    def score(self) -> int:
        """The lowest score of a vehicle covered: it has at least so many points in each."""
        return self.poorest.score

    @property
    def poorest(self) -> Audited:
        """The system in the vehicle covered where it scores least, of several the first."""
        return min((one.audited for one in self.inside), key=lambda audited: audited.score)

    @property
    def lowest(self) -> int:
        """The lowest price in a vehicle covered."""
        return min(one.audited.total for one in self.inside)

    @property
    def highest(self) -> int:
        """The highest price in a vehicle covered."""
        return max(one.audited.total for one in self.inside)

    @property
    def dearest(self) -> InVehicle:
        """The vehicle covered where it costs most, of several the first: what is printed for it is never too cheap."""
        return max(self.inside, key=lambda one: one.audited.total)


@dataclass(frozen=True, slots=True)
class Alone:
    """A vehicle that has no system within the cap even by itself.

    Attributes:
        least_total: Price of its cheapest system; `None` where it has none at any price.
        obstacles: What stands in the way there, before any money is counted.
    """

    vehicle: str
    least_total: int | None
    obstacles: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Shortfall:
    """Why no system covers as many vehicles as are asked for.

    Attributes:
        asked: The share asked for.
        greatest: The greatest share that any one system within the cap covers.
        covers: Names of the vehicles that such a system covers; `lacks` those that it does not.
        whatever_price: The greatest share that any one system covers at any price; `None` where it was not looked for,
            since the share asked for can be had at some price.
        alone: Vehicles that have no system within the cap even by themselves.
        proven: Whether the greatest share is proven; else time ran out.
    """

    asked: Fraction
    greatest: Fraction
    covers: tuple[str, ...]
    lacks: tuple[str, ...]
    whatever_price: Fraction | None
    alone: tuple[Alone, ...]
    proven: bool = True
