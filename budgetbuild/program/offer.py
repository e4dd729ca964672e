"""What one brief may be offered: the products left in, the terms that it insists on, and the price of labour."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from budgetbuild.catalogue.items import Product
from budgetbuild.catalogue.names import fold
from budgetbuild.trade import money

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from budgetbuild.build import Part, Role
    from budgetbuild.catalogue.kinds import Work
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

P = TypeVar("P", bound=Product)
Tags = frozenset[int]
"""Positions of the must-include terms that something satisfies."""


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

    def may_use(self, role: Role, sku: str) -> bool:
        """Whether a product may fill a role in some quantity."""
        only = self.only.get(role)
        return only is None or any(part.sku == sku for part in only)


@dataclass(frozen=True)
class Offer:
    """A catalogue seen through one brief and vehicle."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    narrowing: Narrowing = Narrowing()

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
        if role is not None:
            products = (product for product in products if self.narrowing.may_use(role, product.sku))
        kept = [p for p in products if p.active and not (barred and (fold(p.sku) in barred or fold(p.brand) in barred))]
        return sorted(kept, key=lambda product: product.sku)

    def tags(self, *products: Product) -> Tags:
        """Which must-include terms these products satisfy."""
        if not self.terms:
            return frozenset()
        names = {fold(p.sku) for p in products} | {fold(p.brand) for p in products}
        return frozenset(i for i, term in enumerate(self.terms) if term in names)

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
