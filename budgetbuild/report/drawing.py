"""The few pieces of SVG that the pictures are made of: text that keeps inside its box, boxes, lines, one document.

Colours come from the page through `currentColor` and two variables with a plain fallback, so a picture follows light
and dark pages alike and still prints.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

LINE_HEIGHT = 18
PADDING = 10
FONT_SIZE = 13

_WIDE_LETTERS = frozenset("mwMW@%—…")
_NARROW_LETTERS = frozenset("iljtfr.,:;|!\u00a0'()[] ")


def text_width(text: str, size: float = FONT_SIZE) -> float:
    """A width that the text will not exceed in any usual sans-serif face, bold included.

    >>> text_width("ii") < text_width("aa") < text_width("MM") < text_width("界界") + 1
    True
    """
    return sum(_letter_width(mark) for mark in text) * size


def _letter_width(mark: str) -> float:
    """Width of one character as a share of the type size."""
    if mark in _WIDE_LETTERS or unicodedata.east_asian_width(mark) in {"W", "F"}:
        return 1.05
    if mark in _NARROW_LETTERS:
        return 0.46
    return 0.82 if mark.isupper() or not mark.isascii() else 0.69


def wrap(text: str, width: float, size: float = FONT_SIZE) -> list[str]:
    """Break text into lines no wider than `width`; a word that is too long is broken where it must.

    >>> wrap("front speakers", 80)
    ['front', 'speakers']
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(text, width, size):
        longer = f"{line} {word}" if line else word
        if text_width(longer, size) <= width:
            line = longer
        else:
            lines.append(line)
            line = word
    return [*lines, line] if line else lines


def _pieces(text: str, width: float, size: float) -> Iterable[str]:
    """Words, long ones cut into pieces that fit."""
    for word in text.split(" "):
        piece = ""
        for mark in word:
            if piece and text_width(piece + mark, size) > width:
                yield piece
                piece = ""
            piece += mark
        yield piece


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with a title and details under it, all wrapped to its width; positions in user units.

    Attributes:
        height: At least what the text takes.
    """

    x: float
    y: float
    width: float
    height: float
    title: tuple[str, ...]
    details: tuple[str, ...]
    kind: str

    @property
    def port(self) -> float:
        """Height at which lines meet it: its first line of text, so that boxes of one lane join straight."""
        return self.y + PADDING + LINE_HEIGHT / 2

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Its lower edge."""
        return self.y + self.height


def box(x: float, y: float, width: float, title: str, details: Iterable[str] = (), kind: str = "part") -> Box:
    """A box as high as its text; `kind` is `part` (solid) or `cable` (dashed)."""
    room = width - 2 * PADDING
    titles = tuple(wrap(title, room))
    lines = tuple(line for detail in details for line in wrap(detail, room))
    height = LINE_HEIGHT * (len(titles) + len(lines)) + 2 * PADDING
    return Box(x, y, width, height, titles, lines, kind)


def draw_box(shape: Box) -> str:
    """A box as SVG."""
    dash = ' stroke-dasharray="5 4"' if shape.kind == "cable" else ""
    fill = "var(--paper, #ffffff)" if shape.kind == "cable" else "var(--panel, #eef2f5)"
    parts = [
        (
            f'<rect x="{shape.x:g}" y="{shape.y:g}" width="{shape.width:g}" height="{shape.height:g}" rx="4" '
            f'stroke="currentColor"{dash} style="fill:{fill}"/>'
        )
    ]
    y = shape.y + PADDING + LINE_HEIGHT - 5
    for bold, line in [*((True, line) for line in shape.title), *((False, line) for line in shape.details)]:
        parts.append(draw_text(shape.x + PADDING, y, line, bold=bold))
        y += LINE_HEIGHT
    return "".join(parts)


def draw_text(x: float, y: float, text: str, *, bold: bool = False, anchor: str = "start") -> str:
    """One line of text as SVG."""
    weight = ' font-weight="700"' if bold else ""
    where = f' text-anchor="{anchor}"' if anchor != "start" else ""
    return f'<text x="{x:g}" y="{y:g}"{weight}{where} fill="currentColor">{escape(text)}</text>'


def draw_path(*points: tuple[float, float], width: float = 1.5) -> str:
    """A line through points as SVG."""
    way = " ".join(f"{'M' if place == 0 else 'L'}{x:g} {y:g}" for place, (x, y) in enumerate(points))
    return f'<path d="{way}" fill="none" stroke="currentColor" stroke-width="{width:g}"/>'


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
        f'font-family="system-ui, sans-serif" font-size="{FONT_SIZE}">'
        f'<title id="{name}-title">{escape(title)}</title><desc id="{name}-desc">{escape(description)}</desc>'
        f"{''.join(body)}</svg>"
    )
