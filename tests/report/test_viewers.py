"""The outputs read as others read them: pandas, which recalculates nothing, and two Markdown renderers."""

from __future__ import annotations

import json
import re
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from html.parser import HTMLParser
from io import BytesIO
from typing import Any

import markdown
import pandas as pd
import pytest
from markdown_it import MarkdownIt

from budgetbuild.report import render_all
from tests.report import fixtures

Table = list[list[str]]

OWN_PICTURE = re.compile(r"[a-z]+/[a-z0-9-]+\.svg")
"""Where the guide's own pictures lie: in a folder beside it, under names of letters, digits and hyphens."""


@cache
def outputs() -> dict[str, bytes]:
    """Every output of the fixture builds."""
    return render_all(fixtures.every_build(), fixtures.CATALOGUE)


@cache
def builds() -> list[dict[str, Any]]:
    """The builds as the data file has them."""
    found: list[dict[str, Any]] = json.loads(outputs()["results.json"])["builds"]
    return found


@cache
def sheets() -> dict[str, list[list[object]]]:
    """Every sheet of the workbook as pandas reads it: rows of stored values."""
    frames = pd.read_excel(BytesIO(outputs()["tiers.xlsx"]), sheet_name=None, header=None, engine="openpyxl")
    return {str(name): frame.to_numpy().tolist() for name, frame in frames.items()}


def row_that_starts(rows: list[list[object]], word: str) -> int:
    """The first row whose first cell is that word."""
    return next(place for place, row in enumerate(rows) if row[0] == word)


def cents(amount: object) -> int:
    """An amount as whole cents, whether a number or text."""
    return round(float(str(amount)) * 100)


SYSTEMS = [place for place, build in enumerate(builds()) if build["total"]]


@pytest.mark.parametrize("place", SYSTEMS)
def test_pandas_sees_the_lines_and_tallies_of_a_build(place: int) -> None:
    build = builds()[place]
    rows = sheets()[f"{build['tier']} {build['brief']}"]
    head, total = row_that_starts(rows, "Part"), row_that_starts(rows, "Total")
    columns = [rows[head].index(name) for name in ("SKU", "Quantity", "Unit price", "Line total", "Running total")]
    seen = [[row[column] for column in columns] for row in rows[head + 1 : total]]
    assert [
        (sku if isinstance(sku, str) else None, quantity, *map(cents, amounts)) for sku, quantity, *amounts in seen
    ] == [
        (line["sku"], line["quantity"], *(cents(line[name]) for name in ("unit_price", "line_total", "running_total")))
        for line in build["lines"]
    ]
    assert cents(rows[total][columns[3]]) == cents(build["total"])


def test_pandas_sees_scores_and_totals_side_by_side() -> None:
    rows = sheets()["Comparison"]
    for word, name in (("Score", "score"), ("Total", "total")):
        seen = rows[row_that_starts(rows, word)][1:]
        assert [None if value == "\u2013" else pytest.approx(float(str(value))) for value in seen] == [
            None if build["total"] is None else float(build[name]) for build in builds()
        ]
    sums = rows[row_that_starts(rows, "Sum")][1:]
    assert [cents(sums[place]) for place in SYSTEMS] == [cents(builds()[place]["total"]) for place in SYSTEMS]


def test_pandas_sees_that_every_check_agrees() -> None:
    rows = sheets()["About"]
    assert rows[row_that_starts(rows, "All checks")][1] == "ok"


class Tables(HTMLParser):
    """The tables of a page, as rows of cell texts, and everything that could do harm."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tables: list[Table] = []
        self.harmful: list[str] = []
        self.in_cell = False
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin a table, row or cell."""
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in {"td", "th"}:
            self.tables[-1][-1].append("")
            self.in_cell = True
        if tag == "img" and OWN_PICTURE.fullmatch(dict(attrs).get("src") or ""):
            attrs = [(name, value) for name, value in attrs if name != "src"]
        elif tag in {"script", "style", "iframe", "img", "svg", "form", "object", "b", "i"}:
            self.harmful.append(tag)
        for name, value in attrs:
            if name.startswith("on") or (
                name in {"href", "src"} and not re.match(r"#|guide\.html#|https?:", value or "")
            ):
                self.harmful.append(f"{name}={value}")

    def handle_endtag(self, tag: str) -> None:
        """End a cell."""
        if tag in {"td", "th"}:
            self.in_cell = False

    def handle_data(self, data: str) -> None:
        """Add to the cell."""
        if self.in_cell:
            self.tables[-1][-1][-1] += data


def seen_by(renderer: str, text: str) -> Tables:
    """What a renderer makes of a Markdown text."""
    if renderer == "Python-Markdown":
        return Tables(markdown.markdown(text, extensions=["tables"]))
    return Tables(MarkdownIt("commonmark").enable("table").render(text))


RENDERERS = ("Python-Markdown", "markdown-it-py")


def test_two_renderers_make_the_same_tables_of_the_guide() -> None:
    text = outputs()["guide.md"].decode()
    first, second = (seen_by(name, text).tables for name in RENDERERS)
    assert first == second
    for table in first:
        assert {len(row) for row in table} == {len(table[0])}


@pytest.mark.parametrize("renderer", RENDERERS)
def test_numbers_in_rendered_tables_are_those_of_the_data(renderer: str) -> None:
    tables = seen_by(renderer, outputs()["guide.md"].decode()).tables
    lists = [table for table in tables if table[0][:2] == ["Part", "Product"]]
    assert len(lists) == len(SYSTEMS)
    for table, place in zip(lists, SYSTEMS, strict=True):
        assert [(row[2], row[3], *map(plain, row[4:7])) for row in table[1:]] == [
            (
                line["sku"] or "none",
                str(line["quantity"]),
                line["unit_price"],
                line["line_total"],
                line["running_total"],
            )
            for line in builds()[place]["lines"]
        ]
    (comparison,) = (table for table in tables if table[0][0] == "System")
    assert [(row[5], plain(row[6])) for row in comparison[1:]] == [
        (two_places(build["score"]) if build["total"] else "\u2013", build["total"] or "\u2013") for build in builds()
    ]


def two_places(score: float) -> str:
    """A score as the guide shows it, half up."""
    return str(Decimal(str(score)).quantize(Decimal("0.01"), ROUND_HALF_UP))


def plain(amount: str) -> str:
    """An amount without its sign of currency and its separators."""
    return amount.replace("€", "").replace(",", "")


@pytest.mark.parametrize("renderer", RENDERERS)
@pytest.mark.parametrize(
    "name",
    [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "[press](javascript:alert(1))",
        "<javascript:alert(1)>",
        "javascript:alert(1)",
        "[x]: javascript:alert(1)",
        "a | b || c",
        "</td></tr></table><iframe src='//evil.example'>",
        "<b>loud</b> &lt;i&gt;",
    ],
)
def test_hostile_text_stays_text_in_the_same_tables(name: str, renderer: str) -> None:
    wild, tame = (
        seen_by(renderer, render_all(*fixtures.renamed(called))["guide.md"].decode()) for called in (name, "Plain")
    )
    assert wild.harmful == []
    assert [[len(row) for row in table] for table in wild.tables] == [
        [len(row) for row in table] for table in tame.tables
    ]
    assert name in {cell for table in wild.tables for row in table for cell in row}
