"""Bar pictures for pages; the same numbers always stand in a table or sentence as well."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.drawing import document, draw_text, text_width
from budgetbuild.report.format import money, number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.report.content import Cost

ROW = 28.0
BAR = 16.0
WIDTH = 460.0
LABEL_WIDTH = 96.0
SHARE = 100


def render_costs(name: str, title: str, costs: Sequence[Cost], currency: str) -> str:
    """Cost by part as bars, an SVG element; empty where nothing costs anything.

    Args:
        name: Distinguishes it from other pictures in one page.
        title: What it shows.
        costs: In the order shown, each above 0.
        currency: Currency code of the amounts.
    """
    total = sum(cost.cents for cost in costs)
    if not total:
        return ""
    said = [f"{money(cost.cents, currency)} ({number(SHARE * cost.cents / total, 0)} %)" for cost in costs]
    room = WIDTH - LABEL_WIDTH - max(text_width(words) for words in said) - 12
    most = max(cost.cents for cost in costs)
    pieces: list[str] = []
    for place, (cost, words) in enumerate(zip(costs, said, strict=True)):
        y, length = place * ROW + 4, max(round(room * cost.cents / most, 1), 1.0)
        pieces += [
            draw_text(LABEL_WIDTH - 10, y + 13, cost.part, anchor="end"),
            _bar(y, length),
            draw_text(LABEL_WIDTH + length + 8, y + 13, words),
        ]
    told = "; ".join(f"{cost.part} {words}" for cost, words in zip(costs, said, strict=True))
    return document(name, (WIDTH, len(costs) * ROW + 4), title, told, pieces)


def _bar(y: float, length: float) -> str:
    place = f'x="{LABEL_WIDTH:g}" y="{y:g}" width="{length:g}" height="{BAR:g}"'
    return f'<rect {place} style="fill:var(--bar, #2a5d84)"/>'
