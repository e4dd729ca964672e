"""The chapter of upgrade paths: its sentences, tables and lists, and the same as data and on a sheet."""

from __future__ import annotations

import json
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from openpyxl import load_workbook

from budgetbuild.build import Beside, Climbed, Ladder, LadderStep, NoLadder, Pieces, Role, Status
from budgetbuild.report.chapter import Bullets, Paragraph, Table
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.guide import render_html, render_markdown
from budgetbuild.report.results import render_results
from budgetbuild.report.sheets.workbook import render_workbook
from budgetbuild.report.words.ladder import no_path, opening, short_standing_of, standing, step_text, title
from budgetbuild.report.words.ladder_chapter import ladder_chapters
from tests.report import fixtures

if TYPE_CHECKING:
    from budgetbuild.build import Audited, Build
    from budgetbuild.report.shown import Report

LOW, HIGH = (
    replace(build, brief=replace(build.brief, fitted=False), status=Status.OPTIMAL)
    for build in (fixtures.replaced(), fixtures.two_amplifiers())
)


def of(build: Build) -> Audited:
    """Its audit."""
    assert build.audited is not None
    return build.audited


def pieces(build: Build) -> list[Pieces]:
    """All of its products, one by one line."""
    return [Pieces(line.sku, line.quantity, line.unit_price) for line in of(build).lines if line.sku]


FIRST, *OTHERS = pieces(HIGH)
LABOUR = 40_00
BEFORE = sum(one.cents for one in pieces(LOW))
STEPS = (
    LadderStep(LOW, Climbed(tuple(pieces(LOW)), (), (), 0, BEFORE), LOW, 1),
    LadderStep(
        HIGH,
        Climbed((FIRST,), tuple(OTHERS), (pieces(LOW)[0],), LABOUR, BEFORE + FIRST.cents + LABOUR),
        replace(HIGH, audited=replace(of(HIGH), score_parts=(*of(HIGH).score_parts, of(HIGH).score_parts[0]))),
        1,
    ),
)
PATH = Ladder(LOW.brief, LOW.vehicle, keep=False, status=Status.OPTIMAL, steps=STEPS, solver="HiGHS")
PROVEN = replace(PATH, bound=PATH.worth)
BY_SCORE = replace(PROVEN, status=Status.TIME_LIMIT)
STOPPED = replace(BY_SCORE, bound=PATH.worth + 1_250)
UNKNOWN = replace(BY_SCORE, bound=None)
NONE = Ladder(LOW.brief, LOW.vehicle, keep=False, status=Status.INFEASIBLE, why_not=NoLadder.ONE_TIER)


@pytest.mark.parametrize(
    ("ladder", "sentence", "short"),
    [
        (PROVEN, "no other path does better", "proven best"),
        (BY_SCORE, "no other path has a higher sum", "proven by score"),
        (STOPPED, "1.25 points above this one", "at most 1.25 points from best"),
        (UNKNOWN, "is not known", "stopped early"),
    ],
    ids=["proven", "by score", "stopped", "unknown"],
)
def test_how_far_it_is_proven_is_said(ladder: Ladder, sentence: str, short: str) -> None:
    assert sentence in standing(ladder, fixtures.VOICE)
    assert short in short_standing_of(ladder, fixtures.VOICE)
    assert "best" not in standing(UNKNOWN, fixtures.VOICE).replace("not proven the best", "").replace(
        "from the best", ""
    )


def test_the_opening_says_what_may_become_of_parts_and_what_counts() -> None:
    heavier = (STEPS[0], replace(STEPS[1], weight=3))
    told = opening(replace(PROVEN, steps=heavier, skipped=(HIGH.tier,)), fixtures.VOICE)
    assert "may be put aside" in told
    assert "buys no system" in told
    assert f"weighted 1 for {LOW.tier.name} and 3 for {HIGH.tier.name}" in told
    kept = opening(replace(PROVEN, keep=True, skipped=(LOW.tier, HIGH.tier)), fixtures.VOICE)
    assert "Nothing is put aside" in kept
    assert "buy no system" in kept
    assert "weighted" not in kept
    assert "Fitting is paid" in opening(replace(PROVEN, brief=replace(LOW.brief, fitted=True)), fixtures.VOICE)
    assert "Fitting is paid" not in kept


