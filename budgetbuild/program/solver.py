"""One call to a solver through PuLP: columns, rows and an objective in; a status that can be trusted out."""

from __future__ import annotations

import time
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np
import pulp

from budgetbuild.faults import SolverError
from budgetbuild.program import cbc
from budgetbuild.program.matrix import matrix_of
from budgetbuild.program.model import Model
from budgetbuild.program.split import split

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from budgetbuild.program.constraints import Row
    from budgetbuild.program.matrix import Floats, Matrix
    from budgetbuild.program.model import Returned


KNOWN_WRONG = ("1.14.",)
"""Versions of HiGHS seen to call a worse choice proven best: see `tests/data/highs_1_14_wrong.mps`, 75 lines whose
optimum is -65005; 1.14.0 answers -64761 and "optimal" unless its presolve is off."""

HALF = 0.5
"""Between no (0) and yes (1)."""

IN_TIME = 1.0
"""Seconds that a solver may stop short of its time limit and still have been stopped by it."""

WITHOUT = {"mip_allow_restart": False, "mip_heuristic_run_feasibility_jump": False}
"""Efforts of HiGHS that cost these small programs more than they save: the sample's builds took 1.7 times as long with
them, invented catalogues of 2,000 products about as long. Neither bears on what is proven."""

USUAL, FINE = 1e-6, 1e-9
"""How far a whole decision may be from 0 or 1: by default, and where a solver is told to be fine."""

FINER = (1e-7, 1e-8)
"""How fine a solver is told to be, one after the other, where its choice breaks a row or is not worth what it says.

No finer than it takes: a looser solver allows more, so what it calls the best, and what keeps all rows, is the best. At
1e-9 HiGHS was seen to rule out true choices. Figures so large that this would not do are split before.
"""

OFF = 0.5
"""Costs are whole: a choice is worth what the solver says if it is nearer to that than this."""

WHOLE = 1e-5
"""How far a whole decision may be from 0 or 1; solvers work to 1e-6."""

AT_MOST_ONE: Mapping[int, int] = MappingProxyType({})
"""No column may be more than 1."""


class Answer(StrEnum):
    """What a solver call proved."""

    PROVEN = "proven"
    FEASIBLE = "feasible"
    """A solution within the time limit, not proven to be the best."""
    IMPOSSIBLE = "impossible"
    UNKNOWN = "unknown"
    """Nothing found within the time limit."""


