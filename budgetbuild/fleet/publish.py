"""From the work folder to where results belong: counter files first, the table last: it names nothing missing.

What is stopped in between leaves the table of an earlier run, which may name files that are gone: run it again.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.fleet.table import NAME, counters_of, render_table
from budgetbuild.fleet.work_folder import COUNTERS
from budgetbuild.report.save import save_all

if TYPE_CHECKING:
    from budgetbuild.fleet.fleet import Fleet
    from budgetbuild.fleet.work_folder import WorkFolder


def publish(work: WorkFolder, fleet: Fleet, out: Path) -> None:
    """Write everything, and take away counter files that an earlier table names and this one does not.

    Whatever stops it leaves the work folder whole: the next run writes all of it once more.

    Raises:
        UserInputError: A file cannot be written or taken away.
    """
    table = render_table(work.rows(), fleet)
    # Taken away first: where a file system ignores case, a name that differs in nothing else is the new file.
    _take_away(out / COUNTERS, counters_of(out / NAME) - {row["counter_file"] for row in work.rows()})
    for name, content in work.counters():
        save_all({name: content}, out / COUNTERS)
    save_all({NAME: table}, out)
    work.remove()


def _take_away(folder: Path, names: set[str]) -> None:
    """Counter pages of vehicles that are gone would go on quoting old prices."""
    for name in sorted(names):
        path = folder / name
        if Path(name).name != name:
            continue  # no name of ours
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            found = f"{path} ({error.strerror or error})"
            mend = "close it where it is open, then run the command again"
            raise UserInputError([Fault(Cell(), "cannot-remove", found, "a file that can go", mend)]) from error
