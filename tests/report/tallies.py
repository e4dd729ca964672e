"""What every formula cell of the workbook has to show, worked out in plain Python from `results.json` and the shop.

Cells are found by the words around them, as a reader finds them; nothing here comes from the workbook's writer.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

Cells = dict[tuple[str, str], Decimal | str]
"""Expected values by sheet and cell."""

CENT = Decimal("0.01")
NONE = "\u2013"
GROUPS = {
    "Source": ("head unit", "converter", "fitting kit", "aerial"),
    "Front": ("front", "front adapter"),
    "Rear": ("rear", "rear adapter"),
    "Bass": ("bass", "box"),
    "Amplifier": ("amplifier",),
    "Wiring": ("power kit", "signal lead", "speaker cable"),
    "Deadening": ("deadening",),
    "Labour": ("labour",),
}


@dataclass(slots=True)
class Shop:
    """What a shop may type into the workbook.

    Attributes:
        prices: New prices by SKU, or by the work where it is labour; what is not here stays as solved.
        budgets: New budgets by tier.
        allowances: Shares by tier.
        tax: A share.
        costs: The shop's costs by SKU.
        shelf: Pieces by SKU, `None` where stock is not tracked.
    """

    allowances: dict[str, Decimal]
    costs: Mapping[str, Decimal | None]
    shelf: Mapping[str, int | None]
    tax: Decimal | None
    prices: dict[str, Decimal] = field(default_factory=dict)
    budgets: dict[str, Decimal] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list, worked out anew."""

    sku: str
    role: str
    description: str
    quantity: int
    unit: Decimal
    total: Decimal
    running: Decimal
    net: Decimal | None
    cost: Decimal | None

    @property
    def margin(self) -> Decimal | None:
        """What the shop earns, where that is known."""
        return self.net - self.cost if self.net is not None and self.cost is not None else None


@dataclass(frozen=True, slots=True)
class Tally:
    """One build, worked out anew."""

    title: str
    tier: str
    brief: str
    score: Decimal | None
    solved: Decimal | None
    budget: Decimal
    cap: Decimal
    lines: tuple[Line, ...]

    @property
    def total(self) -> Decimal:
        """Sum of all lines."""
        return sum((line.total for line in self.lines), Decimal(0))

    @property
    def cost(self) -> Decimal:
        """Sum of the costs that are known."""
        return sum((line.cost for line in self.lines if line.cost is not None), Decimal(0))

    @property
    def margin(self) -> Decimal:
        """Sum of the margins that are known."""
        return sum((line.margin for line in self.lines if line.margin is not None), Decimal(0))

    @property
    def check(self) -> str:
        """What the check says."""
        return "ok" if self.total <= self.cap else "look"

    def group(self, name: str) -> Decimal:
        """What one kind of part costs."""
        return sum((line.total for line in self.lines if line.role in GROUPS[name]), Decimal(0))


def tallied(results: Mapping[str, Any], shop: Shop) -> list[Tally]:
    """Every build of a data file with the shop's prices, budgets and tax rate of today."""
    return [_tally(build, shop) for build in results["builds"]]


def _tally(build: Mapping[str, Any], shop: Shop) -> Tally:
    tier = build["tier"]
    budget = shop.budgets.get(tier, Decimal(build["budget"]))
    return Tally(
        title=f"{tier}: {build['brief']}",
        tier=tier,
        brief=build["brief"],
        score=None if build["total"] is None else Decimal(str(build["score"])),
        solved=None if build["total"] is None else Decimal(build["total"]),
        budget=budget,
        cap=(budget * (1 + shop.allowances[tier])).quantize(CENT, ROUND_FLOOR),
        lines=tuple(_lines(build["lines"], shop)),
    )


def _lines(lines: list[Mapping[str, Any]], shop: Shop) -> Iterator[Line]:
    running = Decimal(0)
    for line in lines:
        sku = line["sku"] or ""
        unit = shop.prices.get(sku or line["description"], Decimal(line["unit_price"]))
        total = unit * line["quantity"]
        running += total
        net = None if shop.tax is None else (total / (1 + shop.tax)).quantize(CENT, ROUND_HALF_UP)
        cost = shop.costs.get(sku)
        yield Line(
            sku, line["role"], line["description"], line["quantity"], unit, total, running, net,
            None if cost is None or net is None else cost * line["quantity"],
        )  # fmt: skip


