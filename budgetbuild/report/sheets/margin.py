"""What the shop earns on each build: for the shop's own eyes, on a sheet of its own that no customer's page shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.sheets.book import Page, fitting_width
from budgetbuild.report.sheets.build import TOTAL_AT, BuildPlace, earned
from budgetbuild.report.sheets.looks import NOTHING, SMALL, TAB_WORKING
from budgetbuild.report.sheets.tables import Column, Table, here, totalled

if TYPE_CHECKING:
    from collections.abc import Sequence

HEAD_ROW = 3
FIRST = HEAD_ROW + 1
BUILD, TOTAL, NET, KNOWN, COST, MARGIN, SHARE = range(7)
TABLE = "_tbl_margin"
SAYS = "For the shop only. Cost and margin count the lines whose cost is known, without tax."


def write_margin(page: Page, places: Sequence[BuildPlace]) -> None:
    """Write total, price without tax, cost and margin of every build that has a list."""
    listed = [place for place in places if place.table]
    page.widths(fitting_width([place.shown.title for place in listed], 24, 44), 14, 14, 18, 18, 14, 15)
    page.text(0, 0, "Margin", "title")
    page.text(1, 0, SAYS, "quiet")
    page.sheet.set_tab_color(TAB_WORKING)
    table = Table(page, TABLE, HEAD_ROW, _columns(), len(listed), filtered=False)
    table.make()
    for row, place in enumerate(listed, start=FIRST):
        _write_row(table, row, place)
    page.sheet.freeze_panes(FIRST, 1)
    page.sheet.repeat_rows(HEAD_ROW)
    page.sheet.set_header(f"&R{SMALL}For the shop only", {"margin": 0.3})


def _columns() -> tuple[Column, ...]:
    net, cost, margin = here(TABLE, "Without tax"), here(TABLE, "Cost without tax"), here(TABLE, "Margin")
    return (
        Column("Build"),
        Column("Total", right=True),
        Column("Without tax", right=True),
        Column("Of it with a known cost", f'=IFERROR(({cost}+{margin})/{net},"{NOTHING}")'),
        Column("Cost without tax", right=True),
        Column("Margin", right=True),
        Column("Margin share", f'=IFERROR({margin}/({cost}+{margin}),"{NOTHING}")'),
    )


def _write_row(table: Table, row: int, place: BuildPlace) -> None:
    page, shown = table.page, place.shown
    net = sum(told.line.net_total or 0 for told in shown.lines)
    cost, margin = earned(shown)
    page.link(row, BUILD, place.page, shown.title, "link_plain")
    page.money_formula(row, TOTAL, f"={place.key(TOTAL_AT)}", shown.build.total or 0)
    sums = ((NET, "Without tax", net), (COST, "Cost without tax", cost), (MARGIN, "Margin", margin))
    for column, header, cents in sums:
        page.money_formula(row, column, f"={totalled(place.table, header)}", cents)
    table.cell(row, KNOWN, (cost + margin) / net if net else NOTHING, "share")
    table.cell(row, SHARE, margin / (cost + margin) if cost + margin else NOTHING, "share")
