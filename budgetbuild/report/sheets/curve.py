"""The budget curve as a table and as a chart of the spreadsheet's own kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.sheets.book import THOUSANDTHS, Page
from budgetbuild.report.sheets.build import TOTAL_AT, BuildPlace
from budgetbuild.report.sheets.curve_marks import write_marks
from budgetbuild.report.sheets.looks import HAIR, TAB_WORKING, TYPE, money_format
from budgetbuild.report.sheets.tables import Table, plain_columns
from budgetbuild.report.words.format import counted, label

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from xlsxwriter.chart import Chart

    from budgetbuild.report.sheets.inputs import InputPlaces
    from budgetbuild.report.shown import CurvePoint, Report
    from budgetbuild.report.words.notation import Notation

HEAD_ROW = 3
FIRST = HEAD_ROW + 1
BRIEF, BUDGET, SCORE, TOTAL = range(4)
CHART_AT, CHART_ROWS, HIGH = TOTAL + 2, 27, 520
"""Where the chart begins, more rows than it covers, and its height in pixels."""
BRIEFS_WIDTH, LEAST_WIDTH = 93, 16
"""Width of the columns of all briefs under the chart together, and of each at least."""
MOST_POINTS = 300
"""More points in one table than this are thinned."""
TOLERANCE = 250
"""Points that gain less than this over the one before, in thousandths, are left out where the curve is thinned."""
HEADERS = ("Brief", "Budget", "Score", "Total")
RIGHT = frozenset(HEADERS[BUDGET:])
STROKES = (
    ("#17375E", "solid"), ("#B4540A", "dash"), ("#4C8C4A", "round_dot"), ("#767676", "long_dash"),
    ("#8E4585", "dash_dot"), ("#2E75B6", "square_dot"), ("#8C6D1F", "long_dash_dot"), ("#000000", "solid"),
)  # fmt: skip
"""Colour and dash of each brief's line: the dash tells them apart in print without colour."""


def write_curve(page: Page, report: Report, places: Sequence[BuildPlace], inputs: InputPlaces) -> None:
    """Write the points, and a chart of score over budget with one line for each brief and the tiers marked."""
    briefs = [label(brief) for brief in dict.fromkeys(place.shown.build.brief.name for place in places)]
    page.widths(28, 14, 10, 14, 4, 20, 14, *(max(LEAST_WIDTH, BRIEFS_WIDTH // len(briefs)) for _ in briefs), 12)
    page.text(0, 0, "Budget curve", "title")
    page.text(1, 0, _says(report), "quiet")
    page.sheet.set_tab_color(TAB_WORKING)
    if not report.curve:
        page.text(HEAD_ROW, 0, "No build has a system, so there is no curve.", "plain")
        return
    points = thinned(report.curve)
    if len(points) < len(report.curve):
        page.text(HEAD_ROW - 1, 0, _left_out(len(report.curve) - len(points), report.notation), "quiet")
    Table(page, "_tbl_curve", HEAD_ROW, plain_columns(HEADERS, RIGHT), len(points)).make()
    for row, point in enumerate(points, start=FIRST):
        page.text(row, BRIEF, point.brief)
        _write_amounts(page, row, point, places if not report.curve_is_whole else (), inputs)
        page.number(row, SCORE, point.score / THOUSANDTHS, "score")
    chart = _chart(page, report, points)
    last = write_marks(page, (HEAD_ROW + CHART_ROWS, CHART_AT), places, inputs, chart)
    briefs_told = counted(len(_runs(points)), "brief")
    told = f"Line chart: highest score by budget for {briefs_told}, the tiers marked; the numbers stand in the table."
    page.sheet.insert_chart(HEAD_ROW, CHART_AT, chart, {"description": told})
    page.sheet.freeze_panes(FIRST, 0)
    # The long table is for looking things up; on paper the chart and the tiers' scores say it on one page.
    page.sheet.print_area(HEAD_ROW, CHART_AT, *last)


def _says(report: Report) -> str:
    if report.curve_is_whole:
        return "The highest score at every budget with the prices of the list; these amounts do not follow Prices."
    return "The tiers' own points; between them nothing was worked out. Totals follow the sheet Prices."


def _write_amounts(page: Page, row: int, point: CurvePoint, places: Sequence[BuildPlace], inputs: InputPlaces) -> None:
    """Budget and total of a point: those of its build where it is a tier's own point."""
    for place in places:
        build = place.shown.build
        if (build.brief.name, build.tier.budget, build.total) == (point.brief, point.budget, point.total):
            page.money_formula(row, BUDGET, f"={inputs.budget(build.tier)}", point.budget)
            page.money_formula(row, TOTAL, f"={place.key(TOTAL_AT)}", point.total)
            return
    page.money(row, BUDGET, point.budget)
    page.money(row, TOTAL, point.total)


def _left_out(count: int, notation: Notation) -> str:
    return (
        f"{counted(count, 'point')} left out here that {'score' if count > 1 else 'scores'} less than "
        f"{notation.number(TOLERANCE / THOUSANDTHS)} points above the one before; results.json has every point."
    )


def thinned(curve: Sequence[CurvePoint], most: int = MOST_POINTS) -> Sequence[CurvePoint]:
    """The curve as it is where it has no more points than `most`; else without those that gain less than `TOLERANCE`.

    First and last point of each brief stay. Only what is shown is thinned, never the answer to a budget.
    """
    if len(curve) <= most:
        return curve
    kept: list[CurvePoint] = []
    for place, point in enumerate(curve):
        first = not kept or kept[-1].brief != point.brief
        last = place + 1 == len(curve) or curve[place + 1].brief != point.brief
        if first or last or point.score >= kept[-1].score + TOLERANCE:
            kept.append(point)
    return kept


def _chart(page: Page, report: Report, points: Sequence[CurvePoint]) -> Chart:
    """One line for each brief."""
    kind = {"type": "scatter", "subtype": "straight" if report.curve_is_whole else "straight_with_markers"}
    chart = page.book.workbook.add_chart(kind)
    if chart is None:
        raise TypeError("the workbook writer knows no scatter chart")
    for place, (_, first, last) in enumerate(_runs(points)):
        colour, dash = STROKES[place % len(STROKES)]
        chart.add_series(
            {
                "name": [page.name, first, BRIEF],
                "categories": [page.name, first, BUDGET, last, BUDGET],
                "values": [page.name, first, SCORE, last, SCORE],
                "line": {"color": colour, "width": 2, "dash_type": dash},
            }
        )
    grid = {"visible": True, "line": {"color": HAIR}}
    amounts = money_format(report.notation, "")
    chart.set_title({"name": "Highest score by budget", "overlay": False, "name_font": {"size": 13, **TYPE}})
    looks = {"min": 0, "major_gridlines": grid, "num_font": TYPE, "name_font": TYPE}
    chart.set_x_axis({"name": "Budget", "num_format": amounts, **looks})
    chart.set_y_axis({"name": "Score (points)", "num_format": "0", "max": 100, **looks})
    chart.set_legend({"position": "bottom", "font": TYPE})
    chart.set_size({"width": page.pixels(CHART_AT, len(page.columns) - 1), "height": HIGH})
    return chart


def _runs(curve: Sequence[CurvePoint]) -> list[tuple[str, int, int]]:
    """Each brief with its first and last row."""
    return list(_each_run(curve))


def _each_run(curve: Sequence[CurvePoint]) -> Iterator[tuple[str, int, int]]:
    start = 0
    for place in range(1, len(curve) + 1):
        if place == len(curve) or curve[place].brief != curve[start].brief:
            yield curve[start].brief, FIRST + start, FIRST + place - 1
            start = place