def expected_cells(book: Any, results: Mapping[str, Any], shop: Shop) -> Cells:  # noqa: ANN401 - openpyxl's own
    """What every formula cell of a workbook has to show."""
    tallies = tallied(results, shop)
    found: Cells = {}
    for name, tally in zip(book.sheetnames[2:], tallies, strict=False):
        found |= build_cells(book[name], tally, shop)
    found |= comparison_cells(book["Comparison"], tallies)
    found |= cost_cells(book["Cost by part"], tallies)
    found |= curve_cells(book["Budget curve"], tallies, results)
    found |= pick_cells(book["Pick list"], tallies, shop)
    found |= margin_cells(book["Margin"], tallies) if "Margin" in book.sheetnames else {}
    return found | about_cells(book["About"], tallies)


class Grid:
    """A sheet whose cells are found by the words in a header row and in a column."""

    def __init__(self, sheet: Any, first_header: str, column: int = 1) -> None:  # noqa: ANN401
        """Find the header row that starts with a word."""
        self.sheet, self.cells = sheet, Cells()
        rows = range(1, sheet.max_row + 1)
        self.head = next((row for row in rows if sheet.cell(row, column).value == first_header), 0)
        self.columns: dict[object, int] = {}
        for at in range(column, sheet.max_column + 1) if self.head else ():
            self.columns.setdefault(sheet.cell(self.head, at).value, at)

    def set(self, row: int, header: str, value: Decimal | int | str | None) -> None:
        """Expect a value in a row under a header; `None` expects nothing."""
        if value is not None:
            cell = self.sheet.cell(row, self.columns[header])
            self.cells[self.sheet.title, cell.coordinate] = Decimal(value) if isinstance(value, int) else value

    def row(self, *words: str, below: int = 0) -> int:
        """The first row that begins with these words."""
        rows = self.sheet.iter_rows(min_row=(below or self.head) + 1, max_col=len(words))
        return int(next(row[0].row for row in rows if tuple(cell.value for cell in row) == words))


def share(part: Decimal, whole: Decimal) -> Decimal | str:
    """A part of a whole, or the mark for none."""
    return part / whole if whole else NONE


def build_cells(sheet: Any, tally: Tally, shop: Shop) -> Cells:  # noqa: ANN401
    """Key figures, lines and sums of one build."""
    keys = Grid(sheet, "Score")
    row = keys.head + 1
    keys.set(row, "Budget", tally.budget)
    keys.set(row, "Cap", tally.cap)
    if tally.solved is None:
        return keys.cells
    keys.set(row, "Total", tally.total)
    keys.set(row, "Left of the budget", tally.budget - tally.total)
    keys.set(row, "Check", tally.check)
    grid = Grid(sheet, "Part")
    margin = "Margin" in grid.columns
    for row, line in enumerate(tally.lines, start=grid.head + 1):
        grid.set(row, "Unit price", line.unit)
        grid.set(row, "Line total", line.total)
        grid.set(row, "Running total", line.running)
        if shop.tax is not None:
            grid.set(row, "Without tax", line.net)
        if margin and line.net is not None:
            known = line.margin is not None
            grid.set(row, "Cost without tax", line.cost if known else NONE)
            grid.set(row, "Margin", line.margin if known else NONE)
            grid.set(row, "Margin share", share(line.margin, line.net) if line.margin is not None else NONE)
    row = grid.row("Total")
    grid.set(row, "Line total", tally.total)
    if shop.tax is not None:
        grid.set(row, "Without tax", sum((line.net for line in tally.lines if line.net is not None), Decimal(0)))
    if margin:
        grid.set(row, "Cost without tax", tally.cost)
        grid.set(row, "Margin", tally.margin)
        grid.set(row, "Margin share", share(tally.margin, tally.margin + tally.cost))
    return keys.cells | grid.cells


def comparison_cells(sheet: Any, tallies: list[Tally]) -> Cells:  # noqa: ANN401
    """Figures and costs of every build, side by side."""
    grid = Grid(sheet, "Part")
    costs = grid.row("Cost by part")
    groups = [str(sheet.cell(row, 1).value) for row in range(costs + 1, grid.row("Sum"))]
    for tally in tallies:
        grid.set(grid.row("Budget"), tally.title, tally.budget)
        grid.set(grid.row("Cap"), tally.title, tally.cap)
        if tally.solved is None:
            continue
        grid.set(grid.row("Score"), tally.title, tally.score)
        grid.set(grid.row("Total"), tally.title, tally.total)
        grid.set(grid.row("Left of the budget"), tally.title, tally.budget - tally.total)
        grid.set(grid.row("Check"), tally.title, tally.check)
        for group in groups:
            grid.set(grid.row(group, below=costs), tally.title, tally.group(group))
        grid.set(grid.row("Sum"), tally.title, tally.total)
    return grid.cells


