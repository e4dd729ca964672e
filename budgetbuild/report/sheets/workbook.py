"""`tiers.xlsx`: the comparison workbook. A price stands once, in `Prices`; every amount elsewhere is a formula on it.

Each formula carries the value that it has now, so that the file shows its numbers where nothing recalculates.
"""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING

from xlsxwriter import Workbook

from budgetbuild.report.sheets.about import write_about
from budgetbuild.report.sheets.book import Book, Page
from budgetbuild.report.sheets.build import has_margin, write_build
from budgetbuild.report.sheets.chapters import write_chapter
from budgetbuild.report.sheets.comparison import write_comparison
from budgetbuild.report.sheets.costs import write_costs
from budgetbuild.report.sheets.curve import write_curve
from budgetbuild.report.sheets.inputs import write_inputs
from budgetbuild.report.sheets.looks import FACE
from budgetbuild.report.sheets.margin import write_margin
from budgetbuild.report.sheets.notes import write_electrical, write_notes
from budgetbuild.report.sheets.picks import write_picks
from budgetbuild.report.sheets.prices import write_prices
from budgetbuild.report.sheets.ratings import write_ratings
from budgetbuild.report.words.format import label

if TYPE_CHECKING:
    from budgetbuild.report.sheets.links import Beside
    from budgetbuild.report.shown import Report

MADE = datetime(2000, 1, 1)  # noqa: DTZ001 - a workbook's dates have no zone
"""Date in every file: the same content gives the same bytes on any day."""


def writer_options() -> dict[str, object]:
    """How a workbook is written: text stays text, whatever it looks like."""
    return {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
        "default_format_properties": dict(FACE),  # the writer changes what it is given
    }


def render_workbook(report: Report, beside: Beside | None = None) -> bytes:
    """The workbook as bytes.

    Args:
        report: What it shows.
        beside: The shop's own workbook, where the sheets are to stand beside its own in a copy.
    """
    stream = BytesIO()
    with Workbook(stream, writer_options()) as workbook:
        _set_properties(workbook, report)
        _write_sheets(Book(workbook, report.notation), report, beside)
    return stream.getvalue()


def _set_properties(workbook: Workbook, report: Report) -> None:
    workbook.set_properties(
        {
            "title": report.title,
            "subject": "Complete car-audio systems by budget tier and brief",
            "author": label(report.catalogue.settings.shop_name),
            "company": label(report.catalogue.settings.shop_name),
            "category": "Price comparison",
            "keywords": "car audio, budget, comparison, pick list",
            "comments": f"Made by budgetbuild {report.version} from {label(report.catalogue.name)}",
            "created": MADE,
        }
    )


def _write_sheets(book: Book, report: Report, beside: Beside | None) -> None:
    """Make the sheets in the order in which they are shown, then fill them: formulas need each other's places."""
    taken = frozenset(title.casefold() for title in beside.titles) if beside else frozenset()
    links = beside.links if beside else None
    book.sheet_names |= taken
    about, comparison = book.add("About"), book.add("Comparison")
    book.sheet_names |= {name.casefold() for name in (*FIXED, RATINGS_SHEET)}
    pages = [book.add(f"{shown.build.tier.name} {shown.build.brief.name}") for shown in report.builds]
    chapters = [(book.add(chapter.sheet), chapter) for chapter in report.chapters]
    picks, costs, curve = (_fixed(book, name, taken) for name in FIXED[:3])
    margin = _fixed(book, "Margin", taken) if has_margin(report) else None
    inputs, prices, electrical, notes = (_fixed(book, name, taken) for name in FIXED[4:])
    input_places = write_inputs(inputs, report, links)
    write_prices(prices, report, links)
    places = [
        write_build(page, shown, report, input_places, f"_tbl_build_{number}")
        for number, (page, shown) in enumerate(zip(pages, report.builds, strict=True), start=1)
    ]
    write_picks(picks, report, places)
    cost_places = write_costs(costs, report, places)
    write_comparison(comparison, report, places, cost_places)
    write_curve(curve, report, places, input_places)
    if margin:
        write_margin(margin, places)
    write_electrical(electrical, report)
    write_notes(notes, report)
    for number, (page, chapter) in enumerate(chapters, start=1):
        write_chapter(page, chapter, number)
    if report.catalogue.reckoned:
        write_ratings(_fixed(book, RATINGS_SHEET, taken), report)
    write_about(about, report, places, cost_places)
    comparison.sheet.activate()
    book.fit_rows()


FIXED = (
    "Pick list", "Cost by part", "Budget curve", "Margin", "Inputs", "Prices", "Electrical", "Catalogue notes",
)  # fmt: skip
"""Names that no build takes, in the order in which the sheets stand after those of the builds."""
RATINGS_SHEET = "Ratings"
"""The last sheet, where some rating is reckoned."""


def _fixed(book: Book, name: str, taken: frozenset[str]) -> Page:
    """A sheet whose name was kept free for it, but for names that the shop's own sheets have."""
    book.sheet_names -= {name.casefold()} - taken
    return book.add(name)