@dataclass(slots=True)
class Clock:
    """Time left for one build, in seconds. `None` = no limit."""

    limit_s: float | None = None
    _start: float = field(default_factory=time.monotonic)

    @property
    def left(self) -> float | None:
        """Seconds left, never negative."""
        return None if self.limit_s is None else max(0.0, self.limit_s - self.spent)

    @property
    def spent(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self._start


@dataclass(frozen=True, slots=True)
class Solver:
    """Which solver to use: `highs` (in process) or `cbc` (a program of its own, bundled with PuLP).

    Attributes:
        fine: Whether decisions must be whole to `FINE`, where fractions of a cent are told apart. One may else be off
            by a millionth, which times the price of a product is a twentieth of a cent.
    """

    name: str = "highs"
    fine: bool = False

    def make(
        self, *, whole: bool, time_limit: float | None, presolve: bool = True, tolerance: float | None = None
    ) -> Any:  # noqa: ANN401 - PuLP is untyped
        """A PuLP solver with both gaps at 0 and one thread, so that the answer is exact and the same on every run.

        Args:
            whole: Whether columns are whole.
            time_limit: Seconds, `None` for no limit.
            presolve: Whether HiGHS makes the program smaller first.
            tolerance: How far a whole decision may be from 0 or 1; `None` = `tolerance` of the solver.
        """
        if self.name == "cbc":
            tolerance = tolerance or self.tolerance
            finely = [f"integerTolerance {tolerance}"] if tolerance < USUAL else []
            return cbc.Cbc(path=cbc.path(), options=finely, **_options(whole=whole, time_limit=time_limit))
        return pulp.HiGHS(**self.for_highs(whole=whole, time_limit=time_limit, presolve=presolve, tolerance=tolerance))

    @property
    def tolerance(self) -> float:
        """How far a whole decision may be from 0 or 1 at first."""
        return FINE if self.fine else USUAL

    def for_highs(
        self, *, whole: bool, time_limit: float | None, presolve: bool = True, tolerance: float | None = None
    ) -> dict[str, Any]:
        """What PuLP's HiGHS is told.

        Raises:
            SolverError: It is not installed, or of a version that is known to be wrong.
        """
        refuse_known_wrong(highs_version())
        tolerance = tolerance or self.tolerance
        finer = {"mip_feasibility_tolerance": tolerance} if tolerance < USUAL else {}
        options = _options(whole=whole, time_limit=time_limit)
        return options | WITHOUT | finer | ({} if presolve else {"presolve": "off"})

    @property
    def version(self) -> str:
        """Name and version, for the proof in the results.

        Raises:
            SolverError: It is missing.
        """
        if self.name == "cbc":
            return f"CBC {cbc.version()} (PuLP {pulp.__version__})"
        return f"HiGHS {highs_version()} (PuLP {pulp.__version__})"


def _options(*, whole: bool, time_limit: float | None) -> dict[str, Any]:
    return {"mip": whole, "msg": False, "gapRel": 0, "gapAbs": 0, "threads": 1, "timeLimit": time_limit}


@cache
def highs_version() -> str:
    """Version of the installed HiGHS.

    Raises:
        SolverError: It is not installed.
    """
    try:
        import highspy  # noqa: PLC0415 - another solver may be in use
    except ModuleNotFoundError as error:
        raise SolverError("highspy is not installed: install it, or use the solver cbc") from error
    except ImportError as error:
        raise SolverError(f"highspy cannot be loaded ({error}): install it anew, or use the solver cbc") from error
    version: str = highspy.Highs().version()
    return version


def refuse_known_wrong(version: str) -> None:
    """Refuse a version of HiGHS that is known to give wrong answers.

    Raises:
        SolverError: It is one of them.
    """
    if version.startswith(KNOWN_WRONG):
        raise SolverError(
            f"HiGHS {version} calls a worse system the best one: install another "
            "(pip install 'highspy>=1.15.1,<1.16'), or use the solver cbc"
        )


@dataclass(frozen=True, slots=True)
class Solution:
    """What came back.

    Attributes:
        value: Objective of the solution; meaningless unless proven or feasible.
        bound: No solution is better than this (minimised); `-inf` where nothing is known.
        chosen: Columns at 1 or more.
        reduced: Reduced cost of each column of a relaxed solve: a choice with it costs at least so much more than the
            bound; `inf` for columns that take no part.
    """

    answer: Answer
    value: float = 0.0
    bound: float = float("-inf")
    chosen: tuple[int, ...] = ()
    reduced: Floats = field(default_factory=lambda: np.empty(0), compare=False)


NOTHING = Solution(Answer.IMPOSSIBLE, float("inf"), float("inf"))


def minimise(  # noqa: PLR0913 - one argument per part of a solver call
    solver: Solver,
    rows: Sequence[Row] | Matrix,
    costs: Sequence[float],
    clock: Clock,
    *,
    keep: Collection[int] | None = None,
    relaxed: bool = False,
    most: Mapping[int, int] = AT_MOST_ONE,
) -> Solution:
    """Minimise the cost of a choice of columns.

    Args:
        solver: Which solver.
        rows: Constraints over positions of columns.
        costs: Objective, one for each column; a column is a whole number from 0.
        clock: Time left.
        keep: Columns that take part; all others are 0. `None` = all.
        relaxed: Solve the linear relaxation, for its bound and reduced costs.
        most: Columns that may be more than 1, with the most that each may be.

    Raises:
        SolverError: The solver is missing, crashed, gave up early or answered with parts of products.
    """
    if clock.left == 0.0:
        return Solution(Answer.UNKNOWN)
    kept = np.arange(len(costs)) if keep is None else np.array(sorted(keep), dtype=np.intp)
    mosts = np.ones(len(costs))
    mosts[list(most)] = list(most.values())
    model = Model(matrix_of(rows).renumbered(kept, len(costs)), np.array(costs, dtype=np.float64)[kept], mosts[kept])
    if model.hopeless:
        return NOTHING
    if not len(kept):
        return Solution(Answer.PROVEN, 0.0, 0.0, reduced=np.full(len(costs), np.inf))
    found = _solve(solver, model, clock, relaxed=relaxed)
    reduced = np.full(len(costs), np.inf)
    if relaxed and found.answer is Answer.PROVEN:
        reduced[kept] = found.reduced
    return replace(found, chosen=tuple(kept[list(found.chosen)].tolist()), reduced=reduced)


def _solve(solver: Solver, model: Model, clock: Clock, *, relaxed: bool) -> Solution:
    for tolerance, presolve in _attempts(solver, relaxed=relaxed):
        options = {"whole": not relaxed, "time_limit": clock.left, "presolve": presolve, "tolerance": tolerance}
        try:
            came = _returned(solver, model if relaxed else split(model), options)
        except pulp.PulpSolverError as error:
            raise SolverError(str(error)) from error
        came = replace(came, values=came.values[: len(model.costs)])  # without what a split row carries
        found = _read(model, came, relaxed=relaxed)
        if found.answer is Answer.IMPOSSIBLE and presolve and not relaxed and solver.name == "highs":
            found = Solution(Answer.UNKNOWN)
        if found.answer is not Answer.UNKNOWN or (clock.left is not None and clock.left <= IN_TIME):
            return found
    raise SolverError(f"{solver.version} gives up before its time is over, or answers with what cannot be")


def _attempts(solver: Solver, *, relaxed: bool) -> Iterator[tuple[float, bool]]:
    """How fine a solver is told to be and whether with presolve, until it answers with what can be."""
    # HiGHS' presolve now and then calls a choice proven that breaks a row; HiGHS sees that in the end and gives up
    # (`tests/data/highs_presolve_breaks_row.mps`). Without presolve it answers. Relaxations are faster without.
    # It also called a possible program impossible (`highs_presolve_impossible_whole.mps`): that is asked again without.
    if solver.name == "highs":
        yield from ((solver.tolerance, not relaxed), (solver.tolerance, relaxed))
    else:
        yield solver.tolerance, True
    if not relaxed:
        yield from ((finer, False) for finer in FINER if finer < solver.tolerance)


def _returned(solver: Solver, model: Model, options: dict[str, Any]) -> Returned:
    if solver.name == "cbc":
        return cbc.solved(model, solver.make(**options))
    told = solver.for_highs(**options)
    from budgetbuild.program import highs  # noqa: PLC0415 - another solver may be in use

    return highs.solved(model, **told)


def _read(model: Model, came: Returned, *, relaxed: bool) -> Solution:
    if came.status in (pulp.LpStatusInfeasible, pulp.LpStatusUnbounded):
        return NOTHING
    proven = came.sol_status == pulp.LpSolutionOptimal
    # A relaxation that was stopped is neither a bound nor a choice, whatever the solver calls it.
    if not proven and (relaxed or came.sol_status != pulp.LpSolutionIntegerFeasible):
        return Solution(Answer.UNKNOWN)
    if not proven and not came.found:
        return Solution(Answer.UNKNOWN, bound=came.bound)
    chosen = tuple(np.flatnonzero(came.values > HALF).tolist())
    if relaxed:
        bound, reduced = model.bound(came.prices)
        return Solution(Answer.PROVEN, bound, bound, chosen, reduced)
    return _read_whole(model, came, chosen, proven=proven)


def _read_whole(model: Model, came: Returned, chosen: tuple[int, ...], *, proven: bool) -> Solution:
    # Asked this way round, what is no number at all is caught too.
    if not (abs(came.values - came.values.round()) <= WHOLE).all():
        raise SolverError("the solver answers with a part of a product")
    if not model.keeps(came.values.round()):
        return Solution(Answer.UNKNOWN)
    value = float(model.costs @ came.values.round())
    if proven and came.worth is not None and abs(came.worth - value) >= OFF:
        return Solution(Answer.UNKNOWN)
    if proven:
        return Solution(Answer.PROVEN, value, value, chosen)
    return Solution(Answer.FEASIBLE, value, came.bound, chosen)
