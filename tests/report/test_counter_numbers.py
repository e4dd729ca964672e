"""The counter page in a real Chromium: the numbers it shows, and how it is asked for them."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from budgetbuild.build import Role
from budgetbuild.report.pages.counter import render_counter
from budgetbuild.report.words.notation import Notation
from tests.report.counter_page import CURVES, FULL, LEAST, MOST, Shown, ask, euro, expected, first, only, served, shown
from tests.report.curves import CATALOGUE

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page

    from budgetbuild.build import Audited

pytestmark = pytest.mark.browser


def test_at_any_budget_the_page_shows_what_the_curve_has(counter: Callable[..., Page]) -> None:
    page, chance = counter(), random.Random(7)  # noqa: S311 - the same on every run
    edges = [LEAST, MOST, MOST + 1, *(point.total - 1 for point in FULL.points[1:4])]
    for budget in [*edges, *(chance.randint(LEAST, MOST + 5000) for _ in range(50))]:
        ask(page, f"{budget // 100}.{budget % 100:02d}")
        point = FULL.at(budget + budget // 100)
        assert point
        assert shown(page) == expected(point)
        left = budget - point.total
        assert page.inner_text("#left-name") == ("Over the budget" if left < 0 else "Left of the budget")
        assert page.inner_text("#left") == euro(abs(left))
        assert page.inner_text("#sum") == euro(point.total)


@pytest.mark.parametrize(
    ("locale", "typed"), [("de_DE", "1.450,50"), ("en_IN", "1450.50"), ("fr_FR", "1 450,50"), ("es_MX", "1,450.50")]
)
def test_money_and_scores_are_written_as_the_shop_does(
    locale: str, typed: str, visit: Callable[..., Page], tmp_path: Path
) -> None:
    settings = replace(CATALOGUE.settings, locale=locale)
    (tmp_path / "page.html").write_bytes(render_counter(CURVES, replace(CATALOGUE, settings=settings)))
    page = visit((tmp_path / "page.html").as_uri())
    ask(page, typed)
    point, write = FULL.at(146500), Notation("EUR", locale)
    assert point
    assert page.inner_text("#total") == write.money(point.total)
    assert page.inner_text("#score") == write.points(point.score)
    assert page.inner_text("#left") == write.money(abs(145050 - point.total))
    assert page.evaluate("[money(1234567890), money(-5)]") == [write.money(1234567890), write.money(-5)]


def test_the_score_is_shown_part_by_part(counter: Callable[..., Page]) -> None:
    page = counter("#budget=2000")
    point = FULL.at(202000)
    assert point
    rows = page.evaluate(
        "() => [...document.querySelectorAll('#points tbody tr')].map(row => [...row.cells].map(c => c.innerText))"
    )
    assert sorted(row[1] for row in rows) == sorted(Notation().points(part.points) for part in point.score_parts)
    assert sorted(row[2] for row in rows) == sorted(Notation().points(part.most) for part in point.score_parts)
    source = page.evaluate("document.querySelector('#points .track i').style.transform")
    assert float(source[7:-1]) == pytest.approx(point.score_parts[0].points / 20000, abs=1e-5)


def test_the_next_step_up_is_the_cheapest_that_gains_enough(counter: Callable[..., Page]) -> None:
    page = counter("#budget=1500")
    now = FULL.at(151500)
    assert now
    step = next(point for point in FULL.points if point.score >= now.score + 2000)
    text = page.inner_text("#step")
    assert text == (
        f"{euro(step.total - now.total)} more, {euro(step.total)} in all: "
        f"{Notation().points(step.score - now.score)} points more."
    )
    page.click("#go")
    assert shown(page) == expected(step)
    # The least budget that buys it, or the whole amount of money above that.
    typed = page.input_value("#budget")
    assert step.total / 1.01 <= float(typed) * 100 < step.total / 1.01 + 100


def test_a_step_says_role_by_role_what_changes(counter: Callable[..., Page]) -> None:
    page = counter(f"#budget={LEAST / 100:.2f}")
    changes = page.locator("#changes li:visible").all_inner_texts()
    now, step = FULL.at(LEAST), next(point for point in FULL.points if point.score >= FULL.points[0].score + 2000)
    assert now

    def amplifiers(point: Audited) -> list[tuple[str, int]]:
        return [(line.description, line.quantity) for line in point.lines if line.role.value == "amplifier"]

    told = [change for change in changes if change.startswith("Amplifier: ")]
    assert bool(told) == (amplifiers(now) != amplifiers(step))
    for name, quantity in amplifiers(step) if told else []:
        assert (f"{quantity} x {name}" if quantity > 1 else name) in told[0]
    assert not any(word in change for change in changes for word in ("kit", "lead", "cable", "Labour"))


def test_what_plays_nothing_is_not_sold_as_a_system(visit: Callable[..., Page], tmp_path: Path) -> None:
    silent = only(FULL.points[0], Role.HEAD_UNIT, Role.SOURCE_KIT)
    page = visit(served(tmp_path, replace(FULL, points=(silent, FULL.points[-1]))) + "#budget=300")
    assert page.inner_text("#verdict").startswith(f"{euro(30000)} buys no speakers and no bass")
    assert shown(page).total == euro(24900 + 4900)


def test_versions_of_one_name_are_told_apart_where_they_change(visit: Callable[..., Page], tmp_path: Path) -> None:
    now = next(point for point in FULL.points if any(part.sku == "SW-D2" for part in point.system.parts))
    better = replace(FULL.points[-1].score_parts[0], points=now.score_parts[0].points + 3000)
    lines = (*(replace(line, sku="SW-D4") if line.sku == "SW-D2" else line for line in now.lines),)
    dearer = replace(lines[0], unit_price=lines[0].unit_price + 1, line_total=lines[0].line_total + 1)
    then = replace(now, lines=(dearer, *lines[1:]), score_parts=(better, *now.score_parts[1:]))
    address = served(tmp_path, replace(FULL, points=(now, then)))
    page = visit(f"{address}#budget={now.total / 1.01 / 100:.2f}")
    quantity = next(line.quantity for line in now.lines if line.sku == "SW-D2")
    times = f"{quantity} x " if quantity > 1 else ""
    assert page.locator("#changes li").all_inner_texts() == [
        f"Bass: {times}Brandt Low 10 (SW-D4) instead of {times}Brandt Low 10 (SW-D2)"
    ]


def test_below_the_least_budget_the_page_says_what_it_is(counter: Callable[..., Page]) -> None:
    page = counter("#budget=100")
    assert shown(page) == Shown([], "none", "none")
    least = next(budget for budget in range(LEAST) if budget + budget // 100 >= LEAST)
    assert f"below the least budget, {euro(least)}:" in page.inner_text("#verdict")
    assert page.inner_text("#step").startswith(f"The cheapest system costs {euro(LEAST)}")
    assert page.is_disabled("#print")
    page.click("#go")
    assert shown(page) == expected(FULL.points[0])


def test_at_the_top_more_money_adds_nothing(counter: Callable[..., Page]) -> None:
    page = counter("#budget=999999")
    assert shown(page) == expected(FULL.points[-1])
    assert page.inner_text("#step").startswith("More money adds nothing")
    assert page.is_hidden("#go")


def test_the_allowance_is_kept_to_the_cent(visit: Callable[..., Page], tmp_path: Path) -> None:
    page = visit(served(tmp_path, FULL, allowance=Fraction(3333, 100_003)))
    for point in FULL.points[::40]:
        least = next(
            budget for budget in range(point.total * 9 // 10, point.total)
            if budget + budget * 3333 // 100_003 >= point.total
        )  # fmt: skip
        ask(page, f"{least / 100:.2f}")
        assert shown(page).total == euro(point.total)
        ask(page, f"{(least - 1) / 100:.2f}")
        assert shown(page).total != euro(point.total)


def test_money_is_written_as_everywhere_else(counter: Callable[..., Page]) -> None:
    page = counter()
    for budget in (0, 1, 99, 100, 99_999, 100_000, 12_345_678, 99_999_999_999):
        ask(page, f"{budget // 100}.{budget % 100:02d}")
        assert page.get_attribute("#slider", "aria-valuetext") == euro(budget)


@pytest.mark.parametrize(
    ("typed", "cents"),
    [
        ("1450", 145000), ("1450.5", 145050), ("1450,50", 145050), ("1,450", 145000), ("1,450.50", 145050),
        ("1.450,50", 145050), ("1 450", 145000), ("1\u202f450,5", 145050), ("1'450", 145000),
        ("1\u2019450.25", 145025),
        ("€ 1450", 145000), ("1450 €", 145000), (" 0012 ", 1200), ("1.234.567", 123456700), ("0", 0),
        ("\uff11\uff12", 1200),
    ],
)  # fmt: skip
def test_an_amount_that_can_be_read_in_one_way_is_read(typed: str, cents: int, counter: Callable[..., Page]) -> None:
    page = counter()
    ask(page, typed)
    assert page.get_attribute("#slider", "aria-valuetext") == euro(cents)
    assert page.inner_text("#trouble") == ""
    assert page.get_attribute("#budget", "aria-invalid") == "false"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("1.450", "1.450 may mean 1,450"), ("", "Write a budget"), ("abc", "not an amount"), ("-5", "not an amount"),
        ("1,45,0", "not an amount"), ("1.2.3", "not an amount"), ("0,450", "not an amount"), ("1e3", "not an amount"),
        ("1234567890", "nine digits"), ("1450 or so", "not an amount"), ("1,450,50", "not an amount"),
    ],
)  # fmt: skip
def test_any_other_text_is_refused_in_words_and_the_answer_stays(
    typed: str, words: str, counter: Callable[..., Page]
) -> None:
    page = counter("#budget=2000")
    before = shown(page)
    ask(page, typed)
    assert words in page.inner_text("#trouble")
    assert euro(200000) in page.inner_text("#trouble")
    assert page.get_attribute("#budget", "aria-invalid") == "true"
    assert shown(page) == before
    page.press("#slider", "ArrowRight")
    assert page.inner_text("#trouble") == ""


def test_half_an_amount_is_no_mistake_while_one_types(counter: Callable[..., Page]) -> None:
    page = counter("#budget=2000")
    page.fill("#budget", "")
    page.type("#budget", "1.4")
    expect(page.locator("#slider")).to_have_attribute("aria-valuetext", euro(140))
    assert page.input_value("#budget") == "1.4"
    page.type("#budget", "50")
    page.wait_for_timeout(600)
    assert page.inner_text("#trouble") == ""
    page.press("#budget", "Tab")
    assert "may mean" in page.inner_text("#trouble")


def test_everything_can_be_done_with_the_keyboard(counter: Callable[..., Page]) -> None:
    page = counter("#budget=1500")
    reached = []
    for _ in range(9):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.id || document.activeElement.textContent"))
    assert reached == [
        "vehicle",
        "brief",
        "budget",
        euro(65000),
        euro(130000),
        euro(260000),
        "slider",
        "print",
        reached[8],
    ]
    page.focus("#vehicle")
    page.keyboard.press("ArrowDown")
    assert shown(page) == expected(first(CURVES[2].at(151500)))
    page.focus("#slider")
    before = int(page.input_value("#slider"))
    for key in ("ArrowRight", "ArrowUp", "PageUp", "End", "ArrowLeft"):
        page.keyboard.press(key)
    step, most = (int(page.get_attribute("#slider", name) or 0) for name in ("step", "max"))
    assert before == 150000
    assert int(page.input_value("#slider")) == most - step
    page.keyboard.press("Home")
    assert shown(page).total == "none"
    page.focus("#go")
    page.keyboard.press("Enter")
    assert shown(page) == expected(CURVES[2].points[0])
    assert page.evaluate("document.activeElement.id") == "go"
    page.get_by_role("button", name=euro(130000)).press("Space")
    assert page.input_value("#budget") == "1300"


def test_a_link_brings_back_what_one_saw(counter: Callable[..., Page]) -> None:
    page = counter()
    page.select_option("#vehicle", label="Tern Estate")
    ask(page, "1,450.50")
    page.wait_for_url("**budget=1450.50")
    link = page.evaluate("location.hash")
    assert link == "#vehicle=Tern+Estate&brief=New+head+unit&budget=1450.50"
    other = counter(link)
    assert shown(other) == shown(page) == expected(first(CURVES[2].at(146505 + 50)))
    other.evaluate("location.hash = '#vehicle=Tern%20Hatch&budget=3000'")
    expect(other.locator("#budget")).to_have_value("3000")
    assert shown(other) == expected(first(FULL.at(303000)))


@pytest.mark.parametrize(
    "fragment",
    [
        "#budget=-1", "#budget=1e9", "#budget=NaN", "#budget=99999999999999999999", "#vehicle=nobody&brief=none",
        "#%", "#%E0%A4%A", "#&&==&", "#vehicle=__proto__&brief=constructor", "#budget=1.450,00", "#brief=%00&budget=",
        "#<img src=x onerror=alert(1)>", "#vehicle=" + "x" * 5000, "#budget=0x10", "#budget=%EF%BC%91",
    ],
)  # fmt: skip
def test_garbage_in_a_link_is_harmless(fragment: str, counter: Callable[..., Page]) -> None:
    page, plain = counter(fragment), counter()
    assert shown(page) == shown(plain)
    names = fragment[1:].split("&")
    asked = [name for name in ("vehicle", "brief", "budget") if any(part.startswith(f"{name}=") for part in names)]
    assert all(name in page.inner_text("#trouble") for name in asked)


def test_vehicles_and_briefs_without_an_answer_say_so(counter: Callable[..., Page]) -> None:
    page = counter("#vehicle=Tern+Estate&brief=Keep+own")
    assert page.inner_text("#verdict") == "No system from the price list meets this brief in this vehicle at any price."
    assert page.is_hidden("#answer")
    names = page.locator("#brief option").all_inner_texts()
    assert names == ["New head unit", "Keep factory (not worked out)", "Keep own (no system)"]
    page.select_option("#brief", index=1)
    assert page.inner_text("#verdict") == (
        "This brief was not worked out for this vehicle. Worked out for it: New head unit and Keep own."
    )
    page.select_option("#brief", index=0)
    assert page.is_visible("#answer")


def test_a_page_without_any_curve_still_stands(visit: Callable[..., Page], tmp_path: Path) -> None:
    page = visit(served(tmp_path))
    assert "not worked out" in page.inner_text("#verdict")
