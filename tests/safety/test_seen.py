"""The eight facts as real programs show them: Chromium on screen and on paper, LibreOffice on paper, a terminal."""

from __future__ import annotations

import subprocess
from typing import TYPE_CHECKING

import pytest

from budgetbuild.report.pages.browser import find_browser
from budgetbuild.report.pages.pdf import print_pdf
from tests.browser import PHONE, chromium
from tests.cli.terminal import sit
from tests.injection.outputs import tame
from tests.registry import command
from tests.safety.facts import untold

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser

PAGES = (
    "build/guide.html", "build/pick_list.html", "build/counter.html", "quote-html/quote.html", "quote-html/bay.html",
    "recheck/what_changed.html", "fleet-pages/counters/Kestrel-Hatch.html",
)  # fmt: skip


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A headless Chromium for all of them."""
    with chromium() as started:
        yield started


@pytest.mark.browser
@pytest.mark.parametrize("name", PAGES)
def test_a_page_shows_them_as_it_opens_and_prints_them(name: str, browser: Browser, tmp_path: Path) -> None:
    page = browser.new_page(viewport=PHONE)
    page.goto((tame().folder / name).as_uri())
    assert untold(page.inner_text("body")) == []
    page.emulate_media(media="print")
    assert untold(page.inner_text("body")) == []
    page.pdf(path=tmp_path / "page.pdf", format="A4")
    page.close()
    assert untold(paper(tmp_path / "page.pdf")) == []


@pytest.mark.browser
def test_the_printed_guide_tells_them(tmp_path: Path) -> None:
    browser = find_browser()
    (tmp_path / "guide.pdf").write_bytes(print_pdf(tame().files["build/guide.html"], browser))
    assert untold(paper(tmp_path / "guide.pdf"), 12) == []


@pytest.mark.office
def test_the_workbook_prints_them(tmp_path: Path) -> None:
    (tmp_path / "quote.xlsx").write_bytes(tame().files["quote-xlsx/quote.xlsx"])
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    convert = [command("soffice"), profile, "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path)]
    subprocess.run([*convert, tmp_path / "quote.xlsx"], check=True, capture_output=True, timeout=180)  # noqa: S603
    assert untold(paper(tmp_path / "quote.pdf")) == []


def test_a_narrow_terminal_shows_them() -> None:
    words = ["quote", str(tame().listed), "--budget", "1300", "--brief", "Factory"]
    sitting = sit(words, columns=40)
    assert sitting.status == 0
    assert untold(sitting.seen) == []


def paper(path: Path) -> str:
    """What stands on printed pages."""
    done = subprocess.run([command("pdftotext"), path, "-"], check=True, capture_output=True, text=True)  # noqa: S603
    return done.stdout
