"""Which solver by default: `python -m tests.bench.solvers` solves the same builds with each, as the package does.

Both in one process, in turn, on invented catalogues of 100 to 5,000 products; without what the curve would tell. Prints
a Markdown table.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.build import Status
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import Proposal, best
from budgetbuild.program.solver import Clock, Solver
from tests.bench.machine import in_words, machine
from tests.sample.scaled import scaled_catalogue

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.program.program import Program

SEEDS = {100: range(1, 6), 300: range(1, 5), 1_000: range(1, 3), 2_000: range(1, 3), 5_000: range(1, 2)}
"""Seeds of the catalogues of each size; each has three briefs and three tiers."""
NAMES = ("highs", "cbc")
Instance = tuple[int, "Program", int]
"""Products, program and cap in cents."""


@dataclass
class Tally:
    """What one solver did: seconds of each instance, and how many it proved."""

    seconds: list[float] = field(default_factory=list)
    proven: int = 0


def instances() -> Iterator[Instance]:
    """Every tier of every brief of every catalogue."""
    for products, seeds in SEEDS.items():
        for seed in seeds:
            catalogue = scaled_catalogue(products, seed)
            for brief in catalogue.briefs:
                program = formulate(candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle))))
                for tier in catalogue.tiers:
                    yield products, program, tier.cap


def solve(name: str, program: Program, cap: int, limit_s: float, tally: Tally) -> Proposal:
    """One instance by one solver, noted down."""
    start = time.perf_counter()
    found = best(program, cap, Solver(name), Clock(limit_s))
    tally.seconds.append(time.perf_counter() - start)
    tally.proven += found.status is not Status.TIME_LIMIT
    return found


def differ(found: list[Proposal]) -> bool:
    """Whether solvers that proved an answer have another one: status, score, total or parts."""
    proven = [one for one in found if one.status is not Status.TIME_LIMIT]
    return len({(one.status, one.score, one.total, one.system) for one in proven}) > 1


def table(tallies: dict[str, Tally], differing: int) -> str:
    """What the solvers did, as Markdown; seconds."""
    lines = [
        "| solver | builds | proven | median | 95 of 100 within | worst | total | answers that differ |",
        "|:--|--:|--:|--:|--:|--:|--:|--:|",
    ]
    for name, tally in tallies.items():
        within = statistics.quantiles(tally.seconds, n=20)[-1]
        figures = (statistics.median(tally.seconds), within, max(tally.seconds), sum(tally.seconds))
        cells = [Solver(name).version, len(tally.seconds), tally.proven, *(f"{one:.2f}" for one in figures), differing]
        lines.append("| " + " | ".join(map(str, cells)) + " |")
    return "\n".join(lines)


def main() -> None:
    """Solve all, print the table."""
    parser = argparse.ArgumentParser("python -m tests.bench.solvers", description=__doc__)
    parser.add_argument("--limit", type=float, default=120.0, metavar="S", help="seconds for one build")
    parser.add_argument("--largest", type=int, default=max(SEEDS), metavar="N", help="leave out larger catalogues")
    given = parser.parse_args()
    tallies, differing, told = {name: Tally() for name in NAMES}, 0, 0
    for products, program, cap in instances():
        if products > given.largest:
            break
        differing += differ([solve(name, program, cap, given.limit, tally) for name, tally in tallies.items()])
        if products != told:
            print(f"{products:,} products", file=sys.stderr, flush=True)
            told = products
    print(table(tallies, differing), in_words(machine()), sep="\n\n")


if __name__ == "__main__":
    main()
