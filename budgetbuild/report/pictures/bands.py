"""What both bands of the wiring picture are laid out with: rows, headings over columns, lines that branch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.report.pictures.drawing import Box, Column, Run, draw_run, draw_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

GAP = 14.0
"""Between boxes that stand one under the other."""
DROP = 24.0
"""Between boxes one under the other that a line joins."""
HEADING = 12.0
"""From the top of the headings to their baseline."""
HEADING_HEIGHT = 18.0


@dataclass(frozen=True, slots=True)
class Band:
    """Pieces of SVG and where they end."""

    pieces: tuple[str, ...]
    bottom: float


def headings(told: Iterable[tuple[Column, str]], top: float) -> list[str]:
    """A word over each column that is in use."""
    return [draw_text(column.x, top + HEADING, words, quiet=True) for column, words in told]


def below(shapes: Sequence[Box], top: float, gap: float = GAP) -> float:
    """Where the next box may begin under some boxes."""
    return max((shape.bottom + gap for shape in shapes), default=top)


def straight(run: Run, start: Box, end: Box) -> str:
    """A line to a box on the right that has the same port."""
    return draw_run(run, [(start.column.right, start.port), (end.column.x, start.port)])


def fan(run: Run, start: Box, ends: Sequence[Box]) -> list[str]:
    """Lines to boxes on the right, which turn in the gap before these."""
    told: list[str] = []
    for end in ends:
        turn = (start.column.right + end.column.x) / 2 - run.value.width
        way = [(start.column.right, start.port), (turn, start.port), (turn, end.port), (end.column.x, end.port)]
        told.append(draw_run(run, way if start.port != end.port else [way[0], way[-1]]))
    return told


def down(run: Run, start: Box, end: Box) -> str:
    """A line to a box underneath."""
    return draw_run(run, [(end.column.middle, start.bottom), (end.column.middle, end.y)])


def up(run: Run, start: Box, end: Box) -> str:
    """A line to a box above."""
    return draw_run(run, [(start.column.middle, start.y), (start.column.middle, end.bottom)])