def cost_cells(sheet: Any, tallies: list[Tally]) -> Cells:  # noqa: ANN401
    """The table under the chart of costs."""
    grid = Grid(sheet, "Brief")
    groups = [group for group in GROUPS if group in grid.columns]
    # A kind of part that costs something must have a column.
    assert [group for group in GROUPS if any(tally.group(group) for tally in tallies)] == groups
    for tally in (tally for tally in tallies if tally.lines):
        row = grid.row(tally.brief, tally.tier)
        for group in groups:
            grid.set(row, group, tally.group(group))
        grid.set(row, "Sum", tally.total)
    return grid.cells


def curve_cells(sheet: Any, tallies: list[Tally], results: Mapping[str, Any]) -> Cells:  # noqa: ANN401
    """The scores of the tiers; budget and total of each point where the points are the tiers' own."""
    if not results["curve"]:
        return {}
    points = Grid(sheet, "Brief")
    if not results["curve_is_whole"]:
        for row, point in enumerate(results["curve"], start=points.head + 1):
            own = (Decimal(point["total"]), Decimal(str(point["score"])))
            (tally,) = (one for one in tallies if one.brief == point["brief"] and (one.solved, one.score) == own)
            points.set(row, "Budget", tally.budget)
            points.set(row, "Total", tally.total)
    marks = Grid(sheet, "Tier", column=6)
    rows = {sheet.cell(row, 6).value: row for row in range(marks.head + 1, sheet.max_row + 1)}
    for tally in tallies:
        marks.set(rows[tally.tier], "Budget", tally.budget)
        marks.set(rows[tally.tier], tally.brief, tally.score)
        best = [other.score for other in tallies if other.tier == tally.tier and other.score is not None]
        marks.set(rows[tally.tier], "Highest", max(best, default=Decimal(0)))
    return points.cells | marks.cells


def pick_cells(sheet: Any, tallies: list[Tally], shop: Shop) -> Cells:  # noqa: ANN401
    """What to take for each build, and what the shelf has: each product once, labour never."""
    grid, row = Grid(sheet, "Build"), 0
    for tally in tallies:
        for sku in dict.fromkeys(line.sku for line in tally.lines if line.sku):
            row = row + 1 if row else grid.head + 1
            assert [sheet.cell(row, grid.columns[name]).value for name in ("Build", "SKU")] == [tally.title, sku]
            take, shelf = sum(line.quantity for line in tally.lines if line.sku == sku), shop.shelf[sku]
            grid.set(row, "Take", take)
            grid.set(row, "On the shelf", "not tracked" if shelf is None else shelf)
            grid.set(row, "Short by", "not tracked" if shelf is None else max(0, take - shelf))
            grid.set(row, "Left on the shelf", "not tracked" if shelf is None else max(0, shelf - take))
    return grid.cells


def margin_cells(sheet: Any, tallies: list[Tally]) -> Cells:  # noqa: ANN401
    """What the shop earns, build by build."""
    grid = Grid(sheet, "Build")
    for tally in (tally for tally in tallies if tally.lines):
        row = grid.row(tally.title)
        net = sum((line.net for line in tally.lines if line.net is not None), Decimal(0))
        grid.set(row, "Total", tally.total)
        grid.set(row, "Without tax", net)
        grid.set(row, "Of it with a known cost", share(tally.cost + tally.margin, net))
        grid.set(row, "Cost without tax", tally.cost)
        grid.set(row, "Margin", tally.margin)
        grid.set(row, "Margin share", share(tally.margin, tally.cost + tally.margin))
    return grid.cells


def about_cells(sheet: Any, tallies: list[Tally]) -> Cells:  # noqa: ANN401
    """The checks: differences, and what they come to."""
    grid = Grid(sheet, "Build")
    above = {tally.title: max(Decimal(0), tally.total - tally.cap) for tally in tallies if tally.lines}
    for tally in (tally for tally in tallies if tally.lines):
        row = grid.row(tally.title)
        grid.set(row, "Lines less running total", 0)
        grid.set(row, "Total less sum by part", 0)
        grid.set(row, "Above the cap", above[tally.title])
        grid.set(row, "Changed since", tally.total - (tally.solved or 0))
    says = "look at the rows below" if any(above.values()) else "ok"
    row = next(row for row in range(1, sheet.max_row + 1) if sheet.cell(row, 1).value == "All checks")
    return grid.cells | {(sheet.title, f"B{row}"): says}
