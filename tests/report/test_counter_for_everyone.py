"""The counter page for everyone: accessible, steady, fast, harmless, and on paper."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from budgetbuild.report.words.notation import Notation
from budgetbuild.report.words.safety import safety
from tests.browser import DESK, PHONE, keep_inside, scrolls_sideways, violations
from tests.report import fixtures
from tests.report.counter_page import FULL, euro, expected, first, served, shown
from tests.report.curves import CATALOGUE, ESTATE
from tests.report.test_counter import hostile_page

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Browser, Page, ViewportSize

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESK, {"width": 900, "height": 900}, PHONE], ids=["desk", "tablet", "phone"])
@pytest.mark.parametrize(
    "fragment", ["#budget=1500", "#budget=100", "#budget=1.450", "#vehicle=Tern+Estate&brief=Keep+own"]
)
def test_the_page_keeps_wcag_22_aa(
    scheme: str, size: ViewportSize, fragment: str, counter: Callable[..., Page]
) -> None:
    page = counter(fragment, size, color_scheme=scheme)
    assert violations(page) == []
    assert not scrolls_sideways(page)


def test_a_planted_fault_is_found(visit: Callable[..., Page]) -> None:
    page = visit("about:blank")
    page.set_content("<html><body><img src='data:,'><p style='color:#999;background:#aaa'>faint</p></body></html>")
    assert {found.split(":")[0] for found in violations(page)} >= {"image-alt", "html-has-lang", "color-contrast"}


def test_a_window_made_narrow_is_laid_out_anew(counter: Callable[..., Page]) -> None:
    page = counter("#budget=1500")
    page.set_viewport_size(PHONE)
    page.wait_for_timeout(400)
    assert not scrolls_sideways(page)
    assert shown(page) == expected(first(FULL.at(151500)))
    page.set_viewport_size(DESK)
    page.wait_for_timeout(400)
    assert page.locator("#parts tbody tr").first.bounding_box() == pytest.approx(
        counter("#budget=1500").locator("#parts tbody tr").first.bounding_box()
    )


def test_a_long_name_does_not_widen_the_page_of_a_phone(visit: Callable[..., Page], tmp_path: Path) -> None:
    long = "Unbreakable" * 14
    named = replace(FULL, brief=replace(FULL.brief, name=long), vehicle=replace(ESTATE, name=long))
    assert not scrolls_sideways(visit(served(tmp_path, named) + "#budget=1500", PHONE))


def test_the_spoken_summary_waits_until_the_slider_rests(counter: Callable[..., Page]) -> None:
    page = counter("#budget=1500")
    page.evaluate(
        """() => {
            window.said = [];
            const status = document.getElementById('status');
            new MutationObserver(() => said.push(status.textContent)).observe(status, {childList: true, subtree: true});
        }"""
    )
    page.wait_for_timeout(600)
    page.focus("#slider")
    for _ in range(20):
        page.keyboard.press("ArrowRight")
    page.wait_for_timeout(700)
    point = first(FULL.at(int(page.input_value("#slider")) * 101 // 100))
    said = page.evaluate("said")
    assert len(said) <= 2
    assert euro(point.total) in said[-1]
    assert f"Score {Notation().points(point.score)}." in said[-1]


STEPS = """
async (count) => {
  const slider = document.getElementById('slider'), times = [];
  const places = () => ['vehicle', 'brief', 'budget', 'slider', 'total', 'parts'].map(
    (id) => { const box = document.getElementById(id).getBoundingClientRect(); return [box.x, box.y]; });
  const before = JSON.stringify(places());
  let shift = 0, moved = 0;
  new PerformanceObserver((list) => list.getEntries().forEach((entry) => { shift += entry.value; }))
    .observe({type: 'layout-shift', buffered: false});
  for (let step = 0; step < count; step += 1) {
    slider.value = Math.round((Number(slider.max) * ((step * 7) % count)) / count);
    const start = performance.now();
    slider.dispatchEvent(new Event('input', {bubbles: true}));
    document.body.getBoundingClientRect();
    times.push(performance.now() - start);
    moved += JSON.stringify(places()) === before ? 0 : 1;
    await new Promise(requestAnimationFrame);
  }
  times.sort((a, b) => a - b);
  return {p95: times[Math.floor(times.length * 0.95)], worst: times[times.length - 1], shift, moved};
}
"""


@pytest.mark.timed
def test_a_step_of_the_slider_is_fast_and_moves_nothing(counter: Callable[..., Page]) -> None:
    found = counter("#budget=1500").evaluate(STEPS, 250)
    assert found["p95"] < 16
    assert found["moved"] == 0
    assert found["shift"] == 0


@pytest.mark.parametrize("size", [{"width": 900, "height": 900}, PHONE], ids=["tablet", "phone"])
def test_the_controls_stay_where_they_are_on_small_screens(size: ViewportSize, counter: Callable[..., Page]) -> None:
    found = counter("#budget=1500", size).evaluate(STEPS, 60)
    assert found["moved"] == 0


def test_hostile_text_does_nothing_and_no_request_leaves(browser: Browser, tmp_path: Path) -> None:
    path = tmp_path / "counter.html"
    path.write_bytes(hostile_page())
    context = browser.new_context()
    asked = keep_inside(context, path.as_uri())
    dialogs: list[str] = []
    problems: list[str] = []
    page = context.new_page()
    page.on("dialog", lambda dialog: dialogs.append(dialog.message))
    page.on("pageerror", lambda error: problems.append(str(error)))
    page.goto(path.as_uri() + "#vehicle=<img src=x onerror=alert(1)>&budget=900000")
    page.press("#slider", "End")
    page.wait_for_timeout(600)
    assert "</script><img src=x onerror=alert(1)> <!-- {{7*7}} &" in page.inner_text("#parts")
    assert page.locator("img, iframe, a[href^='javascript']").count() == 0
    assert (asked, dialogs, problems) == ([], [], [])
    context.close()


def test_the_browser_itself_refuses_what_the_tool_did_not_write(browser: Browser, counter_address: str) -> None:
    context = browser.new_context()
    asked = keep_inside(context, counter_address)
    page = context.new_page()
    page.goto(counter_address)
    refused = page.evaluate(
        """async () => {
            const script = document.createElement('script');
            let found = '';
            try { document.body.innerHTML = '<b>x</b>'; } catch (error) { found += error.name; }
            try { script.textContent = 'window.planted = true'; } catch (error) { found += error.name; }
            const image = new Image();
            image.src = 'https://evil.example/x.png';
            await fetch('https://evil.example/').catch(() => { found += ' no fetch'; });
            return [found, window.planted === undefined];
        }"""
    )
    assert refused == ["TypeErrorTypeError no fetch", True]
    assert asked == []
    context.close()


def test_without_javascript_the_page_says_what_it_needs(counter: Callable[..., Page]) -> None:
    page = counter(java_script_enabled=False)
    assert "needs JavaScript" in page.inner_text("body")
    assert page.is_hidden("main")


def told_by(*command: str | Path) -> str:
    """What a command prints."""
    done = subprocess.run(command, check=True, capture_output=True, text=True)  # noqa: S603 - fixed arguments
    return done.stdout


def test_print_gives_a_sheet_for_the_customer(counter: Callable[..., Page], tmp_path: Path) -> None:
    page, pdf = counter("#budget=1500"), tmp_path / "sheet.pdf"
    page.pdf(path=pdf, prefer_css_page_size=True)
    assert "A4" in told_by("pdfinfo", pdf)
    text = told_by("pdftotext", "-layout", pdf, "-")
    words = " ".join(text.split())
    point = first(FULL.at(151500))
    products = {product.sku: product for product in CATALOGUE.products()}
    wanted = [
        "Northquay Fitting", "2 November 2026", "Tern Hatch", "New head unit", f"Budget {euro(150000)}",
        euro(point.total),
        *(line.description for line in point.lines), *(euro(line.running_total) for line in point.lines),
        *(sentence.text for sentence in safety(point, products, fixtures.VOICE)),
    ]  # fmt: skip
    assert [each for each in wanted if " ".join(each.split()) not in words] == []
    unwanted = ["Print for the customer", "The next step up", "Points earned", "none", "Usual budgets"]
    assert [each for each in unwanted if each in words] == []
