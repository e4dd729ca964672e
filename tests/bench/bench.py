"""How long the main job takes, stage by stage: `python -m tests.bench.bench` prints a Markdown table.

Each row runs in a fresh process, several times; the median is printed with the smallest and largest. Catalogues are
invented (see `tests/sample`). Times depend on the machine: compare rows of one run, not runs of two machines.
"""

from __future__ import annotations

import argparse
import json
import platform
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SAMPLE = Path(__file__).parent.parent.parent / "sample_catalogue.xlsx"
ROWS = {
    "check of the sample (299 products)": ["check"],
    "build of the sample: 3 tiers x 3 briefs, all outputs": ["build"],
    "  without counter.html": ["plain"],
    "  of which solving, with curves and advice": ["solve"],
    "counter page of the sample: 5 briefs x 9 vehicles": ["counter"],
    "quote of the sample": ["quote"],
    "whole curve of a brief of the sample, every point audited": ["curve", "sample"],
    "whole curve of a brief, 2,000 products": ["curve", "2000"],
    "whole curve of a brief, 20,000 products": ["curve", "20000"],
    "single build, 300 products": ["single", "300"],
    "single build, 2,000 products": ["single", "2000"],
    "hardest of nine single builds, 2,000 products": ["hardest", "2000"],
}


COMMANDS = {
    "check": ["check", str(SAMPLE), "--json"],
    "build": ["build", str(SAMPLE), "--quiet"],
    "plain": ["build", str(SAMPLE), "--quiet", "--counter", "none"],
    "counter": ["counter", str(SAMPLE), "--quiet"],
    "quote": ["quote", str(SAMPLE), "--quiet", "--budget", "1450", "--brief", "Replace everything"],
}
WRITERS = ("build", "plain", "counter")


def main() -> None:
    """Run every row and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=5, help="runs of each row (default: 5)")
    parser.add_argument("--row", nargs="+", help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.row:
        print(json.dumps(measure(arguments.row)))
        return
    print(f"{platform.machine()}, Python {platform.python_version()}, {arguments.runs} runs, seconds\n")
    print("| what | median | least | most | peak memory |\n|:--|--:|--:|--:|--:|")
    for name, row in ROWS.items():
        print(table_row(name, [in_a_fresh_process(row) for _ in range(arguments.runs)]), flush=True)


def table_row(name: str, runs: list[dict[str, float]]) -> str:
    """One line of the table."""
    seconds = [run["seconds"] for run in runs]
    memory = max(run["megabytes"] for run in runs)
    return f"| {name} | {statistics.median(seconds):.2f} | {min(seconds):.2f} | {max(seconds):.2f} | {memory:.0f} MB |"


def in_a_fresh_process(row: list[str]) -> dict[str, float]:
    """Measure one row with nothing imported or cached before."""
    command = [sys.executable, "-m", "tests.bench.bench", "--row", *row]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=SAMPLE.parent)  # noqa: S603
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def measure(row: list[str]) -> dict[str, float]:
    """Seconds and peak memory of one row in this process."""
    match row:
        case ["solve"]:
            seconds = _solve()
        case ["curve", products]:
            seconds = _curve(products)
        case [what]:
            seconds = _command(what)
        case [what, products]:
            seconds = _single(what, products)
        case _:
            raise ValueError(row)
    return {"seconds": seconds, "megabytes": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}


def _command(what: str) -> float:
    """A whole command, imports included."""
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        from budgetbuild.cli import main as command  # noqa: PLC0415 - its import belongs to the time

        command(COMMANDS[what] + (["--out", folder] if what in WRITERS else []))
        return time.perf_counter() - start


def _solve() -> float:
    """Solving, auditing and explaining all builds of the sample, without reading and writing."""
    from budgetbuild.catalogue.load import load_catalogue  # noqa: PLC0415
    from budgetbuild.pipeline import Run, solve_all  # noqa: PLC0415

    catalogue = load_catalogue(SAMPLE)
    start = time.perf_counter()
    solve_all(catalogue, Run())
    return time.perf_counter() - start


def _curve(products: str) -> float:
    """Pruning, merging and auditing the whole budget curve of the first brief."""
    from budgetbuild.advice.frontier import curve_of  # noqa: PLC0415
    from budgetbuild.catalogue.load import load_catalogue  # noqa: PLC0415
    from tests.sample.scaled import scaled_catalogue  # noqa: PLC0415

    catalogue = load_catalogue(SAMPLE) if products == "sample" else scaled_catalogue(int(products))
    brief = catalogue.briefs[0]
    start = time.perf_counter()
    curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle))
    return time.perf_counter() - start


def _single(what: str, products: str) -> float:
    """Pruning, writing and solving the program of one build, and its audit: the first, or the slowest of all."""
    from budgetbuild.audit.verdict import passed  # noqa: PLC0415
    from budgetbuild.pipeline import Run, pairs_to_solve  # noqa: PLC0415
    from budgetbuild.program.candidates import candidates  # noqa: PLC0415
    from budgetbuild.program.offer import Offer  # noqa: PLC0415
    from budgetbuild.program.program import formulate  # noqa: PLC0415
    from budgetbuild.program.solve import best  # noqa: PLC0415
    from budgetbuild.program.solver import Clock, Solver  # noqa: PLC0415
    from tests.sample.scaled import scaled_catalogue  # noqa: PLC0415

    catalogue = scaled_catalogue(int(products))
    times = []
    for tier, brief in pairs_to_solve(catalogue, Run()):
        start = time.perf_counter()
        program = formulate(candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle))))
        found = best(program, tier.cap, Solver(), Clock())
        if found.system:
            passed(catalogue, brief, catalogue.vehicle(brief.vehicle), (found.system, found.score, found.total), tier)
        times.append(time.perf_counter() - start)
        if what == "single":
            break
    return max(times)


if __name__ == "__main__":
    main()
