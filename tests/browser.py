"""Drives Chromium for tests, and holds pages against WCAG 2.2 AA with the rule engine axe-core.

A machine without Chromium or npm fails these tests; it never skips them.
"""

from __future__ import annotations

import atexit
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

from tests.registry import command, from_npm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, BrowserContext, Page, Playwright, Route, ViewportSize

AXE_VERSION = "4.14.1"
AXE_SHA512 = "FHfa+lmNjQZfJz1q8wKqIDwC6DExcHt/pkjNQb09a3NPjCKg2rhu5qb2S4r76ASyFNNtuFooJpZe37OgudVGtQ=="
"""SHA-512 of the package, as its registry publishes it."""

DESK: ViewportSize = {"width": 1366, "height": 900}
PHONE: ViewportSize = {"width": 320, "height": 640}
"""The narrowest window in which a page must not scroll sideways (WCAG 2.2, 1.4.10)."""

WCAG_22_AA = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa")


@contextmanager
def chromium() -> Iterator[Browser]:
    """A headless Chromium; without its sandbox, since tests often run as root, where it has none."""
    browser = _playwright().chromium.launch(executable_path=command("chromium"), args=["--no-sandbox"])
    try:
        yield browser
    finally:
        browser.close()


@cache
def _playwright() -> Playwright:
    """Started once in a process, whose tests share it: a second one will not run beside it."""
    playwright = sync_playwright().start()
    atexit.register(playwright.stop)
    return playwright


@cache
def axe_source() -> str:
    """The rule engine's script, fetched once through npm at the pinned version and held against its checksum."""
    return from_npm("axe-core", AXE_VERSION, AXE_SHA512, "axe.min.js").decode()


def violations(page: Page) -> list[str]:
    """What breaks WCAG 2.2 AA on a page as it stands: each rule with the elements concerned."""
    page.evaluate(axe_source())
    found = page.evaluate("tags => axe.run({runOnly: {type: 'tag', values: tags}})", list(WCAG_22_AA))
    assert found["passes"], "the rule engine looked at nothing"
    return [f"{rule['id']}: {rule['help']}: {[node['html'] for node in rule['nodes']]}" for rule in found["violations"]]


def keep_inside(context: BrowserContext, allowed: str) -> list[str]:
    """Let a context load one address alone; every other address asked for is refused and listed."""
    asked: list[str] = []

    def answer(route: Route) -> None:
        if route.request.url.split("#")[0] == allowed:
            route.continue_()
        else:
            asked.append(route.request.url)
            route.abort()

    context.route("**/*", answer)
    return asked


def scrolls_sideways(page: Page) -> bool:
    """Whether the page is wider than its window."""
    wider: bool = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return wider
