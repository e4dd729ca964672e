"""The few pieces of SVG that the pictures are made of: text that keeps inside its box, boxes, lines, one document.

Every coloured piece has a class that the page's own style may colour, so a picture follows light and dark pages alike
and prints in grey; where it stands alone, or the page has no such style, it is black on white.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from html import escape
from typing import TYPE_CHECKING

from budgetbuild.report.pictures.lettering import FONT_SIZE, shortened

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

LINE_HEIGHT = 16.0
PADDING = 8.0
ASCENT = 12.0
"""From the top of a line of text to its baseline."""
MOST_LINES = 4
"""Most lines of one name or detail in a box, so that no picture outgrows a page; its table has every name whole."""
ARROW = 6.0
CORNER = 5.0
"""Radius of the bends of a line."""

PLAIN = {"paper": "#fff", "panel": "#eef2f5", "quiet": "#444", "line": "#999", "bar": "#2a5d84"}
"""Colours that a page may set, by the names of its variables and classes, as they are where it sets none."""

Point = tuple[float, float]


def paint(what: str, colour: str) -> str:
    """Attributes that fill or stroke with a colour: plain, and a class by which a page may set another.

    >>> paint("fill", "paper"), paint("stroke", "currentColor")
    ('fill="#fff" class="fill-paper"', 'stroke="currentColor"')
    """
    plain = PLAIN.get(colour)
    return f'{what}="{plain}" class="{what}-{colour}"' if plain else f'{what}="{colour}"'


@dataclass(frozen=True, slots=True)
class Stroke:
    """How a line is drawn: its width, its dashes where it has some, its colour (see `paint`), an arrow at its end."""

    width: float
    dashes: str = ""
    colour: str = "currentColor"
    arrow: bool = True


class Run(Enum):
    """The kinds of connection; each differs from the others in more than colour."""

    SIGNAL = Stroke(1.6, colour="bar")
    AERIAL = Stroke(1.6, "1.6 2.6")
    SPEAKER = Stroke(2.4)
    POWER = Stroke(4.4, arrow=False)
    EARTH = Stroke(4.4, "5 2.2", arrow=False)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text."""

    text: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """A vertical strip of a picture."""

    x: float
    width: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.x + self.width

    @property
    def middle(self) -> float:
        """Half way between its edges."""
        return self.x + self.width / 2

    @property
    def room(self) -> float:
        """Width that text in one of its boxes may take."""
        return self.width - 2 * PADDING


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with its text; positions in user units.

    Attributes:
        dashed: Whether it stands for a cable.
    """

    column: Column
    y: float
    height: float
    lines: tuple[Line, ...]
    dashed: bool = False

    @property
    def port(self) -> float:
        """Height at which lines meet it: its first line of text, so that boxes of one lane join straight."""
        return self.y + PADDING + LINE_HEIGHT / 2

    @property
    def bottom(self) -> float:
        """Its lower edge."""
        return self.y + self.height


def lines_in(column: Column, title: str, details: Iterable[str] = ()) -> tuple[Line, ...]:
    """A title and details as lines that fit a column; empty ones are left out, very long ones shortened."""
    room = column.room
    told = [Line(line, bold=True) for line in shortened(title, room, MOST_LINES)]
    return (*told, *(Line(line) for detail in details for line in shortened(detail, room, MOST_LINES, bold=False)))


def box(column: Column, y: float, lines: Sequence[Line], *, dashed: bool = False) -> Box:
    """A box as high as its text."""
    return Box(column, y, text_height(lines) + 2 * PADDING, tuple(lines), dashed)


def text_height(lines: Sequence[Line]) -> float:
    """Height of lines of text."""
    return LINE_HEIGHT * len(lines)


def draw_box(shape: Box) -> str:
    """A box as SVG."""
    frame = draw_frame(shape.column.x, shape.y, shape.column.width, shape.height, dashed=shape.dashed)
    return frame + draw_lines(shape.column.x + PADDING, shape.y + PADDING, shape.lines)


def draw_frame(x: float, y: float, width: float, height: float, *, dashed: bool = False) -> str:
    """An empty box as SVG: solid for a part, dashed for a cable."""
    dash = ' stroke-dasharray="5 3.5"' if dashed else ""
    place = f'x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}" rx="4"'
    return f'<rect {place} stroke="currentColor"{dash} {paint("fill", "paper" if dashed else "panel")}/>'


def draw_lines(x: float, y: float, lines: Iterable[Line]) -> str:
    """Lines of text as SVG, the first with its top at `y`."""
    return "".join(
        draw_text(x, y + ASCENT + LINE_HEIGHT * place, line.text, bold=line.bold) for place, line in enumerate(lines)
    )


def draw_text(x: float, y: float, text: str, *, bold: bool = False, anchor: str = "start", quiet: bool = False) -> str:
    """One line of text as SVG, its baseline at `y`."""
    weight = ' font-weight="700"' if bold else ""
    where = f' text-anchor="{anchor}"' if anchor != "start" else ""
    colour = paint("fill", "quiet" if quiet else "currentColor")
    return f'<text x="{x:g}" y="{y:g}"{weight}{where} {colour}>{escape(text)}</text>'


def draw_rule(start: Point, end: Point, *, dashes: str = "") -> str:
    """A hairline as SVG."""
    dash = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<path d="{_way([start, end])}" fill="none"{dash} {paint("stroke", "line")}/>'


def draw_path(points: Sequence[Point], width: float = 2.0) -> str:
    """A plain line as SVG."""
    return f'<path d="{_way(points)}" fill="none" stroke="currentColor" stroke-width="{width:g}"/>'


def draw_run(run: Run, points: Sequence[Point]) -> str:
    """A connection as SVG through points that lie straight above or beside each other."""
    stroke = run.value
    way = list(points)
    head = ""
    if stroke.arrow:
        tip, size = way[-1], ARROW + stroke.width
        along = _direction(way[-2], tip)
        way[-1] = (tip[0] - along[0] * size, tip[1] - along[1] * size)
        half = size / 2 + 0.5
        wings = [(way[-1][0] + side * along[1] * half, way[-1][1] + side * along[0] * half) for side in (1, -1)]
        head = f'<path d="{_way([wings[0], tip, wings[1]])}Z" {paint("fill", stroke.colour)}/>'
    dash = f' stroke-dasharray="{stroke.dashes}"' if stroke.dashes else ""
    look = f'fill="none" stroke-width="{stroke.width:g}"{dash} {paint("stroke", stroke.colour)}'
    return f'<path d="{_way(way)}" {look}/>{head}'


def _direction(start: Point, end: Point) -> Point:
    """Unit step from one point to another that lies straight above, below or beside it."""
    return _sign(end[0] - start[0]), _sign(end[1] - start[1])


def _sign(difference: float) -> float:
    return float((difference > 0) - (difference < 0))


def _way(points: Sequence[Point]) -> str:
    """Path data through points, every bend rounded."""
    told = [f"M{points[0][0]:g} {points[0][1]:g}"]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        come, go = _direction(before, corner), _direction(corner, after)
        if come == go or 0.0 not in come or 0.0 not in go:
            told.append(f"L{corner[0]:g} {corner[1]:g}")
            continue
        radius = min(CORNER, _reach(before, corner) / 2, _reach(corner, after) / 2)
        start = (corner[0] - come[0] * radius, corner[1] - come[1] * radius)
        end = (corner[0] + go[0] * radius, corner[1] + go[1] * radius)
        told.append(f"L{start[0]:g} {start[1]:g}Q{corner[0]:g} {corner[1]:g} {end[0]:g} {end[1]:g}")
    return "".join([*told, f"L{points[-1][0]:g} {points[-1][1]:g}"])


def _reach(start: Point, end: Point) -> float:
    return abs(end[0] - start[0]) + abs(end[1] - start[1])


def document(name: str, size: tuple[float, float], title: str, description: str, body: Iterable[str]) -> str:
    """A picture with its title and description for those who do not see it.

    Args:
        name: Distinguishes its ids from those of other pictures in one page.
        size: Width and height in user units.
        title: Short name.
        description: What the picture says, in words.
        body: Pieces of SVG.
    """
    width, height = size
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" width="{width:g}" '
        f'height="{height:g}" role="img" aria-labelledby="{name}-title {name}-desc" '
        f'font-family="system-ui, sans-serif" font-size="{FONT_SIZE:g}" color="#000">'
        f'<title id="{name}-title">{escape(title)}</title><desc id="{name}-desc">{escape(description)}</desc>'
        f'<path d="M0 0h{width:g}v{height:g}H0Z" {paint("fill", "paper")}/>'
        f"{''.join(body)}</svg>"
    )
