"""What each kind of part costs in every build: live sums, and a stacked chart, the tiers of a brief side by side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.content import COST_GROUPS
from budgetbuild.report.sheets.book import Page, fitting_width
from budgetbuild.report.sheets.looks import HAIR, NOTHING, TAB_WORKING, TYPE, money_format
from budgetbuild.report.sheets.tables import Column, Table, whole
from budgetbuild.report.words.format import counted, label

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from xlsxwriter.chart import Chart

    from budgetbuild.report.sheets.build import BuildPlace
    from budgetbuild.report.shown import Report, ReportBuild

HEAD_ROW = 3
FIRST = HEAD_ROW + 1
BRIEF, TIER, GROUPS = range(3)
TABLE = "_tbl_costs"
SUM = "Sum"
HIGH, LEAST_WIDE = 520, 700
"""Height of the chart in pixels, and its least width; it is as wide as the table."""
LEAST_LABELLED = 0.04
"""Share of the dearest build below which an amount is too low a block to hold its label."""
MOST_LABELLED = 12
"""More builds than this stand too close for amounts inside their columns."""

FILLS: dict[str, dict[str, object]] = {
    "Source": {"fill": {"color": "#17375E"}},
    "Front": {"fill": {"color": "#9DC3E6"}},
    "Rear": {"pattern": {"pattern": "wide_upward_diagonal", "fg_color": "#2E75B6", "bg_color": "#FFFFFF"}},
    "Bass": {"fill": {"color": "#B4540A"}},
    "Amplifier": {"fill": {"color": "#F6C89A"}},
    "Wiring": {"pattern": {"pattern": "large_grid", "fg_color": "#8C6D1F", "bg_color": "#FFFFFF"}},
    "Deadening": {"fill": {"color": "#767676"}},
    "Labour": {"pattern": {"pattern": "light_horizontal", "fg_color": "#404040", "bg_color": "#FFFFFF"}},
}
"""Neighbours differ in lightness or pattern, so that they stay apart in print without colour."""


@dataclass(frozen=True, slots=True)
class CostPlaces:
    """Where other sheets find what each kind of part costs.

    Attributes:
        groups: The kinds that some build pays for, in the order of the columns.
        rows: Row of each build, by its anchor.
    """

    page: Page
    groups: tuple[str, ...]
    rows: Mapping[str, int]

    def cost(self, shown: ReportBuild, group: str) -> str:
        """Address of what one kind costs in a build."""
        return self.page.place(self.rows[shown.anchor], GROUPS + self.groups.index(group))

    def sum(self, shown: ReportBuild) -> str:
        """Address of the sum over all kinds in a build."""
        return self.page.place(self.rows[shown.anchor], GROUPS + len(self.groups))


def write_costs(page: Page, report: Report, places: Sequence[BuildPlace]) -> CostPlaces:
    """Write the sums, brief by brief, and the chart of them."""
    ordered = by_brief(places)
    groups = tuple(group for group in COST_GROUPS if any(_cents(place.shown, group) for place in places))
    names = [label(place.shown.build.brief.name) for place in places]
    page.widths(fitting_width(names, 18, 34), 20, *(13 for _ in groups), 14)
    page.text(0, 0, "Cost by part", "title")
    page.text(1, 0, "Each sum follows the sheet Prices; the tiers of a brief stand side by side.", "quiet")
    page.sheet.set_tab_color(TAB_WORKING)
    found = CostPlaces(page, groups, {place.shown.anchor: row for row, place in enumerate(ordered, start=FIRST)})
    if not groups:
        page.text(HEAD_ROW, 0, "No build has a system, so nothing costs anything.", "plain")
        return found
    table = Table(page, TABLE, HEAD_ROW, _columns(groups), len(ordered), filtered=False)
    table.make()
    for row, place in enumerate(ordered, start=FIRST):
        _write_row(table, row, place, groups)
    page.sheet.freeze_panes(FIRST, GROUPS)
    page.sheet.repeat_rows(HEAD_ROW)
    chart_row = FIRST + len(ordered) + 1
    told = (
        f"Stacked column chart: what each kind of part costs in {counted(len(ordered), 'build')}, the tiers of each "
        "brief side by side; the amounts stand in the table above it."
    )
    page.sheet.insert_chart(chart_row, 0, _chart(page, report, ordered, groups), {"description": told})
    page.print_up_to(chart_row + HIGH // 20, GROUPS + len(groups))
    return found


def by_brief(places: Sequence[BuildPlace]) -> list[BuildPlace]:
    """Builds brief by brief, tiers within as they stood; briefs in the order in which they first come."""
    briefs = list(dict.fromkeys(place.shown.build.brief.name for place in places))
    return sorted(places, key=lambda place: briefs.index(place.shown.build.brief.name))


def _columns(groups: Sequence[str]) -> tuple[Column, ...]:
    summed = f"=SUM({TABLE}[[#This Row],[{groups[0]}]:[{groups[-1]}]])"
    return (Column("Brief"), Column("Tier"), *(Column(group, right=True) for group in groups), Column(SUM, summed))


def _write_row(table: Table, row: int, place: BuildPlace, groups: Sequence[str]) -> None:
    """One build; where it has no system its cells hold a mark, and its place in the chart stays empty."""
    page, shown = table.page, place.shown
    page.text(row, BRIEF, label(shown.build.brief.name))
    tier = label(shown.build.tier.name)
    page.text(row, TIER, tier if place.table else f"{tier} (no system)")
    if not place.table:
        for column in range(GROUPS, GROUPS + len(groups) + 1):
            page.text(row, column, NOTHING, "right")
        return
    for column, group in enumerate(groups, start=GROUPS):
        names, amounts = whole(place.table, "Group"), whole(place.table, "Line total")
        formula = f"=SUMIF({names},{TABLE}[[#Headers],[{group}]],{amounts})"
        page.money_formula(row, column, formula, _cents(shown, group), "money_or_none")
    table.money(row, GROUPS + len(groups), shown.build.total or 0)


def _cents(shown: ReportBuild, group: str) -> int:
    return sum(cost.cents for cost in shown.costs if cost.part == group)


def _chart(page: Page, report: Report, ordered: Sequence[BuildPlace], groups: Sequence[str]) -> Chart:
    """The stacked columns, with the sum of each above it."""
    chart = _made(page, {"type": "column", "subtype": "stacked"})
    last = FIRST + len(ordered) - 1
    names = [page.name, FIRST, BRIEF, last, TIER]
    labelled = len(ordered) <= MOST_LABELLED
    highest = max(place.shown.build.total or 0 for place in ordered)
    for column, group in enumerate(groups, start=GROUPS):
        series = {
            "name": [page.name, HEAD_ROW, column],
            "categories": names,
            "values": [page.name, FIRST, column, last, column],
            "gap": 45,
            "border": {"color": "#FFFFFF", "width": 0.75},
            **FILLS[group],
        }
        if labelled:
            series["data_labels"] = _inside(round(LEAST_LABELLED * highest / 100))
        chart.add_series(series)
    chart.combine(_sums(page, last, GROUPS + len(groups), names, report, labelled=labelled))
    chart.set_title({"name": "Cost by part", "overlay": False, "name_font": {"size": 13, **TYPE}})
    grid = {"visible": True, "line": {"color": HAIR}}
    axis = {"num_format": money_format(report.notation, ""), "major_gridlines": grid, "num_font": TYPE}
    chart.set_y_axis({"min": 0, "line": {"none": True}, **axis})
    chart.set_x_axis({"num_font": {"size": 9, **TYPE}})
    chart.set_legend({"position": "bottom", "delete_series": [len(groups)], "font": TYPE})
    chart.set_size({"width": max(LEAST_WIDE, page.pixels(0, GROUPS + len(groups))), "height": HIGH})
    return chart


def _made(page: Page, kind: dict[str, str]) -> Chart:
    chart = page.book.workbook.add_chart(kind)
    if chart is None:
        raise TypeError(f"the workbook writer knows no chart of the kind {kind}")
    return chart


def _inside(least: int) -> dict[str, object]:
    """Labels inside the blocks of at least so many units of the currency; no lower block could hold one."""
    font = {"size": 8, "color": "#000000", **TYPE}
    return {"value": True, "num_format": f"[>={least}]#,##0;;", "font": font, "fill": {"color": "#FFFFFF"}}


def _sums(page: Page, last: int, column: int, names: list[object], report: Report, *, labelled: bool) -> Chart:
    """A line that is not drawn, which carries the sums above the columns."""
    chart = _made(page, {"type": "line"})
    label_of = {"value": True, "position": "above", "num_format": money_format(report.notation, "")}
    chart.add_series(
        {
            "name": [page.name, HEAD_ROW, column],
            "categories": names,
            "values": [page.name, FIRST, column, last, column],
            "line": {"none": True},
            "data_labels": {**label_of, "font": {"size": 9 if labelled else 8, "bold": True, **TYPE}},
        }
    )
    return chart
