"""Values as every data file writes them: money, scores, and how a system is connected."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from budgetbuild.report.words.format import decimal_money

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Audited, PricedLine, ScorePart

VERSION = "1"
"""Version of the layout of the file."""

Value = object
"""Anything that JSON can hold."""


def score_number(thousandths: int | None) -> float | None:
    """A score in points.

    >>> score_number(71425), score_number(None)
    (71.425, None)
    """
    return None if thousandths is None else thousandths / 1000


def optional_money(cents: int | None) -> str | None:
    """An amount as a decimal string, where there is one."""
    return None if cents is None else decimal_money(cents)


def line_data(line: PricedLine) -> dict[str, Value]:
    """A line of a system's list."""
    return {
        "sku": line.sku or None,
        "role": line.role.value,
        "description": line.description,
        "quantity": line.quantity,
        "unit_price": decimal_money(line.unit_price),
        "line_total": decimal_money(line.line_total),
        "running_total": decimal_money(line.running_total),
    }


def system_data(audited: Audited | None, points: Sequence[ScorePart] | None = None) -> dict[str, Value]:
    """How the parts are connected, and the figures that follow; `points` part by part, where they are not its own."""
    if audited is None:
        return {key: [] for key in ("amplifiers", "drives", "feeds", "cables", "score_parts", "locations", "devices")}
    system = audited.system
    return {
        "score_most": score_number(sum(part.most for part in audited.score_parts)),
        "pairs_needed": audited.pairs_needed,
        "pairs_offered": audited.pairs_offered,
        "treated_m2": audited.treated_m2,
        "coverage": audited.coverage,
        "amplifiers": list(system.amplifiers),
        "drives": [asdict(drive) for drive in system.drives],
        "feeds": [asdict(feed) for feed in system.feeds],
        "cables": [asdict(cable) for cable in system.cables],
        "score_parts": [
            {**asdict(part), "points": score_number(part.points), "most": score_number(part.most)}
            for part in (audited.score_parts if points is None else points)
        ],
        "locations": [asdict(figures) for figures in audited.locations],
        "devices": [asdict(figures) for figures in audited.devices],
    }
