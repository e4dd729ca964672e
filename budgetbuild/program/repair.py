"""The build that meets a brief with the fewest parts changed against an earlier list; then by score, then price.

In each role r: kept_r = what stood there before and stands there now, changes_r = max(before_r, now_r) - kept_r.
Amplifiers and power kits are compared piece by piece, all other roles line by line with the quantity. The sum over the
roles is what is minimised first.

Columns beside the program's own: `kept_k` = a piece counted as kept; `change_k` = a change counted. All are 0 or 1.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.kinds import Location
from budgetbuild.program.candidates import candidates
from budgetbuild.program.constraints import Row
from budgetbuild.program.exact import within
from budgetbuild.program.goals import Goal, achieve, highest_score, lowest_price
from budgetbuild.program.layout import Column
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import budget_cap, extended, formulate, terms_of
from budgetbuild.program.solve import Proposal, read_off
from budgetbuild.program.solver import Answer, minimise

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.program.program import Program, Terms
    from budgetbuild.program.solver import Clock, Solver

BY_PIECE = (Role.AMPLIFIER, Role.POWER_KIT)
"""Roles whose pieces are compared one by one."""
BY_LINE = (Role.SIGNAL_LEAD, Role.SPEAKER_CABLE)
"""Roles that may have several lines."""
CHANGE = 1_000_000
"""What one change weighs against points in thousandths, where both are looked at together; a score is below it."""
NEAR = (200, 1000, 5000)
"""How far from the linear bound, in thousandths of a point, columns take part in the search for few changes."""
ROUNDING = 1e-6
CHANGES_STEP = 0.2
"""First guess of how far the fewest changes lie from their linear bound, as a share of the bound."""


@dataclass(frozen=True, slots=True)
class Mended:
    """What the program proposes in an earlier list's place.

    Attributes:
        proposal: Its `bound` is of the score and says nothing here.
        changes: How many parts it changes; `None` where there is none.
        fewest: No build changes fewer, proven; `None` where nothing is known.
    """

    proposal: Proposal
    changes: int | None = None
    fewest: int | None = None


def program_beside(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, before: Iterable[Part]) -> Program:
    """The program of a brief in which every product of earlier lists that is still on offer stays a candidate."""
    watched = frozenset(part.sku for part in before)
    return formulate(candidates(Offer(catalogue, brief, vehicle, watched=watched, lines_count=True)))


def fewest_changes(program: Program, before: Sequence[Part], cap: int, solver: Solver, clock: Clock) -> Mended:
    """The build within a cap (cents) that changes the fewest parts; of these the best.

    Args:
        program: As `program_beside` makes it, of these parts at least.
        before: The earlier list.
        cap: Cents.
        solver: Which solver.
        clock: Time for all of it.

    Raises:
        SolverError: The solver failed, or contradicts itself between the goals.
    """
    counted = _Counted(program, before)
    counting, costs = counted.program(), counted.costs()
    within_cap = budget_cap(counting, cap)
    reached = _reached(counting, [*counting.rows, within_cap], costs, solver, clock)
    if reached is None:
        rows, goals = [within_cap], [Goal("changes", costs, CHANGES_STEP)]
    else:
        rows, goals = [within_cap, Row("changes_held", terms_of(costs), reached, reached)], []
    choice = achieve(counting, rows, [*goals, highest_score(counting), lowest_price(counting)], solver, clock)
    bound = reached if reached is not None else choice.bound
    fewest = None if bound is None else bound + counted.at_first
    if not choice.found:
        return Mended(Proposal(choice.status), fewest=fewest)
    proposal = Proposal(choice.status, *read_off(counting, choice.chosen))
    return Mended(proposal, round(sum(costs[i] for i in choice.chosen)) + counted.at_first, fewest)


def _reached(
    counting: Program, rows: Sequence[Row], costs: Sequence[float], solver: Solver, clock: Clock
) -> int | None:
    """The fewest changes, where a choice among few columns has as few as the linear relaxation of all allows.

    Which columns: those that a good score at few changes needs, by the relaxation of both together. Changes alone tell
    few columns from the others, and to search all of them takes ten times as long (2,000 products).

    Returns:
        The least cost, proven; `None` where this does not find it, and the whole search has to.
    """
    least = minimise(solver, rows, costs, clock, relaxed=True)
    both = [CHANGE * cost - points for cost, points in zip(costs, counting.points, strict=True)]
    guide = minimise(solver, rows, both, clock, relaxed=True) if least.answer is Answer.PROVEN else least
    if guide.answer is not Answer.PROVEN:
        return None
    for distance in NEAR:
        found = minimise(solver, rows, costs, clock, keep=within(guide, distance))
        if found.answer is Answer.PROVEN and found.value <= math.ceil(least.value - ROUNDING) + ROUNDING:
            return round(found.value)
    return None


class _Counted:
    """The columns and rows that count changes, on top of a program."""

    def __init__(self, program: Program, before: Sequence[Part]) -> None:
        self._program = program
        self._before = {role: [part for part in before if part.role is role] for role in Role}
        self._columns: list[Column] = []
        self._rows: list[Row] = list(_one_line_for_each_cable(program))
        self._costs: dict[int, float] = {}
        self.at_first = 0
        """Changes where nothing is kept and nothing comes: what the costs of the columns add to."""
        for role in Role:
            if role in BY_PIECE:
                self._by_piece(role)
            elif role in BY_LINE:
                self._by_line(role)
            else:
                self._one_line(role)

    def program(self) -> Program:
        """The program with what counts."""
        return extended(self._program, self._columns, self._rows)

    def costs(self) -> list[float]:
        """Changes that each column adds, below 0 where it keeps something."""
        count = len(self._program.columns) + len(self._columns)
        return [self._costs.get(i, 0.0) for i in range(count)]

    def _one_line(self, role: Role) -> None:
        """A role of at most one line now.

        changes = before - kept where there was a line, changes = now where there was none
        """
        before = self._before[role]
        self.at_first += len(before)
        for i, part in _bought(self._program, role):
            if part in before:
                self._costs[i] = self._costs.get(i, 0.0) - 1
            elif not before:
                self._costs[i] = self._costs.get(i, 0.0) + 1

    def _by_line(self, role: Role) -> None:
        """A role of several lines: a line is kept where product and quantity are the same."""
        before = self._before[role]
        now = _added((i, 1.0) for i, _ in _bought(self._program, role))
        kept = _added((i, 1.0) for i, part in _bought(self._program, role) if part in before)
        most = max((len(column.option.parts) for column in self._program.columns if column.option), default=0)
        places = most if role is Role.SIGNAL_LEAD else len(Location) + len(self._program.layout.candidates.offer.terms)
        self._count(role, len(before), now, kept, places)

    def _by_piece(self, role: Role) -> None:
        """A role compared piece by piece: of each product as many are kept as stood there before, at most.

        for each product: sum kept_k - pieces now <= 0
        """
        pieces = Counter({part.sku: part.quantity for part in self._before[role]})
        found = list(_bought(self._program, role))
        now = _added((i, float(part.quantity)) for i, part in found)
        kept: Terms = []
        for sku, count in sorted(pieces.items()):
            of_sku = _added((i, -float(part.quantity)) for i, part in found if part.sku == sku)
            if of_sku:
                some = [(self._add(), 1.0) for _ in range(count)]
                self._rows.append(Row(f"kept_{role}_{sku}", [*some, *of_sku], None, 0))
                kept += some
        devices = self._program.layout.candidates.offer.catalogue.settings.limits.max_amplifiers + 1
        self._count(role, sum(pieces.values()), now, kept, devices)

    def _count(self, role: Role, before: int, now: Terms, kept: Terms, most: int) -> None:
        """Columns that are at least as many as the changes of a role.

        sum change_k + kept >= before; sum change_k + kept - now >= 0
        """
        changes = [(self._add(cost=1.0), 1.0) for _ in range(max(before, most))]
        self._rows.append(Row(f"gone_{role}", [*changes, *kept], before))
        come = _added([*kept, *((i, -count) for i, count in now)])
        self._rows.append(Row(f"come_{role}", [*changes, *come], 0))

    def _add(self, cost: float = 0.0) -> int:
        """A column more; returns its position."""
        self._columns.append(Column("count", None))
        place = len(self._program.columns) + len(self._columns) - 1
        if cost:
            self._costs[place] = cost
        return place


def _one_line_for_each_cable(program: Program) -> Iterator[Row]:
    """Each speaker cable is bought in one purchase, so that a purchase is a line.

    for each product: sum of its purchases <= 1
    """
    by_sku: dict[str, list[int]] = {}
    for i, part in _bought(program, Role.SPEAKER_CABLE):
        by_sku.setdefault(part.sku, []).append(i)
    for sku, columns in sorted(by_sku.items()):
        yield Row(f"one_line_{sku}", [(i, 1.0) for i in columns], None, 1)


def _bought(program: Program, role: Role) -> Iterator[tuple[int, Part]]:
    """Every column with each part that it buys in a role."""
    for i, column in enumerate(program.columns):
        for part in column.option.parts if column.option else ():
            if part.role is role:
                yield i, part


def _added(terms: Iterable[tuple[int, float]]) -> Terms:
    """The same terms with the coefficients of one column added up; nothing of those that come to 0."""
    total: dict[int, float] = {}
    for i, coefficient in terms:
        total[i] = total.get(i, 0.0) + coefficient
    return [(i, coefficient) for i, coefficient in total.items() if coefficient]
