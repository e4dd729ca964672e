"""Every text inside every payload: `python -m tests.injection --first 0 --count 102`, some 8 seconds of processor each.

Says for each turn which tests fail, and ends with 1 where any does.
"""

from __future__ import annotations

import argparse
import inspect
import shutil
import sys
import traceback
from functools import partial
from typing import TYPE_CHECKING

from tests.injection import outputs, test_outputs
from tests.injection.payloads import PAYLOADS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


def main() -> int:
    """Run the tests of the outputs at some turns."""
    parser = argparse.ArgumentParser(prog="python -m tests.injection", description=__doc__)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--count", type=int, default=len(PAYLOADS))
    parser.add_argument("--step", type=int, default=1)
    asked = parser.parse_args()
    failed = 0
    for turn in range(asked.first, asked.first + asked.count * asked.step, asked.step):
        outputs.TURN[0] = turn
        wrong = [name for name, test in _tests() if not _passes(test)]
        sys.stdout.write(f"turn {turn}: {', '.join(wrong) or 'harmless'}\n")
        sys.stdout.flush()
        failed += bool(wrong)
        shutil.rmtree(outputs.wild().folder)
        outputs.at_turn.cache_clear()
    return int(failed > 0)


def _tests() -> Iterator[tuple[str, Callable[[], None]]]:
    """The tests that look at outputs, by name."""
    for name, test in vars(test_outputs).items():
        wants = set(inspect.signature(test).parameters) if name.startswith("test_") else {""}
        if not wants:
            yield name, test
        elif wants == {"renderer"}:
            yield from ((f"{name}[{one}]", partial(test, one)) for one in test_outputs.RENDERERS)


def _passes(test: Callable[[], None]) -> bool:
    try:
        test()
    except Exception:  # noqa: BLE001 - whatever it is, it is what this run looks for
        traceback.print_exc(limit=-1)
        return False
    return True


if __name__ == "__main__":
    sys.exit(main())
