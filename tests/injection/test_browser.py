"""Every page of a hostile list in real Chromium: nothing runs, leaves, or is there that the plain page lacks."""

from __future__ import annotations

import re
import subprocess
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.report.pages.browser import find_browser
from budgetbuild.report.pages.pdf import print_pdf
from tests.browser import chromium, keep_inside
from tests.injection.outputs import tame, wild
from tests.injection.payloads import EVIL, GOOD_LINK
from tests.registry import command

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

PAGES = (
    "build/guide.html", "build/pick_list.html", "build/counter.html", "quote-html/quote.html", "quote-html/bay.html",
    "recheck/what_changed.html", "counter/counter.html",
)  # fmt: skip
CENSUS = """() => {
  const tally = {};
  for (const element of document.querySelectorAll('*')) {
    if (element.localName === 'text') continue;
    const made = [element.localName, ...element.getAttributeNames().sort()].join(' ');
    tally[made] = (tally[made] || 0) + 1;
  }
  return tally;
}"""
SETTINGS = {"default-src": "'none'", "base-uri": "'none'", "form-action": "'none'"}
POKE = """() => {
  document.querySelectorAll('a, [tabindex], summary, input, select, button').forEach(each => {
    each.dispatchEvent(new MouseEvent('mouseover', {bubbles: true}));
    each.focus();
  });
  for (const box of document.querySelectorAll('details')) box.open = true;
  for (const range of document.querySelectorAll('input[type=range]')) {
    range.value = range.max;
    range.dispatchEvent(new Event('input', {bubbles: true}));
  }
}"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A headless Chromium for all of them."""
    with chromium() as started:
        yield started


def looked_at(browser: Browser, path: Path, policy: str | None = None) -> tuple[dict[str, int], list[str], Any]:
    """A page after everything on it was touched: its elements, what went wrong, its policy."""
    context = browser.new_context()
    wrong: list[str] = []
    page = context.new_page()
    context.on("request", lambda request: wrong.append(request.url))
    page.on("dialog", lambda dialog: wrong.append(f"dialog {dialog.message}"))
    page.on("console", lambda message: wrong.append(message.text))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.goto(path.as_uri() + (policy or ""))
    assert wrong.pop(0).split("#")[0] == path.as_uri()
    page.evaluate(POKE)
    page.wait_for_timeout(100)
    if page.evaluate("window.__pwned !== undefined"):
        wrong.append("something ran")
    told = page.evaluate("document.querySelector('meta[http-equiv=Content-Security-Policy]').content")
    links = page.evaluate("[...document.querySelectorAll('a')].map(a => a.href)")
    wrong += [link for link in links if EVIL in link or link.partition(":")[0] not in {"file", "https", ""}]
    census = page.evaluate(CENSUS)
    context.close()
    return census, wrong, told


@pytest.mark.parametrize("name", PAGES)
def test_a_page_does_nothing_and_holds_nothing_that_the_plain_one_lacks(name: str, browser: Browser) -> None:
    plain, nothing, _ = looked_at(browser, tame().folder / name)
    hostile, wrong, policy = looked_at(browser, wild().folder / name)
    assert (nothing, wrong) == ([], [])
    assert hostile == plain
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules.items() >= SETTINGS.items()
    assert "unsafe" not in policy
    assert all(re.fullmatch(r"'sha256-[^ ]+'", rules[one]) for one in ("style-src", "script-src") if one in rules)
    assert set(rules) <= {*SETTINGS, "style-src", "script-src", "require-trusted-types-for", "trusted-types"}


def test_a_counter_page_of_a_fleet_does_nothing(browser: Browser) -> None:
    for path in sorted((wild().folder / "fleet-pages" / "counters").iterdir()):
        assert looked_at(browser, path, "#vehicle=<img src=x onerror=alert(1)>&budget=900")[1] == []


@pytest.mark.parametrize("name", PAGES)
def test_what_would_act_in_a_page_is_refused_by_the_browser(name: str, browser: Browser, tmp_path: Path) -> None:
    """Were something to slip through after all: no script, no handler, no style, no picture from outside, no base."""
    path = tmp_path / "page.html"
    planted = (
        "<script>window.__pwned=1</script><img src=x onerror='window.__pwned=1'><p id=p style='color:red'>x</p>"
        f"<style>#p {{ display: none }}</style><img src=https://{EVIL}/x.png><iframe src=https://{EVIL}/></iframe>"
        f"<form id=f action=https://{EVIL}/><input name=a></form><a href='javascript:window.__pwned=1' id=j>x</a>"
    )
    content = (wild().folder / name).read_text("utf-8")
    path.write_text(content.replace("</body>", f"{planted}</body>"), "utf-8")
    context = browser.new_context()
    asked = keep_inside(context, path.as_uri())
    page = context.new_page()
    page.goto(path.as_uri())
    page.evaluate("document.getElementById('f').submit(); document.getElementById('j').click()")
    page.wait_for_timeout(100)
    look = "(({color, display}) => [window.__pwned, color, display])(getComputedStyle(document.getElementById('p')))"
    ran, colour, shown = page.evaluate(look)
    assert ran is None
    assert colour != "rgb(255, 0, 0)"
    assert shown == "block"
    assert asked == []
    context.close()


def test_a_printed_guide_runs_nothing_and_leads_only_where_the_list_says(tmp_path: Path) -> None:
    path = tmp_path / "guide.pdf"
    browser = find_browser()
    path.write_bytes(print_pdf(wild().files["build/guide.html"], browser))
    links = subprocess.run([command("pdfinfo"), "-url", path], check=True, capture_output=True, text=True).stdout  # noqa: S603
    told = {line.split()[-1] for line in links.splitlines()[1:]}
    assert told == {GOOD_LINK.replace("(", "%28").replace(")", "%29")}
    script = subprocess.run([command("pdfinfo"), "-js", path], check=True, capture_output=True, text=True).stdout  # noqa: S603
    assert "alert" not in script
    assert re.search(rb"/(?:JavaScript|JS|Launch|GoToR|EmbeddedFile|OpenAction)\b", path.read_bytes()) is None
