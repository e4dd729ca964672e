"""A budget that holds even if the prices of any so many products rise: the cap in the dearest case.

Of a build's products with a price range any `rising` may cost their high price, each with all its pieces. In the
dearest case those rise that come to most:

    sum of price x column + max over any `rising` products of (sum of rise x pieces) <= cap

That is budgeted robustness: D. Bertsimas and M. Sim, "The Price of Robustness", Operations Research 52(1): 35-53, 2004.
Its linear counterpart replaces the maximum by its dual, with columns that are no choices but amounts of money. Here the
maximum is written out instead, one row for each case that matters, and only yes/no columns are left:

    sum of price x column + sum of (rise x pieces x column of each place that rises) <= cap    [whole cents]

A place is a slot of the build, where at most one product can stand, such as the head unit or the adapter at front; or
several slots with one and the same product in them (a pair of speakers at front and rear, two amplifiers of a kind).
Where no slot is in two of `rising` places, what rises in them belongs to so many products at most: the row holds in
every build that keeps the cap. And a build that does not keep it breaks the row of the places of its own dearest
products. So the best build of the rows known so far either keeps the cap in its dearest case, and is then the best of
all, or names the row that it breaks. There are finitely many rows; a few are enough.

One row for a slot weighs all its products at once, so the rows bound a build as closely as the linear counterpart does
with one amount for each slot, and far closer than with one for each product, where a relaxation hides a slot's rise by
taking a little of many products. Rows against counterpart: D. Bertsimas, I. Dunning and M. Lubin, "Reformulation versus
cutting-planes for robust optimization", Computational Management Science 13: 195-217, 2016.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.build import Role, Status
from budgetbuild.catalogue.kinds import Location
from budgetbuild.faults import SolverError
from budgetbuild.program.candidates import candidates
from budgetbuild.program.constraints import Row
from budgetbuild.program.exact import PRICE_STEP, optimise
from budgetbuild.program.goals import achieve, highest_score, lowest_price
from budgetbuild.program.layout import Device, OwnKit
from budgetbuild.program.offer import Offer
from budgetbuild.program.options import Cable, Leads
from budgetbuild.program.program import Program, budget_cap, formulate
from budgetbuild.program.rises import ByRises
from budgetbuild.program.solve import Proposal, proposed, read_off
from budgetbuild.program.solver import Answer

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from budgetbuild.build import Part
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.program.layout import Column
    from budgetbuild.program.options import Option
    from budgetbuild.program.program import Terms
    from budgetbuild.program.solver import Clock, Solution, Solver


class Slot(NamedTuple):
    """Where at most one product stands: its role, and which of several such slots it is."""

    role: Role
    which: str = ""


class Place(NamedTuple):
    """Where one price rises: a slot, whichever product stands there; or one product in several slots."""

    slots: tuple[Slot, ...]
    sku: str = ""


Case = tuple[Place, ...]
"""Where prices rise at once; no slot stands in two places."""


class Rise(NamedTuple):
    """By how much a column becomes dearer where one of its products does: all its pieces, in whole cents."""

    column: int
    slot: Slot
    sku: str
    cents: int


@dataclass(frozen=True)
class Uncertain:
    """The program of a brief, and what rises of prices come to in it.

    Attributes:
        rises: Of every column.
        known: Dearest cases that choices were found to have; every case holds for every choice, under any cap.
    """

    program: Program
    rises: tuple[Rise, ...]
    known: list[Case] = field(default_factory=list, compare=False)

    def total(self, chosen: Sequence[int], rising: int) -> int:
        """What a choice costs in its dearest case, in cents."""
        price = sum(self.program.columns[i].price for i in chosen)
        return price + sum(sum(rise.cents for rise in product) for product in self._dearest(chosen, rising))

    def case(self, chosen: Iterable[int], rising: int) -> Case:
        """Where prices rise in the dearest case of a choice."""
        return tuple(_place(product) for product in self._dearest(chosen, rising))

    def learn(self, case: Case) -> Case:
        """Know a case from now on.

        Raises:
            SolverError: It was known before, so whoever broke its row should not have.
        """
        if case in self.known:
            raise SolverError("the solver's choice breaks a row that holds it to the cap if prices rise")
        self.known.append(case)
        return case

    def _dearest(self, chosen: Iterable[int], rising: int) -> list[list[Rise]]:
        """The rises of a choice that come in its dearest case, product by product."""
        by_product: dict[str, list[Rise]] = defaultdict(list)
        for rise in (rise for column in chosen for rise in self._of_column.get(column, ())):
            by_product[rise.sku].append(rise)
        products = sorted(by_product.items(), key=lambda one: (-sum(rise.cents for rise in one[1]), one[0]))
        return [product for _, product in products[:rising]]

    def terms(self, case: Case) -> Terms:
        """Price of every column in a case, in cents."""
        costs = dict(enumerate(self.program.prices))
        for place in case:
            for rise in (rise for slot in place.slots for rise in self._of_slot[slot]):
                if place.sku in {"", rise.sku}:
                    costs[rise.column] += rise.cents
        return [(column, cost) for column, cost in costs.items() if cost]

    def cases(self, rising: int) -> list[Case]:
        """Those known in which no more prices rise."""
        return [case for case in self.known if len(case) <= rising]

    @cached_property
    def _of_column(self) -> dict[int, list[Rise]]:
        found: dict[int, list[Rise]] = defaultdict(list)
        for rise in self.rises:
            found[rise.column].append(rise)
        return found

    @cached_property
    def _of_slot(self) -> dict[Slot, list[Rise]]:
        found: dict[Slot, list[Rise]] = defaultdict(list)
        for rise in self.rises:
            found[rise.slot].append(rise)
        return found


def _place(product: Sequence[Rise]) -> Place:
    """Where one product of a choice stands; only where that are several slots is it the product that matters."""
    slots = tuple(sorted({rise.slot for rise in product}))
    return Place(slots, product[0].sku if len(slots) > 1 else "")


def uncertain(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, ranges: Mapping[str, int]) -> Uncertain:
    """The program of a brief whose prices may rise; its candidates are compared by price and rises.

    Args:
        catalogue: The checked catalogue.
        brief: What the customer wants.
        vehicle: The vehicle it goes into.
        ranges: By how much a piece of each product may become dearer, in cents, see `price_ranges`.
    """
    program = formulate(candidates(Offer(catalogue, brief, vehicle, weighing=ByRises(ranges))))
    return Uncertain(program, tuple(_rises(program.columns, ranges)))


def best_protected(question: Uncertain, rising: int, cap: int, solver: Solver, clock: Clock) -> Proposal:
    """The best build of a brief that stays within a cap (cents) even if the prices of any so many products rise.

    Raises:
        SolverError: The solver failed, or contradicts itself between the steps.
    """
    program = question.program
    goals = (highest_score(program), lowest_price(program))
    rows = [budget_cap(program, cap), *(protected_cap(question, case, cap) for case in question.cases(rising))]
    while True:  # until the highest score known is one that keeps the cap in its dearest case
        found = optimise(solver, program.matrix.and_also(rows), goals[0].costs, clock).solution
        if found.answer is Answer.IMPOSSIBLE:
            return Proposal(Status.INFEASIBLE)
        if found.answer is not Answer.PROVEN:
            return _stopped(question, found, rising, cap)
        if question.total(found.chosen, rising) <= cap:
            break
        rows.append(protected_cap(question, question.learn(question.case(found.chosen, rising)), cap))
    while True:  # until the cheapest of that score, and the first of those, keeps it too
        choice = achieve(program, rows, goals, solver, clock)
        if not choice.found or question.total(choice.chosen, rising) <= cap:
            return proposed(program, choice)
        if choice.status is not Status.OPTIMAL:
            return _stopped(question, found, rising, cap)
        rows.append(protected_cap(question, question.learn(question.case(choice.chosen, rising)), cap))


def protected_cap(question: Uncertain, case: Case, cap: int) -> Row:
    """What is bought stays within the tier's cap in a case.

    sum of price x column + sum of rise x pieces x column of each place that rises <= cap    [whole cents]
    """
    return Row("protected_cap", question.terms(case), None, cap)


def least_dearest(question: Uncertain, rising: int, solver: Solver, clock: Clock) -> int | None:
    """The least cap that some build keeps even if the prices of any so many products rise, in cents.

    What its dearest case comes to above the cheapest build is written in binary digits, so that they are yes/no columns
    too, and held against every case met so far:

        price in the case - sum of 2^k x digit_k <= price of the cheapest build    [whole cents]

    `None` where there is no build at all, or where time ran out.

    Raises:
        SolverError: The solver failed.
    """
    program = question.program
    cheapest = optimise(solver, program.matrix, program.prices, clock, first_step=PRICE_STEP).solution
    if cheapest.answer is not Answer.PROVEN:
        return None
    low, count = round(cheapest.value), len(program.columns)
    digits = [2.0**k for k in range((question.total(cheapest.chosen, rising) - low).bit_length())]
    above = [(count + k, -digit) for k, digit in enumerate(digits)]
    rows = [Row("dearest", [*question.terms(case), *above], None, low) for case in [(), *question.cases(rising)]]
    while digits:
        held = program.matrix.and_also(rows)
        found = optimise(solver, held, [0.0] * count + digits, clock, first_step=PRICE_STEP).solution
        if found.answer is not Answer.PROVEN:
            return None
        chosen = [i for i in found.chosen if i < count]
        if question.total(chosen, rising) <= low + round(found.value):
            return low + round(found.value)
        rows.append(Row("dearest", [*question.terms(question.learn(question.case(chosen, rising))), *above], None, low))
    return low


def _stopped(question: Uncertain, found: Solution, rising: int, cap: int) -> Proposal:
    """What is told where time ran out: the choice found, if it keeps the cap, and how good any can be."""
    bound = None if math.isinf(found.bound) else math.floor(1e-3 - found.bound)
    if found.answer is Answer.UNKNOWN or question.total(found.chosen, rising) > cap:
        return Proposal(Status.TIME_LIMIT, bound=bound)
    return Proposal(Status.TIME_LIMIT, *read_off(question.program, found.chosen), bound)


def _rises(columns: Iterable[Column], ranges: Mapping[str, int]) -> Iterator[Rise]:
    for i, column in enumerate(columns):
        parts = [part for part in column.option.parts if part.sku in ranges] if column.option else []
        found = [(ranges[part.sku] * part.quantity, part) for part in parts]
        for rank, (cents, part) in enumerate(sorted(found, key=lambda one: (-one[0], one[1].sku))):
            yield Rise(i, _slot(column.option, part, rank), part.sku, cents)


def _slot(option: Option | None, part: Part, rank: int) -> Slot:
    """Where a part stands; of a set of leads, which holds several products, the rank of its rise among them says so."""
    if isinstance(option, OwnKit):
        return Slot(part.role, option.slot)
    if isinstance(option, Leads):
        return Slot(part.role, str(rank))
    if isinstance(option, Device):
        return Slot(part.role, option.use.covers[0] if option.use else Location.BASS)
    if isinstance(option, Cable):
        return Slot(part.role, option.locations[0] if option.locations else part.sku)
    # One power kit that all devices share stands where the first of them would have its own.
    return Slot(part.role, Location.FRONT if part.role is Role.POWER_KIT else "")
