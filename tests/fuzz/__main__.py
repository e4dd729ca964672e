"""The long run: `python -m tests.fuzz --count 5000 --seed 1`.

Mutants run in a process of their own with bounded memory; one that ends it, or does not end, is a failure like any
other, and the next one gets a new process.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import select
import subprocess
import sys
from collections import Counter, defaultdict
from dataclasses import asdict
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from tests.fuzz.kinds import PATIENCE_S, kind_of, outcome

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_MEMORY = 4_000_000_000
"""Bytes that a process may ask for."""
MUTANTS_PER_PROCESS = 250


def main() -> int:
    """Run so many mutants; tells whether one failed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=5000, help="how many mutants")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--first", type=int, default=0, help="number of the first one, to see a failure again")
    parser.add_argument("--worker", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.worker:
        return _work(asked.seed, asked.first, asked.count)
    failed: list[dict[str, Any]] = []
    table: dict[str, Counter[str]] = defaultdict(Counter)
    slowest: dict[str, float] = defaultdict(float)
    peak = 0
    for one in _outcomes(asked.seed, asked.first, asked.count):
        table[one["kind"]][str(one["status"])] += 1
        slowest[one["kind"]] = max(slowest[one["kind"]], one["seconds"])
        peak = max(peak, one["peak_mb"])
        if one["wrong"]:
            failed.append(one)
            _print_failure(one)
    _print_table(table, slowest)
    print(f"{asked.count} mutants of seed {asked.seed}, {len(failed)} failed; at most {peak} MB in a process.")
    return 1 if failed else 0


def _outcomes(seed: int, first: int, count: int) -> Iterator[dict[str, Any]]:
    """Every outcome, in order, whatever becomes of the processes."""
    number, end = first, first + count
    while number < end:
        some = min(MUTANTS_PER_PROCESS, end - number)
        words = ["--worker", "--seed", str(seed), "--first", str(number), "--count", str(some)]
        with TemporaryDirectory() as folder, (Path(folder) / "errors").open("w+b") as errors:
            process = subprocess.Popen(  # noqa: S603 - fixed words
                [sys.executable, "-m", "tests.fuzz", *words],
                stdout=subprocess.PIPE,
                stderr=errors,
                cwd=Path(__file__).parents[2],
                env=os.environ | {"TMPDIR": folder},
            )
            for _ in range(some):
                line = _line(process)
                if not line:
                    errors.seek(0)
                    told = errors.read().decode("utf-8", "replace")[-2000:]
                    yield _ended_with(seed, number, f"ended its process: {process.poll()} {told}")
                    number += 1
                    break
                yield json.loads(line)
                number += 1
            process.kill()
            process.wait()


def _line(process: subprocess.Popen[bytes]) -> bytes:
    """The next outcome; empty where the process ended or is not going to end."""
    assert process.stdout
    ready, _, _ = select.select([process.stdout], [], [], PATIENCE_S + 60)
    return process.stdout.readline() if ready else b""


def _ended_with(seed: int, number: int, why: str) -> dict[str, Any]:
    facts = {"argv": (), "status": "ended", "seconds": 0.0, "peak_mb": 0, "wrong": (why,)}
    return {"seed": seed, "number": number, "kind": kind_of(number), **facts}


def _work(seed: int, first: int, count: int) -> int:
    """Run some mutants here, one line of JSON each."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    for number in range(first, first + count):
        with TemporaryDirectory() as folder:
            found = asdict(outcome(seed, number, Path(folder)))
        print(json.dumps(found), file=sys.__stdout__, flush=True)
    return 0


def _print_failure(one: dict[str, Any]) -> None:
    print(f"FAILED seed {one['seed']} number {one['number']} ({one['kind']}): {' '.join(one['argv'])}")
    for why in one["wrong"]:
        print(f"    {why}")
    sys.stdout.flush()


def _print_table(table: dict[str, Counter[str]], slowest: dict[str, float]) -> None:
    """Mutants by kind and exit status, with the longest time of each kind."""
    statuses = sorted({status for counts in table.values() for status in counts})
    width = max(map(len, table))
    print(f"{'kind':<{width}} {''.join(f'{status:>7}' for status in statuses)}  slowest")
    for kind, counts in table.items():
        print(f"{kind:<{width}} {''.join(f'{counts[status]:>7}' for status in statuses)} {slowest[kind]:>7.2f} s")
    total = sum(table.values(), Counter[str]())
    print(f"{'all':<{width}} {''.join(f'{total[status]:>7}' for status in statuses)}")


if __name__ == "__main__":
    sys.exit(main())
