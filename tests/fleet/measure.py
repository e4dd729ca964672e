"""What a second process gains: `python -m tests.fleet.measure` runs `budgetbuild fleet` with one and with two.

By wall clock, efficiency is seconds with one process / (2 x seconds with two); anything else that the machine does
counts against it. By processor time it is seconds of work with one / seconds of work with two: what starting and
sending cost, on a machine however busy.
"""

from __future__ import annotations

import argparse
import os
import pickle
import resource
import statistics
import subprocess
import sys
import time
import zlib
from pathlib import Path
from tempfile import TemporaryDirectory

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.fleet.bench import Bench
from budgetbuild.fleet.fleet import fleet_of
from tests.fleet.asked import contents
from tests.sample.scaled import scaled_catalogue, write_workbook


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--products", type=int, default=2000)
    parser.add_argument("--vehicles", type=int, default=40)
    parser.add_argument("--runs", type=int, default=1)
    parser.add_argument("--most", type=int, default=2, help="processes of the second kind of run (default: 2)")
    arguments = parser.parse_args()
    with TemporaryDirectory() as folder:
        workbook = Path(folder, "list.xlsx")
        write_workbook(scaled_catalogue(arguments.products, vehicles=arguments.vehicles), workbook)
        print(f"{arguments.products} products, {arguments.vehicles} vehicles; load average {os.getloadavg()[0]:.2f}")
        _sizes(workbook)
        print("| processes | seconds | on processors | by wall clock | by processor time |\n|--:|--:|--:|--:|--:|")
        for _ in range(arguments.runs):
            one, many = (_run(workbook, Path(folder, str(count)), count) for count in (1, arguments.most))
            assert contents(Path(folder, "1")) == contents(Path(folder, str(arguments.most)))
            print(f"| 1 | {one[0]:.1f} | {one[1]:.1f} | | |")
            by_clock, by_work = one[0] / arguments.most / many[0], one[1] / many[1]
            print(f"| {arguments.most} | {many[0]:.1f} | {many[1]:.1f} | {by_clock:.0%} | {by_work:.0%} |", flush=True)


def _sizes(workbook: Path) -> None:
    """What travels on a cluster: the fleet once to each worker, an answer for each vehicle."""
    fleet = fleet_of(load_catalogue(workbook))
    bench, start = Bench(fleet), time.process_time()
    found = [answer for number in range(3) for answer in bench.answers([number])]
    seconds = (time.process_time() - start) / len(found)
    answers = [len(zlib.compress(answer.counter)) + len(pickle.dumps(answer.rows)) for answer in found]
    print(f"fleet {len(pickle.dumps(fleet)):,} bytes, an answer {statistics.mean(answers):,.0f} bytes, {seconds:.2f} s")


def _run(workbook: Path, out: Path, processes: int) -> tuple[float, float]:
    """Seconds by the wall clock and on the processors, of the whole command."""
    words = [sys.executable, "-m", "budgetbuild", "fleet", str(workbook), "--out", str(out), "--quiet"]
    before, start = _worked(), time.perf_counter()
    subprocess.run([*words, "--workers", str(processes)], check=False)  # noqa: S603 - status 3: some have no system
    return time.perf_counter() - start, _worked() - before


def _worked() -> float:
    """Seconds that finished processes spent on processors."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    main()
