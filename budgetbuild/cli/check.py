"""`budgetbuild check`: every fault of a catalogue, without solving anything."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.cli.console import print_faults
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.loading import add_catalogue
from budgetbuild.faults import Fault, UserInputError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from pathlib import Path

    from budgetbuild.catalogue.fresh import Fresh


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "check",
        help="list every fault of a catalogue, with sheet, cell and how to mend it",
        description="Read a catalogue and list every fault: sheet, cell, what stands there, what was expected, "
        "how to mend it. With --prices, also list what that file changes and which SKUs the two do not share.",
    )
    add_catalogue(parser)
    parser.add_argument("--json", action="store_true", help="print the faults as JSON")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do it; tells whether the catalogue can be used."""
    fresh = settings = None
    try:
        catalogue = load_catalogue(arguments.catalogue, prices=arguments.prices)
    except UserInputError as error:
        faults, usable = error.faults, False
        heading = "The catalogue cannot be used until the faults are mended."
    else:
        faults, usable = list(catalogue.warnings), True
        fresh, settings = catalogue.fresh, catalogue.settings
        heading = (
            f"The catalogue can be used: {len(catalogue.products())} products, {len(catalogue.vehicles)} vehicles, "
            f"{len(catalogue.briefs)} briefs, {len(catalogue.tiers)} tiers."
        )
    if arguments.json:
        _print_json(arguments.catalogue, faults, fresh, usable=usable)
    else:
        print_faults(faults, heading, to=sys.stdout)
        if fresh and settings:
            from budgetbuild.cli.fresh_prices import print_fresh

            print_fresh(fresh, settings, sys.stdout)
    return ExitStatus.DONE if usable else ExitStatus.BAD_INPUT


def _print_json(path: Path, faults: Sequence[Fault], fresh: Fresh | None, *, usable: bool) -> None:
    from budgetbuild.report.fresh import fresh_data, place_data
    from budgetbuild.report.json_text import json_text

    listed = [
        {
            **place_data(fault.at),
            "code": fault.code,
            "found": fault.found,
            "expected": fault.expected,
            "mend": fault.mend,
            "severity": str(fault.severity),
        }
        for fault in faults
    ]
    content = {"catalogue": path.name, "usable": usable, "faults": listed, "prices_file": fresh_data(fresh, costs=True)}
    sys.stdout.write(json_text(content, indent=1))
