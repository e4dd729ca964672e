"""Bars and budget curves: lengths and places that say what the figures say, labels that keep apart, little data."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import pytest

from budgetbuild.build import ScorePart
from budgetbuild.report.content import report_content
from budgetbuild.report.pictures.axes import axis
from budgetbuild.report.pictures.bars import cost_table, render_costs, render_scores, score_table
from budgetbuild.report.pictures.curve import BudgetCurve, Step, TierMark, curve_table, render_curve
from budgetbuild.report.pictures.of_report import (
    budget_curves,
    connections,
    cost_picture,
    curve_pictures,
    score_picture,
    wiring_picture,
)
from budgetbuild.report.shown import Cost
from tests.report import curves, fixtures
from tests.report.drawn import CLOSE, CURVE, EURO, SVG, parsed, texts

COSTS = [Cost("Front", 10000), Cost("Bass", 5000)]
PARTS = [
    ScorePart("source", "", 10000, 20000),
    ScorePart("amplification", "bass", 0, 5000),
    ScorePart("treatment", "", 5000, 5000),
]
LIMIT_OF_A_CURVE = 9000
"""Most bytes of a curve's picture, however many steps it has."""


def test_cost_bars_are_as_long_as_what_they_stand_for() -> None:
    picture = parsed(render_costs("c", "Costs", COSTS, EURO))
    front, bass = (float(bar.attrib["width"]) for bar in picture.iter(f"{SVG}rect"))
    assert front == pytest.approx(2 * bass, abs=0.2)
    assert picture.findtext(f"{SVG}desc") == "Front €100.00 (67\u00a0%); Bass €50.00 (33\u00a0%); total €150.00"


def test_nothing_that_costs_or_scores_draws_nothing() -> None:
    assert render_costs("c", "Costs", [], EURO) == ""
    assert render_scores("s", "Scores", [], EURO) == ""
    assert render_curve("k", "Curve", BudgetCurve("x", (), ()), EURO) == ""


def test_the_cost_table_adds_up() -> None:
    assert cost_table(COSTS, EURO).rows == (
        ("Front", "€100.00", "67\u00a0%"), ("Bass", "€50.00", "33\u00a0%"), ("Total", "€150.00", ""))  # fmt: skip


def test_score_bars_are_filled_as_far_as_is_earned_and_framed_as_far_as_could_be() -> None:
    picture = parsed(render_scores("s", "Scores", PARTS, EURO))
    frames = [float(bar.attrib["width"]) for bar in picture.iter(f"{SVG}rect") if bar.attrib["fill"] == "none"]
    filled = [float(bar.attrib["width"]) for bar in picture.iter(f"{SVG}rect") if bar.attrib["fill"] != "none"]
    assert frames == pytest.approx([4 * filled[1], filled[1]], abs=0.2)
    assert filled[0] == pytest.approx(2 * filled[1], abs=0.2)


def test_a_score_bar_has_its_figures_beside_it() -> None:
    words = [text.text for text in texts(parsed(render_scores("s", "Scores", PARTS, EURO)))]
    assert {"10.00 of 20.00", "Amplification, bass", "0.00 of 5.00", "15.00 of 30.00"} <= set(words)
    assert score_table(PARTS, EURO).rows == (
        ("Source", "10.00", "20.00"), ("Amplification, bass", "0.00", "5.00"), ("Treatment", "5.00", "5.00"),
        ("Score", "15.00", "30.00"))  # fmt: skip


def test_ticks_are_round_and_reach_over_the_highest_figure() -> None:
    for most in (1, 7, 99, 100, 101, 465_000, 10**13):
        found = axis(0, 100, most, 6)
        assert str(found.step).rstrip("0") in {"1", "2", "5"}
        assert found.ticks[-1] == found.most >= most > found.most - found.step
        assert 2 <= len(found.ticks) <= 7


def dots(svg: str) -> list[tuple[float, float]]:
    return [(float(dot.attrib["cx"]), float(dot.attrib["cy"])) for dot in parsed(svg).iter(f"{SVG}circle")]


def tick_at(svg: str, words: str) -> float:
    """Where the figure of a tick across stands."""
    (shape,) = [
        text
        for text in parsed(svg).iter(f"{SVG}text")
        if text.text == words and text.attrib.get("text-anchor") == "middle"
    ]
    return float(shape.attrib["x"])


def test_a_tier_stands_at_its_budget_and_its_score() -> None:
    svg = render_curve("k", "Curve", CURVE, EURO)
    left, right = tick_at(svg, "0"), tick_at(svg, "1,000")
    ups = {text.text: text.bottom for text in texts(parsed(svg))}
    for tier, (x, y) in zip(reversed(CURVE.tiers), dots(svg), strict=True):
        assert tier.score is not None
        assert x == pytest.approx(left + (right - left) * tier.budget / 100_000, abs=0.1)
        unit = (ups["60"] - ups["80"]) / 20_000
        assert y == pytest.approx(ups["80"] - 8 + (80_000 - tier.score) * unit, abs=0.1)
        assert f"{EURO.money(tier.budget)}: {EURO.points(tier.score)}\u00a0points" in ups


