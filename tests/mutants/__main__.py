"""`python -m tests.mutants`: break every trade rule in every small way, and see whether its tests notice."""

from __future__ import annotations

import argparse
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from tests.mutants.survivors import unexplained
from tests.mutants.workshop import Broken, broken_figures, broken_functions, copied

if TYPE_CHECKING:
    from collections.abc import Sequence

LEAST_PERCENT = 97.0


def main() -> None:
    """Break, run, count; ends with 1 where too few are noticed or one that is not has no explanation."""
    parser = argparse.ArgumentParser("python -m tests.mutants", description=__doc__)
    parser.add_argument("--only", choices=["functions", "figures"], help="one of the two kinds (default: both)")
    given = parser.parse_args()
    if given.only != "figures" and find_spec("mutmut") is None:
        parser.error('functions are broken by mutmut: pip install "mutmut>=3.8,<4"')
    sound = True
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        copy = copied(Path(folder))
        for kind, broken in (("functions", broken_functions), ("figures", broken_figures)):
            if given.only in (None, kind):
                sound &= told(kind, list(broken(copy, _tell)))
    sys.exit(0 if sound else 1)


def told(kind: str, broken: Sequence[Broken]) -> bool:
    """Print the count and what is unexplained; whether all is well."""
    noticed = sum(one.noticed for one in broken)
    strange = unexplained(broken)
    percent = 100 * noticed / len(broken)
    print(f"{kind}: {len(broken)} broken, {noticed} noticed ({percent:.1f} %), {len(strange)} unexplained")
    for one in strange:
        print(f"  {one.where}: {one.was} -> {one.becomes or '(left out)'}")
    return percent >= LEAST_PERCENT and not strange


def _tell(what: str) -> None:
    print(what, file=sys.stderr, flush=True)


if __name__ == "__main__":
    main()
