"""Which ratings are reckoned from specifications, and how: said in guide, workbook and data file."""

from __future__ import annotations

import json
from functools import cache
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.guide import render_html, render_markdown
from budgetbuild.report.results import render_results
from budgetbuild.report.sheets.looks import NOTHING
from budgetbuild.report.sheets.workbook import render_workbook
from tests.catalogue.workbooks import sound_book, write_book
from tests.report.recalculate import recalculated

if TYPE_CHECKING:
    from budgetbuild.report.shown import Report

HOSTILE = "<b>Cone|*"
POINTS: list[dict[str, Any]] = [
    {"Sheet": "Speakers", "Column": "Sensitivity dB", "Worst": 86, "Best": 94, "Points": 4},
    {"Sheet": "Speakers", "Column": "Depth mm", "Worst": 80, "Best": 50, "Points": 3},
    {"Sheet": "Speakers", "Column": "Type", "Value": "component", "Points": 2},
    {"Sheet": "Speakers", "Column": HOSTILE, "Value": "paper", "Points": 0.5},
    {"Sheet": "Speakers", "Column": HOSTILE, "Value": "glass fibre", "Points": 1},
]
"""SP-1: 90 dB earn 2 of 4, 55 mm 2.5 of 3, coaxial 0 of 2, glass fibre 1 of 1: 5.5 of 10.

SP-2: 91 dB earn 2.5, 60 mm 2, component 2, paper 0.5: 7 of 10; with a depth of 61 mm 6.9 of 10.
"""


@cache
def report(*, typed: bool = False, unrated: bool = False) -> Report:
    """The report of a small catalogue whose speakers have no typed rating, or all; the first may stay unrated."""
    book = sound_book()
    for speaker, cone in zip(book["Speakers"], ("glass fibre", "paper"), strict=True):
        speaker |= {"Rating": 5 if typed else None, HOSTILE: cone}
    book["Speakers"][0] |= {"Family": "set", "Sensitivity dB": None if unrated else 90}
    book["Speakers"][1]["Family"] = "set"
    book["Points"] = POINTS
    book["Tiers"][0]["Budget"] = 900
    with TemporaryDirectory() as folder:
        catalogue = load_catalogue(write_book(Path(folder) / "list.xlsx", book))
    solved = solve_all(catalogue, Run())
    return report_content(solved.builds, catalogue, solved.curves)


def front(told: Report) -> tuple[str, float | None]:
    """The front speakers of the one build."""
    (line,) = [shown for shown in told.builds[0].lines if shown.line.role == "front"]
    return line.line.sku, line.rating


def test_the_guide_says_which_parts_of_a_build_have_a_reckoned_rating() -> None:
    told = report()
    assert front(told) == ("SP-2", 7.0)
    (rating,) = told.builds[0].ratings
    assert rating == (
        "Borr Set is rated 7 of 10, for 7 of 10 points: Sensitivity dB 91 earns 2.5 of 4, Depth mm 60 earns 2 of 3, "
        f"Type component earns 2 of 2 and {HOSTILE} paper earns 0.5 of 1."
    )
    (why,) = [shown.why for shown in told.builds[0].lines if shown.line.sku == "SP-2"]
    assert "It is rated 7 of 10, reckoned from its specifications." in why
    (unit,) = [shown.why for shown in told.builds[0].lines if shown.line.role == "head unit"]
    assert "The shop rates it 6 of 10." in unit


def test_how_it_was_chosen_states_the_rule_and_what_earns_points() -> None:
    for page in (render_markdown(report()).decode(), render_html(report()).decode()):
        chosen = page[page.rindex("How they were chosen") :]
        assert "ten times the points" in chosen
        assert "Keeney and Raiffa" in chosen
        for figure in ("Sensitivity dB", "86", "94", "80", "50", "any word not listed", "glass fibre", "0.5"):
            assert figure in chosen
        assert "Ratings that are reckoned from specifications, not typed:" in page


def test_a_column_of_the_shops_own_cannot_write_into_the_page() -> None:
    assert HOSTILE not in render_html(report()).decode()
    assert "<b>" not in render_markdown(report()).decode()


