"""One sheet per build: its list with the tally after every line, what to watch, or why there is no system."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.content import COST_GROUPS
from budgetbuild.report.sheets.book import THOUSANDTHS, Page, relative
from budgetbuild.report.sheets.inputs import TAX_NAME, InputPlaces
from budgetbuild.report.sheets.looks import NOTHING, TAB_RESULT
from budgetbuild.report.sheets.prices import looked_up
from budgetbuild.report.sheets.tables import Column, Table, here, totalled, whole
from budgetbuild.report.words.format import capital

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.shown import Report, ReportBuild, ReportLine

HEADLINE_ROWS = 2
KEY_ROW = 6
"""Row of the key figures, under their labels."""
HEAD_ROW = 8
FIRST = HEAD_ROW + 1
PAGE_HEIGHT = 600
"""Points of rows on one printed page, at the scale that the widths give."""

PART, PRODUCT, SKU, QUANTITY, UNIT, LINE, RUNNING, WHY, REF, GROUP, NET, COST, MARGIN, SHARE = range(14)
SCORE_AT, VEHICLE_AT, BOUND_AT, CHECK_AT, BUDGET_AT, CAP_AT, TOTAL_AT, LEFT_AT = range(8)
KEYS = ("Score", "Vehicle", "Proven bound", "Check", "Budget", "Cap", "Total", "Left of the budget")
KEYS_RIGHT = frozenset({"Score", "Proven bound", "Budget", "Cap", "Total"})
GROUP_OF = {role: group for group, roles in COST_GROUPS.items() for role in roles}


@dataclass(frozen=True, slots=True)
class BuildPlace:
    """Where other sheets find the figures of a build.

    Attributes:
        table: Name of its list, empty where the build has no system, or nothing is bought for it.
    """

    page: Page
    shown: ReportBuild
    table: str

    def key(self, column: int) -> str:
        """Address of a key figure."""
        return self.page.place(KEY_ROW, column)

    @property
    def last_running(self) -> str:
        """Address of the last running total."""
        return self.page.place(FIRST + len(self.shown.lines) - 1, RUNNING)


def has_tax(report: Report) -> bool:
    """Whether prices can be shown without tax."""
    return report.catalogue.settings.tax_rate is not None


def has_margin(report: Report) -> bool:
    """Whether a margin can be shown: the cost of some product is known, and so is the tax in its price."""
    return has_tax(report) and any(price.cost is not None for price in report.prices)


def list_columns(table: str, report: Report) -> tuple[Column, ...]:
    """Columns of a build's list with their formulas; those from `Ref` on are the shop's own and are not printed."""
    quantity, line, net = here(table, "Quantity"), here(table, "Line total"), here(table, "Without tax")
    columns: tuple[Column, ...] = (
        Column("Part", total_label="Total"),
        Column("Product"),
        Column("SKU"),
        Column("Quantity", right=True),
        Column("Unit price", looked_up("Unit price", table)),
        Column("Line total", f"={quantity}*{here(table, 'Unit price')}", _sum(table, "Line total")),
        Column("Running total", f"=SUM(INDEX({whole(table, 'Line total')},1):{line})"),
        Column("Why"),
        Column("Ref", right=True),
        Column("Group"),
    )
    if has_tax(report):
        without = Column("Without tax", f"=ROUND({line}/(1+{TAX_NAME}),2)", _sum(table, "Without tax"))
        columns = (*columns, without)
    if has_margin(report):
        unit_cost = looked_up("Cost without tax", table).removeprefix("=")
        cost, margin = here(table, "Cost without tax"), here(table, "Margin")
        costs, margins = totalled(table, "Cost without tax"), totalled(table, "Margin")
        columns = (
            *columns,
            Column(
                "Cost without tax",
                f'=IF(ISNUMBER({unit_cost}),{unit_cost}*{quantity},"{NOTHING}")',
                _sum(table, "Cost without tax"),
            ),
            Column("Margin", f'=IF(ISNUMBER({cost}),{net}-{cost},"{NOTHING}")', _sum(table, "Margin")),
            Column(
                "Margin share",
                f'=IFERROR({margin}/{net},"{NOTHING}")',
                f'=IFERROR({margins}/({margins}+{costs}),"{NOTHING}")',
            ),
        )
    return columns


def _sum(table: str, header: str) -> str:
    return f"=SUM({whole(table, header)})"


def write_build(page: Page, shown: ReportBuild, report: Report, inputs: InputPlaces, table: str) -> BuildPlace:
    """Write one build; `table` names its list."""
    page.widths(14, 28, 18, 10, 13, 13, 16, 60, 6, 12, 14, 18, 14, 14)
    page.sheet.set_tab_color(TAB_RESULT)
    page.text(0, 0, shown.title, "title")
    page.prose(page.prose(1, shown.headline, WHY, most=HEADLINE_ROWS), shown.standing, WHY, "quiet", most=1)
    _write_keys(page, shown, inputs)
    if shown.audited is None:
        page.print_up_to(_write_reason(page, shown), WHY)
        return BuildPlace(page, shown, "")
    row = texts_row = _write_lines(page, shown, report, table) if shown.lines else _write_nothing(page, shown)
    blocks = (
        ("Order exactly this version", shown.alerts),
        ("What to watch", [caution.text for caution in shown.watched]),
        ("Safety", [sentence.text for sentence in shown.safety]),
        ("How the parts were decided", [" ".join(shown.decided)]),
        ("Ratings reckoned from specifications", shown.ratings),
        *((told.title, [" ".join([told.text, *(f"{change}." for change in told.changes)])]) for told in shown.advice),
        ("Next tier up", _next_tier(shown)),
    )
    for title, sentences in blocks:
        row = _write_block(page, row, title, sentences)
    if sum(page.height(at) for at in range(row)) > PAGE_HEIGHT:
        page.sheet.set_h_pagebreaks([texts_row])
    # What the shop pays stands to the right of it and is not for a customer's eyes.
    page.print_up_to(row, WHY)
    page.sheet.freeze_panes(FIRST, 2)
    page.sheet.repeat_rows(0)
    page.sheet.ignore_errors({"number_stored_as_text": "A1:C1048576"})
    return BuildPlace(page, shown, table if shown.lines else "")


def _write_keys(page: Page, shown: ReportBuild, inputs: InputPlaces) -> None:
    """Budget and cap, then what there is of score, total and check."""
    tier, build = shown.build.tier, shown.build
    page.head(KEY_ROW - 1, KEYS, KEYS_RIGHT)
    page.text(KEY_ROW, VEHICLE_AT, shown.vehicle)
    page.money_formula(KEY_ROW, BUDGET_AT, f"={inputs.budget(tier)}", tier.budget)
    exact = f"{inputs.budget(tier)}*(1+{inputs.allowance(tier)})"
    # The inner rounding takes off what binary fractions add, so that the outer one never drops a cent too many.
    page.money_formula(KEY_ROW, CAP_AT, f"=ROUNDDOWN(ROUND({exact},6),2)", tier.cap)
    for column, score in ((SCORE_AT, build.score), (BOUND_AT, build.bound)):
        if score is None:
            page.text(KEY_ROW, column, NOTHING, "right")
        else:
            page.number(KEY_ROW, column, score / THOUSANDTHS, "score")
    for column, look in () if shown.audited else ((CHECK_AT, "text"), (TOTAL_AT, "right"), (LEFT_AT, "text")):
        page.text(KEY_ROW, column, NOTHING, look)


def _write_lines(page: Page, shown: ReportBuild, report: Report, name: str) -> int:
    """Write the list and its total, and beside it what the shop earns; the row after them."""
    columns = list_columns(name, report)
    table = Table(page, name, HEAD_ROW, columns, len(shown.lines), totalled=True, filtered=False)
    table.make()
    for row, told in enumerate(shown.lines, start=FIRST):
        _write_line(table, row, told)
        _write_margin(table, row, told)
    total_row = table.total_row
    for column in range(len(columns)):
        page.text(total_row, column, columns[column].total_label, "total_label")
    table.total(LINE, shown.build.total or 0)
    _write_result(page, shown, name)
    _write_margin_totals(table, shown)
    if has_margin(report):
        page.text(total_row + 1, COST, "Lines with a known cost only; not printed.", "quiet")
    return total_row + 2


def _write_nothing(page: Page, shown: ReportBuild) -> int:
    """What a build costs for which nothing is bought; the row after it."""
    page.money(KEY_ROW, TOTAL_AT, 0)
    page.money_formula(KEY_ROW, LEFT_AT, f"={relative(KEY_ROW, BUDGET_AT)}", shown.left_over, "money_left")
    page.text(KEY_ROW, CHECK_AT, "ok")
    page.text(HEAD_ROW, 0, "Nothing is bought.", "plain")
    return HEAD_ROW + 2


def _write_line(table: Table, row: int, told: ReportLine) -> None:
    page, line = table.page, told.line
    page.text(row, PART, capital(line.role.value))
    page.text(row, PRODUCT, line.description)
    page.text(row, SKU, line.sku)
    page.number(row, QUANTITY, line.quantity, "whole")
    table.money(row, UNIT, line.unit_price)
    table.money(row, LINE, line.line_total)
    table.money(row, RUNNING, line.running_total)
    page.text(row, WHY, f"{told.why}\nNote: {told.note}" if told.note else told.why)
    page.number(row, REF, told.ref, "whole")
    page.text(row, GROUP, GROUP_OF[line.role])


def _write_margin(table: Table, row: int, told: ReportLine) -> None:
    """Price without tax; cost and margin of a line whose cost is known, else a mark that it is not."""
    net, cost = told.line.net_total, told.line.cost_total
    if len(table.columns) > NET and net is not None:
        table.money(row, NET, net)
    if len(table.columns) <= COST or net is None:
        return
    if cost is None:
        for column in (COST, MARGIN, SHARE):
            table.cell(row, column, NOTHING, "right")
        return
    table.money(row, COST, cost)
    table.money(row, MARGIN, net - cost)
    table.cell(row, SHARE, (net - cost) / net if net else NOTHING, "share")


def _write_margin_totals(table: Table, shown: ReportBuild) -> None:
    """The sums of the shop's own columns."""
    if len(table.columns) > NET:
        table.total(NET, sum(told.line.net_total or 0 for told in shown.lines))
    if len(table.columns) <= COST:
        return
    cost, margin = earned(shown)
    table.total(COST, cost)
    table.total(MARGIN, margin)
    share = margin / (cost + margin) if cost + margin else NOTHING
    table.page.formula(table.total_row, SHARE, table.columns[SHARE].total, share, "share_total")


