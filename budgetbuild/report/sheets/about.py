"""The first sheet: where the numbers come from, whether the workbook agrees with itself, and how to read it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.sheets.book import Page, fitting_width, relative
from budgetbuild.report.sheets.build import CAP_AT, TOTAL_AT, BuildPlace
from budgetbuild.report.sheets.looks import NOTHING, TAB_CONTROL

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.sheets.costs import CostPlaces
    from budgetbuild.report.shown import Report

FACTS_ROW = 2
CHECK_HEADERS = (
    "Build",
    "Lines less running total",
    "Total less sum by part",
    "Above the cap",
    "Total as solved",
    "Changed since",
)
CHECKS = 3
"""Columns of differences that must be 0, after the name of the build."""


def write_about(page: Page, report: Report, places: Sequence[BuildPlace], costs: CostPlaces) -> None:
    """Write sources, the checks of every build, and one sentence per sheet."""
    page.widths(fitting_width([place.shown.title for place in places], 30, 60), 24, 24, 16, 18, 18)
    page.text(0, 0, report.title, "title")
    page.sheet.set_tab_color(TAB_CONTROL)
    fresh = report.catalogue.fresh
    over = (("Price file laid over it", fresh.name), ("SHA-256 of the price file", fresh.sha256)) if fresh else ()
    facts = (
        ("Price list", report.catalogue.name),
        ("SHA-256 of the list", report.catalogue.sha256),
        ("Products in the list", str(len(report.catalogue.products()))),
        *over,
        ("Made by", f"budgetbuild {report.version}"),
        ("Proven by", report.solved_by),
    )
    for row, (name, value) in enumerate(facts, start=FACTS_ROW):
        page.text(row, 0, name, "label")
        page.text(row, 1, value, "plain")
    row = _write_checks(page, FACTS_ROW + len(facts) + 1, places, costs)
    _write_reading(page, row + 1, reckoned=bool(report.catalogue.reckoned))


def _write_checks(page: Page, row: int, places: Sequence[BuildPlace], costs: CostPlaces) -> int:
    """Differences that must be 0, build by build, and one cell that sums them up; the row after them."""
    page.text(row, 0, "Checks", "heading")
    page.text(row + 1, 0, "All checks", "label")
    page.head(row + 2, CHECK_HEADERS, frozenset(CHECK_HEADERS[1:]))
    first = row + 3
    for at, place in enumerate(places, start=first):
        page.link(at, 0, place.page, place.shown.title, "link_plain")
        _write_check(page, at, place, costs)
    area = f"{relative(first, 1)}:{relative(first + len(places) - 1, CHECKS)}"
    # Not their sum: a difference above 0 and one below must not cancel out. Builds without a system hold text here.
    says = f'=IF(AND(MAX({area})=0,MIN({area})=0),"ok","look at the rows below")' if places else '="ok"'
    page.formula(row + 1, 1, says, "ok", "label")
    return first + len(places)


def _write_check(page: Page, row: int, place: BuildPlace, costs: CostPlaces) -> None:
    if not place.table:
        for column in range(1, len(CHECK_HEADERS)):
            page.text(row, column, NOTHING, "right")
        return
    total = place.key(TOTAL_AT)
    page.money_formula(row, 1, f"=ROUND({total}-{place.last_running},2)", 0)
    page.money_formula(row, 2, f"=ROUND({total}-{costs.sum(place.shown)},2)", 0)
    page.money_formula(row, 3, f"=MAX(0,ROUND({total}-{place.key(CAP_AT)},2))", 0)
    page.money(row, 4, place.shown.build.total or 0)
    page.money_formula(row, 5, f"=ROUND({total}-{relative(row, 4)},2)", 0)


def _write_reading(page: Page, row: int, *, reckoned: bool) -> None:
    """One sentence per sheet, and what a changed price does and does not do."""
    page.text(row, 0, "How to read this workbook", "heading")
    sheets = (*SHEETS, RATINGS) if reckoned else SHEETS
    for below, (name, says) in enumerate(sheets, start=row + 1):
        page.text(below, 0, name, "label")
        page.text(below, 1, says, "plain")


SHEETS = (
    (
        "Results",
        "Comparison; one sheet for each build, with the tally after every line; Pick list for the fitting bay.",
    ),
    ("Workings", "Cost by part and Budget curve, each with a chart; Margin, for the shop only."),
    ("Inputs", "Inputs and Prices: the only sheets on which a price, a budget, a tax rate or the shelf is typed."),
    ("Evidence", "Electrical: every figure that was checked, with its limit and its source. Catalogue notes."),
    ("A changed price", "moves every total, and chooses no other parts: run the tool again for that."),
)
"""What each kind of sheet is for."""
RATINGS = ("Ratings", "Those that the price list leaves blank, reckoned from specifications, column by column.")