@pytest.mark.parametrize("ladder", [BY_SCORE, STOPPED, UNKNOWN], ids=["by score", "stopped", "unknown"])
@pytest.mark.parametrize("weight", [1, 3])
def test_nothing_is_called_the_best_that_is_not_proven(ladder: Ladder, weight: int) -> None:
    steps = (STEPS[0], replace(STEPS[1], weight=weight))
    told = opening(replace(ladder, steps=steps), fixtures.VOICE)
    assert "this one has the highest" not in told
    assert "It was looked for" in told
    assert ("weighted" in told) == (weight > 1)
    assert "this one has the highest" in opening(replace(PROVEN, steps=steps), fixtures.VOICE)


def test_a_step_says_what_it_costs_and_how_far_it_is_from_its_tiers_best() -> None:
    first, second = (step_text(step, number, fixtures.VOICE) for number, step in enumerate(STEPS, start=1))
    write = fixtures.VOICE.notation
    assert first.startswith(f"Pay {write.money(BEFORE)}.")
    assert "as high as that of the best" in first
    assert f"so {write.money(STEPS[1].climbed.spent)} in all" in second
    assert f"{write.points(STEPS[1].lost or 0)} points below the best" in second


@pytest.mark.parametrize(
    ("aside", "work", "words"),
    [
        ((), 0, ""),
        ((Pieces("A", 1, 100),), 0, "€1.00 more, for what lies aside."),
        ((), 50, "€0.50 more, for fitting done twice."),
        ((Pieces("A", 1, 100),), 50, "€1.50 more: for what lies aside, and for fitting done twice."),
    ],
)
def test_what_climbing_costs_above_buying_at_once_is_said(aside: tuple[Pieces, ...], work: int, words: str) -> None:
    spent = of(HIGH).total + sum(one.cents for one in aside) + work
    step = replace(STEPS[1], climbed=Climbed((FIRST,), (), aside, 0, spent))
    told = step_text(step, 2, fixtures.VOICE)
    assert words in told
    assert ("Bought at once" in told) == bool(words)


def test_a_step_at_which_nothing_is_bought_or_over_its_budget_says_so() -> None:
    nothing = replace(STEPS[1], climbed=Climbed((), tuple(pieces(HIGH)), (), 0, of(HIGH).total))
    assert "Nothing is bought at this step" in step_text(nothing, 2, fixtures.VOICE)
    over = replace(nothing, climbed=replace(nothing.climbed, spent=HIGH.tier.budget + 1_00))
    assert "€1.00 over the budget" in step_text(over, 2, fixtures.VOICE)
    assert "over the budget" not in step_text(nothing, 2, fixtures.VOICE) or of(HIGH).total > HIGH.tier.budget


def test_a_tiers_own_system_that_is_not_proven_is_not_called_its_best() -> None:
    stopped = replace(STEPS[1], best=replace(STEPS[1].best, status=Status.TIME_LIMIT))
    assert "which is not proven the best" in step_text(stopped, 2, fixtures.VOICE)
    worse = replace(
        stopped, best=replace(stopped.best, audited=replace(of(HIGH), score_parts=of(HIGH).score_parts[:1]))
    )
    assert "points above the" in step_text(worse, 2, fixtures.VOICE)
    unknown = replace(stopped, best=replace(stopped.best, audited=None))
    assert unknown.lost is None
    assert "points below" not in step_text(unknown, 2, fixtures.VOICE)


@pytest.mark.parametrize("why", NoLadder)
def test_why_there_is_none_has_words(why: NoLadder) -> None:
    (chapter,) = ladder_chapters((replace(NONE, why_not=why),), fixtures.CATALOGUE, fixtures.VOICE)
    assert chapter.blocks == (Paragraph(no_path(replace(NONE, why_not=why), fixtures.VOICE)),)
    assert no_path(PROVEN, fixtures.VOICE) == ""
    assert title(NONE, fixtures.VOICE).startswith("Climbing:")


