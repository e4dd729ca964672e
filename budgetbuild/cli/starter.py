"""`budgetbuild starter`: an empty catalogue workbook to fill in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.cli.console import clean
from budgetbuild.cli.exit_status import ExitStatus
from budgetbuild.cli.new_file import add_force, refuse_to_overwrite, save_new

if TYPE_CHECKING:
    import argparse


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command."""
    parser = commands.add_parser(
        "starter",
        help="write an empty catalogue workbook with drop-downs, comments and an example row on each sheet",
        description="Write a new catalogue workbook to fill in: every sheet, with comments, drop-downs, units and an "
        "example row each.",
    )
    parser.add_argument("file", type=Path, metavar="FILE.xlsx", help="the workbook to make")
    parser.add_argument("--empty", action="store_true", help="without the example rows")
    add_force(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do it."""
    refuse_to_overwrite(arguments.file, ".xlsx", force=arguments.force)
    from budgetbuild.catalogue.shop import Settings
    from budgetbuild.report.form.workbook import render_starter
    from budgetbuild.report.words.voice import voice_of

    save_new(arguments.file, render_starter(voice_of(Settings()), examples=not arguments.empty))
    print(clean(f"Wrote {arguments.file}. Its first sheet says how to fill it in."))
    return ExitStatus.DONE
