"""What one set of a promotion is held against, and what its lines come to in whole cents."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.build import Role
from budgetbuild.trade import money, promotion

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from fractions import Fraction

    from budgetbuild.build import Part
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.promotion import DiscountCeiling
    from budgetbuild.program.options import Option
    from budgetbuild.program.weighing import Money, Weighing

MERGED = frozenset({Role.AMPLIFIER, Role.POWER_KIT})
"""Roles in which one line may hold pieces of several candidates: two amplifiers of a kind, each with its kit."""

MOST_MERGED = 3
"""Devices in a build at most, for each drives a location of its own."""


class Line(NamedTuple):
    """Pieces on one line, in cents: `net` of tax and `cost` (0 where margins do not count), `room` for a discount."""

    total: int
    net: int
    cost: int
    room: int


@dataclass(frozen=True)
class Deal:
    """The money of one set.

    Attributes:
        products: Every product by SKU; all that may take part have a cost where margins count.
        price: What the bundle is sold for, in cents; `None` = at list, or whatever suits where `asking`.
        asking: Whether the price of the bundle is looked for.
        cap: Most that its list may come to, in cents; `None` = anything.
        tax: Rate as a share of the price without tax; `None` = margins do not count.
        ceilings: Those of the promotion.
        floor: Least margin in cents; `floor_share` as a share of the parts' revenue without tax.
        clear: SKUs of which `clear_least` must be in it.
    """

    products: Mapping[str, Product]
    price: int | None = None
    asking: bool = False
    cap: int | None = None
    tax: Fraction | None = None
    ceilings: tuple[DiscountCeiling, ...] = ()
    floor: int | None = None
    floor_share: Fraction | None = None
    clear: tuple[str, ...] = ()
    clear_least: int = 0
    _lines: dict[tuple[Part, int], Line] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def bundled(self) -> bool:
        """Whether it is sold at a price of its own, so that there is a discount."""
        return self.price is not None or self.asking

    def line(self, part: Part, times: int = 1) -> Line:
        """What so many times the pieces of a part come to on one line."""
        key = part, times
        if key not in self._lines:
            product, count = self.products[part.sku], part.quantity * times
            total = product.price * count
            self._lines[key] = Line(
                total,
                0 if self.tax is None else money.without_tax(total, self.tax),
                0 if self.tax is None else (product.cost or 0) * count,
                promotion.room(total, promotion.ceiling(self.ceilings, part.role, product)) if self.bundled else 0,
            )
        return self._lines[key]

    def merges(self, part: Part) -> bool:
        """Whether several of it on one line come to other cents than each on its own."""
        one = self.line(part)
        several = ((times, self.line(part, times)) for times in range(2, MOST_MERGED + 1))
        return part.role in MERGED and any(
            (line.net, line.room) != (times * one.net, times * one.room) for times, line in several
        )

    def weighing(self) -> Weighing | None:
        """How candidates for the promotion are compared."""
        if self.bundled:
            return SamePrice(self) if self.tax is None else Bundled(self, self.tax)
        return None if self.tax is None else AtList(self)


def _lines(deal: Deal, option: Option) -> list[Line]:
    return [deal.line(part) for part in option.parts]


def _unsure(deal: Deal, parts: Iterable[Part]) -> int:
    """Lines of a candidate whose sum may move by a cent with what else is on them."""
    return sum(deal.merges(part) or part.role is Role.SIGNAL_LEAD for part in parts)


@dataclass(frozen=True)
class AtList:
    """Sold at list prices: no dearer, earns no less, and no more revenue of which a share must be earned."""

    deal: Deal

    def brings(self, option: Option) -> Money:
        """Price, earnings and revenue without tax, at their worst."""
        return self._weighed(option, _unsure(self.deal, option.parts))

    def takes(self, option: Option) -> Money:
        """The same at their best."""
        return self._weighed(option, -_unsure(self.deal, option.parts))

    def _weighed(self, option: Option, unsure: int) -> Money:
        lines = _lines(self.deal, option)
        net = sum(line.net for line in lines)
        return option.price, sum(line.cost for line in lines) - net + unsure, net + unsure


@dataclass(frozen=True)
class Bundled:
    """Sold at a price of its own: lists for no less, leaves room for the discount that adds, and costs less.

    In the place of another that lists for d less, a candidate adds d to the list and to the discount. Without tax the
    two differ by a cent at most, and each line's rounding by half a cent more (a whole one where pieces of several
    candidates share it); fitting work is revenue that is not counted, so what it adds to the discount counts as cost.
    So whoever costs less by all of that leaves at least a cent more margin.
    """

    deal: Deal
    tax: Fraction

    def brings(self, option: Option) -> Money:
        """List, undiscounted part, cost and labour, at their worst."""
        return self._weighed(option, 1)

    def takes(self, option: Option) -> Money:
        """The same at their best."""
        return self._weighed(option, -1)

    def _weighed(self, option: Option, sign: int) -> Money:
        lines, net = _lines(self.deal, option), self.tax.denominator
        gross = net + self.tax.numerator
        labour = option.price - sum(line.total for line in lines)
        cost = 2 * gross * sum(line.cost for line in lines) + 2 * net * labour
        halves = sum(2 if part.role in MERGED or part.role is Role.SIGNAL_LEAD else 1 for part in option.parts)
        undiscounted = option.price - sum(line.room for line in lines)
        return (
            -option.price,
            undiscounted if sign > 0 else undiscounted - _unsure(self.deal, option.parts),
            cost + sign * gross * (1 + (halves if self.tax else 0)),
            -labour,
        )


@dataclass(frozen=True)
class SamePrice:
    """Sold at a price of its own where no margin counts: lists for the same, and leaves as much room."""

    deal: Deal

    def brings(self, option: Option) -> Money:
        """List both ways, and the undiscounted part."""
        return option.price, -option.price, option.price - sum(line.room for line in _lines(self.deal, option))

    def takes(self, option: Option) -> Money:
        """The same, less what lines that others share may leave."""
        list_price, minus, undiscounted = self.brings(option)
        return list_price, minus, undiscounted - _unsure(self.deal, option.parts)