def test_every_step_is_told_with_its_moves_its_list_and_its_safety() -> None:
    (chapter,) = ladder_chapters((PROVEN,), fixtures.CATALOGUE, fixtures.VOICE)
    overview, moves, whole, again, then = (block for block in chapter.blocks if isinstance(block, Table))
    assert [column.head for column in overview.columns][:2] == ["Step", "Paid now"]
    assert overview.rows[1][-3:] == (HIGH.score, STEPS[1].best.score, STEPS[1].lost)
    assert {row[0] for row in moves.rows} == {"bought"}
    assert [row[0] for row in again.rows] == ["bought", *["kept"] * len(OTHERS), "put aside", "fitted"]
    assert sum(int(row[5] or 0) for row in again.rows) == STEPS[1].climbed.paid
    for table, build in ((whole, LOW), (then, HIGH)):
        assert [row[2] for row in table.rows if row[2]] == [line.sku for line in of(build).lines if line.sku]
    assert sum(block.safety for block in chapter.blocks if isinstance(block, Bullets)) == len(STEPS)


def without_labour(build: Build) -> Build:
    """The same, fitted by nobody."""
    lines = tuple(line for line in of(build).lines if line.role is not Role.LABOUR)
    return replace(build, audited=replace(of(build), lines=lines))


def test_fitting_has_a_column_of_its_own_where_some_is_paid() -> None:
    (chapter,) = ladder_chapters((PROVEN,), fixtures.CATALOGUE, fixtures.VOICE)
    overview = next(block for block in chapter.blocks if isinstance(block, Table))
    assert [(column.head, row[2]) for column, row in zip([overview.columns[2]] * 2, overview.rows, strict=True)] == [
        ("Of that fitting", 0),
        ("Of that fitting", LABOUR),
    ]
    unfitted = (replace(step, build=without_labour(step.build)) for step in STEPS)
    (chapter,) = ladder_chapters((replace(PROVEN, steps=tuple(unfitted)),), fixtures.CATALOGUE, fixtures.VOICE)
    overview = next(block for block in chapter.blocks if isinstance(block, Table))
    assert overview.columns[2].head == "Spent in all"


def test_a_step_without_any_part_has_no_list() -> None:
    bare = replace(LOW, audited=replace(of(LOW), lines=()))
    nothing = LadderStep(bare, Climbed((), (), (), 0, 0), LOW, 1)
    (chapter,) = ladder_chapters((replace(PROVEN, steps=(nothing, STEPS[1])),), fixtures.CATALOGUE, fixtures.VOICE)
    assert len([block for block in chapter.blocks if isinstance(block, Table)]) == 3


def reported(*found: Ladder) -> Report:
    """A report of the tiers' builds with these paths beside them."""
    return report_content((LOW, HIGH), fixtures.CATALOGUE, beside=Beside(ladders=found))


def test_guide_and_workbook_tell_it() -> None:
    report = reported(PROVEN, NONE)
    head = title(PROVEN, fixtures.VOICE)
    for page in (render_markdown(report), render_html(report)):
        assert head in page.decode()
    names = load_workbook(BytesIO(render_workbook(report))).sheetnames
    assert sum(name.startswith("Climbing, ") for name in names) == 2


def ladders_of(report: Report) -> list[dict[str, Any]] | None:
    """What the data file holds of paths."""
    found: list[dict[str, Any]] | None = json.loads(render_results(report)).get("ladders")
    return found


def test_the_data_file_holds_every_step_with_its_connections() -> None:
    told = ladders_of(reported(STOPPED, NONE))
    assert told is not None
    path, none = told
    assert (path["status"], path["keep"], path["worth"]) == ("time limit", False, PATH.worth / 1000)
    assert path["bound"] == (PATH.worth + 1_250) / 1000
    low, high = path["steps"]
    assert [one["sku"] for one in low["bought"]] == [one.sku for one in pieces(LOW)]
    assert high["put_aside"][0] == {
        "sku": pieces(LOW)[0].sku,
        "quantity": pieces(LOW)[0].quantity,
        "price": f"{pieces(LOW)[0].price / 100:.2f}",
    }
    assert high["labour"] == "40.00"
    assert high["amplifiers"] == list(of(HIGH).system.amplifiers)
    assert (none["why_not"], none["steps"], none["worth"]) == ("one tier", [], None)
    assert ladders_of(report_content((LOW,), fixtures.CATALOGUE)) is None
