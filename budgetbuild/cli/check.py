"""`budgetbuild check`: every fault of a catalogue, without solving anything."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.cli.console import print_faults
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.faults import Fault, UserInputError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "check",
        help="list every fault of a catalogue, with sheet, cell and how to mend it",
        description="Read a catalogue and list every fault: sheet, cell, what stands there, what was expected, "
        "how to mend it.",
    )
    parser.add_argument("catalogue", type=Path, metavar="CATALOGUE.xlsx", help="the shop's catalogue workbook")
    parser.add_argument("--json", action="store_true", help="print the faults as JSON")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do it; tells whether the catalogue can be used."""
    try:
        catalogue = load_catalogue(arguments.catalogue)
    except UserInputError as error:
        faults, usable = error.faults, False
        heading = "The catalogue cannot be used until the faults are mended."
    else:
        faults, usable = list(catalogue.warnings), True
        heading = (
            f"The catalogue can be used: {len(catalogue.products())} products, {len(catalogue.vehicles)} vehicles, "
            f"{len(catalogue.briefs)} briefs, {len(catalogue.tiers)} tiers."
        )
    if arguments.json:
        _print_json(arguments.catalogue, faults, usable=usable)
    else:
        print_faults(faults, heading, to=sys.stdout)
    return ExitStatus.DONE if usable else ExitStatus.BAD_INPUT


def _print_json(path: Path, faults: Sequence[Fault], *, usable: bool) -> None:
    listed = [
        {
            "sheet": fault.at.sheet,
            "cell": fault.at.address,
            "code": fault.code,
            "found": fault.found,
            "expected": fault.expected,
            "mend": fault.mend,
            "severity": str(fault.severity),
        }
        for fault in faults
    ]
    print(json.dumps({"catalogue": path.name, "usable": usable, "faults": listed}, ensure_ascii=False, indent=1))
