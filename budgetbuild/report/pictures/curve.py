"""The budget curve of a brief: the best score that each budget buys, with the tiers marked and labelled.

The best score is a step function of the budget, and it is drawn as one. Labels stand in a column of their own beside
it, each joined to its mark: since a dearer tier never scores less, no two of these lines cross, and none the curve.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.pictures.axes import Axis, axis
from budgetbuild.report.pictures.drawing import (
    LINE_HEIGHT,
    Column,
    Line,
    document,
    draw_lines,
    draw_rule,
    draw_text,
    paint,
)
from budgetbuild.report.pictures.lettering import shortened, widest, wrap
from budgetbuild.report.pictures.tables import TextTable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.words.notation import Notation

CENTS = 100
WIDTH = 760.0
PLOT = Column(44, 520)
LABELS = Column(592, 168)
TOP = 30.0
HEIGHT = 280.0
"""Least height of the plot; many tiers make it higher."""
MOST_TICKS_ACROSS, MOST_TICKS_UP = 8, 6
TICK_GAP = 16.0
"""Least room between the figures of two ticks."""
LABEL_GAP = 8.0
MARK = 5.0
BELOW = 40.0
"""Room under the plot for figures and the name of the axis."""


@dataclass(frozen=True, slots=True)
class Step:
    """From this budget on, in cents, the best score is this, in whole thousandths."""

    budget: int
    score: int


@dataclass(frozen=True, slots=True)
class TierMark:
    """A tier: its budget in cents, and the score and price of its system; `None` where it has none."""

    name: str
    budget: int
    score: int | None
    total: int | None


@dataclass(frozen=True, slots=True)
class BudgetCurve:
    """What there is to show of a brief.

    Attributes:
        steps: By budget, each with a higher score than the one before; empty where the curve was not worked out.
        tiers: In any order.
    """

    brief: str
    steps: tuple[Step, ...]
    tiers: tuple[TierMark, ...]

    def at(self, budget: int) -> int | None:
        """The best score within a budget in cents; `None` where the cheapest system costs more."""
        place = bisect_right(self.steps, budget, key=lambda step: step.budget)
        return self.steps[place - 1].score if place else None


@dataclass(frozen=True, slots=True)
class _Label:
    """A mark with the text beside it."""

    tier: TierMark
    lines: tuple[Line, ...]

    @property
    def height(self) -> float:
        return LINE_HEIGHT * len(self.lines) + LABEL_GAP


def render_curve(name: str, title: str, curve: BudgetCurve, notation: Notation) -> str:
    """The curve as an SVG element; empty where there is nothing to show.

    Args:
        name: Distinguishes it from other pictures in one page.
        title: What it shows.
        curve: Steps and tiers.
        notation: How the shop writes money and points.
    """
    if not curve.steps and not curve.tiers:
        return ""
    labels = _labels(curve, notation)
    bottom = TOP + max(HEIGHT, sum(label.height for label in labels))
    across, up = _axes(curve, bottom, notation)
    body = [
        *_area(curve, across, up),
        *_scales(across, up, notation),
        *_line(curve, across, up),
        *_marks(labels, across, up),
    ]
    return document(name, (WIDTH, bottom + BELOW), title, _described(curve, notation), body)


def curve_table(curve: BudgetCurve, notation: Notation) -> TextTable:
    """What the curve says at every tick of its axis and at every tier, by budget."""
    across, _ = _axes(curve, TOP + HEIGHT, notation)
    rows = {tick: ("", curve.at(tick)) for tick in across.ticks[1:]} if curve.steps else {}
    if curve.steps:
        first, last = curve.steps[0], curve.steps[-1]
        rows |= {last.budget: ("highest score of all", last.score), first.budget: ("cheapest system", first.score)}
    told = [(budget, what, score) for budget, (what, score) in rows.items()]
    tiers = {tier.budget for tier in curve.tiers}
    told = [row for row in told if row[0] not in tiers or row[1]]
    told += [(tier.budget, _tier_words(tier, notation), tier.score) for tier in curve.tiers]
    said = [(notation.money(budget), _score(score, notation), what) for budget, what, score in sorted(told, key=_order)]
    return TextTable("Highest score by budget", ("Budget", "Score", "What it is"), tuple(said), frozenset({0, 1}))


def _tier_words(tier: TierMark, notation: Notation) -> str:
    """A tier with what its system costs, which its cap lets be a little more than its budget."""
    return tier.name if tier.total is None else f"{tier.name}, within its cap: {notation.money(tier.total)}"


def _order(row: tuple[int, str, int | None]) -> tuple[int, int, str]:
    return row[0], row[2] or 0, row[1]


def _score(score: int | None, notation: Notation) -> str:
    return "no system" if score is None else notation.points(score)


def _described(curve: BudgetCurve, notation: Notation) -> str:
    told = [f"Highest score by budget for {curve.brief}."]
    if curve.steps:
        first, last = curve.steps[0], curve.steps[-1]
        told.append(
            f"From {notation.money(first.budget)}, which buys {notation.points(first.score)} points, it rises to "
            f"{notation.points(last.score)} points at {notation.money(last.budget)}."
        )
    told += [f"{tier.name}, {notation.money(tier.budget)}: {_score(tier.score, notation)}." for tier in curve.tiers]
    return " ".join(told)


def _axes(curve: BudgetCurve, bottom: float, notation: Notation) -> tuple[Axis, Axis]:
    """Budget across, as many ticks as its figures have room for, and score up."""
    dearest = max([step.budget for step in curve.steps] + [tier.budget for tier in curve.tiers])
    best = max([step.score for step in curve.steps] + [tier.score or 0 for tier in curve.tiers])
    count = MOST_TICKS_ACROSS
    while True:
        across = axis(PLOT.x, PLOT.right, dearest, count)
        room = PLOT.width / (len(across.ticks) - 1) - TICK_GAP
        if count == 1 or widest((_amount(tick, across, notation) for tick in across.ticks), bold=False) <= room:
            return across, axis(bottom, TOP, best, MOST_TICKS_UP)
        count -= 1


def _amount(cents: int, across: Axis, notation: Notation) -> str:
    return notation.number(cents / CENTS, 0 if across.step % CENTS == 0 else 2)


def _scales(across: Axis, up: Axis, notation: Notation) -> list[str]:
    """Both axes: rules at the ticks of the score, figures, names."""
    pieces = [
        draw_text(PLOT.x, TOP - 14, "Score (points)", quiet=True),
        draw_text(PLOT.right, up.start + 34, f"Budget ({notation.symbol})", anchor="end", quiet=True),
    ]
    for tick in up.ticks:
        y = up.at(tick)
        pieces.append(draw_rule((PLOT.x, y), (PLOT.right, y)))
        pieces.append(draw_text(PLOT.x - 8, y + 4, notation.number(tick / 1000), anchor="end"))
    for tick in across.ticks:
        x = across.at(tick)
        pieces.append(draw_rule((x, up.start), (x, up.start + 5)))
        pieces.append(draw_text(x, up.start + 18, _amount(tick, across, notation), anchor="middle"))
    return pieces


def _way(curve: BudgetCurve, across: Axis, up: Axis) -> str:
    """Path data of the steps on a grid of whole units: steps that it cannot show fall together."""
    grid = {round(across.at(step.budget)): round(up.at(step.score)) for step in curve.steps}
    (x, y), *rest = grid.items()
    told = [f"M{x} {y}"]
    for right, top in rest:
        if top != y:
            told.append(f"h{right - x}v{top - y}")
            x, y = right, top
    return "".join([*told, f"H{PLOT.right:g}"])


def _area(curve: BudgetCurve, across: Axis, up: Axis) -> list[str]:
    if not curve.steps:
        return []
    way = f"{_way(curve, across, up)}V{up.start:g}H{round(across.at(curve.steps[0].budget))}Z"
    return [f'<path d="{way}" {paint("fill", "panel")}/>']


def _line(curve: BudgetCurve, across: Axis, up: Axis) -> list[str]:
    if not curve.steps:
        return []
    return [f'<path d="{_way(curve, across, up)}" fill="none" stroke-width="2" {paint("stroke", "bar")}/>']


def _labels(curve: BudgetCurve, notation: Notation) -> list[_Label]:
    """Labels from the top of the picture down."""
    tiers = sorted(curve.tiers, key=lambda tier: (tier.score or 0, tier.budget), reverse=True)
    return [_Label(tier, _label_lines(tier, notation)) for tier in tiers]


def _label_lines(tier: TierMark, notation: Notation) -> tuple[Line, ...]:
    points = "no system" if tier.score is None else f"{notation.points(tier.score)}\u00a0points"
    figures = wrap(f"{notation.money(tier.budget)}: {points}", LABELS.width, bold=False)
    name = shortened(tier.name, LABELS.width, 2)
    return (*(Line(line, bold=True) for line in name), *map(Line, figures))


def _marks(labels: Sequence[_Label], across: Axis, up: Axis) -> list[str]:
    """Every tier: a line to its budget, a line to its label, a dot (a ring where it has no system), its label."""
    lines: list[str] = []
    dots: list[str] = []
    for label, top in zip(labels, _tops(labels, up), strict=True):
        x, y = round(across.at(label.tier.budget), 1), round(up.at(label.tier.score or 0), 1)
        middle = top + (label.height - LABEL_GAP) / 2
        lines.append(draw_rule((x, y), (x, up.start), dashes="3 3"))
        lines.append(_leader([(x, y), (PLOT.right, y), (LABELS.x - 6, round(middle, 1))]))
        dots.append(_dot(x, y, filled=label.tier.score is not None))
        dots.append(draw_lines(LABELS.x, top, label.lines))
    return [*lines, *dots]


def _tops(labels: Sequence[_Label], up: Axis) -> list[float]:
    """Where each label begins: beside its mark, moved apart where two would meet, within the plot."""
    tops: list[float] = []
    free = TOP
    for label in labels:
        free = max(free, up.at(label.tier.score or 0) - (label.height - LABEL_GAP) / 2)
        tops.append(free)
        free += label.height
    limit = up.start
    for place in reversed(range(len(labels))):
        tops[place] = round(min(tops[place], limit - labels[place].height), 1)
        limit = tops[place]
    return tops


def _leader(points: Sequence[tuple[float, float]]) -> str:
    way = "L".join(f"{x:g} {y:g}" for x, y in points)
    return f'<path d="M{way}" fill="none" {paint("stroke", "quiet")}/>'


def _dot(x: float, y: float, *, filled: bool) -> str:
    place = f'cx="{x:g}" cy="{y:g}" r="{MARK:g}" stroke-width="1.5"'
    if filled:
        return f'<circle {place} stroke="currentColor" {paint("fill", "bar")}/>'
    return f'<circle {place} stroke="currentColor" {paint("fill", "paper")}/>'
