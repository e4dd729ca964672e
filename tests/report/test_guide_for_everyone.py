"""The HTML guide in real Chromium: WCAG 2.2 AA, light and dark, from a desk to a phone, without a script."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.report import render_all
from tests.browser import DESK, PHONE, keep_inside, scrolls_sideways, violations
from tests.report import fixtures
from tests.report.written import PLAIN, written

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Browser, Page, ViewportSize

pytestmark = pytest.mark.browser

UNFOLD = "document.querySelectorAll('details').forEach(part => { part.open = true; })"
COLOURS = "() => { const style = getComputedStyle(document.body); return [style.color, style.backgroundColor]; }"


@pytest.fixture
def guide(published: Path) -> str:
    """Address of the sample's guide."""
    return (published / "guide.html").as_uri()


def saved(page: bytes, folder: Path) -> str:
    """Address of a page of our own making."""
    path = folder / "guide.html"
    path.write_bytes(page)
    return path.as_uri()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_guide_keeps_wcag_22_aa(
    size: ViewportSize, scheme: str, visit: Callable[..., Page], tmp_path: Path
) -> None:
    page = visit(saved(written(PLAIN)["guide.html"], tmp_path), size, color_scheme=scheme)
    page.evaluate(UNFOLD)
    assert violations(page) == []
    assert not scrolls_sideways(page)


@pytest.mark.parametrize(("size", "scheme"), [(DESK, "light"), (PHONE, "dark")], ids=["desk", "phone"])
def test_the_guide_of_a_system_for_several_vehicles_keeps_wcag_22_aa(
    size: ViewportSize, scheme: str, visit: Callable[..., Page], tmp_path: Path
) -> None:
    page = visit(saved(written(PLAIN)["kit_guide.html"], tmp_path), size, color_scheme=scheme)
    page.evaluate(UNFOLD)
    assert violations(page) == []
    assert not scrolls_sideways(page)


@pytest.mark.parametrize(("size", "scheme"), [(DESK, "light"), (PHONE, "dark")], ids=["desk", "phone"])
def test_the_guide_of_the_sample_as_it_opens_keeps_wcag_22_aa(
    size: ViewportSize, scheme: str, visit: Callable[..., Page], guide: str
) -> None:
    page = visit(guide, size, color_scheme=scheme)
    assert violations(page) == []
    assert not scrolls_sideways(page)


@pytest.mark.parametrize("called", ["Unbreakable" * 14, "W" * 60, "Cable " * 40], ids=["long", "wide", "many words"])
def test_names_of_any_length_do_not_widen_the_page_of_a_phone(
    called: str, visit: Callable[..., Page], tmp_path: Path
) -> None:
    page = visit(saved(render_all(*fixtures.renamed(called))["guide.html"], tmp_path), PHONE)
    page.evaluate(UNFOLD)
    assert not scrolls_sideways(page)


def test_dark_is_light_on_dark_and_light_dark_on_light(guide: str, visit: Callable[..., Page]) -> None:
    dark, light = (visit(guide, color_scheme=scheme).evaluate(COLOURS) for scheme in ("dark", "light"))
    assert brightness(dark[0]) - brightness(dark[1]) > 0.7
    assert brightness(light[1]) - brightness(light[0]) > 0.7


def brightness(colour: str) -> float:
    """How bright a colour is as the browser writes it, from 0 to 1."""
    red, green, blue = (int(part) / 255 for part in colour.removeprefix("rgb(").removesuffix(")").split(","))
    return 0.21 * red + 0.72 * green + 0.07 * blue


def test_without_javascript_and_network_the_guide_is_all_there(browser: Browser, guide: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    asked = keep_inside(context, guide)
    page = context.new_page()
    page.goto(guide)
    page.locator("summary").last.scroll_into_view_if_needed()
    for summary in page.locator("summary").all():
        summary.click()
    assert page.locator("tbody tr:visible").count() == page.locator("tbody tr").count() > 0
    assert asked == []
    context.close()
