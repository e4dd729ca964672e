"""What one brief may be offered: the products left in, the terms that it insists on, and the price of labour."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.names import fold
from budgetbuild.trade import fit, money

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from budgetbuild.build import Part, Role
    from budgetbuild.catalogue.items import Box, FittingKit, Subwoofer
    from budgetbuild.catalogue.kinds import Work
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.program.options import Option, Tags
    from budgetbuild.program.weighing import Weighing

P = TypeVar("P", bound=Product)
T = TypeVar("T", bound="Option")


@dataclass(frozen=True, slots=True)
class Narrowing:
    """What stays as it is in a build of which only one part may change.

    Attributes:
        only: Nothing but these parts may fill the role.
        never: These parts may not fill the role.
        amplifiers: How many external amplifiers there are, `None` = as the brief has it.
    """

    only: Mapping[Role, frozenset[Part]] = field(default_factory=dict)
    never: Mapping[Role, frozenset[Part]] = field(default_factory=dict)
    amplifiers: int | None = None

    def permits(self, part: Part) -> bool:
        """Whether a part may fill its role."""
        return part in self.only.get(part.role, (part,)) and part not in self.never.get(part.role, ())


@dataclass(frozen=True)
class Offer:
    """A catalogue seen through one brief and vehicle.

    Attributes:
        watched: SKUs that something outside the brief tells apart (what was published, a stock that several share): no
            candidate with one of them makes another superfluous, or is made so, unless both hold the same number of it.
        weighing: What counts of the money when candidates are compared; `None` = the price alone.
        lines_count: Whether something outside the brief counts lines: candidates then stay apart unless they have as
            many lines in each role.
    """

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    narrowing: Narrowing = Narrowing()
    watched: frozenset[str] = frozenset()
    weighing: Weighing | None = None
    lines_count: bool = False

    @cached_property
    def terms(self) -> tuple[str, ...]:
        """Must-include terms (SKUs or brands), folded for comparison."""
        return tuple(fold(term) for term in self.brief.must_include)

    @cached_property
    def _left_out(self) -> frozenset[str]:
        return frozenset(fold(term) for term in self.brief.leave_out)

    def offered(self, products: Iterable[P], role: Role | None = None) -> list[P]:
        """Active products that the brief does not leave out, in SKU order; those alone that may fill a role."""
        barred = self._left_out
        only = self.narrowing.only.get(role) if role else None
        if only is not None:
            named = {part.sku for part in only}
            products = (product for product in products if product.sku in named)
        kept = [p for p in products if p.active and not (barred and (fold(p.sku) in barred or fold(p.brand) in barred))]
        return sorted(kept, key=lambda product: product.sku)

    @cached_property
    def fitting_kits(self) -> list[FittingKit]:
        """Fitting kits that fit the vehicle, on offer or not."""
        return [kit for kit in self.catalogue.fitting_kits if fit.kit_fits(kit, self.vehicle)]

    def goes_into_boot(self, outside: Subwoofer | Box) -> bool:
        """Whether an enclosure, a powered subwoofer or an empty box goes into the boot."""
        limits = self.catalogue.settings.limits
        return fit.boot_fits(outside.width_mm, outside.height_mm, outside.depth_mm, self.vehicle, limits).allowed

    def permitted(self, options: Iterable[T]) -> Iterator[T]:
        """The candidates whose parts may fill their roles, where the offer is narrowed."""
        return (option for option in options if all(map(self.narrowing.permits, option.parts)))

    def terms_met(self, product: Product) -> frozenset[int]:
        """Positions of the must-include terms that a product satisfies."""
        if not self.terms:
            return frozenset()
        names = {fold(product.sku), fold(product.brand)}
        return frozenset(i for i, term in enumerate(self.terms) if term in names)

    def tags(self, parts: Iterable[Part]) -> Tags:
        """What sets these parts apart: see `Tags`."""
        if not (self.terms or self.watched or self.lines_count):
            return frozenset()
        bought = tuple(parts)
        found: set[int | tuple[str, int] | tuple[str, str, int]] = set()
        for part in bought:
            found |= self.terms_met(self.catalogue.by_sku()[part.sku])
            if part.sku in self.watched:
                found.add((part.sku, part.quantity))
        if self.lines_count:
            found |= {("lines", role, count) for role, count in Counter(part.role for part in bought).items()}
        return frozenset(found)

    def labour(self, work: Work, quantity: Fraction = Fraction(1)) -> int:
        """Price of one piece of work in cents; 0 where the brief is not fitted.

        Raises:
            LookupError: A fitted brief lacks the rate or the hours; the catalogue checks refuse that earlier.
        """
        if not self.brief.fitted:
            return 0
        rate = self.catalogue.settings.labour_rate
        if rate is None or work not in self.catalogue.labour_hours:
            raise LookupError(f"no labour rate or hours for {work}")
        return money.labour_price(self.catalogue.labour_hours[work], rate, quantity)


def rating_of(product: Product) -> float:
    """The rating of a product whose role scores.

    Raises:
        ValueError: It has none; the catalogue checks refuse that earlier.
    """
    if product.rating is None:
        raise ValueError(f"{product.sku} has no rating")
    return product.rating
