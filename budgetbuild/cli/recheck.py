"""`budgetbuild recheck`: is the published guide still true, and what to change in it where it is not."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.cli.build import DEFAULT_TIME_LIMIT_S, seconds
from budgetbuild.cli.console import clean, print_faults, print_table, print_text, progress
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.loading import add_catalogue, add_out, is_same, load
from budgetbuild.faults import Cell, Fault, Severity, UserInputError

if TYPE_CHECKING:
    import argparse

    from budgetbuild.build import Recheck
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.voice import Voice

DATA = "recheck.json"
"""Name of the data file."""


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "recheck",
        help="is the published guide still true: what drifted, and the fewest changes that mend it",
        description="Hold a published results.json against today's price list: what drifted of each system, whether "
        "it can still be sold as printed, and where it cannot, the system with the fewest parts changed and the best "
        "one today. Write what_changed.html, what_changed.md, what_changed.xlsx and recheck.json. Exit status: 0 "
        "everything printed still holds, 4 something does not, 2 bad input.",
    )
    parser.add_argument("results", type=Path, metavar="RESULTS.json", help="the results.json that was published")
    add_catalogue(parser)
    add_out(parser, "recheck")
    parser.add_argument(
        "--still-best",
        action="store_true",
        help="exit status 4 also where everything printed holds, but a better system is now to be had within the cap",
    )
    parser.add_argument(
        "--time-limit",
        type=seconds,
        default=DEFAULT_TIME_LIMIT_S,
        metavar="SECONDS",
        help=f"most time for one repair, and for one best system (default: {DEFAULT_TIME_LIMIT_S:g})",
    )
    parser.add_argument("--solver", choices=("highs", "cbc"), default="highs", help="which solver (default: highs)")
    parser.add_argument("--templates", type=Path, metavar="DIR", help="folder of your own sentences and page templates")
    parser.add_argument("--json", action="store_true", help="print recheck.json alone on standard output")
    parser.add_argument("--quiet", action="store_true", help="print nothing but faults")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do it; tells whether everything published still holds."""
    from budgetbuild.published import read_published

    published = read_published(arguments.results)
    _keeps_what_it_reads(arguments)
    catalogue = load(arguments)
    # Imported here: solver and writers take a while to load, and nobody waits for them where the input is wrong.
    from budgetbuild.planning.recheck import How, recheck
    from budgetbuild.program.solver import Solver
    from budgetbuild.report.recheck import render_recheck
    from budgetbuild.report.save import save_all
    from budgetbuild.report.words.voice import voice_of

    voice = voice_of(catalogue.settings, arguments.templates)
    how = How(Solver(arguments.solver), arguments.time_limit)
    with progress(len(published.builds), quiet=arguments.quiet or arguments.json) as step:
        found = recheck(catalogue, published, how, step)
    files = render_recheck(found, catalogue, voice, arguments.templates)
    save_all(files, arguments.out)
    if arguments.json:
        sys.stdout.write(files[DATA].decode())
    elif not arguments.quiet:
        _summary(found, catalogue, voice)
        print(clean(f"Wrote {', '.join(sorted(files))} to {arguments.out}"))
        if any(fault.severity is Severity.WARNING for fault in catalogue.warnings):
            print_faults(catalogue.warnings)
    true = found.holds and not (arguments.still_best and found.beaten)
    return ExitStatus.DONE if true else ExitStatus.NO_LONGER_TRUE


def _keeps_what_it_reads(arguments: argparse.Namespace) -> None:
    """Refuse to write over the published file: it is what the next recheck starts from.

    Raises:
        UserInputError: It would be written over.
    """
    target = arguments.out / DATA
    if is_same(target, arguments.results):
        expected, mend = "another folder than that of the file read", "choose another folder with --out"
        raise UserInputError([Fault(Cell("--out"), "writes-over-input", str(target), expected, mend)])


def _summary(found: Recheck, catalogue: Catalogue, voice: Voice) -> None:
    """The verdict, then one line for each system."""
    from budgetbuild.report.words.drifts import Speaker
    from budgetbuild.report.words.recheck import still_true, to_do, verdict

    speaker, write = Speaker(voice, catalogue.by_sku()), voice.notation.money
    print_text(verdict(found, speaker), to=sys.stdout)
    rows = [
        (
            build.published.tier,
            build.published.brief,
            still_true(build, speaker),
            *("" if total is None else write(total) for total in (build.published.total, build.total)),
            write(build.tier.cap),
            to_do(build, speaker),
        )
        for build in found.builds
    ]
    headings = ("tier", "brief", "still true?", "printed", "today", "cap", "what to do")
    print_table(headings, rows, right=(3, 4, 5), to=sys.stdout)
