"""An upgrade path as one integer program: the systems of all tiers together, parts bought once and used again.

Steps are numbered from the lowest cap. Every step has the columns and rows of the brief's own program; n is how many
pieces of a product its system uses. What is owned by then is the most that any step so far has used:

    owned(k, p) >= used(k, p);  owned(k, p) >= owned(k - 1, p)    for the p-th piece of each product
    spent(k) = sum over products and pieces of price x owned(k, p) + work paid up to step k <= cap(k)    [whole cents]

So a part that is put aside is money spent all the same, and costs nothing where it comes back. Where nothing may be put
aside, used(k, p) >= used(k - 1, p), and what is owned is what is used. Work (see `standing`) is that of each step's
system less what stays from the step before:

    stays(k, s) <= there(k, s);  stays(k, s) <= there(k - 1, s)

Goals: highest weighted sum of scores; then least spent up to the last step, then up to the one before, and so on; then
fewest pieces in use over all steps; then the first in SKU order.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.build import Role, Status
from budgetbuild.program.constraints import Row
from budgetbuild.program.exact import PRICE_STEP, optimise
from budgetbuild.program.goals import Goal, achieve
from budgetbuild.program.joint import Joint, side_by_side
from budgetbuild.program.layout import Column
from budgetbuild.program.pieces import counted, pieces
from budgetbuild.program.program import extended
from budgetbuild.program.solve import Proposal, read_off
from budgetbuild.program.solver import NOTHING, Answer
from budgetbuild.program.standing import labour_of, standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from budgetbuild.program.goals import Choice
    from budgetbuild.program.program import Program, Terms
    from budgetbuild.program.solver import Clock, Solution, Solver
    from budgetbuild.program.standing import Standing

AMPLIFIED = "amplified"
"""The slot of amplifiers and powered subwoofers, on a power kit of their own or on a shared one."""

Pieces = dict[str, list["Terms"]]
"""For each SKU its first, second ... piece, each as terms that come to 1 where there are so many."""


@dataclass(frozen=True, slots=True)
class Rung:
    """A step as the program sees it: most that may be spent up to it in cents, and how much its score counts."""

    cap: int
    weight: int


@dataclass(frozen=True)
class Climb:
    """The program of a whole path.

    Attributes:
        joint: The steps' programs side by side, with what binds them.
        rungs: In ascending order of their caps.
        spent: What is spent up to each step, as terms in cents.
    """

    joint: Joint
    rungs: tuple[Rung, ...]
    spent: tuple[Terms, ...]

    def goals(self) -> tuple[Goal, ...]:
        """What a path is chosen by."""
        spent = [Goal(f"spent_{k}", self._costs(terms), PRICE_STEP) for k, terms in enumerate(self.spent)]
        return (Goal("score", self._costs(self.scores())), *reversed(spent), self._fewest())

    def scores(self) -> Terms:
        """Minus the weighted points of every column."""
        points = self.joint.programs[0].points
        return [
            (self.joint.starts[k] + i, -rung.weight * value)
            for k, rung in enumerate(self.rungs)
            for i, value in enumerate(points)
            if value
        ]

    def _fewest(self) -> Goal:
        counts = (
            (i, sum(part.quantity for part in c.option.parts)) for i, c in enumerate(self.joint.columns) if c.option
        )
        return Goal("pieces", self._costs((i, float(count)) for i, count in counts), PRICE_STEP)

    def _costs(self, terms: Iterable[tuple[int, float]]) -> list[float]:
        costs = [0.0] * len(self.joint.columns)
        for i, figure in terms:
            costs[i] += figure
        return costs


@dataclass
class _Frame:
    """Columns and rows that bind the steps, while they are written."""

    joint: Joint
    columns: list[Column] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def column(self, kind: str) -> int:
        """A further column; returns its position."""
        self.columns.append(Column(kind, None))
        return len(self.joint.columns) + len(self.columns) - 1

    def at_least(self, name: str, greater: Terms, less: Terms) -> None:
        """The one comes to at least the other."""
        self.rows.append(Row(name, [*greater, *((i, -figure) for i, figure in less)], 0))

    def counted(self, name: str, terms: Terms, most: int) -> list[Terms]:
        """The first, second ... piece, each as terms that come to 1 where there are so many."""
        if most == 1:
            return [terms]
        start = len(self.joint.columns) + len(self.columns)
        columns, rows = counted(name, terms, most, start)
        self.columns += columns
        self.rows += rows
        return [[(start + piece, 1.0)] for piece in range(most)]


def climb(program: Program, rungs: Sequence[Rung], *, keep: bool) -> Climb:
    """The program of a path.

    Args:
        program: Of the brief, with every product told apart.
        rungs: At least one, in ascending order of their caps.
        keep: Whether nothing may be put aside.
    """
    joint = side_by_side([program] * len(rungs))
    frame, quantities, most = _Frame(joint), pieces(program.columns), most_pieces(program)
    prices = {sku: product.price for sku, product in program.layout.candidates.offer.catalogue.by_sku().items()}
    labour = [(i, float(cents)) for i, cents in enumerate(labour_of(program)) if cents]
    owned: Pieces = {}
    before: list[Standing] = []
    work: Terms = []
    spent: list[Terms] = []
    for k, start in enumerate(joint.starts):
        used = {sku: frame.counted(sku, joint.shifted(k, terms), most[sku]) for sku, terms in quantities.items()}
        owned = _owned(frame, owned, used, keep=keep) if k else used
        now = list(standing(program, start, used))
        work += [*joint.shifted(k, labour), *_stays(frame, before, now)]
        before = now
        bought = [(i, prices[sku] * figure) for sku, each in owned.items() for terms in each for i, figure in terms]
        spent.append(_added([*bought, *work]))
    return Climb(extended(joint, frame.columns, frame.rows), tuple(rungs), tuple(spent))


def _owned(frame: _Frame, before: Pieces, used: Pieces, *, keep: bool) -> Pieces:
    """Pieces bought by a step."""
    found: Pieces = {}
    for sku, each in used.items():
        found[sku] = each if keep else [[(frame.column("owned"), 1.0)] for _ in each]
        for owned, now, earlier in zip(found[sku], each, before[sku], strict=True):
            frame.at_least(f"owned_before_{sku}", owned, earlier)
            if not keep:
                frame.at_least(f"owned_{sku}", owned, now)
    return found


def _stays(frame: _Frame, before: Iterable[Standing], now: Iterable[Standing]) -> Terms:
    """Work that is not paid again, in cents below 0."""
    found: Terms = []
    for earlier, one in zip(before, now, strict=False):  # at the first step nothing stays
        if one.cents:
            stays = frame.column("stays")
            frame.at_least(f"stays_{one.name}", one.there, [(stays, 1.0)])
            frame.at_least(f"stays_before_{one.name}", earlier.there, [(stays, 1.0)])
            found.append((stays, -float(one.cents)))
    return found


def most_pieces(program: Program) -> dict[str, int]:
    """No system of the program uses more pieces of each product."""
    amplifiers = program.layout.candidates.offer.catalogue.settings.limits.max_amplifiers
    times = {AMPLIFIED: {Role.AMPLIFIER: amplifiers, Role.POWER_KIT: amplifiers + 1}, "cable": {Role.SPEAKER_CABLE: 2}}
    slots: dict[tuple[str, str], int] = {}
    for column in program.columns:
        slot = AMPLIFIED if column.kind in {"own kit", "shared"} else column.kind
        for part in column.option.parts if column.option else ():
            count = part.quantity * times.get(slot, {}).get(part.role, 1)
            slots[slot, part.sku] = max(count, slots.get((slot, part.sku), 0))
    most: dict[str, int] = defaultdict(int)
    for (_, sku), count in slots.items():
        most[sku] += count
    return most


def _added(terms: Iterable[tuple[int, float]]) -> Terms:
    """The same terms with the figures of one column added up."""
    total: dict[int, float] = defaultdict(float)
    for column, figure in terms:
        total[column] += figure
    return [(column, figure) for column, figure in total.items() if figure]


@dataclass(frozen=True, slots=True)
class Path:
    """What the program proposes; the audit has not seen it yet.

    Attributes:
        steps: A system for each step, by the program's own sums at full price; empty where there is none.
        spent: Up to each step, in cents; `None` where the path was stopped, for then too much may count as bought.
        worth: Weighted sum of the scores, in whole thousandths.
        bound: No path is worth more, proven; `None` where nothing is known.
    """

    status: Status
    steps: tuple[Proposal, ...] = ()
    spent: tuple[int, ...] | None = None
    worth: int | None = None
    bound: int | None = None


def best_path(program: Program, rungs: Sequence[Rung], solver: Solver, clock: Clock, *, keep: bool) -> Path:
    """The best path over some steps; for the arguments see `climb`.

    Raises:
        SolverError: The solver failed, or contradicts itself between the goals.
    """
    whole = climb(program, rungs, keep=keep)
    known = step_by_step(program, rungs, solver, clock, keep=keep)
    choice = achieve(whole.joint, caps(whole), whole.goals(), solver, clock, known=known)
    return _path(whole, choice)


def caps(path: Climb) -> list[Row]:
    """What is spent up to each step stays within its cap.

    spent(k) <= cap(k)    [whole cents]
    """
    return [
        Row(f"cap_{k}", terms, None, rung.cap)
        for k, (terms, rung) in enumerate(zip(path.spent, path.rungs, strict=True))
    ]


def step_by_step(program: Program, rungs: Sequence[Rung], solver: Solver, clock: Clock, *, keep: bool) -> Solution:
    """A path to beat: at each step the best system given what is owned by then, as one would climb by hand."""
    best, chosen = NOTHING, list[int]()
    for count in range(1, len(rungs) + 1):
        part = climb(program, rungs[:count], keep=keep)
        start, size = part.joint.starts[-1], len(program.columns)
        free = [*chosen, *range(start, start + size), *range(count * size, len(part.joint.columns))]
        taken = [Row("taken", [(i, 1.0) for i in chosen], len(chosen))] if chosen else []
        rows = part.joint.matrix.and_also([*caps(part), *taken])
        best = optimise(solver, rows, part.goals()[0].costs, clock, among=free).solution
        if best.answer not in (Answer.PROVEN, Answer.FEASIBLE):
            return NOTHING
        chosen = [i for i in best.chosen if i < count * size]
    return best


def _path(path: Climb, choice: Choice) -> Path:
    bound = None if choice.bound is None else -choice.bound
    if not choice.found:
        return Path(choice.status, bound=bound)
    program, chosen = path.joint.programs[0], set(choice.chosen)
    steps = tuple(
        Proposal(choice.status, *read_off(program, path.joint.own(k, choice.chosen))) for k in range(len(path.rungs))
    )
    worth = sum(rung.weight * (step.score or 0) for rung, step in zip(path.rungs, steps, strict=True))
    spent = tuple(round(sum(figure for i, figure in terms if i in chosen)) for terms in path.spent)
    return Path(choice.status, steps, spent if choice.status is Status.OPTIMAL else None, worth, bound)
