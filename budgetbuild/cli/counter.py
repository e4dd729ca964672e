"""`budgetbuild counter`: the counter page alone, for every brief in every vehicle."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.cli.console import print_faults, progress
from budgetbuild.cli.exit_status import ExitStatus

if TYPE_CHECKING:
    import argparse


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "counter",
        help="write counter.html alone: every brief in every vehicle, without solving the tiers",
        description="Write the counter page alone: what one gets for any budget, for every brief in every vehicle.",
    )
    parser.add_argument("catalogue", type=Path, metavar="CATALOGUE.xlsx", help="the shop's catalogue workbook")
    parser.add_argument(
        "--out", type=Path, default=Path("out"), metavar="DIR", help="folder to write into (default: out)"
    )
    parser.add_argument("--templates", type=Path, metavar="DIR", help="folder of your own page templates")
    parser.add_argument("--quiet", action="store_true", help="print nothing but faults")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do it; tells whether some brief has no system in any vehicle."""
    catalogue = load_catalogue(arguments.catalogue)
    from budgetbuild.counter import curves_for, pairs_at_the_counter, usual_allowance
    from budgetbuild.report import Counter, counter_page
    from budgetbuild.report.save import save_all

    pairs = pairs_at_the_counter(catalogue, catalogue.briefs)
    curves = []
    with progress(len(pairs), quiet=arguments.quiet) as step:
        for curve in curves_for(catalogue, pairs):
            step(f"{curve.brief.name}, {curve.vehicle.name}")
            curves.append(curve)
    page = counter_page(catalogue, Counter(tuple(curves), usual_allowance(catalogue)), arguments.templates)
    save_all({"counter.html": page}, arguments.out)
    if not arguments.quiet:
        print(f"Wrote counter.html to {arguments.out}: {len(curves)} curves of budget and score.")
        if catalogue.warnings:
            print_faults(catalogue.warnings)
    return ExitStatus.DONE
