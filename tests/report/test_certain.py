"""The chapter of systems that hold if prices rise: every verdict in words, its tables, and the same as data."""

from __future__ import annotations

import json
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from openpyxl import load_workbook

from budgetbuild.build import Beside, Certain, Risen, Secured, Status, Step
from budgetbuild.report.chapter import Bullets, Table
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.guide import render_html, render_markdown
from budgetbuild.report.results import render_results
from budgetbuild.report.sheets.workbook import render_workbook
from budgetbuild.report.words.certain import certain_chapter, verdict
from tests.report import fixtures

if TYPE_CHECKING:
    from budgetbuild.build import Audited, Build
    from budgetbuild.report.shown import Report

TODAY, OTHER = fixtures.replaced(), fixtures.two_amplifiers()
CAP = TODAY.tier.cap


def of(build: Build) -> Audited:
    """Its audit."""
    assert build.audited is not None
    return build.audited


RISE = Risen(of(OTHER).system.parts[0].sku, 2, 100_00, 112_50)
"""Two pieces of something that may each cost 12.50 more."""


def other() -> Build:
    """Another system of the same tier and brief."""
    return replace(TODAY, audited=OTHER.audited, bound=OTHER.score)


def certain(*steps: Secured, rising: int = 2, least: int | None = None) -> Certain:
    """After today's best, these steps."""
    first = Secured(0, TODAY, (), of(TODAY).total)
    then = steps[-1].build.audited if steps else None
    same = then is None or then.system == of(TODAY).system
    change = None if then is None or same else Step(then, then.total - of(TODAY).total, -500, ())
    return Certain(rising, TODAY, (first, *steps), least, change)


HOLDS = certain(Secured(1, other(), (RISE,), CAP + 4_00), Secured(2, other(), (RISE,), CAP + 10_50, all_rise=True))
SAME = certain(Secured(1, TODAY, (RISE,), of(TODAY).total + 25_00), rising=1)
CERTAIN = Certain(2, TODAY, (Secured(0, TODAY, (), of(TODAY).total, all_rise=True),))
NOT_TWO = certain(Secured(1, other(), (RISE,), CAP + 4_00), least=2_000_00)
NOT_ONE = certain(least=None)
NONE_FOUND = certain(Secured(1, replace(TODAY, status=Status.TIME_LIMIT, audited=None), (), CAP), rising=1)
STOPPED = certain(Secured(1, other(), (RISE,), CAP), rising=1)


@pytest.mark.parametrize(
    ("found", "parts"),
    [
        (HOLDS, ["Certainty of the cap of", "any 2 of its prices", "€10.50 above the cap"]),
        (SAME, ["Nothing has to change", "any one of its products"]),
        (CERTAIN, ["Nothing has to change", "no price"]),
        (NOT_TWO, ["No system stays within", "any 2 of its products", "€2,000.00 at least", "With any one risen"]),
        (NOT_ONE, ["No system stays within", "none even with a single price risen"]),
        (NONE_FOUND, ["was found in time", "not known"]),
        (STOPPED, ["stopped early", "any one of its prices"]),
    ],
    ids=["holds", "same", "certain", "not two", "not one", "none found", "stopped"],
)
def test_the_verdict_says_what_certainty_costs_or_why_there_is_none(found: Certain, parts: list[str]) -> None:
    text = verdict(found, fixtures.VOICE)
    assert [part for part in parts if part not in text] == []
    assert "{" not in text


def test_points_are_not_called_a_cost_where_there_is_none() -> None:
    free = certain(
        Secured(1, replace(other(), audited=replace(of(OTHER), score_parts=of(TODAY).score_parts)), (), CAP + 1)
    )
    assert "costs no points here" in verdict(replace(free, rising=1), fixtures.VOICE)


