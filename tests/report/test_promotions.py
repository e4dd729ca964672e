"""Promotions in words: what a customer reads, what the shop alone reads, and the same as data."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from openpyxl import load_workbook

from budgetbuild.build import Bundle, MissingPieces, NoBundle, Promotions, Status, Waiver
from budgetbuild.catalogue.promotion import DiscountCeiling
from budgetbuild.report.chapter import Bullets, Paragraph, Plot, Table
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.guide import render_html, render_markdown
from budgetbuild.report.results_promotions import promotions_data
from budgetbuild.report.sheets.workbook import render_workbook
from budgetbuild.report.words.promotions import promotion_chapters
from budgetbuild.report.words.promotions_shop import reasons, shop_chapter
from tests.planning.test_promotions_by_hand import ALONE, SPEAKERS, promoted, shop, solved
from tests.program.small import front, tier
from tests.report import fixtures

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Chapter

VOICE = fixtures.VOICE
SECRETS = ("margin", "cost without", "room for", "stock", "ceiling")
"""Words of what no customer should read."""


def catalogue() -> Catalogue:
    """Three speakers, one without a cost, one of which there is little."""
    rare, unknown = replace(SPEAKERS[1], stock=3), front(sku="F-9", price=250_00, rating=9.0)
    ceilings = (DiscountCeiling(about="all", most=Fraction(20, 100)),)
    return shop(SPEAKERS[0], rare, SPEAKERS[2], unknown, discounts=ceilings, tiers=(tier(200_00),))


@cache
def found() -> Promotions:
    """One at a price, one in a tier, one that is not possible."""
    return solved(
        catalogue(),
        promoted("Harbour <kit>", price=180_00, floor=0, sets=2),
        promoted("List | price", tier="tier", floor_share=Fraction(1, 10), sets=4, clear=("F-1", "F-3"), clear_least=1),
        promoted("Too good", price=180_00, floor=40_00),
    )


def bundle(number: int) -> Bundle:
    """One of them."""
    return found().bundles[number]


def told(chapter: Chapter) -> str:
    """Everything that a chapter says."""
    parts: list[str] = [chapter.title]
    for block in chapter.blocks:
        table = block.table if isinstance(block, Plot) else block
        if isinstance(table, Table):
            heads = [column.head for column in table.columns]
            parts += [table.caption, *heads, *(str(cell) for row in table.rows for cell in row)]
        elif isinstance(block, Bullets):
            parts += block.items
        elif isinstance(block, Paragraph):
            parts.append(block.text)
    return "\n".join(parts)


def test_a_customer_reads_price_saving_list_and_safety_and_nothing_of_the_shops() -> None:
    one, two = promotion_chapters(found(), catalogue(), VOICE)
    assert "a complete system for €180.00. Its parts add up to €200.00, so you save €20.00." in told(one)
    assert "2 sets are for sale" in told(one)
    assert "within “tier”" in told(two)
    assert "You save" not in told(two)
    assert any(isinstance(block, Bullets) and block.safety for block in one.blocks)
    assert not [
        word
        for word in SECRETS
        for chapter in (one, two)
        if word in told(chapter).casefold().replace("while the stock of their parts", "")
    ]
    assert not one.shop_only


def test_the_shop_reads_margin_by_line_and_what_took_no_part() -> None:
    chapter = shop_chapter(found(), catalogue(), VOICE)
    tables = {block.caption: block for block in chapter.blocks if isinstance(block, Table)}
    lines = tables["Harbour <kit>: margin by line"].rows
    assert [row[0] for row in lines] == ["Front", "Discount", "One set", "All 2 sets"]
    assert lines[0][4:] == (200_00, 160_00, 130_00, 30_00, 0.2, 40_00)
    assert lines[2][4:8] == (180_00, 144_00, 130_00, 14_00)
    assert lines[3][7] == 28_00
    assert [row[:2] for row in tables["Every product that was left out for its stock or its cost"].rows].count(
        ("F-9", "List | price")
    ) == 1
    assert "Cleared with it: F-3 (F-3)." in told(chapter)
    assert "Margin floor: 10\u00a0% of the revenue." in told(chapter)
    assert "Left out, since the stock does not cover a piece for each set (1): F-2 (F-2)." in told(chapter)
    assert chapter.shop_only


def test_the_trade_off_is_a_chart_with_its_table() -> None:
    chapter = shop_chapter(found(), catalogue(), VOICE)
    plot = next(block for block in chapter.blocks if isinstance(block, Plot) and "List" in block.title)
    assert [row[2] for row in plot.table.rows] == [30_00, 40_00]
    assert "These are all choices that nothing beats" in told(chapter)
    assert plot.table.rows[1][1] == "Front speakers: F-1 instead of F-3"


def test_a_thinned_list_and_a_stopped_one_say_so() -> None:
    trade = bundle(1).trade_off
    assert trade is not None
    for changed, words in (({"step": 5_00}, "in steps of at least €5.00"), ({"stopped": True}, "Time ran out before")):
        some = replace(bundle(1), trade_off=replace(trade, **changed))
        assert words in told(shop_chapter(Promotions((some,)), catalogue(), VOICE))


WHY: list[tuple[NoBundle | None, str]] = [
    (NoBundle(waivers=(Waiver("price", cents=181_25),)), "A price of €181.25, the nearest at which all else holds."),
    (NoBundle(waivers=(Waiver("tier", cents=90_00),)), "A tier that reaches €90.00"),
    (NoBundle(waivers=(Waiver("floor", 14_00, Fraction(1, 8)),)), "at most €14.00 a set can be had (12.5\u00a0% of"),
    (NoBundle(waivers=(Waiver("floor", cents=-1_00),)), "at most -€1.00 a set can be had."),
    (NoBundle(waivers=(Waiver("ceiling"),)), "Higher discount ceilings."),
    (NoBundle(waivers=(Waiver("clear", count=1),)), "at most 1 of them can be in it"),
    (NoBundle(waivers=(Waiver("clear"),)), "not one of them can be in it"),
    (NoBundle(waivers=(Waiver("stock", missing=(MissingPieces("F-1", 2),)),)), "takes 2 of F-1 (F-1) more."),
    (NoBundle(waivers=(Waiver("stock"),)), "More stock of what is left out for it."),
    (NoBundle(pairs=(("floor", "stock"),)), "The margin floor and the stock."),
    (NoBundle(), "nor do any two of them."),
    (NoBundle(beside=("A", "B"), missing=(MissingPieces("F-1", 1),)), "not beside “A” and “B”, which stand above it"),
    (NoBundle(beside=("A",), missing=(MissingPieces("F-1", 1),)), "would take this to be ordered: 1 of F-1 (F-1)."),
    (None, "the search was stopped before any bundle was found"),
]


@pytest.mark.parametrize(("why", "words"), WHY)
def test_every_reason_has_its_words(why: NoBundle | None, words: str) -> None:
    none = replace(bundle(2), no_bundle=why)
    told_why, waivers = reasons(none, catalogue().by_sku(), VOICE)
    assert words in " ".join([*told_why, *waivers])


def test_a_stopped_run_tells_how_far_its_proof_got() -> None:
    stopped = replace(bundle(0), status=Status.TIME_LIMIT, trade_off=None)
    some = Promotions((stopped,), score=90_000, bound=100_500)
    assert "90.00 points; no choice comes to more than 100.50" in told(shop_chapter(some, catalogue(), VOICE))
    unknown = Promotions((stopped,), score=90_000)
    assert "nothing is proven" in told(shop_chapter(unknown, catalogue(), VOICE))


def test_pages_and_workbook_keep_the_shops_chapter_apart() -> None:
    some = catalogue()
    chapters = (*promotion_chapters(found(), some, VOICE), shop_chapter(found(), some, VOICE))
    report = replace(report_content(fixtures.every_build(), fixtures.CATALOGUE), chapters=chapters)
    page, text = render_html(report).decode(), render_markdown(report).decode()
    assert "Promotion: Harbour &lt;kit&gt;" in page
    assert "Promotion: List \\| price" in text
    assert "Promotions: margin and stock" not in page + text
    book = load_workbook(BytesIO(render_workbook(report)))
    assert {"Harbour <kit>", "Promotions (shop)"} <= set(book.sheetnames)
    values = {cell.value for row in book["Promotions (shop)"].iter_rows() for cell in row}
    assert {14, 130, 0.2} <= values


def test_the_data_file_holds_what_a_customer_may_know() -> None:
    data: dict[str, Any] = promotions_data(found())
    text = json.dumps(data).casefold()
    assert not [word for word in ("cost", "floor", "clear", "in stock") if word in text]
    assert [one["status"] for one in data["bundles"]] == ["optimal", "optimal", "infeasible"]
    first = data["bundles"][0]
    assert (first["list_total"], first["price"], first["saving"], first["sets"]) == ("200.00", "180.00", "20.00", 2)
    assert [line["sku"] for line in first["lines"]] == ["F-3"]
    assert data["score"] == data["bound"]


def test_where_margins_do_not_count_their_cells_stay_empty_and_the_reason_is_told() -> None:
    """F-9 has no cost, and no floor is asked for."""
    some = solved(catalogue(), promoted("Free", price=180_00))
    chapter = shop_chapter(some, catalogue(), VOICE)
    lines = next(block for block in chapter.blocks if isinstance(block, Table) and "by line" in block.caption)
    assert [row[5:8] for row in lines.rows] == [(None, None, None)] * len(lines.rows)
    assert "Without a cost in the price list (1): F-9 (F-9). So margins are not reckoned here" in told(chapter)
    assert not [block for block in chapter.blocks if isinstance(block, Plot)]


def test_without_a_tax_rate_no_margin_is_reckoned() -> None:
    plain = replace(catalogue(), settings=replace(catalogue().settings, tax_rate=None))
    some = solved(plain, promoted("Free", price=180_00))
    assert "Without a tax rate in Settings no margin is reckoned." in told(shop_chapter(some, plain, VOICE))


def test_fitting_is_told_and_stands_in_the_list() -> None:
    fitted = replace(ALONE, fitted=True)
    some = replace(catalogue(), briefs=(fitted,))
    (chapter,) = promotion_chapters(solved(some, promoted("Fitted", price=230_00, floor=0)), some, VOICE)
    assert "Fitting is in the price." in told(chapter)
    assert "Fitting: front" in told(chapter)
    lines = told(shop_chapter(solved(some, promoted("Fitted", price=230_00, floor=0)), some, VOICE))
    assert "Labour" in lines
