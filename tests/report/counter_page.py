"""The counter page as tests see it: some curves, what the page shows of them, and what it has to show."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, NamedTuple

from budgetbuild.build import Curve
from budgetbuild.report.pages.counter import render_counter
from budgetbuild.report.words.notation import Notation
from tests.report import fixtures
from tests.report.curves import CATALOGUE, ESTATE, curve

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from budgetbuild.build import Audited, Role

FULL = curve(count=400)
CURVES = (FULL, curve(fixtures.KEEP, seed=2, count=40), curve(vehicle=ESTATE, seed=3), Curve(fixtures.OWN, ESTATE, ()))
LEAST, MOST = FULL.points[0].total, FULL.points[-1].total


class Shown(NamedTuple):
    """What the page shows of a build."""

    lines: list[list[str]]
    total: str
    score: str


def euro(cents: int) -> str:
    """Money as every other output writes it."""
    return Notation("EUR").money(cents)


def shown(page: Page) -> Shown:
    """What the page shows now."""
    lines: list[list[str]] = page.evaluate(
        """() => [...document.querySelectorAll('#parts tbody tr:not(.unfilled):not(.spare)')]
            .map(row => [...row.cells].map(cell => cell.innerText))"""
    )
    return Shown(lines, page.inner_text("#total"), page.inner_text("#score"))


def expected(point: Audited) -> Shown:
    """What the page has to show of a build."""
    lines = [
        [line.role.value.capitalize(), line.description, line.sku, str(line.quantity)]
        + [euro(cents) for cents in (line.unit_price, line.line_total, line.running_total)]
        for line in point.lines
    ]
    return Shown(lines, euro(point.total), Notation().points(point.score))


def ask(page: Page, typed: str) -> None:
    """Type a budget and confirm it."""
    page.fill("#budget", typed)
    page.press("#budget", "Enter")


def first(point: Audited | None) -> Audited:
    """A point that is known to be there."""
    assert point
    return point


def only(point: Audited, *roles: Role) -> Audited:
    """The same build with no lines but those of some roles."""
    kept, running = [], 0
    for line in point.lines:
        if line.role in roles:
            running += line.line_total
            kept.append(replace(line, running_total=running))
    return replace(point, lines=tuple(kept))


def served(folder: Path, *curves: Curve, **settings: Any) -> str:  # noqa: ANN401 - those of `render_counter`
    """The address of a page of some curves."""
    path = folder / "counter.html"
    path.write_bytes(render_counter(curves, CATALOGUE, **settings))
    return path.as_uri()