def earned(shown: ReportBuild) -> tuple[int, int]:
    """Cost and margin in cents, without tax, of the lines whose cost is known."""
    known = [
        (told.line.cost_total, told.line.net_total)
        for told in shown.lines
        if told.line.cost_total is not None and told.line.net_total is not None
    ]
    cost = sum(cost for cost, _ in known)
    return cost, sum(net for _, net in known) - cost


def _write_result(page: Page, shown: ReportBuild, table: str) -> None:
    """Total, what is left, and whether the sheet agrees with itself."""
    total, cap, budget = (relative(KEY_ROW, column) for column in (TOTAL_AT, CAP_AT, BUDGET_AT))
    running = relative(FIRST + len(shown.lines) - 1, RUNNING)
    page.money_formula(KEY_ROW, TOTAL_AT, f"={totalled(table, 'Line total')}", shown.build.total or 0)
    page.money_formula(KEY_ROW, LEFT_AT, f"={budget}-{total}", shown.left_over, "money_left")
    agrees = f'=IF(AND(ROUND({total}-{running},2)=0,ROUND({total}-{cap},2)<=0),"ok","look")'
    page.formula(KEY_ROW, CHECK_AT, agrees, "ok", "text")


def _write_block(page: Page, row: int, title: str, sentences: Sequence[str]) -> int:
    """Write a title and sentences under it, each from a row of its own on; the row after them and a gap."""
    if not sentences:
        return row
    page.text(row, 0, title, "heading")
    row += 1
    for sentence in sentences:
        row = page.prose(row, f"\u2022 {sentence}", WHY)
    return row + 1


def _write_reason(page: Page, shown: ReportBuild) -> int:
    """Why there is no system, what it would cost at least, and what would help; the row after it."""
    row = _write_block(page, HEAD_ROW, "Why there is no system", [shown.reason])
    if shown.least_total is not None:
        page.text(row, PART, "Least budget", "label")
        page.money(row, PRODUCT, shown.least_total, "money_left")
        row += 2
    row = _write_block(page, row, "What one change would do", shown.reliefs)
    return _write_block(page, row, "Next tier up", _next_tier(shown))


def _next_tier(shown: ReportBuild) -> list[str]:
    return [" ".join([shown.next_tier, *(f"{change}." for change in shown.changes)])] if shown.next_tier else []
