"""Sentences: every code that the audit and the search may use has words, and unknown ones are a defect."""

from __future__ import annotations

from dataclasses import replace

import pytest

from budgetbuild.build import Build, Caution, NoBuild, Relief, Status
from budgetbuild.report.words.cautions import caution_text, no_build_reason, obstacle_text, reliefs
from budgetbuild.report.words.steps import next_tier
from budgetbuild.report.words.wording import headline, short_standing, standing
from tests.report import fixtures

VOICE = fixtures.VOICE

SAID = [
    (
        "measure-first",
        {"what": "depth of the front place", "where": "front"},
        ["Measure first", "depth of the front place"],
    ),
    ("kit-fuse-above-ampacity", {"fuse_a": 100.0, "ampacity_a": 79, "kit": "PK-1"}, ["100 A fuse", "79 A", "PK-1"]),
    (
        "alternator",
        {"average_a": 30.25, "share_percent": 43.2, "limit_percent": 40.0, "alternator_a": 70.0},
        ["30.3 A", "43.2 %", "70 A", "40 %"],
    ),
    ("alternator-unknown", {"average_a": 16.6667}, ["16.7 A"]),
    ("factory-internal-assumed", {"watt": 15.0, "location": "front"}, ["15 W", "front"]),
    ("out-of-stock", {"sku": "SW-1", "wanted": 2, "stock": 0}, ["SW-1: 2 needed, 0 in stock"]),
    ("cca-kit", {"kit": "PK-2", "conductivity_percent": 62.9}, ["PK-2", "62.9 %"]),
    ("heavy-box", {}, ["bass", "crash"]),
    ("powered-fuse-assumed", {"current_a": 19.76}, ["19.8 A"]),
    ("amplifier-current-estimated", {"sku": "AM-1", "current_a": 45.3}, ["AM-1", "45.3 A"]),
    ("over-budget", {"over_cents": 1250, "allowance_cents": 1300}, ["€12.50 above", "€13.00"]),
    ("prices-may-rise", {"products": 2, "most_cents": 123_450}, ["2 of these products", "€1,234.50"]),
    ("low-power", {"ratio": 0.31, "location": "rear"}, ["rear", "0.31"]),
    ("high-power", {"ratio": 1.42, "location": "bass"}, ["bass", "1.42"]),
    ("wiring-net", {"ohm": 2.0, "wiring": "coils in parallel"}, ["coils in parallel", "2 ohm"]),
]


@pytest.mark.parametrize(("code", "figures", "parts"), SAID)
def test_caution_quotes_its_figures(code: str, figures: dict[str, float | int | str], parts: list[str]) -> None:
    text = caution_text(Caution(code, "bass", figures), VOICE)
    assert [part for part in parts if part not in text] == []
    assert text[0].isupper() or text.startswith("SW-1")
    assert text.endswith(".")


OBSTACLES = [
    ("no-source-fits", {"vehicle": "Tern"}),
    ("no-fitting-kit", {"vehicle": "Tern"}),
    ("no-aerial", {"use": "screen-mount"}),
    ("nothing-for-location", {"location": "rear", "reason": "3 too deep"}),
    ("no-converter", {}),
    ("no-power-kit", {}),
    ("no-lead", {"run_m": 5.5}),
    ("no-cable", {"location": "front"}),
    ("no-amplifier", {}),
    ("no-deadening", {}),
    ("must-include-impossible", {"term": "AM-9"}),
    ("other", {}),
]


@pytest.mark.parametrize(("code", "figures"), OBSTACLES)
def test_obstacle_quotes_its_figures(code: str, figures: dict[str, float | int | str]) -> None:
    text = obstacle_text(Caution(code, "", figures), VOICE)
    assert text
    assert [str(figure) for figure in figures.values() if str(figure) not in text] == []


RELIEVED = [
    "front", "rear", "bass", "deadening", "amplifier", "one-brand", "must-include", "leave-out", "head-unit",
    "fitted",
]  # fmt: skip


@pytest.mark.parametrize("code", RELIEVED)
def test_relief_says_the_price_and_whether_it_is_within_the_cap(code: str) -> None:
    relief = Relief(code, "AM-4", 61200, within_cap=True)
    build = replace(fixtures.infeasible(), no_build=NoBuild(91250, (), (relief, replace(relief, within_cap=False))))
    within, above = reliefs(build, VOICE)
    assert "€612.00, within the cap" in within
    assert "still above the cap" in above


def test_codes_without_words_are_defects() -> None:
    with pytest.raises(ValueError, match="no-such-caution"):
        caution_text(Caution("no-such-caution", ""), VOICE)
    with pytest.raises(ValueError, match="measure-first lacks its figure"):
        caution_text(Caution("measure-first", "", {"what": "depth"}), VOICE)
    build = replace(fixtures.infeasible(), no_build=NoBuild(1, (), (Relief("no-such-relief", "", 1, within_cap=True),)))
    with pytest.raises(ValueError, match="no-such-relief"):
        reliefs(build, VOICE)


