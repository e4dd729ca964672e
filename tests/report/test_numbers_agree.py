"""Facts agree everywhere: every number printed of a build in guide, workbook, counter page and quote is in its data.

The data file is solved by the integer program; the counter page and the quote read off the merged curve. A printed
number is found where the data holds it, or rounds half up to it at the places printed, or holds a hundredth of it
where it is printed as a percentage. What the data leaves out on purpose (the shop's costs, margins and shelf), and the
fixed words of the templates, are named below one by one.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Any, NamedTuple
from urllib.parse import quote as quoted

import openpyxl
import pytest

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.cli.quoted import print_quote
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.report import Counter, render_all
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.quote_letter import render_quote_html, render_quote_markdown

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from playwright.sync_api import Page

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.shown import Report

pytestmark = pytest.mark.browser

TIER, BRIEF = "Middle", "Keep the factory head unit"
BUDGET = 1300
NUMBER = re.compile(r"(?<![\w.,])-?\d(?:[\d,]*\d)?(?:\.\d+)?(?![\w])|\d(?:[\d,]*\d)?(?:\.\d+)?")
FIXED = {"100", "10"}
"""The ends of the scales: points of a score, and a rating."""
FUSE_PLACE = {"0.45", "18"}
"""Where a main fuse goes, in metre and inch, as the wiring picture says."""
HEARING = {"85"}
"""From how many dB(A) on long listening harms hearing."""
TAX_RATE = "21"
DATES = ("25 November 2026", "9 December 2026", "2 November 2026")
"""Of the quote, the last on which it holds, and of the price list."""
COUNTER_FIXED = {*FIXED, "0", "2.00"}
"""The ends of the slider begin at nothing; and a step counts once it gains 2 points."""
HIDDEN = ("Ref", "Cost without tax", "Margin", "Margin share")
"""Columns of a list in the workbook that the data leaves out: where a price stands, and what the shop pays."""


class Printed(NamedTuple):
    """The outputs of one run."""

    files: dict[str, bytes]
    report: Report
    catalogue: Catalogue


class Data:
    """The numbers of one build in the data file."""

    def __init__(self, build: dict[str, Any]) -> None:
        self.numbers: set[Decimal] = set()
        self._take(build)

    def _take(self, value: object) -> None:
        if isinstance(value, dict | list):
            for one in value.values() if isinstance(value, dict) else value:
                self._take(one)
        elif isinstance(value, str):
            self.numbers |= {Decimal(text.replace(",", "")) for text in NUMBER.findall(value)}
        elif isinstance(value, int | float) and not isinstance(value, bool):
            self.numbers.add(Decimal(repr(value)))

    def has(self, text: str, *, percent: bool = False) -> bool:
        """Whether a printed number is among them, or what one of them rounds to."""
        printed = abs(Decimal(text.replace(",", "")))
        step = Decimal(1).scaleb(-len(text.partition(".")[2]))
        scales = (1, 100) if percent else (1,)
        return any(
            (abs(number) * scale).quantize(step, ROUND_HALF_UP) == printed
            for number in self.numbers
            for scale in scales
        )


def strangers(text: str, data: Data, fixed: frozenset[str] | set[str] = frozenset()) -> Iterator[str]:
    """Numbers of a text that the data does not have, with what stands around them."""
    for found in NUMBER.finditer(text):
        number = found[0]
        after = text[found.end() : found.end() + 2].replace("\u00a0", " ").lstrip()
        if number.lstrip("-") not in fixed and not data.has(number, percent=after.startswith("%")):
            yield text[max(found.start() - 30, 0) : found.end() + 20]


@pytest.fixture(scope="module")
def printed(sample_workbook: Path) -> Printed:
    """The sample as `build` prints it."""
    catalogue = load_catalogue(sample_workbook)
    solved = solve_all(catalogue, Run())
    counter = Counter(solved.curves, catalogue.tiers[0].allowance, 2000)
    files = render_all(solved.builds, catalogue, solved.curves, counter)
    return Printed(files, report_content(solved.builds, catalogue, solved.curves), catalogue)


@pytest.fixture(scope="module")
def build(printed: Printed) -> dict[str, Any]:
    """The build in the data file."""
    builds = json.loads(printed.files["results.json"])["builds"]
    found: dict[str, Any] = next(one for one in builds if (one["tier"], one["brief"]) == (TIER, BRIEF))
    return found


@pytest.fixture(scope="module")
def data(build: dict[str, Any]) -> Data:
    """Its numbers."""
    return Data(build)


@pytest.fixture(scope="module")
def anchor(printed: Printed) -> str:
    """Where the build stands in the guide."""
    return next(
        shown.anchor
        for shown in printed.report.builds
        if (shown.build.tier.name, shown.build.brief.name) == (TIER, BRIEF)
    )


def test_a_number_that_the_data_lacks_would_be_found(data: Data) -> None:
    assert list(strangers("costs €1,306.60 in all", data)) == []
    assert len(list(strangers("costs €1,306.61 in all, 31,415 of them", data))) == 2


def test_the_guides_page(
    printed: Printed, build: dict[str, Any], anchor: str, visit: Callable[..., Page], tmp_path: Path
) -> None:
    fixed = {*FIXED, *FUSE_PLACE, "1", str(len(build["checks"]))}
    path = tmp_path / "guide.html"
    path.write_bytes(printed.files["guide.html"])
    page = visit(path.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    section = page.locator(f"#{anchor}")
    texts = [section.inner_text(), *section.locator("svg text").all_text_contents()]
    found = [one for text in texts for one in strangers(text, Data(build), fixed)]
    assert sum(len(NUMBER.findall(text)) for text in texts) > 300
    assert found == []


def test_the_guide_in_markdown(printed: Printed, data: Data, anchor: str) -> None:
    text = printed.files["guide.md"].decode()
    start = text.index(f'<a id="{anchor}"></a>') + len(anchor) + 12
    section = text[start : text.index("<a id=", start)]
    section = re.sub(r"\(<[^>]*>\)|\]\([^)]*\)", " ", section).replace("\\", "")
    assert len(NUMBER.findall(section)) > 200
    assert list(strangers(section, data, FIXED | {"1"})) == []


def test_the_workbooks_sheet(printed: Printed, data: Data) -> None:
    book = openpyxl.load_workbook(BytesIO(printed.files["tiers.xlsx"]), data_only=True)
    sheet = next(one for one in book if one.title.startswith(f"{TIER} {BRIEF}"[:20]))
    hidden: set[int] = set()
    count = 0
    for row in sheet.iter_rows():
        hidden |= {cell.column for cell in row if cell.value in HIDDEN}
        for cell in (cell for cell in row if cell.column not in hidden and cell.value is not None):
            if isinstance(cell.value, int | float):
                count += 1
                assert shown_in(cell, data), (cell.coordinate, cell.value)
            else:
                assert list(strangers(str(cell.value), data, FIXED)) == [], cell.coordinate
    assert count > 40


def shown_in(cell: Any, data: Data) -> bool:  # noqa: ANN401 - a cell
    """Whether the data has the number of a cell, as its format shows it."""
    percent = "%" in cell.number_format
    value = Decimal(repr(cell.value)) * (100 if percent else 1)
    shown = value.quantize(Decimal("0.01" if "0.00" in cell.number_format else "0.001"), ROUND_HALF_UP).normalize()
    return data.has(f"{shown:f}", percent=percent)


def test_the_counter_page(printed: Printed, data: Data, visit: Callable[..., Page], tmp_path: Path) -> None:
    path = tmp_path / "counter.html"
    path.write_bytes(printed.files["counter.html"])
    page = visit(f"{path.as_uri()}#brief={quoted(BRIEF)}&budget={BUDGET}")
    parts = [page.inner_text(one) for one in ("#parts", "#figures", "#verdict", "#watch", "#safe", "#step", "#points")]
    assert len(NUMBER.findall(" ".join(parts))) > 80
    assert [one for part in parts for one in strangers(part, data, COUNTER_FIXED)] == []


@pytest.mark.parametrize("write", [render_quote_html, render_quote_markdown])
def test_the_customers_quote(
    printed: Printed, data: Data, write: Callable[..., bytes], visit: Callable[..., Page]
) -> None:
    only = [one for one in printed.report.builds if (one.build.tier.name, one.build.brief.name) == (TIER, BRIEF)]
    settings = printed.catalogue.settings
    written = write(replace(printed.report, builds=tuple(only)), date(2026, 11, 25)).decode()
    if write is render_quote_html:
        page = visit("about:blank")
        page.set_content(written)
        written = page.inner_text("body")
    own = " ".join(
        [*settings.shop_address, *settings.quote_terms, settings.date, TAX_RATE, *DATES, printed.report.reference]
    )
    assert len(NUMBER.findall(written)) > 60
    assert list(strangers(written, data, {*FIXED, *FUSE_PLACE, *HEARING, *NUMBER.findall(own)})) == []


def test_the_quote_at_the_terminal(printed: Printed, data: Data) -> None:
    shown = StringIO()
    only = [one for one in printed.report.builds if (one.build.tier.name, one.build.brief.name) == (TIER, BRIEF)]
    print_quote(replace(printed.report, builds=tuple(only)), shown)
    told = shown.getvalue().replace(printed.report.reference, "")
    assert len(NUMBER.findall(told)) > 80
    assert list(strangers(told, data, FIXED)) == []
