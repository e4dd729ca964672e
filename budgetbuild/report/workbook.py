"""`tiers.xlsx`: the comparison workbook. A price stands once, in `Prices`; every amount elsewhere is a formula on it.

Each formula carries the value that it has now, so that the file shows its numbers where nothing recalculates.
"""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING

from xlsxwriter import Workbook

from budgetbuild.report.book import FACE, Book, Page
from budgetbuild.report.format import label
from budgetbuild.report.sheet_about import write_about
from budgetbuild.report.sheet_build import BuildPlace, write_build
from budgetbuild.report.sheet_comparison import write_comparison
from budgetbuild.report.sheet_curve import write_curve
from budgetbuild.report.sheet_notes import write_electrical, write_notes
from budgetbuild.report.sheet_prices import write_prices

if TYPE_CHECKING:
    from budgetbuild.report.content import Report

MADE = datetime(2000, 1, 1)  # noqa: DTZ001 - a workbook's dates have no zone
"""Date in every file: the same content gives the same bytes on any day."""


def render_workbook(report: Report) -> bytes:
    """The workbook as bytes.

    Args:
        report: What it shows.
    """
    stream = BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
        "default_format_properties": dict(FACE),  # the writer changes what it is given
    }
    with Workbook(stream, options) as workbook:
        _set_properties(workbook, report)
        _write_sheets(Book(workbook, report.currency), report)
    return stream.getvalue()


def _set_properties(workbook: Workbook, report: Report) -> None:
    workbook.set_properties(
        {
            "title": report.title,
            "subject": "Complete car-audio systems by budget tier and brief",
            "author": label(report.catalogue.settings.shop_name),
            "comments": f"Made by budgetbuild {report.version} from {label(report.catalogue.name)}",
            "created": MADE,
        }
    )


def _write_sheets(book: Book, report: Report) -> None:
    """Make the sheets in the order in which they are shown, then fill them: formulas need each other's places."""
    about, comparison = book.add("About"), book.add("Comparison")
    book.sheet_names |= {"prices", "electrical", "budget curve", "catalogue notes"}
    pages = [book.add(f"{shown.build.tier.name} {shown.build.brief.name}") for shown in report.builds]
    prices, electrical, curve, notes = (_fixed(book, name) for name in FIXED)
    places: list[BuildPlace] = []
    write_prices(prices, report)
    for page, shown in zip(pages, report.builds, strict=True):
        places.append(write_build(page, shown, report))
    role_sums = write_comparison(comparison, report, places)
    write_electrical(electrical, report)
    write_curve(curve, report, places)
    write_notes(notes, report)
    write_about(about, report, places, role_sums)
    comparison.sheet.activate()
    book.fit_rows()


FIXED = ("Prices", "Electrical", "Budget curve", "Catalogue notes")


def _fixed(book: Book, name: str) -> Page:
    """A sheet whose name was kept free for it."""
    book.sheet_names.discard(name.casefold())
    return book.add(name)
