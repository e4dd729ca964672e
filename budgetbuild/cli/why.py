"""`budgetbuild why` and `budgetbuild entry-prices`: what one product would have to cost, and what it would change."""

from __future__ import annotations

import argparse
import sys
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import fold
from budgetbuild.cli.console import print_table, print_text, progress
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.loading import add_catalogue, load
from budgetbuild.faults import UserInputError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from budgetbuild.advice.entry import Market
    from budgetbuild.build import Entry
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Tier

NEAR_PERCENT = 10


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe both commands."""
    why = commands.add_parser(
        "why",
        help="why a product is not in a tier's best system, and from which price on it would be",
        description="Insist on one product in a tier and brief: what that costs in points and changes, or which rule "
        "forbids it, and the highest price at which it would be in the best system.",
    )
    add_catalogue(why)
    why.add_argument("sku", metavar="SKU", help="the product")
    _add_place(why)
    why.set_defaults(run=run_why)
    prices = commands.add_parser(
        "entry-prices",
        help="from which price on each near miss would be in a tier's best system",
        description="List what a supplier would have to do: for every product that is in a tier's best system, or just "
        "misses it, the highest price at which it is in.",
    )
    add_catalogue(prices)
    _add_place(prices)
    prices.add_argument(
        "--within",
        type=percent,
        default=Fraction(NEAR_PERCENT, 100),
        metavar="PERCENT",
        help=f"largest price cut that still counts as a near miss (default: {NEAR_PERCENT})",
    )
    prices.set_defaults(run=run_prices)


def _add_place(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--tier", required=True, metavar="NAME", help="which tier")
    parser.add_argument("--brief", default="", metavar="NAME", help="which brief (may be left out where there is one)")
    parser.add_argument(
        "--vehicle", default="", metavar="NAME", help="which vehicle (default: the brief's, where it names one alone)"
    )
    parser.add_argument("--json", action="store_true", help="print the answer alone as JSON")


def percent(text: str) -> Fraction:
    """A share from a number of percent.

    Raises:
        argparse.ArgumentTypeError: It is not a number from 0 to 100.
    """
    try:
        share = Fraction(text.strip().removesuffix("%").strip()) / 100
    except (ValueError, ZeroDivisionError):
        share = Fraction(-1)
    if not 0 <= share <= 1:
        raise argparse.ArgumentTypeError(f"{text} is not a number of percent from 0 to 100")
    return share


def run_why(arguments: argparse.Namespace) -> int:
    """Do it; tells whether a system with the product is possible."""
    market, tier = _market(arguments)
    from budgetbuild.advice.forced import why
    from budgetbuild.report.words.forced import forced_text, render_forced
    from budgetbuild.report.words.ratings import reckoning
    from budgetbuild.report.words.voice import voice_of

    products = market.catalogue.by_sku()
    product = _product(arguments.sku, products)
    forced = why(market, product)
    voice, reckoned = voice_of(market.catalogue.settings), market.catalogue.reckoned.get(product.sku)
    told = forced_text(forced, products, tier, voice)
    told += [reckoning(product, reckoned, voice)] if reckoned else []
    if arguments.json:
        sys.stdout.write(render_forced(forced, told))
    else:
        for sentence in told:
            print_text(sentence, to=sys.stdout)
    return ExitStatus.DONE if forced.with_it else ExitStatus.NO_SOLUTION


def run_prices(arguments: argparse.Namespace) -> int:
    """Do it."""
    market, tier = _market(arguments)
    from budgetbuild.advice.entry import entries
    from budgetbuild.report.words.forced import render_entries

    products = market.catalogue.by_sku()
    near: list[Entry] = []
    with progress(len(products), quiet=arguments.json) as step:
        for product, found in entries(market, arguments.within):
            step(product.sku)
            near += [found] if found else []
    near.sort(key=lambda entry: (not entry.chosen, Fraction(entry.reduction or 0, entry.price), entry.sku))
    if arguments.json:
        sys.stdout.write(render_entries(near, products))
    else:
        _print_entries(near, products, tier, market)
    return ExitStatus.DONE


def _market(arguments: argparse.Namespace) -> tuple[Market, Tier]:
    from budgetbuild.catalogue.asked import Asked

    asked = Asked(brief=arguments.brief, vehicle=arguments.vehicle, tier=arguments.tier)
    catalogue = load(arguments, asked)
    from budgetbuild.advice.entry import Market

    brief, tier = catalogue.briefs[0], catalogue.tiers[0]
    return Market(catalogue, brief, catalogue.vehicle(brief.vehicle), tier.cap), tier


def _product(sku: str, products: Mapping[str, Product]) -> Product:
    """The product of a SKU.

    Raises:
        UserInputError: There is none; the nearest are told.
    """
    from budgetbuild.catalogue.asked import unknown

    found = next((product for name, product in products.items() if fold(name) == fold(sku)), None)
    if found is None:
        raise UserInputError([unknown("SKU", sku, list(products))])
    return found


def _print_entries(near: Sequence[Entry], products: Mapping[str, Product], tier: Tier, market: Market) -> None:
    from budgetbuild.report.words.format import label
    from budgetbuild.report.words.voice import voice_of

    print_text(
        f"{label(market.brief.name)}, {label(market.vehicle.name)}, {label(tier.name)}: products in the best system, "
        "up to which price they stay there, and those that just miss it, from which price on they would be in it. "
        "Each price is for that product alone, all others as they are.",
        to=sys.stdout,
    )
    write = voice_of(market.catalogue.settings).notation
    rows = [
        (
            "in" if entry.chosen else "near",
            entry.sku,
            label(products[entry.sku].name),
            write.amount(entry.price),
            write.amount(entry.entry or 0),
            f"{write.number(100 * -(entry.reduction or 0) / entry.price, 1)} %",
        )
        for entry in near
    ]
    headings = ("", "SKU", "product", f"{write.symbol} today", "entry price", "change")
    print_table(headings, rows, right=(3, 4, 5), to=sys.stdout)
