"""`python -m tests.bench`: measure the main job stage by stage at several sizes; print tables, keep the run."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tests.bench.history import HISTORY, keep, show
from tests.bench.measure import Plan, measure
from tests.bench.tables import as_markdown, as_text

SIZES = (300, 2_000, 20_000, 100_000)


def main() -> None:
    """Measure, print, keep."""
    parser = argparse.ArgumentParser("python -m tests.bench", description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="+", default=SIZES, metavar="N", help="how many products")
    parser.add_argument("--runs", type=int, default=3, help="runs of each row below 20,000 products (default: 3)")
    parser.add_argument("--limit", type=float, default=120.0, metavar="S", help="seconds for each flat program")
    parser.add_argument("--counter", default="briefs", help="what `build` is told about the counter page")
    parser.add_argument("--folder", type=Path, help="keep the invented workbooks here, for the next run")
    parser.add_argument(
        "--history", type=Path, help="append the run to this file (default: the tracked one, for a run of all sizes)"
    )
    parser.add_argument("--readme", action="store_true", help="write the tables into README.md too (all sizes only)")
    given = parser.parse_args()
    whole = tuple(given.sizes) == SIZES
    if given.readme and not (whole and given.history is None):
        parser.error("README.md shows the tracked history's last run, which is of all sizes")
    plan = Plan(tuple(given.sizes), given.runs, given.limit, given.counter, given.folder)
    run = measure(plan, lambda what: print(what, file=sys.stderr, flush=True))
    print(as_text(run), as_markdown(run), sep="\n")
    if given.history or whole:
        keep(run, given.history or HISTORY)
    if given.readme:
        show(run)


if __name__ == "__main__":
    main()
