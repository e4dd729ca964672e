"""`budgetbuild import`: a flat price list, sorted onto the product sheets of a new catalogue workbook."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.cli.console import clean, print_faults, print_table
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.new_file import add_force, refuse_to_overwrite, save_new
from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    import argparse

    from budgetbuild.pricelist.placed import Placed

LEFT_OVER_SHOWN = 10
"""Left-over rows that the terminal names; the workbook has them all."""


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "import",
        help="sort a flat price list, one sheet with any column names, onto the product sheets of a new catalogue",
        description="Sort a flat price list (CSV or xlsx, any column names) onto the product sheets of a new catalogue "
        "workbook, as a mapping file says. What the list does not say stays blank and is listed.",
    )
    parser.add_argument("pricelist", type=Path, metavar="PRICELIST", help="the list: CSV or xlsx, one sheet")
    parser.add_argument("mapping", type=Path, nargs="?", metavar="MAPPING.toml", help="which column fills which")
    parser.add_argument("--out", type=Path, metavar="CATALOGUE.xlsx", help="the workbook to make")
    parser.add_argument(
        "--suggest",
        type=Path,
        metavar="MAPPING.toml",
        help="write a first mapping for this list, to be confirmed line by line, instead of a workbook",
    )
    parser.add_argument(
        "--sheet", default="", metavar="NAME", help="with --suggest: which sheet of the list's workbook"
    )
    parser.add_argument(
        "--leave-blank",
        action="store_true",
        help="where a cell of the list cannot be read, leave it blank and list it, instead of stopping",
    )
    add_force(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do it."""
    if arguments.suggest:
        return _suggest(arguments)
    if arguments.mapping is None or arguments.out is None:
        missing = "MAPPING.toml" if arguments.mapping is None else "--out CATALOGUE.xlsx"
        mend = "name both, or let --suggest MAPPING.toml write a first mapping"
        expected = "a mapping file and --out CATALOGUE.xlsx"
        raise UserInputError([Fault(Cell("import"), "missing-argument", f"no {missing}", expected, mend)])
    return _import(arguments)


def _suggest(arguments: argparse.Namespace) -> int:
    """Write a first mapping."""
    refuse_to_overwrite(arguments.suggest, ".toml", force=arguments.force)
    from budgetbuild.pricelist.suggest import suggest_mapping
    from budgetbuild.report.pages.mapping import render_mapping

    suggestion = suggest_mapping(arguments.pricelist, arguments.sheet)
    save_new(arguments.suggest, render_mapping(suggestion))
    print(clean(f"Wrote {arguments.suggest}. Nothing in it holds until you confirm it: read it from top to bottom."))
    return ExitStatus.DONE


def _import(arguments: argparse.Namespace) -> int:
    """Sort the list and write the workbook."""
    refuse_to_overwrite(arguments.out, ".xlsx", force=arguments.force)
    from budgetbuild.catalogue.shop import Settings
    from budgetbuild.pricelist.flat import read_flat
    from budgetbuild.pricelist.mapping_file import read_mapping
    from budgetbuild.pricelist.place import place_rows
    from budgetbuild.report.form.workbook import render_imported
    from budgetbuild.report.words.voice import voice_of

    mapping = read_mapping(arguments.mapping)
    flat = read_flat(arguments.pricelist, mapping.names(), mapping.sheet)
    placed = place_rows(flat, mapping, leave_blank=arguments.leave_blank)
    settings = {"currency": mapping.currency} | ({"tax_rate": float(mapping.tax)} if mapping.tax else {})
    voice = voice_of(Settings(currency=mapping.currency))
    content = render_imported(voice, placed, arguments.pricelist.name, settings)
    save_new(arguments.out, content)
    _report(placed, arguments.out)
    return ExitStatus.DONE


def _report(placed: Placed, out: Path) -> None:
    """What was done, and what is left to do."""
    if placed.faults:
        print_faults(placed.faults)
    from budgetbuild.report.words.format import counted

    sheets = sum(bool(rows) for rows in placed.products.values())
    print(clean(f"Wrote {out}: {counted(placed.count(), 'product')} on {counted(sheets, 'sheet')}."))
    if placed.left_out:
        print(f"{counted(placed.left_out, 'row')} left out, as the mapping says.")
    if placed.left_over:
        named = [f"{one.at} ({', '.join(list(one.texts.values())[:3])})" for one in placed.left_over[:LEFT_OVER_SHOWN]]
        more = f"; and {len(placed.left_over) - len(named)} more" if len(placed.left_over) > len(named) else ""
        print(
            f"{counted(len(placed.left_over), 'row')} that no group takes (sheet Left over): {'; '.join(named)}{more}."
        )
    if placed.blanks:
        print(f"{counted(len(placed.blanks), 'cell')} to fill in (sheet To fill in):")
        counts = [(sheet, column, str(number)) for sheet, column, number in placed.blank_counts()]
        print_table(("sheet", "column", "cells"), counts, right=(2,), to=sys.stdout)
