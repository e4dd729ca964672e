"""A quote on the sample from a cold start, and how much of that goes into imports."""

from __future__ import annotations

import re
import statistics
import subprocess
import sys

from tests.bench.process import ROOT, run

SAMPLE = str(ROOT / "sample_catalogue.xlsx")
COMMAND = ("-m", "budgetbuild", "quote", SAMPLE, "--quiet", "--budget", "1450", "--brief", "Replace everything")
_LINE = re.compile(r"import time:\s+(\d+) \|")


def quote(runs: int) -> dict[str, float]:
    """Seconds of a whole quote in a fresh process, and of all its imports, Python's own start left out; medians."""
    whole = statistics.median(run(*COMMAND).seconds for _ in range(runs))
    imports = statistics.median(imported(*COMMAND) for _ in range(runs))
    return {"seconds": whole, "imports": imports - statistics.median(imported("-c", "pass") for _ in range(runs))}


def imported(*arguments: str) -> float:
    """Seconds that Python says it spends on imports; saying so takes it a little time too."""
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-X", "importtime", *arguments], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return sum(int(found) for found in _LINE.findall(done.stderr)) / 1e6
