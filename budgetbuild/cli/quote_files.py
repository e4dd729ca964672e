"""What `budgetbuild quote` writes to disk: the customer's quote, its pick list; both or neither."""

from __future__ import annotations

import os
import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.catalogue.setting_rows import SHOP_SETTINGS
from budgetbuild.cli.loading import is_same
from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Mapping

    from budgetbuild.report.shown import Report

LETTERS = (".html", ".md")
"""Endings of files that are the customer's quote, which has a date."""
ENDINGS = (*LETTERS, ".xlsx", ".json")
"""Endings of the files that a quote can be written to."""
PICK_LIST_ENDINGS = (".html",)
EPOCH = "SOURCE_DATE_EPOCH"
"""Environment variable with seconds since 1970 (UTC), by which builds that must be repeatable are dated."""
LONGEST = timedelta(days=next(int(row.high or 0) for row in SHOP_SETTINGS if row.field == "quote_days"))
"""Longest time that a quote can hold."""


def add_file_options(parser: argparse.ArgumentParser) -> None:
    """Describe what is written, and of which date."""
    parser.add_argument(
        "--out",
        type=Path,
        metavar="FILE",
        help="write the quote to a file too, by its ending: .html or .md to hand to the customer, .xlsx the workbook, "
        ".json the data",
    )
    parser.add_argument(
        "--pick-list", type=Path, metavar="FILE.html", help="write what the fitting bay takes from the shelf"
    )
    parser.add_argument(
        "--date",
        metavar="YYYY-MM-DD",
        help=f"date of the customer's quote (default: that of {EPOCH} where it is set, else today)",
    )


def faults_of_files(arguments: argparse.Namespace) -> Iterator[Fault]:
    """Files that no writer can write or that would be lost, and a date that is none."""
    out, pick_list = arguments.out, arguments.pick_list
    if out:
        yield from _faults_of("--out", out, ENDINGS, arguments)
    if pick_list:
        yield from _faults_of("--pick-list", pick_list, PICK_LIST_ENDINGS, arguments)
    if out and pick_list and os.path.realpath(out) == os.path.realpath(pick_list):
        yield _overwritten("--pick-list", pick_list, "another file than that of --out")
    day = day_of(arguments)
    if isinstance(day, Fault):
        yield day


def day_of(arguments: argparse.Namespace, environment: Mapping[str, str] = os.environ) -> date | Fault:
    """The date of a quote: the one asked for, else the environment's, else today."""
    if arguments.date is not None:
        return typed_day(arguments.date)
    seconds = environment.get(EPOCH, "")
    if not seconds or ending(arguments.out) not in LETTERS:
        return datetime.now().astimezone().date()
    try:
        return _lasting(datetime.fromtimestamp(int(seconds), UTC).date())
    except (ValueError, OverflowError, OSError):
        expected = "seconds since 1970, of a date that the calendar has"
        return Fault(Cell(EPOCH), "not-a-date", f'"{seconds}"', expected, "mend or unset it, or give --date")


def typed_day(text: str) -> date | Fault:
    """A date from the command line.

    >>> typed_day("2026-11-25")
    datetime.date(2026, 11, 25)
    >>> typed_day("2026-02-30").code, typed_day("25.11.2026").code, typed_day("9999-12-31").code
    ('not-a-date', 'not-a-date', 'not-a-date')
    """
    try:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            return _lasting(date.fromisoformat(text))
    except (ValueError, OverflowError):
        pass
    expected = "a date as YYYY-MM-DD, which the calendar has"
    return Fault(Cell("--date"), "not-a-date", f'"{text}"', expected, "write it such as 2026-11-25")


def _lasting(day: date) -> date:
    """The date, where every quote of that date ends within the calendar.

    Raises:
        OverflowError: It would not.
    """
    return day + LONGEST - LONGEST


def ending(out: Path | None) -> str:
    """What the ending of a file says is written; empty where nothing is."""
    return out.suffix.lower() if out else ""


def save_files(arguments: argparse.Namespace, report: Report) -> list[Path]:
    """Write what is asked for, all of it or nothing; tells what was written.

    Raises:
        UserInputError: A file cannot be written.
    """
    wanted: dict[Path, bytes] = {}
    if arguments.out:
        wanted[arguments.out] = rendered(arguments, report, ending(arguments.out))
    if arguments.pick_list:
        from budgetbuild.report.pages.picklist import render_pick_lists

        wanted[arguments.pick_list] = render_pick_lists(report, arguments.templates)
    if wanted:
        from budgetbuild.report.save import by_folder, save_everywhere

        save_everywhere(by_folder(wanted))
    return list(wanted)


def rendered(arguments: argparse.Namespace, report: Report, ending: str) -> bytes:
    """A quote as a file of that ending; its writer is imported only now, for most quotes need none.

    Raises:
        UserInputError: The date is none.
    """
    if ending == ".json":
        from budgetbuild.report.results import render_results

        return render_results(report)
    if ending == ".xlsx":
        from budgetbuild.report.sheets.workbook import render_workbook

        return render_workbook(report)
    from budgetbuild.report.pages.quote_letter import render_quote_html, render_quote_markdown

    day = day_of(arguments)
    if isinstance(day, Fault):
        raise UserInputError([day])
    write = render_quote_html if ending == ".html" else render_quote_markdown
    return write(report, day, arguments.templates)


def _faults_of(option: str, path: Path, endings: tuple[str, ...], arguments: argparse.Namespace) -> Iterator[Fault]:
    """A file that no writer can write, or that is read for the quote."""
    if ending(path) not in endings:
        expected = f"a file that ends in {' or '.join(endings)}"
        mend = "change the ending, which says what is written"
        yield Fault(Cell(option), "unknown-ending", f'"{path.name}"', expected, mend)
    if is_same(path, arguments.catalogue):
        yield _overwritten(option, path, "another file than the catalogue itself")
    if is_same(path, arguments.prices):
        yield _overwritten(option, path, "another file than that of --prices")


def _overwritten(option: str, path: Path, expected: str) -> Fault:
    return Fault(Cell(option), "would-overwrite", f'"{path.name}"', expected, "choose another name")
