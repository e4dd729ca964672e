"""The pick list: what to take, what the shelf has, what is short; a page for each system, on screen and on paper."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Caution, Part, Role
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.picklist import render_pick_lists
from tests.browser import DESK, PHONE, scrolls_sideways, violations
from tests.report import fixtures
from tests.report.papers import CAUTIONS, HOSTILE, ONLY_ITS_STYLE, SPEAKERS, Paper, of_parts, with_cautions

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page, ViewportSize

    from budgetbuild.build import Build
    from budgetbuild.catalogue.shop import Catalogue

SYSTEMS = 4
"""Builds of the fixtures that have a system."""


def shelf(**stock: int | None) -> Catalogue:
    """The catalogue of the fixtures with so many of each product on the shelf; those not named are not counted."""
    counted = {sku.replace("_", "-"): number for sku, number in stock.items()}
    catalogue = fixtures.CATALOGUE
    return replace(
        catalogue,
        speakers=tuple(replace(one, stock=counted.get(one.sku)) for one in catalogue.speakers),
        amplifiers=tuple(replace(one, stock=counted.get(one.sku)) for one in catalogue.amplifiers),
        speaker_cables=tuple(replace(one, stock=counted.get(one.sku)) for one in catalogue.speaker_cables),
    )


def pick_list(*builds: Build, catalogue: Catalogue = fixtures.CATALOGUE) -> Paper:
    """The pick list of some builds."""
    return Paper(render_pick_lists(report_content(builds, catalogue)).decode())


def rows(paper: Paper) -> dict[str, list[str]]:
    """The rows of the first table by SKU, without the box to tick."""
    return {row[1]: row[2:] for row in paper.tables[0][1:]}


def test_every_product_says_what_to_take_what_is_there_and_what_is_short() -> None:
    found = rows(pick_list(fixtures.replaced(), catalogue=shelf(SP_F=3, SC_25=10, AM_4=0)))
    assert len(found) == 11
    assert found["SP-F"] == ["Marlow C 165", "Front", "1", "3", "0"]
    assert found["SC-25"] == ["Harbour Twin 2.5", "Speaker cable", "14", "10", "4, to order"]
    assert found["AM-4"] == ["Quillon Four", "Amplifier", "1", "0", "1, to order"]
    assert found["HU-1"] == ["Quillon Deck 3", "Head unit", "1", "not tracked", "not known"]


def test_a_product_in_two_places_is_taken_in_one_go_and_the_shelf_counted_once() -> None:
    build = of_parts(SPEAKERS, Part(Role.REAR, "SP-F", 2))
    assert rows(pick_list(build, catalogue=shelf(SP_F=2)))["SP-F"] == [
        "Marlow C 165",
        "Front, rear",
        "3",
        "2",
        "1, to order",
    ]


@pytest.mark.parametrize(
    ("stock", "said"),
    [
        ({"SP_F": 1}, "Everything on this list is on the shelf."),
        ({"SP_F": 0}, "Short: 1 of Marlow C 165 (SP-F). Order before promising a date."),
        ({}, "Not counted, so look first: Marlow C 165."),
    ],
)
def test_the_first_sentence_says_whether_the_shelf_has_it_all(stock: dict[str, int], said: str) -> None:
    assert said in pick_list(of_parts(SPEAKERS), catalogue=shelf(**stock)).text


def test_short_lines_stand_out_by_words_and_rules_not_by_colour_alone() -> None:
    paper = pick_list(of_parts(SPEAKERS), catalogue=shelf(SP_F=0))
    assert len([row for row in paper.named("tr") if row.get("class") == "short"]) == 1
    assert len(paper.named("strong")) == 1
    assert "border-top: 2px solid" in "".join(paper.words)


def test_what_to_measure_comes_first_and_what_the_list_says_is_not_said_again() -> None:
    over = Caution("over-budget", "", {"over_cents": 100, "allowance_cents": 198})
    build = with_cautions(fixtures.replaced(), *(caution for caution, _ in CAUTIONS.values()), over)
    shown = report_content((build,), fixtures.CATALOGUE).builds[0]
    text = pick_list(build).text
    said = [one for one in shown.watched if one.code not in {"out-of-stock", "over-budget"}]
    assert [text.count(" ".join(one.text.split())) for one in said] == [1] * len(said)
    assert "in stock" not in text
    assert "above the budget" not in text
    measured = [text.index(" ".join(one.text.split())) for one in said if one.code == "measure-first"]
    assert max(measured) < text.index("What to watch") < text.index("Safety")


def test_safety_and_versions_are_on_the_sheet_and_work_is_named() -> None:
    shown = report_content((fixtures.replaced(),), fixtures.CATALOGUE).builds[0]
    text = pick_list(fixtures.replaced()).text
    for one in (*shown.alerts, *(sentence.text for sentence in shown.safety)):
        assert " ".join(one.split()) in text
    assert "Fitting: fitting: head unit." in text


def test_what_the_shop_pays_stays_off_the_sheet() -> None:
    assert not {"150.00", "110.00", "170.00"} & set(pick_list(*fixtures.every_build()).text.replace("€", " ").split())


def test_builds_without_a_system_say_why_and_have_no_table() -> None:
    assert pick_list(of_parts()).tables == []
    paper = pick_list(*fixtures.every_build())
    assert len(paper.tables) == SYSTEMS
    assert "The cheapest system that meets the brief costs €912.50" in paper.text
    assert pick_list(fixtures.stopped()).tables == []


def test_the_page_is_well_formed_closed_to_the_outside_and_for_everyone() -> None:
    paper = pick_list(*fixtures.every_build())
    assert paper.open == []
    assert paper.named("html") == [{"lang": "en"}]
    assert len(paper.named("h1")) == len(paper.named("main")) == 1
    assert len(paper.named("caption")) == len(paper.tables)
    assert {header.get("scope") for header in paper.named("th")} == {"col", "row"}
    assert {len(row) for table in paper.tables for row in table} == {7}
    ids = [attributes["id"] for _, attributes in paper.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    policy = [meta["content"] for meta in paper.named("meta") if meta.get("http-equiv")]
    assert [one for one in policy if one and re.fullmatch(ONLY_ITS_STYLE, one)] == policy != []
    assert not {"script", "link", "form", "input", "img", "a", "iframe"} & {tag for tag, _ in paper.tags}


@pytest.mark.parametrize("name", [*HOSTILE, "Endless " * 60])
def test_hostile_names_stay_names(name: str) -> None:
    wild, tame = (
        Paper(render_pick_lists(report_content(*fixtures.renamed(called))).decode()) for called in (name, "Plain")
    )
    assert [tag for tag, _ in wild.tags] == [tag for tag, _ in tame.tags]
    assert not {"\u202e", "\u2069"} & set(wild.text)


@pytest.fixture
def address(tmp_path: Path) -> str:
    """Where the pick lists of the fixtures lie, some products short."""
    path = tmp_path / "pick_list.html"
    path.write_bytes(render_pick_lists(report_content(fixtures.every_build(), shelf(SP_F=0, AM_4=2))))
    return path.as_uri()


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_page_keeps_wcag_22_aa(scheme: str, size: ViewportSize, visit: Callable[..., Page], address: str) -> None:
    page = visit(address, size, color_scheme=scheme)
    assert violations(page) == []
    assert not scrolls_sideways(page)


@pytest.mark.browser
def test_each_system_prints_on_one_a4_page(visit: Callable[..., Page], address: str, tmp_path: Path) -> None:
    pdf = tmp_path / "pick_list.pdf"
    visit(address).pdf(path=pdf, prefer_css_page_size=True)
    told = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True).stdout  # noqa: S603, S607
    facts = dict(line.split(":", 1) for line in told.splitlines())
    assert int(facts["Pages"]) == SYSTEMS + 1  # the last says where there is nothing to pick
    assert "A4" in facts["Page size"]


@pytest.mark.browser
def test_a_name_that_cannot_be_broken_widens_no_page(visit: Callable[..., Page], tmp_path: Path) -> None:
    path = tmp_path / "pick_list.html"
    path.write_bytes(render_pick_lists(report_content(*fixtures.renamed("Unbreakable" * 16))))
    assert not scrolls_sideways(visit(path.as_uri(), PHONE))
