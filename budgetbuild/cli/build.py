"""`budgetbuild build`: solve every tier and brief, write workbook, guide and results."""

from __future__ import annotations

import argparse
import sys
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import fold
from budgetbuild.cli.climbing import briefs_to_climb, print_ladders
from budgetbuild.cli.console import clean, print_faults, print_table, progress, tell
from budgetbuild.cli.counter import MOST_UNASKED, answers, takes_long, tell_left_out, tell_own_only
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.if_prices_rise import print_certain
from budgetbuild.cli.into_copy import copy_of, load_both, placed
from budgetbuild.cli.loading import add_catalogue, add_only, add_out, load
from budgetbuild.cli.promoting import print_promotions
from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Build
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.pipeline import Solved
    from budgetbuild.report import Counter
    from budgetbuild.report.words.voice import Voice

DEFAULT_TIME_LIMIT_S = 60.0
MOST_PRICES = 99
"""More prices than a build has products."""


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "build",
        help="solve every tier and brief; write workbook, guide, rundown, pick list, counter page and results",
        description="Solve every tier and brief of a catalogue; write tiers.xlsx, guide.md, guide.html, rundown.md, "
        "pick_list.html, counter.html and results.json.",
    )
    add_catalogue(parser)
    add_out(parser)
    add_only(parser, "tier", "brief")
    parser.add_argument(
        "--time-limit",
        type=seconds,
        default=DEFAULT_TIME_LIMIT_S,
        metavar="SECONDS",
        help=f"most time for one build, or for one upgrade path (default: {DEFAULT_TIME_LIMIT_S:g}); what is stopped "
        "early says how far it may be from the best",
    )
    parser.add_argument(
        "--rising",
        type=prices,
        metavar="N",
        help="beside each build, the best one that stays within the cap even if the prices of any N of its products "
        "rise to their Price high (default: the setting Prices that may rise, else 0)",
    )
    parser.add_argument(
        "--ladder",
        nargs="?",
        choices=("aside", "keep"),
        const="aside",
        metavar="aside|keep",
        help="beside the builds, for each brief the best way to climb from tier to tier with parts bought once used "
        "again; parts may be put aside and their money counts (aside, what the option alone means), or every part is "
        "kept (keep)",
    )
    parser.add_argument("--solver", choices=("highs", "cbc"), default="highs", help="which solver (default: highs)")
    parser.add_argument(
        "--counter",
        choices=("all", "briefs", "none"),
        help="what counter.html answers: the briefs that tiers name in every vehicle, or in their own; or no such page "
        f"(default: all, but briefs where products x briefs x vehicles are more than {MOST_UNASKED:,}, which is told)",
    )
    parser.add_argument(
        "--into-copy",
        type=Path,
        metavar="FILE.xlsx",
        help="also write a copy of the catalogue workbook with the result sheets after its own, prices read from the "
        "catalogue's cells; what the copy will not be like is told first",
    )
    parser.add_argument(
        "--pdf",
        action="store_true",
        help="also write guide.pdf, the guide on A4 pages, printed by an installed Chromium, Chrome or Edge (the one "
        "that the environment variable BUDGETBUILD_BROWSER names, else the first one found); where there is none, "
        "nothing is solved or written",
    )
    parser.add_argument("--templates", type=Path, metavar="DIR", help="folder of your own sentences and page templates")
    parser.add_argument("--json", action="store_true", help="print results.json alone on standard output")
    parser.add_argument("--quiet", action="store_true", help="print nothing but faults")
    parser.set_defaults(run=run)


def seconds(text: str) -> float:
    """A time limit from the command line.

    Raises:
        argparse.ArgumentTypeError: It is not a finite number above 0.
    """
    try:
        number = float(text)
    except ValueError:
        number = 0.0
    if not 0 < number < float("inf"):
        raise argparse.ArgumentTypeError(f"{text} is not a number of seconds above 0")
    return number


