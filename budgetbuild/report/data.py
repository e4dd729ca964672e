"""Values as every data file writes them: money, scores, and how a system is connected."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from budgetbuild.report.fresh import fresh_data
from budgetbuild.report.words.format import decimal_money

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Audited, PricedLine, ScorePart
    from budgetbuild.catalogue.shop import Catalogue

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


def gap_number(found: int | None, bound: int | None) -> float | None:
    """How far what was found may lie below the best, in points: 0 where it is proven; `None` where nothing is known.

    >>> gap_number(71425, 71425), gap_number(71000, 71425), gap_number(None, 71425)
    (0.0, 0.425, None)
    """
    return None if found is None or bound is None else score_number(bound - found)


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


def list_data(catalogue: Catalogue) -> dict[str, Value]:
    """Which price list everything follows from, and with which fresh prices."""
    tax_rate = catalogue.settings.tax_rate
    return {
        "currency": catalogue.settings.currency,
        "tax_rate": None if tax_rate is None else float(tax_rate),
        "catalogue": {
            "name": catalogue.name,
            "sha256": catalogue.sha256,
            "products": len(catalogue.products()),
            "date": catalogue.settings.date,
        },
        "prices_file": fresh_data(catalogue.fresh, costs=False),
    }


def whole_system_data(audited: Audited | None) -> dict[str, Value]:
    """A system with everything that its audit says of it: list, checks, cautions, connections and figures."""
    return {
        "lines": [line_data(line) for line in audited.lines] if audited else [],
        "checks": [asdict(check) for check in audited.checks] if audited else [],
        "cautions": [asdict(caution) for caution in audited.cautions] if audited else [],
        **system_data(audited),
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
