"""The running order: every line with its price and tally, everything to warn of once, at the line that it is about."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Advice, Build, Caution, Part, Role
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.rundown import render_rundown
from tests.report import fixtures
from tests.report.papers import (
    CAUTIONS,
    HOSTILE,
    RENDERERS,
    SPEAKERS,
    of_parts,
    plain_markdown,
    rendered,
    with_cautions,
)

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue

ALL = [caution for caution, _ in CAUTIONS.values()]


def rundown(*builds: Build, catalogue: Catalogue = fixtures.CATALOGUE, templates: Path | None = None) -> str:
    """The running order of some builds."""
    return render_rundown(report_content(builds, catalogue), templates).decode()


def steps(text: str) -> dict[str, str]:
    """Each part of a running order by its heading, without the number and the product."""
    found = re.split(r"^### (?:\d+\. )?", text, flags=re.MULTILINE)[1:]
    return {step.split("\n")[0].split(":")[0]: plain_markdown(step) for step in found}


def euros(cents: int) -> str:
    """An amount as the shop of the fixtures writes it."""
    return f"€{cents / 100:,.2f}"


@pytest.mark.parametrize("build", [fixtures.replaced(), fixtures.two_amplifiers(), fixtures.kept_factory()])
def test_every_line_says_its_price_the_tally_and_what_is_left(build: Build) -> None:
    assert build.audited
    lines = build.audited.lines
    told = [
        text
        for title, text in re.findall(r"^### \d+\. (.*?)\n(.*?)(?=^###)", rundown(build), re.MULTILINE | re.DOTALL)
        if title
    ]
    assert len(told) == len(lines)
    running = 0
    for line, text in zip(lines, told, strict=True):
        running += line.quantity * line.unit_price
        assert line.description in text
        for amount in (line.quantity * line.unit_price, running, build.tier.budget - running):
            assert euros(amount) in text
        assert line.quantity == 1 or re.search(rf"\b{line.quantity}\b.*{euros(line.unit_price)}", text)


def test_what_to_have_on_the_table_is_every_product_with_its_quantity_and_no_work() -> None:
    table = rundown(fixtures.replaced()).split("### On the table")[1].split("###")[0]
    items = [line for line in table.splitlines() if line]
    assert len(items) == 11
    assert items[0] == "- 1 x Quillon Deck 3 (HU-1)"
    assert items[-1] == "- 14 x Harbour Twin 2.5 (SC-25)"


def test_why_each_part_is_there_is_said_behind_the_bar() -> None:
    report = report_content((fixtures.replaced(),), fixtures.CATALOGUE)
    said = plain_markdown("\n".join(line for line in rundown(fixtures.replaced()).splitlines() if line.startswith(">")))
    assert [told.why for told in report.builds[0].lines if " ".join(told.why.split()) not in said] == []
    assert " ".join(report.builds[0].headline.split()) in said


@pytest.mark.parametrize("name", CAUTIONS)
def test_a_caution_is_said_at_the_line_that_it_is_about(name: str) -> None:
    caution, part = CAUTIONS[name]
    build = with_cautions(fixtures.replaced(), caution)
    (told,) = report_content((build,), fixtures.CATALOGUE).builds[0].cautions
    assert [title for title, text in steps(rundown(build)).items() if told.text in text] == [part]


def test_every_caution_and_safety_sentence_is_said_exactly_once() -> None:
    build = with_cautions(fixtures.replaced(), *ALL, Caution("heavy-box", "bass", {}))
    shown = report_content((build,), fixtures.CATALOGUE).builds[0]
    text = plain_markdown(rundown(build))
    said = [caution.text for caution in shown.watched] + [sentence.text for sentence in shown.safety]
    assert len(said) == len(ALL) + 8
    assert {one: text.count(" ".join(one.split())) for one in said} == dict.fromkeys(said, 1)


def test_a_caution_about_one_of_two_kits_stands_at_that_one() -> None:
    kits = [Part(Role.POWER_KIT, "PK-1"), Part(Role.POWER_KIT, "PK-2")]
    caution = Caution("cca-kit", "PK-2", {"kit": "PK-2", "conductivity_percent": 62.9})
    text = rundown(with_cautions(of_parts(SPEAKERS, *kits), caution))
    second = text[text.index("### 3. Power kit: Harbour Run 10") :]
    assert "copper-clad" in second
    assert "copper-clad" not in text.removesuffix(second)


def test_what_is_about_no_line_is_said_at_the_end() -> None:
    told = steps(rundown(with_cautions(fixtures.speakers_only(), CAUTIONS["alternator not known"][0])))
    assert "on average" in told["To close"]
    assert "Disconnect the battery" in told["To close"]
    assert "qualified fitter" in told["To close"]
    assert "85 dB(A)" in told["Front speakers"]


def test_safety_stands_where_bass_and_power_are_shown() -> None:
    told = steps(rundown(fixtures.replaced()))
    for words in ("in a crash", "airbags", "85 dB(A)"):
        assert words in told["Bass"]
    for words in ("Disconnect the battery", "0.45 m (18 in)", "beyond its rating", "lithium or vented"):
        assert words in told["Power kit"]


@pytest.mark.parametrize(
    ("budget", "tally", "close"),
    [
        (20000, "€1.00", "€199.00, with €1.00 of the €200.00 left over"),
        (19900, "€199.00, the budget to the cent", "€199.00, the budget to the cent"),
        (19800, "€199.00: €1.00 above the €198.00", "It is €1.00 above the €198.00"),
    ],
)
def test_the_tally_and_the_close_say_on_which_side_of_the_budget_one_is(budget: int, tally: str, close: str) -> None:
    over = Caution("over-budget", "", {"over_cents": 100, "allowance_cents": 198})
    build = of_parts(SPEAKERS, budget=budget)
    told = steps(rundown(with_cautions(build, over) if budget < 19900 else build))
    assert tally in told["Front speakers"]
    assert close in told["To close"]
    assert "within the allowance" not in told["To close"]


def test_fitting_is_one_step_with_each_piece_of_work_and_its_tally() -> None:
    build = fixtures.replaced()
    assert build.audited
    work = build.audited.lines[-1]
    more = replace(work, description="Fitting: bass", unit_price=1000, line_total=1000, running_total=126250)
    text = rundown(replace(build, audited=replace(build.audited, lines=(*build.audited.lines, more))))
    assert text.count("Labour") == 1
    told = steps(text)["Labour"]
    for words in ("fitting: head unit: €90.00.", "€1,252.50", "Fitting: bass: €10.00.", "€1,262.50", "€37.50"):
        assert words in told


def test_one_line_says_why_there_is_nothing_to_present() -> None:
    section = rundown(fixtures.infeasible()).split("## Starter: New head unit\n")[1].split("Made by")[0].strip()
    assert section.splitlines() == [
        "Nothing to present here. The cheapest system that meets the brief costs €912.50; the cap is €656.50."
    ]


def test_what_a_little_more_buys_comes_last() -> None:
    small = replace(fixtures.speakers_only(), advice=Advice(visible=2000, stretch=6500))
    text = rundown(small, fixtures.two_amplifiers())
    first = text[: text.index("## Full")]
    close = first[first.index("### To close") :]
    assert "> No system from this list gains 2.00 points or more" in close
    assert "costs €981.00 more" in close
    assert "> - Rear speakers: Marlow X 130, new" in close


def test_neighbouring_prices_are_not_said_in_the_same_words() -> None:
    prices = re.findall(r"^> (.*€.*)$", rundown(fixtures.replaced()), re.MULTILINE)[1:-1]
    shapes = [re.sub(r"[€\d.,]+", "#", price) for price in prices]
    assert all(one != other for one, other in pairwise(shapes))


def test_amounts_are_written_as_the_shop_writes_them() -> None:
    settings = replace(fixtures.CATALOGUE.settings, locale="de_DE")
    text = rundown(fixtures.replaced(), catalogue=replace(fixtures.CATALOGUE, settings=settings))
    assert "1.252,50\u00a0€" in text
    assert "€1,252.50" not in text


def test_a_shop_says_it_in_its_own_words(tmp_path: Path) -> None:
    own = '[rundown]\nshow-front = "Kneel before the {product}!"\n'
    (tmp_path / "sentences.toml").write_text(own, "utf-8")
    assert "Kneel before the Marlow C 165!" in rundown(fixtures.replaced(), templates=tmp_path)


@pytest.mark.parametrize("renderer", RENDERERS)
@pytest.mark.parametrize("name", [*HOSTILE, "Endless " * 60])
def test_hostile_names_stay_names(name: str, renderer: str) -> None:
    wild, tame = (
        rendered(renderer, render_rundown(report_content(*fixtures.renamed(called))).decode())
        for called in (name, "Plain")
    )
    assert [tag for tag, _ in wild.tags] == [tag for tag, _ in tame.tags]
    assert {tag for tag, _ in wild.tags} <= {"h1", "h2", "h3", "p", "ul", "li", "blockquote", "strong"}
    assert not {"\u202e", "\u2069"} & set(wild.text)


def test_it_is_pleasant_to_read_raw() -> None:
    text = rundown(*fixtures.every_build())
    assert "\n\n\n" not in text
    assert re.search(r"[ \t]$", text, re.MULTILINE) is None
    assert re.search(r"<[a-z]|\{\{|&[a-z#]", text) is None
    assert re.search(r">\n[^>\n]", text) is None


def test_a_system_of_nothing_is_not_presented() -> None:
    text = rundown(of_parts())
    assert "Nothing to present here." in text
    assert "To close" not in text
