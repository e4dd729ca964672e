"""The counter page against the data file: two outputs of one run, and two roads to the same numbers."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import pytest

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.shop import ALLOWANCE, Tier
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.report import Counter, render_all
from tests.report.counter_page import Shown, euro, shown
from tests.report.test_counter_for_everyone import STEPS

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page

pytestmark = pytest.mark.browser

BUDGETS = 50


def cents(decimal: str) -> int:
    """A decimal string with two places in cents."""
    return int(decimal.replace(".", ""))


def expected(build: dict[str, Any]) -> Shown:
    """What the page has to show of a build of the data file."""
    lines = [
        [line["role"].capitalize(), line["description"], line["sku"] or "", str(line["quantity"])]
        + [euro(cents(line[money])) for money in ("unit_price", "line_total", "running_total")]
        for line in build["lines"]
    ]
    thousandths = round(build["score"] * 1000)
    hundredths = (thousandths + 5) // 10
    return Shown(lines, euro(cents(build["total"])), f"{hundredths // 100}.{hundredths % 100:02d}")


@pytest.mark.timed
def test_at_fifty_random_budgets_the_page_shows_what_the_data_file_says(
    sample_workbook: Path, tmp_path: Path, visit: Callable[..., Page]
) -> None:
    """The data file is solved by the integer program, the page reads off the merged curve; drawn once, from a seed."""
    draw = random.Random(1450)  # noqa: S311 - budgets, no secrets
    catalogue = load_catalogue(sample_workbook)
    briefs = [brief.name for brief in catalogue.briefs]
    tiers = tuple(
        Tier(name=f"T{i}", budget=draw.randrange(450_00, 4000_00), briefs=(draw.choice(briefs),))
        for i in range(BUDGETS)
    )
    catalogue = replace(catalogue, tiers=tiers)
    solved = solve_all(catalogue, Run())
    files = render_all(solved.builds, catalogue, solved.curves, Counter(solved.curves, ALLOWANCE, 2000))
    (tmp_path / "counter.html").write_bytes(files["counter.html"])
    builds = json.loads(files["results.json"])["builds"]
    assert len(builds) == BUDGETS
    page = visit((tmp_path / "counter.html").as_uri())
    compared = 0
    for build in builds:
        names = f"vehicle={quote(build['vehicle'])}&brief={quote(build['brief'])}"
        page.evaluate("fragment => { location.hash = fragment }", f"{names}&budget={build['budget']}")
        page.wait_for_function("budget => document.getElementById('budget').value === budget", arg=build["budget"])
        if build["total"] is None:
            assert shown(page) == Shown([], "none", "none")
        else:
            assert shown(page) == expected(build)
            compared += 1
    assert compared >= 40
    assert page.evaluate(STEPS, 250)["p95"] < 16
