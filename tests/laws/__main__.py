"""By hand: dominance and fixing against the flat program on many random instances, the laws on many examples.

`python -m tests.laws --count 1000 --seed 1` prints what was compared and everything that differs; `--laws 500` puts
every law of `test_laws.py` to so many examples instead. Exit status 1 where anything differs.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from dataclasses import fields
from pathlib import Path

import pytest

from tests.laws import EXAMPLES
from tests.laws.tally import Tally

ASKED = argparse.ArgumentParser(prog="python -m tests.laws", description=__doc__)
ASKED.add_argument("--count", type=int, default=1000, help="random instances")
ASKED.add_argument("--seed", type=int, default=0, help="other instances for another seed")
ASKED.add_argument("--laws", type=int, help="examples for every law, instead")


def main() -> int:
    """Compare, print, say whether all is well."""
    asked = ASKED.parse_args()
    if asked.laws:
        os.environ[EXAMPLES] = str(asked.laws)
        return int(pytest.main(["-q", "-p", "no:cacheprovider", str(Path(__file__).with_name("test_laws.py"))]))
    tally, start = Tally(), time.process_time()
    for number in range(asked.count):
        tally.add(number, asked.seed)
        if not (number + 1) % 100:
            print(f"{number + 1}: {len(tally.wrong)} differ, {time.process_time() - start:.0f} s", file=sys.stderr)
    for one in fields(tally):
        value = getattr(tally, one.name)
        print(f"{one.name.replace('_', ' ')}: {value if isinstance(value, int) else len(value)}")
    print(f"seconds on the processor: {time.process_time() - start:.0f}")
    print(*tally.wrong, *tally.connected_otherwise, sep="\n")
    return int(bool(tally.wrong or tally.connected_otherwise))


if __name__ == "__main__":
    sys.exit(main())