def test_the_line_is_a_step_function_through_every_step_that_the_grid_can_show() -> None:
    svg = render_curve("k", "Curve", CURVE, EURO)
    left, right = tick_at(svg, "0"), tick_at(svg, "1,000")
    (line,) = [path.attrib["d"] for path in parsed(svg).iter(f"{SVG}path") if path.attrib.get("stroke-width") == "2"]
    x, y = (int(part) for part in re.findall(r"\d+", line)[:2])
    corners = [(x, y)]
    for across, up in re.findall(r"h(\d+)v(-?\d+)", line):
        x, y = x + int(across), y + int(up)
        corners.append((x, y))
    assert all(one[0] < other[0] and one[1] > other[1] for one, other in itertools.pairwise(corners))
    by_place = dict(corners)
    for step in CURVE.steps:
        place = left + (right - left) * step.budget / 100_000
        above = max(found for found in by_place if found <= round(place))
        height = by_place[above]
        exact = 310 - 280 * step.score / 100_000
        assert height - 1 <= exact <= height + 3


def test_a_long_curve_takes_few_bytes_and_keeps_what_a_tier_says() -> None:
    steps = tuple(Step(10_000 + 7 * n, n) for n in range(1, 90_001, 3))
    long = render_curve("k", "Curve", replace(CURVE, steps=steps), EURO)
    assert len(long.encode()) < LIMIT_OF_A_CURVE
    for tier in CURVE.tiers:
        assert f"{EURO.money(tier.budget)}: {EURO.points(tier.score or 0)}" in long


def test_labels_of_tiers_on_one_spot_keep_apart_and_in_order() -> None:
    svg = render_curve("k", "Curve", CLOSE, EURO)
    names = [text for text in texts(parsed(svg)) if text.text.startswith("Tier ")]
    assert [text.text for text in names] == [f"Tier {n}" for n in reversed(range(12))]
    assert all(one.bottom <= other.top for one, other in itertools.pairwise(names))


def test_a_tier_without_a_system_is_a_ring_on_the_axis() -> None:
    svg = render_curve("k", "Curve", CLOSE, EURO)
    assert "€100.00: no system" in svg
    rings = [dot for dot in parsed(svg).iter(f"{SVG}circle") if dot.attrib["fill"] == "#fff"]
    assert len(rings) == 1
    assert float(rings[0].attrib["cy"]) == max(y for _, y in dots(svg))


def test_the_curve_table_tells_ticks_tiers_and_both_ends_by_budget() -> None:
    curve = BudgetCurve(
        "x",
        (Step(15_000, 10_000), Step(40_000, 30_000), Step(90_000, 55_500)),
        (TierMark("Small", 10_000, None, None), TierMark("Large", 60_000, 30_000, 40_000)),
    )
    rows = curve_table(curve, EURO).rows
    assert rows == (
        ("€100.00", "no system", "Small"), ("€150.00", "10.00", "cheapest system"), ("€200.00", "10.00", ""),
        ("€400.00", "30.00", ""), ("€600.00", "30.00", "Large, within its cap: €400.00"), ("€800.00", "30.00", ""),
        ("€900.00", "55.50", "highest score of all"), ("€1,000.00", "55.50", ""))  # fmt: skip


def test_tiers_alone_have_marks_and_no_line() -> None:
    alone = replace(CURVE, steps=())
    svg = render_curve("k", "Curve", alone, EURO)
    assert len(dots(svg)) == 3
    assert not [path for path in parsed(svg).iter(f"{SVG}path") if path.attrib.get("stroke-width") == "2"]
    assert [row[2].split(",")[0] for row in curve_table(alone, EURO).rows] == ["Starter", "Middle", "Full"]


def test_a_report_has_the_pictures_of_every_build_and_the_curve_of_every_brief() -> None:
    report = report_content(fixtures.every_build(), fixtures.CATALOGUE, [curves.curve(count=40)])
    names = [curve.brief for curve in budget_curves(report)]
    assert sorted(names) == ["Keep factory", "Keep own", "New head unit"]
    assert [len(curve.steps) > 0 for curve in budget_curves(report)] == [name == "New head unit" for name in names]
    found = curve_pictures(report)
    assert [picture.title for picture in found] == [f"Highest score by budget: {name}" for name in names]
    for shown in report.builds:
        assert (
            (wiring_picture(report, shown) is None) == (connections(report, shown) is None) == (shown.audited is None)
        )
        drawn = [cost_picture(report, shown), score_picture(report, shown)]
        assert all(bool(picture.svg) == bool(shown.audited) for picture in drawn)