def test_the_table_gives_the_trade_step_by_step() -> None:
    blocks = certain_chapter((HOLDS,), fixtures.CATALOGUE, fixtures.VOICE).blocks
    trade, rises, *_ = (block for block in blocks if isinstance(block, Table))
    lost = (TODAY.score or 0) - (OTHER.score or 0)
    dearest = of(OTHER).total + 25_00
    assert trade.rows == (
        ("none", TODAY.score, 0, TODAY.total, TODAY.total, TODAY.total),
        ("any one", OTHER.score, lost, OTHER.total, dearest, CAP + 4_00),
        ("any 2 or more", OTHER.score, lost, OTHER.total, dearest, CAP + 10_50),
    )
    assert [row[1:] for row in rises.rows] == [(RISE.sku, 2, 100_00, 112_50, 25_00)]


def test_what_is_not_proven_is_told_beside_its_figures() -> None:
    blocks = certain_chapter((NONE_FOUND,), fixtures.CATALOGUE, fixtures.VOICE).blocks
    (trade,) = (block for block in blocks if isinstance(block, Table))
    assert trade.columns[-1].head == "Standing"
    assert trade.rows[-1] == ("any one", None, None, None, None, CAP, "stopped, nothing found")


def test_a_system_that_is_new_stands_with_its_whole_list_and_safety() -> None:
    new, same = (certain_chapter((one,), fixtures.CATALOGUE, fixtures.VOICE).blocks for one in (HOLDS, SAME))
    lists = [block for block in new if isinstance(block, Table) and "the system that holds" in block.caption]
    assert [row[2] for row in lists[0].rows if row[2]] == [line.sku for line in of(OTHER).lines if line.sku]
    assert any(block.safety for block in new if isinstance(block, Bullets))
    assert not [block for block in same if isinstance(block, Bullets)]


def test_a_brief_for_several_vehicles_is_said_to_be_left_out() -> None:
    several = replace(TODAY.brief, name="Every car", vehicles=("Tern Hatch", "Skua Van"))
    chapters = [
        certain_chapter((HOLDS,), catalogue, fixtures.VOICE)
        for catalogue in (fixtures.CATALOGUE, replace(fixtures.CATALOGUE, briefs=(several,)))
    ]
    assert ["Every car" in str(chapter.blocks[0]) for chapter in chapters] == [False, True]


def reported(*found: Certain) -> Report:
    """A report of today's best with these beside it."""
    return report_content((TODAY,), fixtures.CATALOGUE, beside=Beside(certain=found))


def data(report: Report) -> dict[str, Any]:
    """Its data file."""
    content: dict[str, Any] = json.loads(render_results(report))
    return content


def test_guide_and_workbook_have_the_chapter() -> None:
    report = reported(HOLDS, NOT_TWO)
    assert "If prices rise" in load_workbook(BytesIO(render_workbook(report))).sheetnames
    assert "any 2 or more" in render_html(report).decode()
    assert "## If prices rise" in render_markdown(report).decode()


def test_the_data_file_has_every_step_with_its_lines_and_checks() -> None:
    holds, not_two = data(reported(HOLDS, NOT_TWO))["certain"]
    assert [step["rising"] for step in holds["steps"]] == [0, 1, 2]
    last = holds["steps"][-1]
    assert (last["or_more"], last["total"], last["today_dearest_total"]) == (
        True,
        f"{of(OTHER).total / 100:.2f}",
        f"{(CAP + 10_50) / 100:.2f}",
    )
    assert float(last["dearest_total"]) - float(last["total"]) == pytest.approx(25)
    assert last["risen"] == [
        {"sku": RISE.sku, "quantity": 2, "price": "100.00", "price_high": "112.50", "more": "25.00"}
    ]
    assert [line["sku"] for line in last["lines"]] == [line.sku or None for line in of(OTHER).lines]
    assert len(last["checks"]) == len(of(OTHER).checks)
    assert (holds["met"], holds["greatest"], holds["least_cap"]) == (True, 2, None)
    assert (not_two["met"], not_two["greatest"], not_two["least_cap"]) == (False, 1, "2000.00")


def test_where_nothing_is_asked_nothing_is_written() -> None:
    plain = report_content((TODAY,), fixtures.CATALOGUE)
    assert plain.chapters == ()
    assert "certain" not in data(plain)
