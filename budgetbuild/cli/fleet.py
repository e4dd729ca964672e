"""`budgetbuild fleet`: every brief in every vehicle at every tier, as one table and a counter page for each vehicle."""

from __future__ import annotations

import argparse
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.cli.console import clean, print_faults, print_table, progress, tell
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.loading import add_catalogue, add_only, add_out, load
from budgetbuild.faults import Cell, Fault, ProcessEndedError, UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.fleet.bench import Answer, Bench
    from budgetbuild.fleet.fleet import Fleet
    from budgetbuild.fleet.tally import Tally
    from budgetbuild.fleet.work_folder import WorkFolder
    from budgetbuild.report.words.voice import Voice


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "fleet",
        help="every brief in every vehicle at every tier: one Parquet table, and a counter page for each vehicle",
        description="Answer every brief in every vehicle at every tier; write fleet.parquet and a folder counters with "
        "a file for each vehicle. After a kill the same command goes on where it was.",
    )
    add_catalogue(parser)
    add_out(parser)
    add_only(parser, "tier", "brief", "vehicle")
    parser.add_argument(
        "--counter",
        choices=("pages", "data", "none"),
        default="pages",
        help="what stands in counters: a counter page for each vehicle, what it carries as JSON, or nothing (default: "
        "pages)",
    )
    parser.add_argument(
        "--workers", type=_processes, metavar="N", help="so many processes (default: as many as there are processors)"
    )
    parser.add_argument(
        "--scheduler",
        default="",
        metavar="ADDRESS",
        help="let the workers of this Dask scheduler do it, such as tcp://10.0.0.5:8786; they need the same version",
    )
    parser.add_argument("--templates", type=Path, metavar="DIR", help="folder of your own sentences and page templates")
    parser.add_argument("--quiet", action="store_true", help="print nothing but faults")
    parser.set_defaults(run=run)


def _processes(text: str) -> int:
    """A number of processes from the command line.

    Raises:
        argparse.ArgumentTypeError: It is not a whole number from 1 on.
    """
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text} is not a whole number from 1 on")
    return int(text)


def run(arguments: argparse.Namespace) -> int:
    """Do it; tells whether some vehicle, brief and tier has no system."""
    _need("pyarrow", "the table")
    if arguments.scheduler:
        _need("distributed", "--scheduler")
    catalogue = load(arguments)
    from budgetbuild.report.words.voice import voice_of

    # First: a folder that is not there, or holds no template, is told at once.
    voice = voice_of(catalogue.settings, arguments.templates)
    fleet = _fleet(arguments, catalogue)
    from budgetbuild.fleet.bench import Bench
    from budgetbuild.fleet.publish import publish
    from budgetbuild.fleet.tally import tallies
    from budgetbuild.fleet.work_folder import WorkFolder, key_of

    bench = Bench(fleet)
    if fleet.counter.value == "pages":
        bench.counter_file(())  # a fault in the shop's own template is told before anybody waits
    with WorkFolder(arguments.out, key_of(fleet, bench.code)) as work:
        _tell_taken_up(work, fleet, quiet=arguments.quiet)
        try:
            _answer_all(arguments, bench, work)
            counted = tallies(work.rows())
            publish(work, fleet, arguments.out)
        except BaseException as error:
            if work.finished:
                tell(f"{_kept(work, fleet)} in {work.path}; the same command goes on from there.")
            if isinstance(error, KeyboardInterrupt):
                return ExitStatus.INTERRUPTED
            raise
    if not arguments.quiet:
        _summary(arguments, fleet, counted, voice)
        if catalogue.warnings:
            print_faults(catalogue.warnings)
    return ExitStatus.NO_SOLUTION if any(tally.lacking for tally in counted.values()) else ExitStatus.DONE


def _need(library: str, what: str) -> None:
    """Refuse what an optional library is missing for, before anything is read.

    Raises:
        UserInputError: It is missing, and how to get it.
    """
    if find_spec(library) is None:
        mend = f"pip install {library}"
        fault = Fault(Cell(), "library-missing", f"no {library}", f"{library}, which {what} needs", mend)
        raise UserInputError([fault])


