"""CBC through PuLP: a program of its own, which is handed a file and answers with one.

The files stand in a folder of their own, which goes however CBC ends: PuLP leaves its files where CBC fails, and writes
them where the command runs if the temporary folder cannot be written to.
"""

from __future__ import annotations

import errno
import re
import subprocess
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

import numpy as np
import pulp

from budgetbuild.faults import SolverError
from budgetbuild.program.cbc_answer import take_over
from budgetbuild.program.model import Returned

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.program.model import Model

GRACE_S = 15.0
"""So long after its time limit CBC is ended: it looks at its clock now and then only."""

PROGRAM, ANSWER = "program.mps", "answer.txt"

VERSION = re.compile(r"^Version: (\S+)", re.MULTILINE)

MENDED_BY = "reinstall it with pip install --force-reinstall 'pulp>=3.3,<4', or leave out --solver cbc"


def path() -> str:
    """Where PuLP has its CBC."""
    found: str = pulp.COIN_CMD.executableExtension(pulp.apis.coin_api.pulp_cbc_path)
    return found


def version() -> str:
    """Version of CBC, as it tells it itself.

    Raises:
        SolverError: It is missing, cannot be run, or tells none.
    """
    return _version(path())


@cache
def _version(at: str) -> str:
    told = VERSION.search(_run([at, "-quit"], None, None))
    if told is None:
        raise SolverError(f"the solver CBC ({at}) does not tell its version: {MENDED_BY}")
    return told[1]


class Cbc(pulp.COIN_CMD):  # type: ignore[misc]  # PuLP is untyped
    """PuLP's CBC in a folder of its own, its answer read strictly."""

    def solve_CBC(self, lp: Any, use_mps: bool = True) -> int:  # noqa: ANN401, ARG002, FBT001, FBT002, N802 - PuLP's own
        """Write the program, run CBC, read what it answers.

        Raises:
            SolverError: CBC is missing, crashed, or answers with something that cannot be read; or there is no room for
                the files.
        """
        try:
            with TemporaryDirectory(prefix="budgetbuild-", ignore_cleanup_errors=True) as folder:
                columns, *names, _ = lp.writeMPS(str(Path(folder, PROGRAM)), rename=1)
                limit = None if self.timeLimit is None else self.timeLimit + GRACE_S
                _run([self.path, PROGRAM, *self._told()], folder, limit)
                answer = Path(folder, ANSWER)
                text = answer.read_text(encoding="utf-8", errors="replace") if answer.exists() else ""
        except OSError as error:
            raise SolverError(f"the folder for temporary files cannot be used: {error}") from error
        except subprocess.TimeoutExpired:
            lp.assignStatus(pulp.LpStatusNotSolved, pulp.LpSolutionNoSolutionFound)
            return int(pulp.LpStatusNotSolved)
        take_over(lp, columns, names, text)
        return int(lp.status)

    def _told(self) -> Iterator[str]:
        """What CBC is told after the program: how to solve it, and where to write the answer."""
        if self.timeLimit is not None:
            yield from ("-sec", str(self.timeLimit))
        for option in (*self.options, *self.getOptions()):
            first, *more = option.split()
            yield from (f"-{first}", *more)
        yield from ("-solve" if self.mip else "-initialSolve", "-printingOptions", "all", "-solution", ANSWER)


def _run(words: Sequence[str], folder: str | None, limit: float | None) -> str:
    """Run CBC to its end; what it prints.

    Raises:
        SolverError: It is missing, cannot be run, or crashed.
        TimeoutExpired: It goes on long after its time limit, and was ended.
    """
    try:
        done = subprocess.run(  # noqa: S603 - the solver's own program, no shell
            words, cwd=folder, timeout=limit, stdin=subprocess.DEVNULL, capture_output=True, check=False
        )
    except OSError as error:
        if error.errno in (errno.ENOMEM, errno.EAGAIN):
            raise MemoryError from error
        raise SolverError(f"the solver CBC ({words[0]}) cannot be run ({error.strerror}): {MENDED_BY}") from error
    if done.returncode:
        raise SolverError(f"the solver CBC crashed (it ended with {done.returncode})")
    return done.stdout.decode(errors="replace")


def solved(model: Model, solver: Any) -> Returned:  # noqa: ANN401 - PuLP is untyped
    """What a solver of PuLP's makes of a model, stated column by column and row by row.

    Raises:
        SolverError: It is missing or crashed.
    """
    problem = pulp.LpProblem("build", pulp.LpMinimize)
    columns = [problem.add_variable(f"c{i}", 0, most, pulp.LpInteger) for i, most in enumerate(model.most.tolist())]
    # Also what costs nothing: a column that the file does not name has no place in the answer.
    problem.setObjective(pulp.LpAffineExpression(list(zip(columns, model.costs.tolist(), strict=True))))
    constraints = list(_rows(model, columns))
    for number, (_, constraint) in enumerate(constraints):
        problem.addConstraint(constraint, f"r{number}")
    problem.solve(solver)
    prices = np.zeros(len(model.rows.low))
    for row, constraint in constraints:
        prices[row] += constraint.pi or 0.0
    values = np.array([column.varValue or 0.0 for column in columns])
    return Returned(problem.status, problem.sol_status, values, prices, worth=getattr(problem, "worth", None))


def _rows(model: Model, columns: Sequence[Any]) -> Iterator[tuple[int, Any]]:
    """Each row that has terms, with its number; a lower and an upper bound apart."""
    rows = model.rows
    bounds = zip(rows.start.tolist(), rows.sizes.tolist(), rows.low.tolist(), rows.high.tolist(), strict=False)
    for number, (first, size, low, high) in enumerate(bounds):
        terms = [(columns[rows.column[i]], float(rows.coefficient[i])) for i in range(first, first + size)]
        if terms and low == high:
            yield number, pulp.LpAffineExpression(terms) == low
            continue
        if terms and low > -np.inf:
            yield number, pulp.LpAffineExpression(terms) >= low
        if terms and high < np.inf:
            yield number, pulp.LpAffineExpression(terms) <= high
