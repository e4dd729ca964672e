"""Fixtures for the tests of outputs: one browser for all of them, and pages that must not complain."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.cli import main
from budgetbuild.report.pages.counter import render_counter
from tests.browser import DESK, chromium
from tests.report.counter_page import CURVES
from tests.report.curves import CATALOGUE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A headless Chromium, started for the first test that needs it."""
    with chromium() as started:
        yield started


@pytest.fixture(scope="session")
def published(sample_workbook: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder with everything that the sample gives."""
    folder = tmp_path_factory.mktemp("published")
    assert main(["build", str(sample_workbook), "--out", str(folder), "--counter", "briefs", "--quiet"]) == 0
    return folder


@pytest.fixture
def visit(browser: Browser) -> Iterator[Callable[..., Page]]:
    """Open a page by its address; whatever it says to the console or throws fails the test."""
    contexts: list[BrowserContext] = []
    complaints: list[str] = []

    def opened(address: str, size: ViewportSize = DESK, **settings: Any) -> Page:  # noqa: ANN401 - the browser's own
        contexts.append(browser.new_context(viewport=size, **settings))
        page = contexts[-1].new_page()
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(address)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert complaints == []


@pytest.fixture(scope="session")
def counter_address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Where a counter page lies: a plain file."""
    path: Path = tmp_path_factory.mktemp("counter") / "counter.html"
    path.write_bytes(render_counter(CURVES, CATALOGUE))
    return path.as_uri()


@pytest.fixture
def counter(visit: Callable[..., Page], counter_address: str) -> Callable[..., Page]:
    """Open the counter page, with what its address asks for after the `#`."""

    def opened(fragment: str = "", size: ViewportSize = DESK, **settings: Any) -> Page:  # noqa: ANN401
        return visit(counter_address + fragment, size, **settings)

    return opened
