"""The budget curve as a table and as a chart of the spreadsheet's own kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.book import THOUSANDTHS, Page
from budgetbuild.report.format import counted, label, number, symbol
from budgetbuild.report.sheet_build import TOTAL_AT, BuildPlace

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.report.content import CurvePoint, Report

HEAD_ROW = 3
FIRST = HEAD_ROW + 1
BRIEF, BUDGET, SCORE, TOTAL = range(4)
CHART_AT, CHART_ROWS, CHART_COLUMNS = TOTAL + 2, 21, 11
"""Where the chart begins, and more rows and columns than it covers."""
MOST_POINTS = 300
"""More points in one table than this are thinned."""
TOLERANCE = 250
"""Points that gain less than this over the one before, in thousandths, are left out where the curve is thinned."""
HEADERS = ("Brief", "Budget", "Score", "Total")


def write_curve(page: Page, report: Report, places: Sequence[BuildPlace]) -> None:
    """Write the points, and a chart of score over budget with one line for each brief."""
    page.widths(28, 14, 10, 14, 4)
    page.text(0, 0, "Budget curve", "title")
    page.text(1, 0, _says(report), "quiet")
    if not report.curve:
        page.text(HEAD_ROW, 0, "No build has a system, so there is no curve.", "plain")
        return
    points = thinned(report.curve)
    if len(points) < len(report.curve):
        page.text(HEAD_ROW - 1, 0, _left_out(len(report.curve) - len(points)), "quiet")
    page.table(HEAD_ROW, HEADERS, len(points), "_tbl_curve")
    for row, point in enumerate(points, start=FIRST):
        page.text(row, BRIEF, point.brief)
        page.money(row, BUDGET, point.budget)
        page.number(row, SCORE, point.score / THOUSANDTHS, "score")
        _write_total(page, row, point, places if not report.curve_is_whole else ())
    page.sheet.freeze_panes(FIRST, 0)
    page.sheet.repeat_rows(HEAD_ROW)
    _add_chart(page, report, points)


def _says(report: Report) -> str:
    if report.curve_is_whole:
        return "The highest score at every budget with the prices of the list; these amounts do not follow Prices."
    return "The tiers' own points; between them nothing was worked out. Totals follow the sheet Prices."


def _write_total(page: Page, row: int, point: CurvePoint, places: Sequence[BuildPlace]) -> None:
    """The total of a point: that of its build's sheet where it is a tier's own point."""
    for place in places:
        build = place.shown.build
        if (build.brief.name, build.tier.budget, build.total) == (point.brief, point.budget, point.total):
            page.money_formula(row, TOTAL, f"={place.key(TOTAL_AT)}", point.total)
            return
    page.money(row, TOTAL, point.total)


def _left_out(count: int) -> str:
    return (
        f"{counted(count, 'point')} left out here that {'score' if count > 1 else 'scores'} less than "
        f"{number(TOLERANCE / THOUSANDTHS)} points above the one before; results.json has every point."
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


def _add_chart(page: Page, report: Report, points: Sequence[CurvePoint]) -> None:
    kind = {"type": "scatter", "subtype": "straight" if report.curve_is_whole else "straight_with_markers"}
    chart = page.book.workbook.add_chart(kind)
    if chart is None:
        raise TypeError("the workbook writer knows no scatter chart")
    for brief, first, last in _runs(points):
        chart.add_series(
            {
                "name": label(brief),
                "categories": [page.name, first, BUDGET, last, BUDGET],
                "values": [page.name, first, SCORE, last, SCORE],
            }
        )
    mark = symbol(report.currency)
    chart.set_title({"name": "Highest score by budget", "overlay": False})
    chart.set_x_axis(
        {"name": f"Budget ({mark})" if mark else "Budget", "num_format": "#,##0", "major_gridlines": {"visible": True}}
    )
    chart.set_y_axis({"name": "Score (points)", "num_format": "0", "min": 0, "max": 100})
    chart.set_legend({"position": "bottom"})
    chart.set_size({"width": 760, "height": 420})
    briefs = counted(len(_runs(points)), "brief")
    told = f"Line chart: highest score by budget for {briefs}; the numbers stand in the table beside it."
    page.sheet.insert_chart(HEAD_ROW, CHART_AT, chart, {"description": told})
    if report.curve_is_whole:  # its table is for looking things up; on paper the chart says it on one page
        page.sheet.print_area(HEAD_ROW, CHART_AT, HEAD_ROW + CHART_ROWS, CHART_AT + CHART_COLUMNS)


def _runs(curve: Sequence[CurvePoint]) -> list[tuple[str, int, int]]:
    """Each brief with its first and last row."""
    return list(_each_run(curve))


def _each_run(curve: Sequence[CurvePoint]) -> Iterator[tuple[str, int, int]]:
    start = 0
    for place in range(1, len(curve) + 1):
        if place == len(curve) or curve[place].brief != curve[start].brief:
            yield curve[start].brief, FIRST + start, FIRST + place - 1
            start = place
