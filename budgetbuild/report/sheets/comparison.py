"""The comparison: parts down, builds across, then the money, all of it live."""

from __future__ import annotations

from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from budgetbuild.report.sheets.book import THOUSANDTHS, Page
from budgetbuild.report.sheets.build import BUDGET_AT, CAP_AT, CHECK_AT, LEFT_AT, SCORE_AT, TOTAL_AT, BuildPlace
from budgetbuild.report.sheets.looks import NOTHING, SMALL, TAB_RESULT
from budgetbuild.report.words.format import capital

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.sheets.costs import CostPlaces
    from budgetbuild.report.shown import Report

SAYS = "Every amount follows the sheet Prices. Scores and parts are those found with the prices of the list."
HEAD_ROW = 3
FIRST = HEAD_ROW + 1
LABEL_WIDTH, COLUMN_WIDTH = 20, 37
COLUMNS_ON_PAGE = 4
"""Builds that can still be read side by side on one printed page."""
SMALLEST_SCALE = 80
"""Percent at which the type still prints in 8 points."""
POINTS_IN_PIXEL = 0.75
PAGE_HEIGHT, PAGE_WIDTH = 495, 725
"""Points for rows and columns on one printed page; some programs draw columns a twentieth wider than said."""


def write_comparison(page: Page, report: Report, places: Sequence[BuildPlace], costs: CostPlaces) -> None:
    """Write the comparison: results only, each worked out on another sheet."""
    page.widths(LABEL_WIDTH, *(COLUMN_WIDTH for _ in places))
    page.text(0, 0, report.title, "title")
    page.text(1, 0, SAYS, "quiet")
    page.sheet.set_tab_color(TAB_RESULT)
    page.text(HEAD_ROW, 0, "Part", "head")
    labels = ["Vehicle", "Standing", *(capital(role.value) for role in report.roles)]
    figures = ["Score", "Budget", "Cap", "Total", "Left of the budget", "Check"]
    for row, words in enumerate([*labels, *figures], start=FIRST):
        page.text(row, 0, words, "label")
    figures_row = FIRST + len(labels)
    costs_row = figures_row + len(figures) + 1
    labels = ["Cost by part", *costs.groups, "Sum"]
    for row, words in enumerate(labels, start=costs_row):
        page.text(row, 0, words, {"Cost by part": "head", "Sum": "total_label"}.get(words, "label"))
    for column, place in enumerate(places, start=1):
        page.link(HEAD_ROW, column, place.page, place.shown.title)
        _write_parts(page, column, place, report)
        _write_figures(page, figures_row, column, place)
        _write_costs(page, costs_row, column, place, costs)
    page.sheet.freeze_panes(FIRST, 1)
    page.sheet.repeat_rows(HEAD_ROW)
    _set_print(page, costs_row, costs_row + len(costs.groups) + 1, places)


def _set_print(page: Page, costs_row: int, last: int, places: Sequence[BuildPlace]) -> None:
    """Print whole tiers side by side, as many as a page holds; the title goes into the header of every page.

    A sheet that is fitted to pages ignores its page breaks, so the scale is set instead, by the height and width;
    where one page would need too small a type, the costs go on a page of their own.
    """
    height = sum(page.height(row) for row in range(HEAD_ROW, last + 1))
    breaks = page_breaks([place.shown.build.tier.name for place in places])
    most = max((end - start for start, end in pairwise([1, *breaks, len(places) + 1])), default=0)
    width = POINTS_IN_PIXEL * (page.pixels(0, 0) + page.pixels(1, most))
    fitting = int(100 * min(PAGE_HEIGHT / height, PAGE_WIDTH / width))
    page.sheet.set_print_scale(min(100, max(SMALLEST_SCALE, fitting)))
    if height * SMALLEST_SCALE > 100 * PAGE_HEIGHT:
        page.sheet.set_h_pagebreaks([costs_row])
    page.sheet.set_v_pagebreaks(breaks)
    page.sheet.repeat_columns("A:A")
    page.sheet.set_margins(left=0.5, right=0.5, top=0.7, bottom=0.6)
    page.sheet.set_header(f"&L{SMALL}&A. {SAYS}", {"margin": 0.3})
    page.print_up_to(last, len(places), HEAD_ROW)


def page_breaks(tiers: Sequence[str]) -> list[int]:
    """Columns before which a page ends, so that no tier is torn apart that a page can hold.

    Args:
        tiers: Tier of each build, in the order of the columns; the builds of a tier stand side by side.

    >>> page_breaks(["a", "a", "a", "b", "b", "b", "c"]), page_breaks(["a", "b", "c", "d"]), page_breaks(["a"] * 6)
    ([4], [], [5])
    """
    breaks: list[int] = []
    start = at = 0
    for _, builds in groupby(tiers):
        size = len(list(builds))
        if at > start and at + size - start > COLUMNS_ON_PAGE:
            breaks.append(at + 1)
            start = at
        at += size
        while at - start > COLUMNS_ON_PAGE:
            start += COLUMNS_ON_PAGE
            breaks.append(start + 1)
    return breaks


def _write_parts(page: Page, column: int, place: BuildPlace, report: Report) -> None:
    """Vehicle, standing, and the product in each role."""
    page.text(FIRST, column, place.shown.vehicle)
    page.text(FIRST + 1, column, place.shown.short_standing)
    for row, role in enumerate(report.roles, start=FIRST + 2):
        # One product a line, so that a row is higher only where a role takes several.
        page.text(row, column, place.shown.in_role(role, "\n") or NOTHING)


def _write_figures(page: Page, row: int, column: int, place: BuildPlace) -> None:
    """Score, budget, cap, total, what is left, and the build's own check."""
    build = place.shown.build
    page.money_formula(row + 1, column, f"={place.key(BUDGET_AT)}", build.tier.budget, "money_left")
    page.money_formula(row + 2, column, f"={place.key(CAP_AT)}", build.tier.cap, "money_left")
    if place.shown.audited is None:
        for offset in (0, 3, 4, 5):
            page.text(row + offset, column, NOTHING)
        return
    score = (build.score or 0) / THOUSANDTHS
    page.formula(row, column, f"={place.key(SCORE_AT)}", score, "score_left")
    page.money_formula(row + 3, column, f"={place.key(TOTAL_AT)}", place.shown.audited.total, "money_left")
    page.money_formula(row + 4, column, f"={place.key(LEFT_AT)}", place.shown.left_over, "money_left")
    page.formula(row + 5, column, f"={place.key(CHECK_AT)}", "ok", "text")


def _write_costs(page: Page, row: int, column: int, place: BuildPlace, costs: CostPlaces) -> None:
    """What each kind of part costs, and their sum."""
    page.text(row, column, place.shown.title, "head")
    if not place.table:
        return
    cents = {cost.part: cost.cents for cost in place.shown.costs}
    for at, group in enumerate(costs.groups, start=row + 1):
        page.money_formula(at, column, f"={costs.cost(place.shown, group)}", cents.get(group, 0), "money_or_none_left")
    total = place.shown.build.total or 0
    page.money_formula(row + 1 + len(costs.groups), column, f"={costs.sum(place.shown)}", total, "total_left")
