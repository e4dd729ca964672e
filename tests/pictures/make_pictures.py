"""Makes the pictures that the README shows, from what the tool makes of the sample.

Run as `python -m tests.pictures.make_pictures [FOLDER]`; without a folder it writes those of the README anew. Needs
Chromium, `soffice`, `pdftotext` and `pdftoppm`. The pictures are looked at, not compared: other versions of these
programs draw other pixels.
"""

from __future__ import annotations

import argparse
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.cli import main
from tests.browser import chromium
from tests.pictures.printed import page_with, words_on

if TYPE_CHECKING:
    from playwright.sync_api import Browser, FloatRect, Locator, Page

ROOT = Path(__file__).parents[2]
README_PICTURES = ROOT / ".readme"
WIDTH = 1000
MARGIN = 16
GUIDE_TIER, GUIDE_ROWS = "middle", 2
"""The tier whose first system shows the guide, and how many rows of its parts are seen under the wiring."""
WIRING_TIER = "top"
"""The tier whose first system's wiring is shown alone."""
COUNTER_HEIGHT = 760
"""Pixels of the counter page that are shown: controls, curve, and the first parts."""
COUNTER_BUDGET = 1450
"""A budget between two tiers."""
SHEET, SHEET_TIER = "Comparison", "Middle"
SHEET_DOTS, SHEET_HEIGHT = 110, 560
"""Dots per inch of the printed workbook, and the most dots of it that are shown from the top down."""
POINTS = 72
MOST_BYTES = 200_000


@dataclass(frozen=True, slots=True)
class Shop:
    """What the pictures are taken from, and where they go."""

    browser: Browser
    outputs: Path
    pictures: Path

    def visit(self, name: str, height: int = 900) -> Page:
        """Open one of the pages, in light colours."""
        page = self.browser.new_page(viewport={"width": WIDTH, "height": height}, color_scheme="light")
        path, _, fragment = name.partition("#")
        page.goto(f"{(self.outputs / path).as_uri()}{'#' if fragment else ''}{fragment}")
        return page


def run(*command: str | Path) -> None:
    """Run a program; its output is shown only where it fails.

    Raises:
        RuntimeError: It failed.
    """
    done = subprocess.run(list(map(str, command)), capture_output=True, text=True, timeout=180, check=False)  # noqa: S603
    if done.returncode:
        raise RuntimeError(f"{command[0]} failed: {done.stderr}")


def first_system(page: Page, tier: str) -> Locator:
    """The section of a tier's first system."""
    return page.locator(f'section[id^="build-"][id*="-{tier}-"]').first


def edges(place: Locator) -> FloatRect:
    """Where something stands in its page.

    Raises:
        ValueError: It is not there, or not to be seen.
    """
    found = place.bounding_box()
    if found is None:
        raise ValueError(f"{place} is not to be seen")
    return found


def shoot_guide(shop: Shop) -> None:
    """One system of the guide: what it is, its wiring, and the first of its parts."""
    page = shop.visit("guide.html")
    system = first_system(page, GUIDE_TIER)
    last = edges(system.locator("table:visible").first.locator("tbody tr").nth(GUIDE_ROWS - 1))
    top = edges(system.locator('[id$="-head"]').first)["y"] - MARGIN
    clip: FloatRect = {"x": 0, "y": top, "width": WIDTH, "height": last["y"] + last["height"] - top}
    page.screenshot(path=shop.pictures / "guide.png", clip=clip, full_page=True)


def shoot_wiring(shop: Shop) -> None:
    """The wiring picture of a larger system."""
    page = shop.visit("guide.html")
    drawing = first_system(page, WIRING_TIER).locator('svg[aria-labelledby^="wiring-"]')
    found = edges(drawing)
    clip: FloatRect = {
        "x": found["x"] - MARGIN,
        "y": found["y"] - MARGIN,
        "width": found["width"] + 2 * MARGIN,
        "height": found["height"] + MARGIN,
    }
    page.screenshot(path=shop.pictures / "wiring.png", clip=clip, full_page=True)


def shoot_counter(shop: Shop) -> None:
    """The counter page at a budget between two tiers."""
    page = shop.visit(f"counter.html#budget={COUNTER_BUDGET}", COUNTER_HEIGHT)
    page.screenshot(path=shop.pictures / "counter.png")


def shoot_comparison(shop: Shop) -> None:
    """The comparison of one tier's systems as the workbook prints, cut close around its words."""
    profile = (shop.outputs / "profile").as_uri()
    run("soffice", f"-env:UserInstallation={profile}", "--headless", "--convert-to", "pdf", "--outdir", shop.outputs,
        shop.outputs / "tiers.xlsx")  # fmt: skip
    printed = shop.outputs / "tiers.pdf"
    number = page_with(printed, SHEET, f"{SHEET_TIER}:")
    words, scale, margin = words_on(printed, number), SHEET_DOTS / POINTS, MARGIN / 2
    left, top = (round(min(word[side] for word in words) * scale - margin) for side in (0, 1))
    shown = [word for word in words if word[3] * scale <= top + SHEET_HEIGHT]
    right, bottom = (round(max(word[side] for word in shown) * scale) for side in (2, 3))
    page = ("-f", str(number), "-l", str(number), "-singlefile", "-r", str(SHEET_DOTS))
    area = ("-x", str(left), "-y", str(top), "-W", str(right - left + MARGIN), "-H", str(bottom - top))
    run("pdftoppm", "-png", *page, *area, printed, shop.pictures / "comparison")


def make(pictures: Path) -> None:
    """Make every picture anew in a folder.

    Raises:
        RuntimeError: A program failed, or a picture is too large for a README.
    """
    pictures.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name, chromium() as browser:
        if main(["build", str(ROOT / "sample_catalogue.xlsx"), "--out", name, "--quiet"]):
            raise RuntimeError("the sample could not be built")
        shop = Shop(browser, Path(name), pictures)
        shoot_guide(shop)
        shoot_wiring(shop)
        shoot_counter(shop)
        shoot_comparison(shop)
    for picture in sorted(pictures.glob("*.png")):
        if picture.stat().st_size > MOST_BYTES:
            raise RuntimeError(f"{picture.name} has {picture.stat().st_size} bytes, more than {MOST_BYTES}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="Make the pictures of the README.")
    parser.add_argument("folder", nargs="?", type=Path, default=README_PICTURES)
    make(parser.parse_args().folder)
