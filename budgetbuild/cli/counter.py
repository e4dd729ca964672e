"""`budgetbuild counter`: the counter page alone, for every brief in every vehicle."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.cli.console import clean, print_faults, progress, tell
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.loading import add_catalogue, add_out, load

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from budgetbuild.build import Curve
    from budgetbuild.catalogue.shop import Catalogue, Vehicle
    from budgetbuild.counter import Pair
    from budgetbuild.report import Counter

MOST_UNASKED = 50_000
"""Products x pairs of brief and vehicle that a page answers without being asked to: half a minute on two processors."""


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "counter",
        help="write counter.html alone: every brief in every vehicle, without solving the tiers",
        description="Write the counter page alone: what one gets for any budget, for every brief in every vehicle.",
    )
    add_catalogue(parser)
    add_out(parser)
    parser.add_argument("--templates", type=Path, metavar="DIR", help="folder of your own page templates")
    parser.add_argument("--quiet", action="store_true", help="print nothing but faults")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do it."""
    catalogue = load(arguments)
    from budgetbuild.counter import curves_for, left_out, pairs_at_the_counter
    from budgetbuild.report import counter_page
    from budgetbuild.report.save import save_all

    pairs = pairs_at_the_counter(catalogue, catalogue.briefs)
    tell_left_out(left_out(catalogue, pairs))
    curves = []
    with progress(len(pairs), quiet=arguments.quiet) as step:
        for curve in curves_for(catalogue, pairs):
            step(f"{curve.brief.name}, {curve.vehicle.name}")
            curves.append(curve)
    page = counter_page(catalogue, answers(catalogue, curves), arguments.templates)
    save_all({"counter.html": page}, arguments.out)
    if not arguments.quiet:
        print(clean(f"Wrote counter.html to {arguments.out}: {len(curves)} curves of budget and score."))
        if catalogue.warnings:
            print_faults(catalogue.warnings)
    return ExitStatus.DONE


def answers(catalogue: Catalogue, curves: Sequence[Curve], *, own_only: bool = False) -> Counter:
    """What the page answers: some curves, by the shop's own allowance and visible gain."""
    from budgetbuild.advice.advice import visible_gain
    from budgetbuild.catalogue.shop import usual_allowance
    from budgetbuild.report import Counter

    allowance = usual_allowance(tier.allowance for tier in catalogue.tiers)
    return Counter(tuple(curves), allowance, visible_gain(catalogue), own_only)


def takes_long(catalogue: Catalogue, pairs: Sequence[Pair]) -> bool:
    """Whether the curves of so many pairs are more than anybody waits for without having asked."""
    return len(catalogue.products()) * len(pairs) > MOST_UNASKED


def tell_own_only(catalogue: Catalogue, own: Sequence[Pair], pairs: Sequence[Pair]) -> None:
    """That the page answers for fewer vehicles than the price list has, why, and what gives the others."""
    named = len({vehicle.name for _, vehicle in own})
    tell(
        f"counter.html answers for the vehicles that the briefs name, {named} of {len(catalogue.vehicles)}: all of "
        f"them would take long ({len(catalogue.products()):,} products, {len(pairs)} pairs of brief and vehicle). "
        "--counter all puts them in; `budgetbuild fleet` writes a counter page for each vehicle."
    )


def tell_left_out(vehicles: Sequence[Vehicle]) -> None:
    """Which vehicles the page does not answer for, and what to do about it."""
    if vehicles:
        named = "; ".join(f"{vehicle.name} ({vehicle.at})" for vehicle in vehicles)
        tell(f"counter.html leaves out {named}: mend what the check says of their rows.")
