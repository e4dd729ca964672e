"""`budgetbuild quote`: the best system for one brief, vehicle and budget, at the counter."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.catalogue.listed import names_of
from budgetbuild.cli.asking import Given, ask_missing, can_ask, lacks, same_again
from budgetbuild.cli.console import counted, print_faults, tell
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.loading import add_catalogue
from budgetbuild.cli.quote_files import add_file_options, faults_of_files, rendered, save_files
from budgetbuild.cli.wishes import Wish, faults_before_asking, wish
from budgetbuild.faults import Severity, UserInputError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.shown import Report


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "quote",
        help="the best system for one brief and budget; asks where budget or brief are not given",
        description="Answer one customer: the best complete system for a brief, a vehicle and a budget. At a terminal "
        "it asks for the budget or brief that is not given.",
    )
    add_catalogue(parser)
    _add_wishes(parser)
    parser.add_argument(
        "--json", action="store_true", help="print the quote alone as JSON, in the form of results.json"
    )
    add_file_options(parser)
    parser.add_argument("--templates", type=Path, metavar="DIR", help="folder of your own sentences and page templates")
    parser.add_argument("--quiet", action="store_true", help="print nothing but faults")
    parser.set_defaults(run=run)


def _add_wishes(parser: argparse.ArgumentParser) -> None:
    """Describe what a customer may want."""
    parser.add_argument("--budget", default="", metavar="AMOUNT", help="such as 1450, 1450.50 or 1,450")
    parser.add_argument("--brief", default="", metavar="NAME", help="which brief of the workbook")
    parser.add_argument(
        "--vehicle", default="", metavar="NAME", help="which vehicle (default: the brief's, where it names one alone)"
    )
    parser.add_argument(
        "--must",
        action="append",
        default=[],
        metavar="SKU|BRAND",
        help="the system has this product, or something of this brand; may be repeated",
    )
    parser.add_argument(
        "--without",
        action="append",
        default=[],
        metavar="SKU|BRAND",
        help="the system has nothing of this; may be repeated",
    )
    parser.add_argument(
        "--own-head-unit",
        metavar="PAIRS",
        help="keep the customer's own head unit, with so many pre-out pairs (and the brief's Own internal W)",
    )
    parser.add_argument("--no-bass", action="store_true", help="no subwoofer")
    parser.add_argument("--fitted", action="store_true", help="with the labour of fitting it")
    parser.add_argument("--brand-match", action="store_true", help="front, rear, bass and amplifier of one brand")
    parser.add_argument(
        "--allowance",
        default="",
        metavar="PERCENT",
        help="how far the total may go over the budget (default: what the tiers allow, where they agree, else 1); cap "
        "rounded down to a cent",
    )


def run(arguments: argparse.Namespace) -> int:
    """Do it; tells whether there is a system."""
    listed = names_of(arguments.catalogue)
    given = Given(brief=arguments.brief, vehicle=arguments.vehicle, budget=arguments.budget, fitted=arguments.fitted)
    faults = list(faults_of_files(arguments))
    if lacks(given, listed) and can_ask():
        faults += faults_before_asking(arguments, given, listed)
        if faults:
            raise UserInputError(faults)
        given = ask_missing(given, listed)
        tell(f"The same without questions: {same_again(given, arguments.catalogue, arguments.prices)}\n")
    report = _report(wish(arguments, given, listed, faults), arguments.templates)
    _show(arguments, report, save_files(arguments, report))
    return ExitStatus.DONE if report.builds[0].audited else ExitStatus.NO_SOLUTION


def _report(wished: Wish, templates: Path | None) -> Report:
    """Solve it: read it off the whole budget curve, which is exact at every budget."""
    from budgetbuild.advice.frontier import curve_of
    from budgetbuild.quoting import quote
    from budgetbuild.report.content import report_content
    from budgetbuild.report.words.voice import voice_of

    catalogue = wished.catalogue
    voice = voice_of(catalogue.settings, templates)
    (brief,) = catalogue.briefs
    curve = curve_of(catalogue, brief, catalogue.vehicle(brief.vehicle))
    return report_content([quote(catalogue, wished.tier, curve)], catalogue, [curve], voice)


def _show(arguments: argparse.Namespace, report: Report, written: Sequence[Path]) -> None:
    """What goes to the terminal."""
    if arguments.json:
        sys.stdout.write(rendered(arguments, report, ".json").decode())
        return
    if arguments.quiet:
        return
    from budgetbuild.cli.quoted import print_quote

    print_quote(report, sys.stdout)
    sys.stdout.flush()
    _tell_warnings(report.catalogue)
    if written:
        tell(f"Wrote {', '.join(map(str, written))}")


def _tell_warnings(catalogue: Catalogue) -> None:
    """What the price list has to say: on this brief in full, on the rest how many warnings there are."""
    row = catalogue.briefs[0].at
    own = [one for one in catalogue.warnings if (one.at.sheet, one.at.row) == (row.sheet, row.row)]
    if own:
        print_faults(own)
    others = [one for one in catalogue.warnings if one not in own and one.severity is Severity.WARNING]
    if others:
        tell(f"In the price list: {counted(others)} See budgetbuild check.")
