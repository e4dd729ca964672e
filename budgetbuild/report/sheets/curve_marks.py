"""The tiers in the chart of the budget curve: a small table of their scores, and a line down from each of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.sheets.book import THOUSANDTHS, Page, relative
from budgetbuild.report.sheets.build import SCORE_AT
from budgetbuild.report.sheets.looks import NOTHING, TYPE
from budgetbuild.report.words.format import label

if TYPE_CHECKING:
    from collections.abc import Sequence

    from xlsxwriter.chart import Chart

    from budgetbuild.report.sheets.build import BuildPlace
    from budgetbuild.report.sheets.inputs import InputPlaces

MARKED = "Tiers"
INK = "#404040"
"""Colour of the lines and names of tiers."""
FONT = {"bold": True, "color": INK, **TYPE}


def write_marks(
    page: Page, corner: tuple[int, int], places: Sequence[BuildPlace], inputs: InputPlaces, chart: Chart
) -> tuple[int, int]:
    """Write what each tier scores for each brief, and mark the tiers in the chart.

    Args:
        page: The sheet of the chart.
        corner: Row and column where the table begins.
        places: The builds.
        inputs: Where the budgets stand.
        chart: It has a line for each brief already.

    Returns:
        The last row and column of the table.
    """
    row, column = corner
    tiers = list(dict.fromkeys(place.shown.build.tier for place in places))
    briefs = list(dict.fromkeys(place.shown.build.brief.name for place in places))
    headers = ["Tier", "Budget", *(label(brief) for brief in briefs), "Highest"]
    last = (row + len(tiers), column + len(headers) - 1)
    for at, header in enumerate(headers, start=column):
        page.text(row, at, header, "head" if at == column else "head_right")
    for below, tier in enumerate(tiers, start=row + 1):
        page.text(below, column, label(tier.name))
        page.money_formula(below, column + 1, f"={inputs.budget(tier)}", tier.budget)
        own = {place.shown.build.brief.name: place for place in places if place.shown.build.tier == tier}
        for at, brief in enumerate(briefs, start=column + 2):
            _write_score(page, below, at, own.get(brief))
        scores = [score for place in own.values() if (score := place.shown.build.score) is not None]
        area = f"{relative(below, column + 2)}:{relative(below, last[1] - 1)}"
        page.formula(below, last[1], f"=MAX({area})", max(scores, default=0) / THOUSANDTHS, "score")
    names = [_named(page, below, column, tier.name) for below, tier in enumerate(tiers, start=row + 1)]
    _mark(page, corner, last, names, chart)
    return last


def _write_score(page: Page, row: int, column: int, place: BuildPlace | None) -> None:
    if place is None or place.shown.audited is None:
        page.text(row, column, NOTHING, "right")
    else:
        page.formula(row, column, f"={place.key(SCORE_AT)}", (place.shown.build.score or 0) / THOUSANDTHS, "score")


def _named(page: Page, row: int, column: int, tier: str) -> dict[str, object]:
    """The label of a tier: its name, or its cell where the writer would take the name for an address."""
    name = label(tier)
    return {"value": f"={page.place(row, column)}" if "!" in name else name, "font": FONT}


def _mark(
    page: Page, corner: tuple[int, int], last: tuple[int, int], names: list[dict[str, object]], chart: Chart
) -> None:
    """A line from the best score of each tier down to its budget, with the tier's name above."""
    row, column = corner[0] + 1, corner[1]
    chart.add_series(
        {
            "name": MARKED,
            "categories": [page.name, row, column + 1, last[0], column + 1],
            "values": [page.name, row, last[1], last[0], last[1]],
            "line": {"none": True},
            "marker": {"type": "diamond", "size": 8, "fill": {"color": INK}, "border": {"color": INK}},
            "y_error_bars": {
                "type": "percentage",
                "value": 100,
                "direction": "minus",
                "end_style": 0,
                "line": {"color": INK, "width": 1, "dash_type": "round_dot"},
            },
            "data_labels": {"value": True, "custom": names, "position": "above", "font": FONT},
        }
    )
