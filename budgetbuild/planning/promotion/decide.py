"""One promotion decided, to proven optimality, within the stock that is left for it.

Which products run short is found out on the way: the program is solved with those whose stock is known to matter, and
where what comes out takes more of another than is there, that one is held to its stock too and the program solved
again. What comes out at last breaks no stock, and nothing better does either, for leaving a stock out only allows more.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.audit.verdict import passed
from budgetbuild.build import Status
from budgetbuild.faults import SolverError
from budgetbuild.planning.promotion.money import sale_of
from budgetbuild.program.goals import achieve, highest_score
from budgetbuild.program.promotion import MARGIN, SCORE
from budgetbuild.program.solve import read_off
from budgetbuild.program.solver import Clock

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from budgetbuild.build import Audited, Sale
    from budgetbuild.planning.promotion.terms import Terms
    from budgetbuild.program.constraints import Row
    from budgetbuild.program.goals import Choice, Goal
    from budgetbuild.program.promotion import Bounds, Promoted
    from budgetbuild.program.solver import Solver


@dataclass(frozen=True, slots=True)
class Decided:
    """The best bundle of a promotion.

    Attributes:
        audited: `None` where there is none, or none was found in time.
        bound: No bundle scores more, proven; `None` where nothing is known.
    """

    status: Status
    audited: Audited | None = None
    sale: Sale | None = None
    bound: int | None = None

    @property
    def pieces(self) -> Counter[str]:
        """Pieces of each product in one set."""
        return pieces_of(self.audited) if self.audited else Counter()


@dataclass(frozen=True)
class Desk:
    """Where promotions are decided.

    Attributes:
        limit_s: Seconds for each bundle; `None` = no limit.
        short: Products whose stock was found to matter.
        stopped: Names of the promotions for which time ran out in some search.
    """

    solver: Solver
    limit_s: float | None = None
    short: set[str] = field(default_factory=set)
    stopped: set[str] = field(default_factory=set)

    def best(
        self,
        terms: Terms,
        stock: Mapping[str, int],
        bounds: Bounds = (),
        *,
        least_margin: int | None = None,
        first: str = SCORE,
    ) -> Decided:
        """The bundle of the highest score; of those of the highest margin; of those of the lowest list total.

        Args:
            terms: What is asked.
            stock: Pieces that are left for all its sets, of products whose stock is tracked.
            bounds: Pieces of some products in one set.
            least_margin: In cents of one set; `None` = that of the terms.
            first: Which of the three comes before the others.

        Raises:
            AuditRefusedError: The audit found fault with the bundle: a defect.
            SolverError: The solver failed, or reckons otherwise than the audit.
        """

        def rows(program: Promoted) -> list[Row]:
            return program.within(bounds) + ([] if least_margin is None else [program.earns(least_margin)])

        found, _ = self._decide(terms, stock, rows, lambda program: program.goals(first), {sku for sku, *_ in bounds})
        return found

    def nearest_price(self, asking: Terms, stock: Mapping[str, int], price: int, *, above: bool) -> int | None:
        """The price nearest to one, at or above it (or at or below it), at which everything else holds, in cents.

        Args:
            asking: Terms whose price is looked for.
            stock: As for `best`.
            price: In cents.
            above: Which way to look.
        """
        found, choice = self._decide(
            asking,
            stock,
            lambda program: [program.priced(price) if above else program.priced(1, price)],
            lambda program: (program.nearest_price(above=above), highest_score(program)),
        )
        return abs(choice.values[0]) if found.status is Status.OPTIMAL else None

    def _decide(
        self,
        terms: Terms,
        stock: Mapping[str, int],
        rows: Callable[[Promoted], Sequence[Row]],
        goals: Callable[[Promoted], Sequence[Goal]],
        bounded: Iterable[str] = (),
    ) -> tuple[Decided, Choice]:
        watched, clock = {*terms.deal.clear, *bounded}, Clock(self.limit_s)
        while True:
            program = terms.program(frozenset(self.short | watched), stock)
            held = [*rows(program), *program.within(_held(program, terms, stock, self.short))]
            aims = goals(program)
            choice = achieve(program, held, aims, self.solver, clock)
            if choice.status is Status.TIME_LIMIT:
                self.stopped.add(terms.promotion.name)
            if not choice.found:
                return Decided(choice.status, bound=_bound(choice)), choice
            found = _audited(terms, program, choice, aims)
            over = {sku for sku, count in found.pieces.items() if count * terms.promotion.sets > stock.get(sku, _ANY)}
            if not over:
                return found, choice
            if over <= self.short:
                raise SolverError(f"{terms.promotion.name}: more than the stock of {', '.join(sorted(over))}")
            self.short.update(over)


_ANY = 10**9
"""Pieces in stock of a product whose stock is not tracked."""


def _held(program: Promoted, terms: Terms, stock: Mapping[str, int], short: set[str]) -> Bounds:
    """Products that must not run short, with the pieces of each that the stock leaves for one set."""
    sets = terms.promotion.sets
    return tuple((sku, 0, stock[sku] // sets) for sku in sorted(short) if sku in stock and sku in program.quantities)


def _audited(terms: Terms, program: Promoted, choice: Choice, goals: Sequence[Goal]) -> Decided:
    """The bundle of a choice, recomputed; whatever the solver says otherwise stops the run."""
    proposed = read_off(program, choice.chosen)
    audited = passed(terms.catalogue, terms.brief, terms.vehicle, proposed, terms.tier)
    sale = sale_of(audited, terms.deal)
    for goal, value in zip(goals, choice.values, strict=False):
        if goal.name == MARGIN and sale.margin != -value:
            raise SolverError(f"{terms.promotion.name}: a margin of {-value} cents, {sale.margin} by the audit")
    return Decided(choice.status, audited, sale, _bound(choice))


def _bound(choice: Choice) -> int | None:
    return None if choice.bound is None else -choice.bound


def pieces_of(audited: Audited) -> Counter[str]:
    """Pieces of each product in a system."""
    found: Counter[str] = Counter()
    for part in audited.system.parts:
        found[part.sku] += part.quantity
    return found
