"""How many parts a choice changes against an earlier list: counted in columns and rows on top of a brief's program.

In each role r: kept_r = what stood there before and stands there now, changes_r = max(before_r, now_r) - kept_r.
Amplifiers and power kits are compared piece by piece, all other roles line by line with the quantity.

Columns beside the program's own: `kept_k` = a piece counted as kept; `change_k` = a change counted. All are 0 or 1.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from budgetbuild.build import Part, Role
from budgetbuild.catalogue.kinds import Location
from budgetbuild.program.constraints import Row
from budgetbuild.program.layout import Column
from budgetbuild.program.program import extended

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from budgetbuild.program.program import Program, Terms

BY_PIECE = (Role.AMPLIFIER, Role.POWER_KIT)
"""Roles whose pieces are compared one by one."""
BY_LINE = (Role.SIGNAL_LEAD, Role.SPEAKER_CABLE)
"""Roles that may have several lines."""


class Counted:
    """A program with the columns and rows that count changes against an earlier list.

    Attributes:
        at_first: Changes where nothing is kept and nothing comes: what the costs of the columns add to.
    """

    def __init__(self, program: Program, before: Sequence[Part]) -> None:
        self._program = program
        self._before = {role: [part for part in before if part.role is role] for role in Role}
        self._columns: list[Column] = []
        self._rows: list[Row] = list(_one_line_for_each_cable(program))
        self._costs: dict[int, float] = {}
        self.at_first = 0
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
