"""A process that saves its own set of files again and again: `python -m tests.writing.saving MARK TIMES FOLDER...`.

Told to by one line on standard input, it saves the set of its mark into all of the folders at once.
"""

from __future__ import annotations

import sys
from pathlib import Path

from budgetbuild.faults import UserInputError
from budgetbuild.report import staging
from budgetbuild.report.save import save_everywhere

NAMES = ("counter.html", "guide.html", "guide.md", "results.json", "tiers.xlsx")


def set_of(mark: str) -> dict[str, bytes]:
    """Files that show whose they are."""
    return {name: f"{name} of {mark}\n".encode() * 50 for name in NAMES}


if __name__ == "__main__":
    mark, times, *folders = sys.argv[1:]
    staging.PATIENCE_S = 100.0  # many saves of others, on a machine that has much else to do
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    sys.stdin.readline()
    try:
        for _ in range(int(times)):
            save_everywhere(dict.fromkeys(map(Path, folders), set_of(mark)))
    except UserInputError as error:
        sys.exit(str(error.faults[0]))