def test_braces_in_catalogue_text_are_only_text() -> None:
    text = caution_text(Caution("out-of-stock", "", {"sku": "{stock}{0}", "wanted": 1, "stock": 0}), VOICE)
    assert text.startswith("{stock}{0}: 1 needed, 0 in stock")


def test_reason_names_least_budget_or_what_stands_in_the_way() -> None:
    build = fixtures.infeasible()
    assert no_build_reason(build, VOICE) == (
        "The cheapest system that meets the brief costs €912.50; the cap is €656.50."
    )
    blocked = NoBuild(None, (Caution("no-converter", ""), Caution("no-lead", "", {"run_m": 5.5})))
    assert no_build_reason(replace(build, no_build=blocked), VOICE) == (
        "The list has no line-output converter that fits, and the factory unit needs one; "
        "no signal lead in the list reaches 5.5 m."
    )
    assert "at any price" in no_build_reason(replace(build, no_build=NoBuild(None)), VOICE)
    assert "within the cap" in no_build_reason(replace(build, no_build=None), VOICE)
    assert "stopped" in no_build_reason(fixtures.stopped(), VOICE)


def test_only_a_proven_build_is_called_the_highest() -> None:
    found = fixtures.two_amplifiers()
    assert standing(found, VOICE) == (
        "Best found before the time limit; proven within 1.50 points of the highest possible score."
    )
    assert short_standing(found, VOICE) == "best found, within 1.50 points"
    assert standing(fixtures.replaced(), VOICE).startswith("Proven")
    unproven = replace(found, bound=None)
    assert "not known" in standing(unproven, VOICE)
    assert short_standing(unproven, VOICE) == "best found, not proven"
    assert "not known" in standing(fixtures.stopped(), VOICE)
    assert standing(fixtures.infeasible(), VOICE) == "Proven: every combination from the price list is ruled out."


@pytest.mark.parametrize(
    ("build", "parts"),
    [
        (fixtures.replaced(), ["a new head unit", "a bass box with one driver", "an amplifier", "fitted by the shop"]),
        (
            fixtures.two_amplifiers(),
            ["keeps the customer's own head unit", "front and rear speakers", "two amplifiers", "1\u00a0m²", "ready"],
        ),
        (
            fixtures.kept_factory(),
            ["keeps its factory head unit", "powered subwoofer", "ready to fit", "€638.50"],
        ),
        (fixtures.infeasible(), ["No system meets this brief", "cap of €656.50"]),
        (fixtures.stopped(), ["No system was found in time"]),
    ],
)
def test_headline_says_what_one_gets(build: Build, parts: list[str]) -> None:
    text = headline(build, VOICE)
    assert [part for part in parts if part not in text] == []


def test_next_tier_names_what_changes_and_what_it_costs() -> None:
    small = replace(fixtures.speakers_only(), brief=fixtures.OWN)
    step = next_tier(small, (small, fixtures.two_amplifiers()), VOICE)
    # 1,180.00 - 199.00
    assert "Full (budget €2,600) costs €981.00 more" in step.text
    assert "Rear speakers: Marlow X 130, new" in step.changes
    assert "Amplifier: Quillon Mono and Quillon Four, new" in step.changes
    assert next_tier(fixtures.two_amplifiers(), (small, fixtures.two_amplifiers()), VOICE).text == ""


def test_next_tier_from_nothing_names_the_price() -> None:
    builds = (fixtures.infeasible(), fixtures.replaced())
    step = next_tier(builds[0], builds, VOICE)
    assert step.text == "Middle (budget €1,300) has a system for €1,252.50."
    assert step.changes == ()


def test_next_tier_with_the_same_system_says_so() -> None:
    lower = replace(fixtures.replaced(), tier=fixtures.TIER_LOW, status=Status.OPTIMAL)
    assert next_tier(lower, (lower, fixtures.replaced()), VOICE).text.endswith("chooses the same system.")


def test_next_tier_names_what_is_left_out_and_what_takes_its_place() -> None:
    low = replace(fixtures.replaced(), tier=fixtures.TIER_LOW, brief=fixtures.OWN)
    step = next_tier(low, (low, fixtures.two_amplifiers()), VOICE)
    assert "Head unit: without Quillon Deck 3" in step.changes
    assert "Amplifier: Quillon Mono and Quillon Four instead of Quillon Four" in step.changes
    # 1,180.00 - 1,252.50
    assert "costs €72.50 less" in step.text


def test_a_proven_score_whose_price_is_not_proven_is_said_to_be_that() -> None:
    """The time limit may come between the two steps; 0.00 points from the best would say nothing."""
    found = fixtures.replaced()
    build = replace(found, status=Status.TIME_LIMIT, bound=found.score)
    assert short_standing(build, VOICE) == "highest score, price not proven least"
    assert "lower price" in standing(build, VOICE)


def test_a_brief_that_requires_nothing_is_not_sold_as_a_complete_system() -> None:
    """All locations optional, and a cap that buys none: the guide says so."""
    found = fixtures.replaced()
    assert found.audited
    bare = replace(found, audited=replace(found.audited, locations=(), lines=()))
    assert headline(bare, VOICE).startswith("No speakers and no bass")
    assert "complete" not in headline(bare, VOICE)
