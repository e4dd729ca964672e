"""Entry point: which command, which exit status."""

from __future__ import annotations

import argparse
import os
import sys
import traceback
from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.cli import build, check, counter, fleet, import_list, quote, recheck, starter, why
from budgetbuild.cli.console import print_faults, tell
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.faults import ProcessEndedError, SolverError, UserInputError
from budgetbuild.garbage import collect_seldom

if TYPE_CHECKING:
    from collections.abc import Sequence

EPILOG = """\
examples:
  budgetbuild check my_prices.xlsx
  budgetbuild build my_prices.xlsx --out out
  budgetbuild quote my_prices.xlsx --budget 1450 --brief "Keep the factory head unit"
  budgetbuild why my_prices.xlsx QV-8000 --tier Middle --brief "Keep the factory head unit"
  budgetbuild recheck out/results.json my_prices.xlsx --prices fresh.csv

exit status: 0 done; 2 bad input or usage, nothing written; 3 written, but some build has no solution;
4 written, but something that was published no longer holds; 1 a defect in the tool; 130 interrupted
"""


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
    try:
        status: int = arguments.run(arguments)
        sys.stdout.flush()  # here, where a closed pipe is still caught, and not as Python ends
    except UserInputError as error:
        print_faults(error.faults, heading="Nothing was written.")
        return ExitStatus.BAD_INPUT
    except (SolverError, ProcessEndedError) as error:
        tell(f"{error}. Nothing was written.")
        return ExitStatus.DEFECT
    except KeyboardInterrupt:
        tell("Interrupted; nothing was written.")
        return ExitStatus.INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ExitStatus.DONE
    except Exception:  # noqa: BLE001 - whatever it is, it is ours, and the user shall be told so
        traceback.print_exc()
        tell("This is a defect in budgetbuild, not in your price list. Nothing was written. Please report it.")
        return ExitStatus.DEFECT
    return status


def _survive_any_console() -> None:
    """A console that lacks a character prints a question mark instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
