"""The flat program by another maker's solver, OR-Tools CP-SAT, on all processors.

`python -m tests.bench.flat_cpsat SECONDS FILE`, always in a process of its own: OR-Tools and highspy each bring a
library of the same name.
"""

from __future__ import annotations

import json
import os
import pickle
import sys
import time
from pathlib import Path

from ortools.linear_solver.python import model_builder


def main(limit: str, file: str) -> None:
    """Solve what `tests.bench.flat` has left in the file; print what it took as JSON."""
    rows, points = pickle.loads(Path(file).read_bytes())  # noqa: S301 - written a moment ago by our own code
    start = time.perf_counter()
    model = model_builder.Model()
    columns = [model.new_bool_var("") for _ in points]
    weighted, far = model_builder.LinearExpr.weighted_sum, float("inf")
    for terms, low, high in rows:
        some = weighted([columns[i] for i, _ in terms], [coefficient for _, coefficient in terms])
        model.add_linear_constraint(some, -far if low is None else low, far if high is None else high)
    model.maximize(weighted(columns, points))
    solver = model_builder.Solver("sat")
    solver.set_time_limit_in_seconds(float(limit))
    solver.set_solver_specific_parameters(f"num_workers:{os.cpu_count()} relative_gap_limit:0 absolute_gap_limit:0")
    proven = solver.solve(model) == model_builder.SolveStatus.OPTIMAL
    found = {
        "seconds": time.perf_counter() - start,
        "stopped": not proven,
        "score": round(solver.objective_value) if proven else None,
    }
    print(json.dumps(found))


if __name__ == "__main__":
    main(*sys.argv[1:])
