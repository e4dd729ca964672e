"""The customer's quote: adds up both ways, holds until a day, warns, and keeps the shop's affairs to itself."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Build, Caution, Status
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.quote_letter import render_quote_html, render_quote_markdown
from budgetbuild.report.words.voice import tool_sentences
from tests.browser import DESK, PHONE, scrolls_sideways, violations
from tests.report import fixtures
from tests.report.papers import (
    CAUTIONS,
    HOSTILE,
    ONLY_ITS_STYLE,
    RENDERERS,
    Paper,
    of_parts,
    plain_markdown,
    rendered,
    with_cautions,
    with_lines,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page, ViewportSize

    from budgetbuild.catalogue.shop import Catalogue

DAY = date(2026, 11, 25)
TERMS = (
    "A deposit of a fifth books the bay",
    "Parts are guaranteed by their makers, " + "and by us, " * 30 + "for ever",
)
SHOP = replace(
    fixtures.CATALOGUE,
    settings=replace(fixtures.CATALOGUE.settings, quote_terms=TERMS, shop_address=("4 Quay", "Northquay")),
)


def shop(**settings: object) -> Catalogue:
    """The shop with other settings."""
    return replace(SHOP, settings=replace(SHOP.settings, **settings))  # type: ignore[arg-type]


def page(build: Build, catalogue: Catalogue = SHOP, day: date = DAY) -> Paper:
    """A quote as a page."""
    return Paper(render_quote_html(report_content((build,), catalogue), day).decode())


def letter(build: Build, catalogue: Catalogue = SHOP, day: date = DAY) -> str:
    """A quote as Markdown."""
    return render_quote_markdown(report_content((build,), catalogue), day).decode()


def both(build: Build, catalogue: Catalogue = SHOP, day: date = DAY) -> tuple[str, str]:
    """What one reads in either kind."""
    return page(build, catalogue, day).text, plain_markdown(letter(build, catalogue, day))


def taxed(rate: Fraction | None) -> Build:
    """A system whose lines are without tax what they are at that rate, each rounded half up to a cent."""
    build = fixtures.replaced()
    assert build.audited
    lines = build.audited.lines
    if rate is None:
        return with_lines(build, tuple(replace(line, net_total=None) for line in lines))
    share = 1 + Decimal(rate.numerator) / Decimal(rate.denominator)
    nets = [int((Decimal(line.line_total) / share).quantize(Decimal(1), ROUND_HALF_UP)) for line in lines]
    return with_lines(build, tuple(replace(line, net_total=net) for line, net in zip(lines, nets, strict=True)))


def cents(amount: str) -> int:
    """Whole cents of an amount as the page writes it."""
    return int(re.sub(r"[^\d-]", "", amount))


RATES = [Fraction(77, 1000), Fraction(21, 100), Fraction(0), Fraction(1, 4), Fraction(255, 1000)]


@pytest.mark.parametrize("rate", RATES)
def test_net_and_tax_add_up_to_the_total_line_by_line_and_in_all(rate: Fraction) -> None:
    (table,) = page(taxed(rate), shop(tax_rate=rate)).tables
    lines, (net, tax, total) = table[1:-3], table[-3:]
    assert sum(cents(row[3]) for row in lines) == cents(net[1])
    assert sum(cents(row[4]) for row in lines) == cents(total[1]) == 125250
    assert cents(net[1]) + cents(tax[2]) == cents(total[1])
    for row in lines:
        assert int(row[1]) * cents(row[2]) == cents(row[4])


@pytest.mark.parametrize(("rate", "said"), [(RATES[0], "7.7\u00a0%"), (RATES[1], "21\u00a0%"), (RATES[2], "0\u00a0%")])
@pytest.mark.parametrize("renderer", RENDERERS)
def test_both_kinds_show_tax_both_ways_in_even_tables(rate: Fraction, said: str, renderer: str) -> None:
    paper = rendered(renderer, letter(taxed(rate), shop(tax_rate=rate)))
    parts, whole = paper.tables
    assert {len(row) for row in parts} == {6}
    assert [row[0] for row in whole[1:]] == ["Total without tax", f"Tax, {said}", "Total, tax included"]
    net, tax, total = (cents(row[1]) for row in whole[1:])
    assert net == sum(cents(row[4]) for row in parts[1:])
    assert net + tax == total == sum(cents(row[5]) for row in parts[1:])
    assert f"Tax, {said}" in [row[0] for row in page(taxed(rate), shop(tax_rate=rate)).tables[0]]


def test_without_a_tax_rate_prices_just_include_it() -> None:
    for text in both(taxed(None), shop(tax_rate=None)):
        assert "Prices include tax." in text
        assert "without tax" not in text
        assert "€1,252.50" in text
    assert {len(row) for row in rendered(RENDERERS[0], letter(taxed(None), shop(tax_rate=None))).tables[0]} == {5}


@pytest.mark.parametrize(
    ("locale", "days", "day", "dated", "until"),
    [
        ("en_GB", 30, DAY, "25 November 2026", "25 December 2026"),
        ("de_DE", 14, DAY, "25. November 2026", "9. Dezember 2026"),
        ("fr_FR", 37, DAY, "25 novembre 2026", "1 janvier 2027"),
        ("en_US", 1, date(2028, 2, 28), "February 28, 2028", "February 29, 2028"),
        ("ja_JP", 30, DAY, "2026年11月25日", "2026年12月25日"),
    ],
)
def test_date_and_last_day_are_written_as_the_shop_writes_them(
    locale: str, days: int, day: date, dated: str, until: str
) -> None:
    for text in both(fixtures.replaced(), shop(locale=locale, quote_days=days), day):
        assert dated in text
        assert f"good until {until}" in text


@pytest.mark.parametrize(
    "said",
    [
        "Northquay Fitting", "4 Quay", "Northquay", "Tern Hatch", "New head unit", "A deposit of a fifth books the bay",
        "Prices as of 2 November 2026", "no other combination scores higher", "Signature of the customer",
        "Place and date", "Disconnect the battery", "0.45 m (18 in)", "beyond its rating", "in a crash", "airbags",
        "lithium or vented", "85 dB(A)", "qualified fitter", "To measure in the car before ordering",
    ],
)  # fmt: skip
def test_both_kinds_say_it(said: str) -> None:
    for text in both(fixtures.replaced()):
        assert said in text


def test_the_headline_and_terms_of_any_length_stand_there_whole() -> None:
    headline = report_content((fixtures.replaced(),), SHOP).builds[0].headline
    for text in both(fixtures.replaced()):
        assert " ".join(headline.split()) in text
        assert TERMS[1] in text


def test_without_address_and_terms_nothing_stands_in_their_place() -> None:
    bare = shop(shop_name="", shop_address=(), quote_terms=(), date="")
    for text in both(fixtures.replaced(), bare):
        assert "Terms" not in text
        assert "Prices as of" not in text
        assert "Signature for the shop" in text
    assert page(fixtures.replaced(), bare).named("address") == []


def test_cost_margin_stock_and_reasons_never_reach_the_customer() -> None:
    catalogue = replace(SHOP, speakers=tuple(replace(one, stock=7341) for one in SHOP.speakers))
    short = Caution("out-of-stock", "SP-F", {"sku": "SP-F", "wanted": 7342, "stock": 7341})
    for text in both(with_cautions(fixtures.replaced(), short), catalogue):
        assert not {"734", "150.00", "110.00", "170.00"} & {word.strip("€.,;:") for word in text.split()}
        assert not re.search(r"7341|7342|stock|margin|\bcost\b|rating of 10|[Ss]helf|runner", text)


def test_every_caution_has_words_for_customers_but_those_that_are_not_their_affair() -> None:
    sentences = tool_sentences()
    assert set(sentences["cautions"]) - set(sentences["quote-cautions"]) == {"out-of-stock", "heavy-box"}
    assert set(sentences["quote-cautions"]) <= set(sentences["cautions"])


@pytest.mark.parametrize("name", sorted(set(CAUTIONS) - {"stock"}))
def test_a_caution_is_told_once_without_skus(name: str) -> None:
    (section,) = re.findall(
        r"## Good to know\n\n(.*?)\n\n##", letter(with_cautions(fixtures.replaced(), CAUTIONS[name][0])), re.DOTALL
    )
    assert section.startswith("- ")
    assert section.count("\n- ") == 0
    assert not re.search(r"\b[A-Z]{2}-[A-Z0-9]+", section)


def test_only_a_proven_choice_is_called_the_best() -> None:
    for text in both(replace(fixtures.replaced(), status=Status.TIME_LIMIT)):
        assert "no other combination" not in text
        assert "in the time given" in text


def test_where_nothing_is_possible_it_says_why_and_promises_nothing() -> None:
    for text in both(fixtures.infeasible()):
        for said in (
            "No system meets this brief",
            "The cheapest system that meets the brief costs €912.50",
            "Without bass",
        ):
            assert said in text
        assert "until" not in text
        assert "Signature" not in text
    assert page(fixtures.infeasible()).tables == []


def test_the_page_is_well_formed_closed_to_the_outside_and_for_everyone() -> None:
    paper = page(fixtures.replaced())
    assert paper.open == []
    assert paper.named("html") == [{"lang": "en"}]
    assert len(paper.named("h1")) == len(paper.named("main")) == len(paper.named("caption")) == 1
    assert {header.get("scope") for header in paper.named("th")} == {"col", "row"}
    policy = [meta["content"] for meta in paper.named("meta") if meta.get("http-equiv")]
    assert [one for one in policy if one and re.fullmatch(ONLY_ITS_STYLE, one)] == policy != []
    assert not {"script", "link", "form", "input", "img", "a", "iframe"} & {tag for tag, _ in paper.tags}


def hostile(name: str) -> tuple[Build, Catalogue]:
    """One build of a shop in which everything that may be named has that name."""
    (build, _), catalogue = fixtures.renamed(name)
    return build, replace(
        catalogue, settings=replace(catalogue.settings, shop_address=(name, name), quote_terms=(name, name))
    )


@pytest.mark.parametrize("name", [*HOSTILE, "Endless " * 60])
def test_hostile_names_stay_names_in_either_kind(name: str) -> None:
    wild, tame = hostile(name), hostile("Plain")
    assert [tag for tag, _ in page(*wild).tags] == [tag for tag, _ in page(*tame).tags]
    for renderer in RENDERERS:
        one, other = rendered(renderer, letter(*wild)), rendered(renderer, letter(*tame))
        assert [tag for tag, _ in one.tags] == [tag for tag, _ in other.tags]
        assert not {"\u202e", "\u2069"} & set(one.text)


def test_it_is_pleasant_to_read_raw() -> None:
    text = letter(fixtures.replaced())
    assert "\n\n\n" not in text
    assert re.search(r"[ \t]$", text, re.MULTILINE) is None
    assert re.search(r"<(?!br>)[a-z]|\{\{|&[a-z#]", text) is None


def test_the_same_day_gives_the_same_bytes() -> None:
    report = report_content((fixtures.replaced(),), SHOP)
    assert render_quote_html(report, DAY) == render_quote_html(report, DAY)


def test_a_shop_says_it_in_its_own_words(tmp_path: Path) -> None:
    (tmp_path / "sentences.toml").write_text('[quote]\nvalid = "Until {until} we stand by it."\n', "utf-8")
    report = report_content((fixtures.replaced(),), SHOP)
    assert "Until 25 December 2026 we stand by it." in render_quote_html(report, DAY, tmp_path).decode()


@pytest.fixture
def address(tmp_path: Path) -> str:
    """Where a quote lies that has something of everything."""
    path = tmp_path / "quote.html"
    build = with_cautions(taxed(RATES[0]), *(caution for caution, _ in CAUTIONS.values()))
    path.write_bytes(render_quote_html(report_content((build,), shop(tax_rate=RATES[0])), DAY))
    return path.as_uri()


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_page_keeps_wcag_22_aa(scheme: str, size: ViewportSize, visit: Callable[..., Page], address: str) -> None:
    opened = visit(address, size, color_scheme=scheme)
    assert violations(opened) == []
    assert not scrolls_sideways(opened)


@pytest.mark.browser
def test_a_name_that_cannot_be_broken_widens_no_page(visit: Callable[..., Page], tmp_path: Path) -> None:
    build, catalogue = hostile("Unbreakable" * 16)
    path = tmp_path / "quote.html"
    path.write_bytes(render_quote_html(report_content((build,), catalogue), DAY))
    assert not scrolls_sideways(visit(path.as_uri(), PHONE))


@pytest.mark.browser
def test_it_prints_on_a4_with_every_amount_on_the_paper(
    visit: Callable[..., Page], address: str, tmp_path: Path
) -> None:
    pdf = tmp_path / "quote.pdf"
    visit(address).pdf(path=pdf, prefer_css_page_size=True)
    told = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True).stdout  # noqa: S603, S607
    assert "A4" in told
    words = subprocess.run(["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True, text=True).stdout  # noqa: S603, S607
    for row in page(taxed(RATES[0]), shop(tax_rate=RATES[0])).tables[0][1:]:
        assert [amount for amount in row[1:] if amount not in words] == []


def test_a_system_of_nothing_is_not_promised() -> None:
    for text in both(of_parts()):
        assert "until" not in text
        assert "Total" not in text
        assert "qualified fitter" in text
