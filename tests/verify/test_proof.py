"""Every answer carries its proof: bound and gap, what it was proven by, and the hash of the list it follows from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest

from budgetbuild.build import Climbing
from budgetbuild.cli.quoted import print_quote
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.program.solver import Solver
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.guide import render_html, render_markdown
from budgetbuild.report.pages.quote_letter import render_quote_html, render_quote_markdown
from budgetbuild.report.sheets.workbook import render_workbook
from tests.verify.publishing import publish, shop
from tests.verify.test_verify import climbing_shop, promoting_shop, rising_shop

if TYPE_CHECKING:
    from budgetbuild.report.shown import Report

HASH = "0a" * 32


@pytest.fixture(scope="module")
def report() -> Report:
    """What a small shop publishes."""
    catalogue = shop(3, "plain")
    solved = solve_all(catalogue, Run())
    return report_content(solved.builds, catalogue, solved.curves)


def held(found: dict[str, Any], what: str = "score") -> None:
    """Bound and gap stand beside what was found, and what proved it."""
    assert found["solver"] == Solver().version
    if found[what] is None:
        assert found["gap"] is None
    else:
        assert found["bound"] >= found[what]
        assert found["gap"] == pytest.approx(found["bound"] - found[what], abs=1e-9)
        assert (found["gap"] == 0) == (found["status"] == "optimal")


def test_every_build_and_what_stands_beside_it_has_bound_gap_and_solver() -> None:
    document = publish(shop(3, "plain"))
    assert document["catalogue"]["sha256"] == HASH
    assert any(build["status"] == "optimal" for build in document["builds"])
    for build in document["builds"]:
        held(build)
    for step in publish(rising_shop(), Run(rising=2))["certain"][0]["steps"]:
        held(step)
    held(publish(climbing_shop(), Run(climbing=Climbing.ASIDE))["ladders"][0], "worth")
    promotions = publish(promoting_shop())["promotions"]
    assert promotions["gap"] == promotions["bound"] - promotions["score"] == 0
    assert promotions["bundles"][0]["solver"] == Solver(fine=True).version


def quoted(render: Any, report: Report) -> str:  # noqa: ANN401 - a function
    """A quote of one build."""
    text: str = render(replace(report, builds=report.builds[-1:]), date(2026, 11, 25)).decode()
    return text


def at_the_terminal(report: Report) -> str:
    """A quote as it is printed."""
    shown = StringIO()
    print_quote(report, shown)
    return shown.getvalue()


def workbook_text(content: bytes) -> str:
    """Every text of a workbook."""
    book = openpyxl.load_workbook(BytesIO(content), read_only=True)
    return "\n".join(
        cell for sheet in book for row in sheet.iter_rows(values_only=True) for cell in row if isinstance(cell, str)
    )


@pytest.mark.parametrize(
    "written",
    [
        pytest.param(lambda report: render_html(report).decode(), id="guide.html"),
        pytest.param(lambda report: render_markdown(report).decode(), id="guide.md"),
        pytest.param(lambda report: workbook_text(render_workbook(report)), id="tiers.xlsx"),
        pytest.param(lambda report: quoted(render_quote_html, report), id="quote.html"),
        pytest.param(lambda report: quoted(render_quote_markdown, report), id="quote.md"),
        pytest.param(at_the_terminal, id="terminal"),
    ],
)
def test_what_people_read_names_the_list_by_its_hash_and_what_proved_the_answer(written: Any, report: Report) -> None:  # noqa: ANN401 - a function
    text = written(report)
    assert HASH in text
    assert Solver().version.replace("(", "").replace(")", "") in text.replace("\\", "").replace("(", "").replace(
        ")", ""
    )
