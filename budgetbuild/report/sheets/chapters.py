"""A chapter as a sheet of its own: sentences in rows, tables with real numbers, plots as the program's own charts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.chapter import Bullets, Heading, Kind, Paragraph, Plot, Table
from budgetbuild.report.pictures.axes import least_tick
from budgetbuild.report.sheets.book import CENTS, THOUSANDTHS, chart_text, fitting_width
from budgetbuild.report.sheets.looks import HAIR, NOTHING, TAB_CONTROL, TAB_RESULT, TYPE, money_format
from budgetbuild.report.sheets.tables import Column
from budgetbuild.report.sheets.tables import Table as SheetTable
from budgetbuild.report.words.cells import text_table

if TYPE_CHECKING:
    from budgetbuild.report.chapter import Block, CellValue, Chapter, TableColumn
    from budgetbuild.report.sheets.book import Page

LOOK = {
    Kind.MONEY: "money",
    Kind.MONEY_CHANGE: "money_change",
    Kind.POINTS: "score",
    Kind.POINTS_CHANGE: "score_change",
    Kind.COUNT: "figure",
    Kind.PERCENT: "share",
}
"""How the numbers of each kind of column look."""
NARROWEST, WIDEST, LEAST_WIDTHS = 11, 44, 6
MOST_TICKS = 6
PLOT_ROWS, PLOT_SIZE = 19, {"width": 760, "height": 360}
"""Rows that a chart covers, and its size in pixels."""


def write_chapter(page: Page, chapter: Chapter, number: int) -> None:
    """Write one chapter; `number` tells the names of its tables from those of other chapters."""
    page.widths(*_widths(page, chapter))
    page.sheet.set_tab_color(TAB_CONTROL if chapter.shop_only else TAB_RESULT)
    page.text(0, 0, chapter.title, "title")
    row = 2
    for place, block in enumerate(chapter.blocks):
        row = _write(page, row, block, f"_tbl_chapter_{number}_{place}")


def _write(page: Page, row: int, block: Block, name: str) -> int:
    """One block; the row after it."""
    last = len(page.columns) - 1
    match block:
        case Heading():
            page.text(row, 0, block.text, "heading")
            return row + 1
        case Paragraph():
            return page.prose(row, block.text, last) + 1
        case Bullets():
            lead = "Safety: " if block.safety else "\u2022 "
            for item in block.items:
                row = page.prose(row, f"{lead}{item}", last)
            return row + 1
        case Table():
            return _write_table(page, row, block, name)
        case Plot():
            return _write_plot(page, row, block, name)


def _write_table(page: Page, row: int, table: Table, name: str) -> int:
    page.text(row, 0, table.caption, "quiet")
    columns = tuple(
        Column(head, right=column.kind is not Kind.TEXT)
        for head, column in zip(_unlike(table), table.columns, strict=True)
    )
    made = SheetTable(page, name, row + 1, columns, len(table.rows), filtered=False)
    made.make()
    for at, cells in enumerate(table.rows, start=made.first):
        for place, (value, column) in enumerate(zip(cells, table.columns, strict=True)):
            _write_cell(page, (at, place), value, column)
    return made.total_row + 1


def _unlike(table: Table) -> list[str]:
    """The heads, made unlike each other: a spreadsheet's table wants that, whatever their case."""
    seen: dict[str, int] = {}
    heads = []
    for column in table.columns:
        key = column.head.casefold()
        seen[key] = seen.get(key, 0) + 1
        heads.append(column.head if seen[key] == 1 else f"{column.head} {seen[key]}")
    return heads


def _write_cell(page: Page, at: tuple[int, int], value: CellValue, column: TableColumn) -> None:
    if value is None:
        page.text(*at, NOTHING, "text" if column.kind is Kind.TEXT else "right")
    elif isinstance(value, str):
        page.text(*at, value, "text" if column.kind is Kind.TEXT else "right_wrapped")
    else:
        page.number(*at, _shown(value, column.kind), LOOK.get(column.kind, "figure"))


def _shown(value: float, kind: Kind) -> float:
    if kind in {Kind.MONEY, Kind.MONEY_CHANGE}:
        return value / CENTS
    return value / THOUSANDTHS if kind in {Kind.POINTS, Kind.POINTS_CHANGE} else value


def _write_plot(page: Page, row: int, plot: Plot, name: str) -> int:
    """The chart, and its table below it."""
    below = row + PLOT_ROWS + 1
    end = _write_table(page, below, plot.table, name)
    first, last = below + 2, below + 1 + len(plot.table.rows)
    chart = page.book.workbook.add_chart({"type": "scatter"})
    if chart is None:
        raise TypeError("the workbook writer knows no scatter chart")
    chart.add_series(
        {
            "name": chart_text(plot.title),
            "categories": [page.name, first, plot.across, last, plot.across],
            "values": [page.name, first, plot.up, last, plot.up],
            "marker": {"type": "circle", "size": 7},
        }
    )
    chart.set_title({"name": chart_text(plot.title), "overlay": False, "name_font": {"size": 13, **TYPE}})
    across, up = plot.table.columns[plot.across], plot.table.columns[plot.up]
    grid = {"major_gridlines": {"visible": True, "line": {"color": HAIR}}, "num_font": TYPE, "name_font": TYPE}
    chart.set_x_axis({"name": chart_text(across.head), **_scale(page, plot, plot.across), **grid})
    chart.set_y_axis({"name": chart_text(up.head), **_scale(page, plot, plot.up), **grid})
    chart.set_legend({"none": True})
    chart.set_size(PLOT_SIZE)
    told = f"Scatter chart: {up.head} by {across.head}; the numbers stand in the table below."
    page.sheet.insert_chart(row, 0, chart, {"description": told})
    return end


def _scale(page: Page, plot: Plot, column: int) -> dict[str, object]:
    """Where an axis begins, a round figure below the least of its column, and how its figures are written."""
    kind = plot.table.columns[column].kind
    money = kind in {Kind.MONEY, Kind.MONEY_CHANGE}
    values = [int(value) for row in plot.table.rows if isinstance(value := row[column], (int, float))]
    least = {"min": _shown(least_tick(values, MOST_TICKS), kind)} if values else {}
    return {**least, "num_format": money_format(page.book.notation, "") if money else "General"}


def _widths(page: Page, chapter: Chapter) -> list[float]:
    """Column widths that fit the texts of every table of the chapter, within limits."""
    tables = [block.table if isinstance(block, Plot) else block for block in chapter.blocks]
    told = [text_table(table, page.book.notation) for table in tables if isinstance(table, Table)]
    count = max([LEAST_WIDTHS, *(len(table.header) for table in told)])
    texts: list[list[str]] = [[] for _ in range(count)]
    for table in told:
        for row in (table.header, *table.rows):
            for place, text in enumerate(row):
                texts[place].append(text)
    return [fitting_width(some, NARROWEST, WIDEST) for some in texts]
