"""`budgetbuild verify`: is every figure of a published file what follows from the very list it was made from."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.build import Shown
from budgetbuild.cli.console import print_faults, print_table, print_text, progress
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.loading import add_catalogue, load
from budgetbuild.faults import Cell, Fault, Severity, UserInputError

if TYPE_CHECKING:
    import argparse

    from budgetbuild.build import Published, Verification, Verified
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.held import Held

MOST_SHOWN = 200
"""Findings in one table."""
SHOWN = {
    Shown.BEST: "none is better",
    Shown.NONE: "none is possible",
    Shown.WITHIN: "the best lies within what was said",
    Shown.NOT_SO: "NOT SO: see below",
    Shown.NOT_ASKED: "not shown again",
}
NOT_LOOKED_AT = (
    "Not looked at: sentences, advice, runners-up, version alerts and notices of the list; and whether systems for "
    "several vehicles, if prices rise, on upgrade paths or of promotions are the best there are."
)

NOT_OF_A_RECHECK = (
    "The file is what recheck wrote: the systems to print were looked at, not what it says of the published guide."
)
OTHER_VERSION = (
    "Another version of budgetbuild wrote the file than this one ({version}), which may word rules and safety "
    "otherwise: their figures were compared, not their words, and keys that are missing were let pass."
)


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "verify",
        help="is a published results.json right: every system audited again from the list it was made from",
        description="Audit every system of a published results.json again, from scratch and without a solver, by the "
        "very price list that it was made from; hold each tier's score against the whole budget curve, and every "
        "printed figure against the one reckoned anew. Writes nothing. Exit status: 0 all of it is right, 4 something "
        "is not, 2 bad input, or another list (for today's list: recheck).",
    )
    parser.add_argument("results", type=Path, metavar="RESULTS.json", help="the results.json to verify")
    add_catalogue(parser)
    parser.add_argument("--json", action="store_true", help="print the findings as JSON on standard output")
    parser.add_argument("--quiet", action="store_true", help="print nothing but faults")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do it; tells whether everything published is right."""
    from budgetbuild.published import read_document

    published, document = read_document(arguments.results)
    catalogue = load(arguments)
    _stop_if_another_list(published, catalogue)
    # Imported here: what draws and audits budget curves takes a while to load, and a wrong input needs none of it.
    from budgetbuild.planning.verify import verify
    from budgetbuild.report.verify import held_against, is_recheck, verification_data

    with progress(len(published.builds), quiet=arguments.quiet or arguments.json, doing="verifying") as step:
        verification = verify(catalogue, published, step)
    held = held_against(document, verification, catalogue, published)
    if arguments.json:
        sys.stdout.write(verification_data(held, verification, catalogue, published))
    elif not arguments.quiet:
        _tell(held, verification, published, catalogue, recheck=is_recheck(document))
    return ExitStatus.NO_LONGER_TRUE if held.findings else ExitStatus.DONE


def _stop_if_another_list(published: Published, catalogue: Catalogue) -> None:
    """Refuse another list than the one that the file was made from: its figures would differ rightly.

    Raises:
        UserInputError: The hash of the workbook, or of the price file laid over it, is another.
    """
    fresh = catalogue.fresh
    faults = []
    if published.catalogue_sha256 != catalogue.sha256:
        faults.append(
            Fault(
                Cell("catalogue.sha256", file=published.name),
                "another-list",
                _hashed(catalogue.name, catalogue.sha256),
                f"the list it was made from, {_hashed(published.catalogue, published.catalogue_sha256)}",
                "name the very file, for one that was opened and saved again is another; whether the guide still holds "
                "by today's list is told by recheck",
            )
        )
    if published.prices_sha256 != (fresh.sha256 if fresh else ""):
        faults.append(
            Fault(
                Cell("prices_file.sha256", file=published.name),
                "another-list",
                _hashed(fresh.name, fresh.sha256) if fresh else "no price file",
                _hashed(published.prices, published.prices_sha256) if published.prices_sha256 else "no price file",
                "give the same one with --prices" if published.prices_sha256 else "leave out --prices",
            )
        )
    if faults:
        raise UserInputError(faults)


def _hashed(name: str, sha256: str) -> str:
    """A file with as much of its hash as tells it from any other."""
    return f"{name} (SHA-256 {sha256[:16]}…)"


def _tell(held: Held, verification: Verification, published: Published, catalogue: Catalogue, *, recheck: bool) -> None:
    """Which systems, what was shown of each, what differs, and the verdict."""
    rows = [(one.name, _rules(one), SHOWN[one.shown]) for one in verification.systems]
    print_table(("system", "rules passed", "by the budget curve"), rows, right=(1,), to=sys.stdout)
    if held.findings:
        found = [(one.at, one.printed, one.reckoned) for one in held.findings[:MOST_SHOWN]]
        print_table(("in the file", "printed", "reckoned anew"), found, to=sys.stdout)
        if len(held.findings) > MOST_SHOWN:
            print(f"... and {len(held.findings) - MOST_SHOWN} more: list all with --json.")
    print_text(_verdict(held, published), to=sys.stdout)
    print_text(NOT_LOOKED_AT, to=sys.stdout)
    if recheck:
        print_text(NOT_OF_A_RECHECK, to=sys.stdout)
    if published.version != __version__:
        print_text(OTHER_VERSION.format(version=__version__), to=sys.stdout)
    if any(fault.severity is Severity.WARNING for fault in catalogue.warnings):
        print_faults(catalogue.warnings)


def _rules(one: Verified) -> str:
    """How many rules a system passes of those that it was checked against."""
    if one.audited is None:
        return ""
    passes = one.rules - len(one.audited.refused)
    return f"{passes}" if passes == one.rules else f"{passes} of {one.rules}"


def _verdict(held: Held, published: Published) -> str:
    """Whether the file may be relied on."""
    made = f"{published.name}, written by budgetbuild {published.version} from {published.catalogue}"
    if held.findings:
        return f"NOT RIGHT: {made}: {len(held.findings)} of {held.compared} values are not what the list says."
    return f"Right in all {held.compared} values that were compared: {made}."
