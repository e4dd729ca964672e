"""What goes to the terminal: tables to standard output, messages and progress to standard error."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections import Counter
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING

from budgetbuild.faults import Fault, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from rich.console import Console

    from budgetbuild.pipeline import Progress

MOST_SHOWN = 200
"""Faults in one table; a wrong file can have tens of thousands, which nobody reads and which take long to lay out."""

LONGEST = 800
"""Characters of what was expected and how to mend it; they may quote a file that has no end of names."""

PLAIN_WIDTH = 160
"""Width of tables where no terminal tells its own."""

DEFAULT_WIDTH = 80
WIDEST_TEXT = 100
"""Longer lines are hard to read."""


def tell(message: str) -> None:
    """A message for the person, on standard error."""
    print(clean(message), file=sys.stderr)


def clean(text: str) -> str:
    r"""Text without control characters, which could steer a terminal.

    >>> clean("a\x1b[2Jb\tc")
    'a [2Jb c'
    """
    return "".join(mark if mark.isprintable() or mark == "\n" else " " for mark in text)


def print_text(text: str, *, to: IO[str], bullet: str = "") -> None:
    """A paragraph: broken into lines that fit a terminal, left whole where there is none."""
    width = min(shutil.get_terminal_size((DEFAULT_WIDTH, 0)).columns, WIDEST_TEXT) if to.isatty() else 0
    lines = [text]
    if width > 2 * len(bullet):
        lines = textwrap.wrap(text, width - len(bullet), break_long_words=False, break_on_hyphens=False) or [""]
    for number, line in enumerate(lines):
        print(f"{' ' * len(bullet) if number else bullet}{clean(line)}".rstrip(), file=to)


def print_table(
    headings: Sequence[str], rows: Sequence[Sequence[str]], *, right: Sequence[int] = (), to: IO[str]
) -> None:
    """A table; columns in `right` are aligned to the right. Texts are shown as they are, never as markup."""
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False, header_style="bold")
    for number, heading in enumerate(headings):
        table.add_column(heading, justify="right" if number in right else "left", overflow="fold")
    for row in rows:
        table.add_row(*(Text(clean(cell)) for cell in row))

    _console(to).print(table)


def print_heading(text: str, *, to: IO[str]) -> None:
    """A heading on a line of its own; bold on a terminal."""
    from rich.text import Text

    _console(to).print(Text(clean(text), style="bold"))


def _console(to: IO[str]) -> Console:
    """A stream as rich writes to it: a terminal as wide as it is, anything else plain and wide."""
    from rich.console import Console

    class Plain(Console):
        def on_broken_pipe(self) -> None:
            """Whoever reads has gone: `main` ends quietly, where rich would end with 1, which here means a defect."""
            raise BrokenPipeError

    return Plain(file=to, width=None if to.isatty() else PLAIN_WIDTH, highlight=False)


def print_faults(faults: Sequence[Fault], heading: str = "", to: IO[str] | None = None) -> None:
    """Faults as a table, those that stop the run first, and how many there are in all."""
    stream = to or sys.stderr
    order = list(Severity)
    ranked = sorted(faults, key=lambda fault: order.index(fault.severity))
    if ranked:
        print_table(
            ("", "where", "found", "expected", "how to mend it"),
            [
                (
                    str(f.severity),
                    _short(str(f.at)),
                    _short(f.found),
                    _short(f.expected, LONGEST),
                    _short(f.mend, LONGEST),
                )
                for f in ranked[:MOST_SHOWN]
            ],
            to=stream,
        )
    if len(ranked) > MOST_SHOWN:
        print(f"... and {len(ranked) - MOST_SHOWN} more: mend these first, or list all with check --json.", file=stream)
    print(counted(faults) + (f" {heading}" if heading else ""), file=stream)


def counted(faults: Sequence[Fault]) -> str:
    """How many of each severity.

    >>> counted([])
    'No faults.'
    """
    counts = Counter(fault.severity for fault in faults)
    named = [f"{counts[s]} {s}{'' if counts[s] == 1 else 's'}" for s in Severity if counts[s]]
    return f"{', '.join(named) or 'No faults'}."


def _short(text: str, most: int = 80) -> str:
    return text if len(text) <= most else f"{text[: most - 3]}..."


@contextmanager
def progress(total: int, *, quiet: bool, doing: str = "solving") -> Iterator[Progress]:
    """A progress bar on standard error, and nothing at all where that is not a terminal."""
    if quiet or not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.markup import escape
    from rich.progress import Progress as Bar

    with Bar(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(doing, total=total)

        def step(what: str) -> None:
            bar.update(task, advance=1, description=escape(clean(what)))

        yield step