def _fleet(arguments: argparse.Namespace, catalogue: Catalogue) -> Fleet:
    """What is asked for.

    Raises:
        UserInputError: A name is not in the catalogue, or there is nothing to do.
    """
    from budgetbuild.catalogue.asked import unknown
    from budgetbuild.catalogue.names import fold
    from budgetbuild.fleet.fleet import CounterFiles, fleet_of

    listed = {
        "--tier": (arguments.tier, [tier.name for tier in catalogue.tiers]),
        "--brief": (arguments.brief, [brief.name for brief in catalogue.briefs]),
        "--vehicle": (arguments.vehicle, [vehicle.name for vehicle in catalogue.vehicles]),
    }
    faults = [
        unknown(option, name, names)
        for option, (asked, names) in listed.items()
        for name in asked
        if fold(name) not in set(map(fold, names))
    ]
    if faults:
        raise UserInputError(faults)
    fleet = fleet_of(
        catalogue,
        briefs=arguments.brief,
        tiers=arguments.tier,
        vehicles=arguments.vehicle,
        counter=CounterFiles(arguments.counter),
        templates=arguments.templates,
    )
    kits = [brief.name for brief in catalogue.briefs if brief.is_kit]
    if kits:
        tell(f"Left out, since they ask for one system for several vehicles, which build finds: {'; '.join(kits)}.")
    if not fleet.builds:
        expected = "a tier that asks for a brief of one vehicle, and a vehicle"
        mend = "name a brief in the tier's Briefs cell, or leave that cell blank for all"
        raise UserInputError([Fault(Cell("Tiers"), "nothing-to-solve", "nothing to ask", expected, mend)])
    return fleet


def _answer_all(arguments: argparse.Namespace, bench: Bench, work: WorkFolder) -> None:
    """Answer every vehicle that is not answered yet, and keep each answer as it comes."""
    fleet = bench.fleet
    missing = [number for number in range(len(fleet.vehicles)) if number not in work.finished]
    with progress(len(missing), quiet=arguments.quiet) as step:
        for found in _answers(arguments, bench, bench.batches(missing)):
            work.keep(found, fleet.files[found.number])
            step(fleet.vehicles[found.number].name)


def _answers(arguments: argparse.Namespace, bench: Bench, batches: list[tuple[int, ...]]) -> Iterator[Answer]:
    """Answers from the cluster, or from processes of this machine.

    Raises:
        UserInputError: A process was ended from outside.
    """
    if arguments.scheduler and batches:
        from budgetbuild.fleet.cluster import answers_from

        yield from answers_from(arguments.scheduler, bench.fleet, batches, bench.code)
        return
    from budgetbuild.fleet.bench import answers
    from budgetbuild.parallel import spread

    try:
        for some in spread(answers, bench, batches, arguments.workers, few=1):
            yield from some
    except ProcessEndedError as error:
        expected = "processes that end by themselves"
        mend = "run it again, with fewer --workers where memory is short"
        found = "a process that was ended from outside"
        raise UserInputError([Fault(Cell("--workers"), "process-ended", found, expected, mend)]) from error


def _tell_taken_up(work: WorkFolder, fleet: Fleet, *, quiet: bool) -> None:
    if work.restarted:
        tell(f"{work.path} was of another price list, other options or another version: begun anew.")
    elif work.finished and not quiet:
        tell(f"{_kept(work, fleet)} from an earlier run.")


def _kept(work: WorkFolder, fleet: Fleet) -> str:
    return f"{len(work.finished)} of {len(fleet.vehicles)} vehicles are kept"


def _summary(arguments: argparse.Namespace, fleet: Fleet, counted: dict[tuple[str, str], Tally], voice: Voice) -> None:
    """How many vehicles have a system, tier by tier and brief by brief, and for what."""
    write = voice.notation
    headings = ("tier", "brief", "systems", "too dear", "none fits", "left out", "score", "total")
    rows = [
        (
            tier,
            brief,
            str(len(tally.totals)),
            str(tally.too_dear),
            str(tally.never),
            str(tally.left_out),
            f"{write.points(min(tally.scores))} to {write.points(max(tally.scores))}" if tally.scores else "",
            f"{write.money(min(tally.totals))} to {write.money(max(tally.totals))}" if tally.totals else "",
        )
        for (tier, brief), tally in counted.items()
    ]
    print_table(headings, rows, right=(2, 3, 4, 5, 6, 7), to=sys.stdout)
    files = "" if fleet.counter.value == "none" else " and counters/"
    count = f"{len(fleet.vehicles)} vehicles, {fleet.builds} builds"
    print(clean(f"Wrote fleet.parquet{files} to {arguments.out}: {count}."))
