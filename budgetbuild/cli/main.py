"""Entry point: which command, which exit status."""

from __future__ import annotations

import argparse
import errno
import os
import sys
import traceback
from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.cli import build, check, counter, fleet, import_list, quote, recheck, starter, verify, why
from budgetbuild.cli.console import print_faults, tell
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.writing import put_right_first, what_was_written
from budgetbuild.faults import ProcessEndedError, SolverError, UserInputError
from budgetbuild.garbage import collect_seldom
from budgetbuild.report.save import begin

if TYPE_CHECKING:
    from collections.abc import Sequence

EPILOG = """\
examples:
  budgetbuild check my_prices.xlsx
  budgetbuild build my_prices.xlsx --out out
  budgetbuild quote my_prices.xlsx --budget 1450 --brief "Keep the factory head unit"
  budgetbuild why my_prices.xlsx QV-8000 --tier Middle --brief "Keep the factory head unit"
  budgetbuild verify out/results.json my_prices.xlsx
  budgetbuild recheck out/results.json my_prices.xlsx --prices fresh.csv

exit status: 0 done; 2 bad input or usage, nothing written; 3 written, but some build has no solution;
4 something that was published does not hold (recheck: written all the same); 1 a defect in the tool; 130 interrupted
"""


NO_MEMORY = (
    "There is not enough memory for this. Close other programs, or ask for less at once (a tier, a brief, "
    "--counter none)"
)


def make_parser() -> argparse.ArgumentParser:
    """The parser of every command and option."""
    parser = argparse.ArgumentParser(
        prog="budgetbuild",
        description="Best complete and compatible car-audio system for each budget, from the shop's own price list.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"budgetbuild {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    build.add_parser(commands)
    check.add_parser(commands)
    quote.add_parser(commands)
    why.add_parser(commands)
    recheck.add_parser(commands)
    verify.add_parser(commands)
    counter.add_parser(commands)
    fleet.add_parser(commands)
    starter.add_parser(commands)
    import_list.add_parser(commands)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    _survive_any_console()
    collect_seldom()
    arguments = make_parser().parse_args(argv)
    begin()
    try:
        put_right_first(arguments)
        status: int = arguments.run(arguments)
        sys.stdout.flush()  # here, where a closed pipe is still caught, and not as Python ends
    except UserInputError as error:
        print_faults(error.faults, heading=what_was_written(error.faults))
        return ExitStatus.BAD_INPUT
    except (SolverError, ProcessEndedError, MemoryError) as error:
        tell(f"{NO_MEMORY if isinstance(error, MemoryError) else error}. {what_was_written()}")
        return ExitStatus.DEFECT
    except KeyboardInterrupt:
        tell(f"Interrupted. {what_was_written()}")
        return ExitStatus.INTERRUPTED
    except BrokenPipeError:
        _print_no_more()
        return ExitStatus.READER_GONE
    except Exception as error:  # noqa: BLE001 - whatever it is, the user shall be told
        return _failed(error, what_was_written())
    return status


def _failed(error: Exception, written: str) -> ExitStatus:
    """Tell of what no other answer fits: no room for what is printed, or else a defect of ours."""
    if isinstance(error, OSError) and error.errno == errno.ENOSPC and error.filename is None:
        _print_no_more()
        tell(f"There is no room for what was to be printed: make some, or let it go elsewhere. {written}")
        return ExitStatus.BAD_INPUT
    traceback.print_exception(error)
    tell(f"This is a defect in budgetbuild, not in your price list. {written} Please report it.")
    return ExitStatus.DEFECT


def _print_no_more() -> None:
    """Let nothing be tried again as Python ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _survive_any_console() -> None:
    """A console that lacks a character prints a question mark instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
