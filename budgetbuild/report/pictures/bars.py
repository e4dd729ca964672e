"""Bar pictures: what each part costs, and what it earns of what it could; the numbers stand beside every bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.pictures.drawing import ASCENT, LINE_HEIGHT, document, draw_rule, draw_text, paint
from budgetbuild.report.pictures.lettering import widest, wrap
from budgetbuild.report.pictures.tables import TextTable
from budgetbuild.report.words.format import capital, label

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import ScorePart
    from budgetbuild.report.shown import Cost
    from budgetbuild.report.words.notation import Notation

WIDTH = 400.0
MARGIN = 1.0
ROW_GAP = 8.0
BAR = 14.0
SPACE = 8.0
"""Between a label, its bar and its figure."""
MOST_OF_LABEL = 130.0
"""Widest that labels may run before they break."""
SHARE = 100


def render_costs(name: str, title: str, costs: Sequence[Cost], notation: Notation) -> str:
    """Cost by part as bars, an SVG element; empty where nothing costs anything.

    Args:
        name: Distinguishes it from other pictures in one page.
        title: What it shows.
        costs: In the order shown, each above 0.
        notation: How the shop writes money.
    """
    total = sum(cost.cents for cost in costs)
    if not total:
        return ""
    said = [f"{notation.money(cost.cents)} ({_share(cost, total, notation)})" for cost in costs]
    labels = [cost.part for cost in costs]
    bars = [(float(cost.cents), float(cost.cents)) for cost in costs]
    pieces, bottom = _bars(labels, said, bars)
    pieces += [
        draw_rule((0, bottom), (WIDTH - MARGIN, bottom)),
        draw_text(0, bottom + 4 + ASCENT, "Total", bold=True),
        draw_text(WIDTH - MARGIN, bottom + 4 + ASCENT, notation.money(total), bold=True, anchor="end"),
    ]
    told = "; ".join(f"{part} {words}" for part, words in zip(labels, said, strict=True))
    return document(name, (WIDTH, bottom + 4 + LINE_HEIGHT), title, f"{told}; total {notation.money(total)}", pieces)


def cost_table(costs: Sequence[Cost], notation: Notation) -> TextTable:
    """What the cost picture says, with the total last."""
    total = sum(cost.cents for cost in costs)
    rows = [(cost.part, notation.money(cost.cents), _share(cost, total, notation)) for cost in costs]
    last = ("Total", notation.money(total), "")
    return TextTable("Cost by part", ("Part", "Cost", "Share"), (*rows, last), frozenset({1, 2}))


def _share(cost: Cost, total: int, notation: Notation) -> str:
    return f"{notation.number(SHARE * cost.cents / total, 0)}\u00a0%"


def render_scores(name: str, title: str, parts: Sequence[ScorePart], notation: Notation) -> str:
    """Score by part as bars, an SVG element: filled what is earned, framed what could be; empty without parts.

    Args:
        name: Distinguishes it from other pictures in one page.
        title: What it shows.
        parts: In the order shown; those that can earn nothing are left out.
        notation: How the shop writes points.
    """
    shown = [part for part in parts if part.most > 0]
    if not shown:
        return ""
    labels = [score_label(part) for part in shown]
    said = [f"{notation.points(part.points)} of {notation.points(part.most)}" for part in shown]
    earned, most = sum(part.points for part in shown), sum(part.most for part in shown)
    total = f"{notation.points(earned)} of {notation.points(most)}"
    pieces, bottom = _bars(labels, said, [(float(part.points), float(part.most)) for part in shown])
    pieces += [
        draw_rule((0, bottom), (WIDTH - MARGIN, bottom)),
        draw_text(0, bottom + 4 + ASCENT, "Score", bold=True),
        draw_text(WIDTH - MARGIN, bottom + 4 + ASCENT, total, bold=True, anchor="end"),
    ]
    told = "; ".join(f"{part} {words}" for part, words in zip(labels, said, strict=True))
    return document(name, (WIDTH, bottom + 4 + LINE_HEIGHT), title, f"{told}; score {total}", pieces)


def score_table(parts: Sequence[ScorePart], notation: Notation) -> TextTable:
    """What the score picture says, with the sum last."""
    rows = [(score_label(part), notation.points(part.points), notation.points(part.most)) for part in parts]
    earned, most = sum(part.points for part in parts), sum(part.most for part in parts)
    last = ("Score", notation.points(earned), notation.points(most))
    return TextTable("Score by part", ("Points for", "Earned", "Of at most"), (*rows, last), frozenset({1, 2}))


def score_label(part: ScorePart) -> str:
    """A part of the score as a page names it."""
    subject = f", {label(part.subject)}" if part.subject and part.subject != part.part else ""
    return f"{capital(part.part)}{subject}"


def _bars(labels: Sequence[str], said: Sequence[str], bars: Sequence[tuple[float, float]]) -> tuple[list[str], float]:
    """Rows of label, bar and figure, and where they end.

    Args:
        labels: What each bar stands for.
        said: The figure beside each, flush right, so that figures can be compared.
        bars: Filled and framed length of each, in one unit of their own; the longest takes all the room there is.
    """
    left = min(widest(labels, bold=False), MOST_OF_LABEL) + SPACE
    room = WIDTH - MARGIN - left - widest(said, bold=False) - SPACE
    longest = max(most for _, most in bars)
    pieces: list[str] = []
    y = 0.0
    for words, figure, (filled, framed) in zip(labels, said, bars, strict=True):
        lines = wrap(words, left - SPACE, bold=False)
        pieces += [draw_text(0, y + ASCENT + LINE_HEIGHT * place, line) for place, line in enumerate(lines)]
        pieces.append(_bar(left, y + 1, room * filled / longest, room * framed / longest))
        pieces.append(draw_text(WIDTH - MARGIN, y + ASCENT, figure, anchor="end"))
        y += LINE_HEIGHT * len(lines) + ROW_GAP
    return pieces, y


def _bar(x: float, y: float, filled: float, framed: float) -> str:
    """A bar: its frame where it could be longer, and what is filled of it, never thinner than can be seen."""
    place = f'x="{x:.6g}" y="{y:g}" height="{BAR:g}"'
    frame = f'<rect {place} width="{framed:.1f}" fill="none" stroke="currentColor"/>' if framed > filled else ""
    width = max(filled, 1.0) if filled else 0.0
    return f'{frame}<rect {place} width="{width:.1f}" {paint("fill", "bar")}/>' if width else frame
