"""From the work folder to where results belong: counter files, then the table that names them, then what is gone.

So no table ever names a file that is missing. What is stopped in between goes on with the next run.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.fleet.table import NAME, counters_of, render_table
from budgetbuild.fleet.work_folder import COUNTERS
from budgetbuild.report.save import put_right, save_all

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
    named = {row["counter_file"] for row in work.rows() if row["counter_file"]}
    gone = (counters_of(out / NAME) | work.gone) - named
    work.note_gone(gone)
    put_right(out / COUNTERS)
    for name, content in work.counters():
        save_all({name: content}, out / COUNTERS)
    save_all({NAME: table}, out)
    _take_away(out / COUNTERS, gone, named)
    work.remove()


def _take_away(folder: Path, names: set[str], named: set[str]) -> None:
    """Counter pages of vehicles that are gone would go on quoting old prices."""
    spelled = {name.casefold(): name for name in named}
    for name in sorted(names):
        path = folder / name
        if Path(name).name != name or name == "..":
            continue  # no name of ours
        try:
            # Where a file system ignores case, a name that differs in nothing else is the new file.
            alike = folder / spelled.get(name.casefold(), name)
            if alike != path and path.exists() and path.samefile(alike):
                continue
            path.unlink(missing_ok=True)
        except OSError as error:
            found = f"{path} ({error.strerror or error})"
            mend = "close it where it is open, then run the command again"
            raise UserInputError([Fault(Cell(), "cannot-remove", found, "a file that can go", mend)]) from error
