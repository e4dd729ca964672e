"""The flat program: every product that scores is a column, and one solver is asked once for the highest score.

No dominance among what scores and no fixing of columns; products that only connect, feed or carry stay pruned (the
cheapest that does), which makes it smaller than it could be. `python -m tests.bench.flat WORKBOOK SECONDS FILE` solves
it with HiGHS as the package calls it, both gaps 0, and leaves it in FILE for another maker's solver.
"""

from __future__ import annotations

import json
import pickle
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import budget_cap, formulate
from budgetbuild.program.solver import Answer, Clock, Solver, minimise
from tests.bench.work import Work

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Brief, Catalogue
    from budgetbuild.program.program import Program

Spent = dict[str, float | bool | int | None]


def flat_program(catalogue: Catalogue, brief: Brief) -> Program:
    """The program of a brief with every product that scores and fits.

    Whoever watches a product has it told apart from all others: so nothing makes it superfluous.
    """
    scoring = (
        catalogue.head_units,
        catalogue.converters,
        catalogue.speakers,
        catalogue.subwoofers,
        catalogue.amplifiers,
        catalogue.deadening,
    )
    every = frozenset(product.sku for sheet in scoring for product in sheet)
    return formulate(candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle), watched=every)))


def solve_flat(program: Program, cap: int, limit_s: float) -> Spent:
    """The highest score within a cap in cents by one call over all columns."""
    rows, costs = [*program.rows, budget_cap(program, cap)], [-points for points in program.points]
    start, cpu = time.perf_counter(), time.process_time()
    found = minimise(Solver(), rows, costs, Clock(limit_s))
    proven = found.answer is Answer.PROVEN
    return {
        "seconds": time.perf_counter() - start,
        "cpu": time.process_time() - cpu,
        "stopped": not proven,
        "score": round(-found.value) if proven else None,
        "columns": len(program.columns),
    }


def main(workbook: str, limit: str, file: str) -> None:
    """Solve the first brief at the middle budget; print what it took as JSON."""
    catalogue = Work(Path(workbook)).catalogue
    tier = catalogue.tiers[len(catalogue.tiers) // 2]
    program = flat_program(catalogue, catalogue.briefs[0])
    rows = [(row.terms, row.low, row.high) for row in (*program.rows, budget_cap(program, tier.cap))]
    Path(file).write_bytes(pickle.dumps((rows, program.points)))
    print(json.dumps(solve_flat(program, tier.cap, float(limit))))


if __name__ == "__main__":
    main(*sys.argv[1:])