def prices(text: str) -> int:
    """A number of prices from the command line.

    Raises:
        argparse.ArgumentTypeError: It is not a whole number from 0 to 99.
    """
    if not text.isdecimal() or int(text) > MOST_PRICES:
        raise argparse.ArgumentTypeError(f"{text} is not a whole number from 0 to {MOST_PRICES}")
    return int(text)


def run(arguments: argparse.Namespace) -> int:
    """Do it; tells whether some build has no solution."""
    # Nobody should wait for what cannot be printed, copied or said.
    browser = _browser() if arguments.pdf else None
    catalogue, shop = load_both(arguments) if arguments.into_copy else (load(arguments), None)
    from budgetbuild.report.words.voice import voice_of

    voice = voice_of(catalogue.settings, arguments.templates)
    _known(arguments, catalogue)
    solved, counter = _solved(arguments, catalogue)
    # Imported here: the writers take a while to load.
    from budgetbuild.report import render_report
    from budgetbuild.report.content import report_content
    from budgetbuild.report.pages.pdf import print_pdf
    from budgetbuild.report.save import save_everywhere

    report = report_content(solved.builds, catalogue, solved.curves, voice, solved.beside)
    files = render_report(report, counter, arguments.templates)
    if browser:
        files["guide.pdf"] = print_pdf(files["guide.html"], browser)
    copy = copy_of(shop, report, files["tiers.xlsx"]) if shop else None
    save_everywhere(placed(files, copy, arguments))
    if arguments.json:
        sys.stdout.write(files["results.json"].decode())
    elif not arguments.quiet:
        _summary(solved.builds, voice)
        print_certain(solved.beside.certain, voice)
        print_ladders(solved.beside.ladders, voice)
        print_promotions(solved.beside.promotions, catalogue, voice)
        _tell_written(list(files), arguments)
        if catalogue.warnings:
            print_faults(catalogue.warnings)
    met = all(build.audited for build in solved.builds) and all(certain.met for certain in solved.beside.certain)
    met = met and all(ladder.steps for ladder in solved.beside.ladders)
    promoted = solved.beside.promotions
    met = met and all(bundle.audited for bundle in (promoted.bundles if promoted else ()))
    return ExitStatus.DONE if met else ExitStatus.NO_SOLUTION


def _solved(arguments: argparse.Namespace, catalogue: Catalogue) -> tuple[Solved, Counter | None]:
    """Every tier and brief asked for, and what the counter page answers.

    Raises:
        UserInputError: There is nothing to solve.
    """
    # The solver takes a third of a second to import: not before the catalogue is known to be sound.
    from budgetbuild.build import Climbing
    from budgetbuild.pipeline import Run, pairs_to_solve, promotes, solve_all
    from budgetbuild.program.solver import Solver

    rising = catalogue.settings.rising if arguments.rising is None else arguments.rising
    climbing = Climbing(arguments.ladder) if arguments.ladder else None
    how = Run(
        Solver(arguments.solver), arguments.time_limit, tuple(arguments.tier), tuple(arguments.brief), rising, climbing
    )
    chosen = list(pairs_to_solve(catalogue, how))
    if not chosen:
        raise UserInputError([_nothing_to_solve(arguments)])
    paths = briefs_to_climb(chosen) if climbing else 0
    if arguments.rising and not any(product.rise for product in catalogue.products()):
        tell("No product has a Price high above its price: every price is taken as certain.")
    promotions = len(catalogue.promotions) + 1 if promotes(catalogue, how) else 0
    if catalogue.promotions and not promotions:
        tell("Promotions are left out of a run for some tiers or briefs: all of them share one stock.")
    steps = len(chosen) * (2 if rising else 1) + paths + promotions
    with progress(steps, quiet=arguments.quiet or arguments.json) as step:

        def told(what: str) -> None:
            step(what)
            _load_writers()

        solved = solve_all(catalogue, how, told)
        step("the counter page")
        return solved, _counter(arguments, catalogue, solved)


