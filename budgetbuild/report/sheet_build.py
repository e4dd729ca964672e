"""One sheet per build: its list with the tally after every line, what to watch, or why there is no system."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.book import NOTHING, THOUSANDTHS, Page, absolute, relative
from budgetbuild.report.format import capital
from budgetbuild.report.sheet_prices import COSTS_NAME, PRICES_NAME, REFS_NAME, TAX_NAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.content import Report, ReportBuild, ReportLine

HEADLINE_ROWS = 2
KEY_ROW = 5
"""Row of the key figures, under their labels."""
HEAD_ROW = 7
FIRST = HEAD_ROW + 1
PAGE_HEIGHT = 620
"""Points of rows on one printed page, at the scale that the widths give."""

PART, PRODUCT, SKU, REF, QUANTITY, UNIT, LINE, RUNNING, WHY, NET, COST, MARGIN = range(12)
HEADERS = ("Part", "Product", "SKU", "Ref", "Quantity", "Unit price", "Line total", "Running total", "Why")
MARGIN_HEADERS = ("Without tax", "Cost without tax", "Margin")
RIGHT = frozenset({"Ref", "Quantity", "Unit price", "Line total", "Running total", *MARGIN_HEADERS})

SCORE_AT, VEHICLE_AT, BOUND_AT, ALLOWANCE_AT, CHECK_AT, BUDGET_AT, CAP_AT, TOTAL_AT, LEFT_AT = range(9)
KEYS = ("Score", "Vehicle", "Proven bound", "Allowance", "Check", "Budget", "Cap", "Total", "Left of the budget")
KEYS_RIGHT = frozenset({"Score", "Proven bound", "Allowance", "Budget", "Cap", "Total"})


@dataclass(frozen=True, slots=True)
class BuildPlace:
    """Where other sheets find the figures of a build."""

    page: Page
    shown: ReportBuild
    lines: int

    def key(self, column: int) -> str:
        """Address of a key figure."""
        return self.page.place(KEY_ROW, column)

    def column(self, column: int) -> str:
        """Address of a column of the list."""
        return self.page.area((FIRST, column), (FIRST + self.lines - 1, column))

    @property
    def last_running(self) -> str:
        """Address of the last running total."""
        return self.page.place(FIRST + self.lines - 1, RUNNING)


def write_build(page: Page, shown: ReportBuild, report: Report) -> BuildPlace:
    """Write one build."""
    page.widths(14, 28, 17, 11, 9, 12, 12, 14, 58, 14, 18, 14)
    page.text(0, 0, shown.title, "title")
    page.prose(page.prose(1, shown.headline, WHY, most=HEADLINE_ROWS), shown.standing, WHY, "quiet", most=1)
    _write_keys(page, shown)
    if shown.audited is None:
        page.print_up_to(_write_reason(page, shown), WHY)
        return BuildPlace(page, shown, 0)
    row = texts_row = _write_lines(page, shown, report)
    blocks = (
        ("Order exactly this version", shown.alerts),
        ("What to watch", [caution.text for caution in shown.watched]),
        ("Safety", [sentence.text for sentence in shown.safety]),
        ("How the parts were decided", [" ".join(shown.decided)]),
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
    return BuildPlace(page, shown, len(shown.lines))


def _write_keys(page: Page, shown: ReportBuild) -> None:
    """Budget and cap, then what there is of score, total and check."""
    tier, build = shown.build.tier, shown.build
    page.head(KEY_ROW - 1, KEYS, KEYS_RIGHT)
    page.text(KEY_ROW, VEHICLE_AT, build.vehicle.name)
    page.number(KEY_ROW, ALLOWANCE_AT, float(tier.allowance), "percent")
    page.money(KEY_ROW, BUDGET_AT, tier.budget)
    budget, allowance = relative(KEY_ROW, BUDGET_AT), relative(KEY_ROW, ALLOWANCE_AT)
    # The inner rounding takes off what binary fractions add, so that the outer one never drops a cent too many.
    page.money_formula(KEY_ROW, CAP_AT, f"=ROUNDDOWN(ROUND({budget}*(1+{allowance}),6),2)", tier.cap)
    for column, score in ((SCORE_AT, build.score), (BOUND_AT, build.bound)):
        if score is None:
            page.text(KEY_ROW, column, NOTHING, "right")
        else:
            page.number(KEY_ROW, column, score / THOUSANDTHS, "score")
    for column in () if shown.audited else (CHECK_AT, TOTAL_AT, LEFT_AT):
        page.text(KEY_ROW, column, NOTHING, "right")


def _write_lines(page: Page, shown: ReportBuild, report: Report) -> int:
    """Write the list, its total, the margin where costs are known; the row after them."""
    margin = report.catalogue.settings.tax_rate is not None and any(
        shown.line.cost_total is not None for shown in shown.lines
    )
    page.head(HEAD_ROW, (*HEADERS, *(MARGIN_HEADERS if margin else ())), RIGHT)
    for row, told in enumerate(shown.lines, start=FIRST):
        _write_line(page, row, told)
        if margin:
            _write_margin(page, row, told)
    total_row = FIRST + len(shown.lines)
    last = total_row - 1
    for column in range(WHY + 1):
        page.text(total_row, column, "Total" if column == PART else "", "total_label")
    _write_sum(page, total_row, LINE, last, shown.build.total or 0)
    _write_result(page, shown, total_row)
    if margin:
        known = [
            told.line for told in shown.lines if told.line.cost_total is not None and told.line.net_total is not None
        ]
        net, cost = sum(line.net_total or 0 for line in known), sum(line.cost_total or 0 for line in known)
        for column, cents in ((NET, net), (COST, cost), (MARGIN, net - cost)):
            _write_sum(page, total_row, column, last, cents)
        page.text(total_row + 1, NET, "Lines with a known cost only; not printed.", "quiet")
    return total_row + 2


def _write_line(page: Page, row: int, told: ReportLine) -> None:
    line = told.line
    page.text(row, PART, capital(line.role.value))
    page.text(row, PRODUCT, line.description)
    page.text(row, SKU, line.sku)
    page.number(row, REF, told.ref, "whole")
    page.number(row, QUANTITY, line.quantity, "whole")
    page.money_formula(row, UNIT, f"=INDEX({PRICES_NAME},MATCH({relative(row, REF)},{REFS_NAME},0))", line.unit_price)
    page.money_formula(row, LINE, f"={relative(row, QUANTITY)}*{relative(row, UNIT)}", line.line_total)
    so_far = f"=SUM({absolute(FIRST, LINE)}:{relative(row, LINE)})"
    page.money_formula(row, RUNNING, so_far, line.running_total)
    page.text(row, WHY, told.why)


def _write_margin(page: Page, row: int, told: ReportLine) -> None:
    """Price without tax, cost and margin of a line whose cost is known; other lines stay empty, not 0."""
    line = told.line
    if line.cost_total is None or line.net_total is None:
        return
    cost = f"=INDEX({COSTS_NAME},MATCH({relative(row, REF)},{REFS_NAME},0))*{relative(row, QUANTITY)}"
    page.money_formula(row, NET, f"=ROUND({relative(row, LINE)}/(1+{TAX_NAME}),2)", line.net_total)
    page.money_formula(row, COST, cost, line.cost_total)
    page.money_formula(row, MARGIN, f"={relative(row, NET)}-{relative(row, COST)}", line.net_total - line.cost_total)


def _write_sum(page: Page, row: int, column: int, last: int, cents: int) -> None:
    page.money_formula(row, column, f"=SUM({relative(FIRST, column)}:{relative(last, column)})", cents, "total")


def _write_result(page: Page, shown: ReportBuild, total_row: int) -> None:
    """Total, what is left, and whether the sheet agrees with itself."""
    total, cap, budget = (relative(KEY_ROW, column) for column in (TOTAL_AT, CAP_AT, BUDGET_AT))
    running = relative(total_row - 1, RUNNING)
    page.money_formula(KEY_ROW, TOTAL_AT, f"={relative(total_row, LINE)}", shown.build.total or 0)
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
    row = _write_block(page, row, "What would help", shown.reliefs)
    return _write_block(page, row, "Next tier up", _next_tier(shown))


def _next_tier(shown: ReportBuild) -> list[str]:
    return [" ".join([shown.next_tier, *(f"{change}." for change in shown.changes)])] if shown.next_tier else []
