"""Candidates of the slots of a build."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import Location

if TYPE_CHECKING:
    from budgetbuild.build import Part

Tags = frozenset[int | tuple[str, int] | tuple[str, str, int]]
"""What sets a candidate apart from others of the same figures: positions of the must-include terms that it satisfies,
watched products in it, each with its number of pieces, and, where that matters, how many lines it has in each role."""

LAST = "\U0010ffff"
"""Sorts after every SKU, so that of two lists that begin alike the longer comes first (as in a count per SKU)."""


@dataclass(frozen=True, slots=True)
class Option:
    """One way to fill a slot.

    Attributes:
        parts: What is bought.
        price: Whole cents, labour included where the brief is fitted.
        points: Whole thousandths of a point.
        tags: Must-include terms that the parts satisfy.
    """

    parts: tuple[Part, ...]
    price: int
    points: int = 0
    tags: Tags = frozenset()

    @property
    def sku_order(self) -> tuple[str, ...]:
        """Key of the SKU order among options that are equal otherwise."""
        return (*sorted(part.sku for part in self.parts for _ in range(part.quantity)), LAST)


@dataclass(frozen=True, slots=True)
class Source(Option):
    """A head unit or converter with its fitting kit and aerial. `internal_w` 0 = drives nothing."""

    pairs: int = 0
    internal_w: float = 0.0


@dataclass(frozen=True, slots=True)
class Load:
    """An electrical class: load in ohm at the amplifier's terminals, RMS power in W it is rated for."""

    ohm: float
    rms_w: float


@dataclass(frozen=True, slots=True)
class Sounder(Option):
    """Speakers at front or rear, or the bass, with adapter or box. `load` is `None` for a powered subwoofer."""

    location: Location = Location.FRONT
    load: Load | None = None
    brand: str = ""
    wiring: str = ""
    current_a: float = 0.0


@dataclass(frozen=True, slots=True)
class Kit(Option):
    """A power kit that is long enough: the current in A it carries and how many devices it feeds."""

    capacity_a: float = 0.0
    feeds: int = 1


@dataclass(frozen=True, slots=True)
class Leads(Option):
    """A set of signal leads for `pairs` stereo pairs."""

    pairs: int = 0


@dataclass(frozen=True, slots=True)
class Cable(Option):
    """A speaker cable for a set of locations, in whole units; `least_ohm` is the lowest load it may serve at each."""

    locations: tuple[Location, ...] = ()
    least_ohm: tuple[float, ...] = ()