def _load_writers() -> None:
    """They take a third of a second to load: while other processes are still solving, nobody waits for it."""
    import budgetbuild.report.content
    import budgetbuild.report.pages.guide
    import budgetbuild.report.sheets.workbook  # noqa: F401


def _browser() -> Path:
    """The browser that prints; looked for first of all, since nobody should wait for what cannot be printed."""
    from budgetbuild.report.pages.browser import find_browser

    return find_browser()


def _counter(arguments: argparse.Namespace, catalogue: Catalogue, solved: Solved) -> Counter | None:
    """What the counter page answers: the briefs solved in every vehicle, or in their own, or no page."""
    from budgetbuild.counter import curves_for, left_out, own_pairs, pairs_at_the_counter

    if arguments.counter == "none":
        return None
    asked = {build.brief.name for build in solved.builds}
    briefs = [brief for brief in catalogue.briefs if brief.name in asked]
    own, every = own_pairs(catalogue, briefs), pairs_at_the_counter(catalogue, briefs)
    own_only = takes_long(catalogue, every) if arguments.counter is None else arguments.counter == "briefs"
    if not own_only:
        tell_left_out(left_out(catalogue, every))
    elif arguments.counter is None and not arguments.quiet and len(own) < len(every):
        tell_own_only(catalogue, own, every)
    curves = curves_for(catalogue, own if own_only else every, solved.curves)
    return answers(catalogue, tuple(curves), own_only=own_only)


def _known(arguments: argparse.Namespace, catalogue: Catalogue) -> None:
    """Refuse tier and brief names that the catalogue does not have, with the nearest ones."""
    faults = [
        *_unknown("--tier", arguments.tier, [tier.name for tier in catalogue.tiers]),
        *_unknown("--brief", arguments.brief, [brief.name for brief in catalogue.briefs]),
    ]
    if faults:
        raise UserInputError(faults)


def _unknown(option: str, asked: Sequence[str], names: Sequence[str]) -> list[Fault]:
    known = {fold(name) for name in names}
    return [
        Fault(
            Cell(option),
            "unknown-name",
            name,
            f"one of: {', '.join(names)}",
            f"write {near[0]}" if (near := get_close_matches(name, names, 1)) else "use one of these names",
        )
        for name in asked
        if fold(name) not in known
    ]


def _nothing_to_solve(arguments: argparse.Namespace) -> Fault:
    asked = ", ".join([*arguments.tier, *arguments.brief]) or "no tier names a brief"
    return Fault(
        Cell("Tiers"),
        "nothing-to-solve",
        asked,
        "a tier with at least one of its briefs",
        "name the brief in the tier's Briefs cell, or leave that cell blank for all",
    )


def _summary(builds: Sequence[Build], voice: Voice) -> None:
    """What was found, one line a build, and why there is none."""
    from budgetbuild.report.words.cautions import no_build_reason
    from budgetbuild.report.words.kit import price_range, vehicle_of
    from budgetbuild.report.words.wording import short_standing

    write = voice.notation
    rows = [
        (
            build.tier.name,
            build.brief.name,
            vehicle_of(build, voice),
            short_standing(build, voice),
            "" if build.score is None else write.points(build.score),
            price_range(build, voice) or ("" if build.total is None else write.money(build.total)),
            "" if build.total is None else write.money(build.tier.budget - build.total),
        )
        for build in builds
    ]
    print_table(
        ("tier", "brief", "vehicle", "status", "score", "total", "left over"), rows, right=(4, 5, 6), to=sys.stdout
    )
    for build in builds:
        if build.audited is None:
            tell(f"{build.tier.name}, {build.brief.name}: {no_build_reason(build, voice)}")


def _tell_written(names: Sequence[str], arguments: argparse.Namespace) -> None:
    """What was written where; of a folder with pictures only its name."""
    shown = sorted({name if "/" not in name else f"{name.partition('/')[0]}/" for name in names})
    print(clean(f"Wrote {', '.join(shown)} to {arguments.out}"))
    if arguments.into_copy:
        print(clean(f"Wrote {arguments.into_copy}"))
