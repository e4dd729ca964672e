"""What a promotion comes to: a bundle with its money and stock, what else one could choose, or why there is none."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction

    from budgetbuild.build.alternatives import Step, VersionAlert
    from budgetbuild.build.audited import Audited, Check
    from budgetbuild.build.solved import NoBuild, Status
    from budgetbuild.build.system import Role
    from budgetbuild.catalogue.promotion import Promotion
    from budgetbuild.catalogue.shop import Brief, Tier, Vehicle


@dataclass(frozen=True, slots=True)
class SaleLine:
    """One line of parts, in cents.

    Attributes:
        net: Line total without tax; `cost` likewise; `None` where margins do not count.
        ceiling: The most by which it may be discounted, as a share of the line total.
        room: That in cents.
    """

    role: Role
    sku: str
    description: str
    quantity: int
    line_total: int
    net: int | None
    cost: int | None
    ceiling: Fraction
    room: int


@dataclass(frozen=True, slots=True)
class Sale:
    """The money of one set, in cents.

    Attributes:
        list_total: All lines at list prices, labour included.
        price: What the customer pays.
        discount_net: The discount without tax; `None` where margins do not count.
    """

    lines: tuple[SaleLine, ...]
    list_total: int
    price: int
    discount_net: int | None

    @property
    def discount(self) -> int:
        """List total less price."""
        return self.list_total - self.price

    @property
    def parts_total(self) -> int:
        """All parts at list prices."""
        return sum(line.line_total for line in self.lines)

    @property
    def labour(self) -> int:
        """Fitting work at list prices."""
        return self.list_total - self.parts_total

    @property
    def room(self) -> int:
        """By how much the bundle may be discounted under the ceilings."""
        return sum(line.room for line in self.lines)

    @property
    def revenue(self) -> int | None:
        """What the parts bring without tax, the discount taken off."""
        if self.discount_net is None:
            return None
        return sum(line.net or 0 for line in self.lines) - self.discount_net

    @property
    def cost(self) -> int | None:
        """What the parts cost the shop."""
        return None if self.discount_net is None else sum(line.cost or 0 for line in self.lines)

    @property
    def margin(self) -> int | None:
        """Revenue less cost."""
        revenue, cost = self.revenue, self.cost
        return None if revenue is None or cost is None else revenue - cost


@dataclass(frozen=True, slots=True)
class Shelf:
    """What a product's stock goes into, in pieces.

    Attributes:
        each: In one set.
        taken: In all sets of the promotion; `others` by other promotions.
        stock: Before any of it; `None` = not tracked.
    """

    sku: str
    each: int
    taken: int
    others: int
    stock: int | None

    @property
    def left(self) -> int | None:
        """Pieces left after all promotions."""
        return None if self.stock is None else self.stock - self.taken - self.others


@dataclass(frozen=True, slots=True)
class BundleChoice:
    """One bundle of the trade-off: no other scores more without earning less, or earns more without scoring less.

    Attributes:
        step: The way to it from the first.
    """

    audited: Audited
    sale: Sale
    step: Step


@dataclass(frozen=True, slots=True)
class TradeOff:
    """The customer's score against the shop's margin, the other promotions left as they are.

    Attributes:
        choices: From the best score down to the best margin.
        close: So many of the first have no other undominated bundle between them.
        step: Cents of margin by which those after them are apart at least, so that there may be others between;
            1 = these are all there are.
        stopped: Whether time ran out, so that the list ends early.
    """

    choices: tuple[BundleChoice, ...]
    close: int
    step: int = 1
    stopped: bool = False

    @property
    def whole(self) -> bool:
        """Whether these are all there are."""
        return self.step == 1 and not self.stopped


@dataclass(frozen=True, slots=True)
class MissingPieces:
    """Pieces of a product that would have to be ordered."""

    sku: str
    pieces: int


@dataclass(frozen=True, slots=True)
class Waiver:
    """One term of a promotion which, waived alone, makes it possible.

    Attributes:
        code: `stock`, `floor`, `ceiling`, `clear`, `price` or `tier`.
        cents: Of `floor` the best margin; of `price` the nearest price; of `tier` the cheapest list total.
        share: Of `floor`: that margin as a share of the parts' revenue without tax.
        count: Of `clear`: so many of the products can be in it.
        missing: Of `stock`: the pieces that the best bundle then lacks.
    """

    code: str
    cents: int = 0
    share: Fraction | None = None
    count: int = 0
    missing: tuple[MissingPieces, ...] = ()


@dataclass(frozen=True, slots=True)
class NoBundle:
    """Why a promotion is not possible.

    Attributes:
        no_build: Why the brief has no system at all, whatever the money; `None` where it has.
        waivers: Terms of which one less would do; `pairs` of which two less would, where one is not enough.
        beside: Names of the promotions beside which the stock does not cover it; it is possible on its own.
        missing: The pieces that it then lacks for the best bundle of its own.
        sought: Whether every term was looked at to the end; else time ran out, and others may do as well.
    """

    no_build: NoBuild | None = None
    waivers: tuple[Waiver, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()
    beside: tuple[str, ...] = ()
    missing: tuple[MissingPieces, ...] = ()
    sought: bool = True


@dataclass(frozen=True, slots=True)
class Bundle:
    """One promotion, solved.

    Attributes:
        tier: The tier that it is sold in; `None` where it has a price of its own.
        counts: Whether its margin counts.
        uncosted: Products without a cost, in SKU order: left out where margins count, else the reason that they do not.
        scarce: Products left out since their stock does not cover the sets.
        checks: What the audit held the bundle against, its stock apart.
        cleared: What is in it of what the shop wants gone.
        trade_off: `None` where margins do not count, or the bundle is not proven.
    """

    promotion: Promotion
    brief: Brief
    vehicle: Vehicle
    tier: Tier | None
    status: Status
    counts: bool
    uncosted: tuple[str, ...] = ()
    scarce: tuple[str, ...] = ()
    audited: Audited | None = None
    sale: Sale | None = None
    checks: tuple[Check, ...] = ()
    shelves: tuple[Shelf, ...] = ()
    cleared: tuple[str, ...] = ()
    trade_off: TradeOff | None = None
    no_bundle: NoBundle | None = None
    versions: tuple[VersionAlert, ...] = ()
    solver: str = ""


@dataclass(frozen=True, slots=True)
class Promotions:
    """All promotions of a catalogue, decided together.

    Attributes:
        bundles: In the order of the sheet.
        score: Sum over the bundles of score x sets, in thousandths; `None` where there is none.
        bound: No choice of bundles comes to more, proven.
        contested: Products over which the best bundles of several promotions collided, in SKU order.
        seconds: Time spent, never written to a file.
    """

    bundles: tuple[Bundle, ...] = ()
    score: int | None = None
    bound: int | None = None
    contested: tuple[str, ...] = ()
    seconds: float = field(default=0.0, compare=False)