def test_nothing_is_said_where_every_rating_is_typed() -> None:
    told = report(typed=True)
    assert front(told)[1] == 5
    assert told.builds[0].ratings == ()
    for page in (render_markdown(told).decode(), render_html(told).decode()):
        assert "Keeney" not in page
        assert "reckoned from specifications" not in page
    assert "Ratings" not in openpyxl.load_workbook(BytesIO(render_workbook(told))).sheetnames


def test_a_version_that_is_unrated_is_still_told_of_but_not_what_it_would_score() -> None:
    (rated,), (unrated,) = report().builds[0].alerts, report(unrated=True).builds[0].alerts
    assert "(SP-1)" in rated
    assert "(SP-1, not on offer)" in unrated
    for told, known in ((report(), True), (report(unrated=True), False)):
        (version,) = told.builds[0].build.versions
        assert [(sister.sku, sister.score_difference is not None) for sister in version.sisters] == [("SP-1", known)]


def test_the_data_file_holds_every_reckoning() -> None:
    data = json.loads(render_results(report()))
    lines = {line["sku"]: (line["rating"], line["rating_computed"]) for line in data["builds"][0]["lines"]}
    assert lines["SP-2"] == (7.0, True)
    assert lines["HU-1"] == (6.0, False)
    assert lines["FK-1"] == (None, False)
    assert [one["sku"] for one in data["ratings"]] == ["SP-1", "SP-2"]
    assert data["ratings"][1]["criteria"][0] == {"column": "Sensitivity dB", "value": 91, "earned": 2.5, "most": 4}
    assert data["points"][0] == {
        "sheet": "Speakers", "column": "Sensitivity dB", "worst": 86, "best": 94, "values": [], "most": 4,
    }  # fmt: skip
    assert data["points"][3]["values"] == [{"value": "paper", "points": 0.5}, {"value": "glass fibre", "points": 1}]
    typed = json.loads(render_results(report(typed=True)))
    assert typed["ratings"] == []
    assert not any(line["rating_computed"] for line in typed["builds"][0]["lines"])


def tables(book: Any) -> tuple[dict[str, float], dict[tuple[int, str], list[Any]]]:  # noqa: ANN401
    """Ratings by SKU, and what each column earned by the number of the product and the column."""
    rows = [[cell.value for cell in row] for row in book["Ratings"].iter_rows()]
    first = next(at for at, row in enumerate(rows) if row[:3] == ["Ref", "Sheet", "SKU"])
    second = next(at for at, row in enumerate(rows) if row[:3] == ["Ref", "Product", "Column"])
    ratings = {row[2]: row[4] for row in rows[first + 1 : second] if row[2]}
    return ratings, {(row[0], row[2]): row[3:9] for row in rows[second + 1 :]}


def test_the_workbook_shows_every_rating_with_what_each_column_earned() -> None:
    ratings, earned = tables(openpyxl.load_workbook(BytesIO(render_workbook(report())), data_only=True))
    assert ratings == {"SP-1": 5.5, "SP-2": 7.0}
    assert earned[2, "Sensitivity dB"] == [91, 86, 94, 4, NOTHING, 2.5]
    assert earned[1, "Type"] == ["coaxial", NOTHING, NOTHING, 2, 0, 0]
    assert earned[2, HOSTILE] == ["paper", NOTHING, NOTHING, 1, 0.5, 0.5]


@pytest.mark.office
def test_the_workbooks_ratings_are_live(tmp_path: Path) -> None:
    content = render_workbook(report())
    stored = tables(openpyxl.load_workbook(BytesIO(content), data_only=True))
    assert tables(recalculated(content, tmp_path / "same")) == stored
    book = openpyxl.load_workbook(BytesIO(content))
    sheet = book["Ratings"]
    (row,) = [row for row in sheet.iter_rows() if (row[0].value, row[2].value) == (2, "Depth mm")]
    row[3].value = 61
    saved = BytesIO()
    book.save(saved)
    changed, _ = tables(recalculated(saved.getvalue(), tmp_path / "other"))
    assert changed == {"SP-1": 5.5, "SP-2": 6.9}
