"""Points of one figure against another, each a choice that one could make."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.chapter import Kind
from budgetbuild.report.pictures.axes import Axis, axis, least_tick
from budgetbuild.report.pictures.drawing import Column, document, draw_rule, draw_text, paint
from budgetbuild.report.words.cells import cell_text

if TYPE_CHECKING:
    from budgetbuild.report.chapter import Plot, TableColumn
    from budgetbuild.report.words.notation import Notation

WIDTH, TOP, BOTTOM, BELOW = 760.0, 30.0, 310.0, 46.0
AREA = Column(56, 690)
MOST_TICKS_ACROSS, MOST_TICKS_UP = 6, 6
MARK = 4.5


@dataclass(frozen=True, slots=True)
class _Figures:
    """The figures of one column: what they are held above (the ends of axes are round), and their axis."""

    column: TableColumn
    least: int
    scale: Axis

    def at(self, value: int) -> float:
        return self.scale.at(value - self.least)


def render_plot(name: str, plot: Plot, notation: Notation) -> str:
    """The plot as an SVG element; empty where no row has both figures.

    Args:
        name: Distinguishes it from other pictures in one page.
        plot: Its points.
        notation: How the shop writes figures.
    """
    points = [(int(across), int(up)) for across, up in _pairs(plot)]
    if not points:
        return ""
    across = _figures(plot.table.columns[plot.across], [x for x, _ in points], (AREA.x, AREA.right), MOST_TICKS_ACROSS)
    up = _figures(plot.table.columns[plot.up], [y for _, y in points], (BOTTOM, TOP), MOST_TICKS_UP)
    body = [*_scales(across, up, notation), *(_dot(across.at(x), up.at(y)) for x, y in points)]
    return document(name, (WIDTH, BOTTOM + BELOW), plot.title, _described(plot, notation), body)


def _pairs(plot: Plot) -> list[tuple[float, float]]:
    found = ((row[plot.across], row[plot.up]) for row in plot.table.rows)
    return [(x, y) for x, y in found if isinstance(x, (int, float)) and isinstance(y, (int, float))]


def _figures(column: TableColumn, values: list[int], ends: tuple[float, float], count: int) -> _Figures:
    """An axis from a round figure below the least value to one above the greatest."""
    least = least_tick(values, count)
    return _Figures(column, least, axis(*ends, max(values) - least, count))


def _scales(across: _Figures, up: _Figures, notation: Notation) -> list[str]:
    pieces = [
        draw_text(AREA.x, TOP - 14, up.column.head, quiet=True),
        draw_text(AREA.right, BOTTOM + 38, across.column.head, anchor="end", quiet=True),
    ]
    for tick in up.scale.ticks:
        y = up.scale.at(tick)
        pieces.append(draw_rule((AREA.x, y), (AREA.right, y)))
        pieces.append(draw_text(AREA.x - 8, y + 4, _tick(up, tick, notation), anchor="end"))
    for tick in across.scale.ticks:
        x = across.scale.at(tick)
        pieces.append(draw_rule((x, BOTTOM), (x, BOTTOM + 5)))
        pieces.append(draw_text(x, BOTTOM + 18, _tick(across, tick, notation), anchor="middle"))
    return pieces


def _tick(figures: _Figures, tick: int, notation: Notation) -> str:
    value = figures.least + tick
    if figures.column.kind in {Kind.MONEY, Kind.MONEY_CHANGE}:
        return notation.short(value)
    if figures.column.kind in {Kind.POINTS, Kind.POINTS_CHANGE}:
        return notation.number(value / 1000)
    return notation.number(value)


def _dot(x: float, y: float) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{MARK:g}" stroke="currentColor" {paint("fill", "bar")}/>'


def _described(plot: Plot, notation: Notation) -> str:
    across, up = plot.table.columns[plot.across], plot.table.columns[plot.up]
    told = (f"{cell_text(x, across.kind, notation)}: {cell_text(y, up.kind, notation)}" for x, y in _pairs(plot))
    return f"{plot.title}. {up.head} by {across.head}: {'; '.join(told)}."
