"""Makes the pictures that the README shows, from what the tool makes of the sample.

Run as `python -m tests.pictures.make_pictures`; needs `chromium`, `soffice` and `pdftoppm`. The pictures are looked at,
not compared: other versions of these programs draw other pixels.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from pathlib import Path

from budgetbuild.cli import main

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / ".readme"
WIDTH = 1000
GUIDE_HEIGHT = 876
"""Pixels of the guide that are shown: the first system with its parts."""
COUNTER_HEIGHT = 760
"""Pixels of the counter page that are shown: controls, curve, and the first parts."""
SHEET_PAGE, SHEET_DOTS = 3, 110
"""Page of the printed workbook that is shown, the second of the comparison, and its dots per inch."""
SHEET_LEFT, SHEET_TOP, SHEET_WIDTH, SHEET_HEIGHT = 46, 64, 924, 448
"""Dots of that page that are shown: parts and figures, without the header above and the costs below."""
TIER = "Top"
"""The tier whose first system's wiring is shown."""
MOST_BYTES = 150_000
HIDDEN = """<style>
header, nav, .skip, .build > figure { display: none }
.build { margin-top: 0; padding-top: 0; border: 0 }
</style></head>"""
"""Hides what stands above the first system, and its wiring, which has a picture of its own."""


def run(*command: str | Path) -> None:
    """Run a program; its output is shown only where it fails.

    Raises:
        RuntimeError: It failed.
    """
    done = subprocess.run(list(map(str, command)), capture_output=True, text=True, timeout=180, check=False)  # noqa: S603
    if done.returncode:
        raise RuntimeError(f"{command[0]} failed: {done.stderr}")


def shoot(page: str, size: tuple[int, int], picture: Path, folder: Path, fragment: str = "") -> None:
    """Take a picture of the top of a page, as many pixels wide and high as `size`."""
    source = folder / "page.html"
    source.write_text(page, "utf-8")
    options = ["--headless", "--no-sandbox", "--hide-scrollbars", "--disable-gpu", f"--user-data-dir={folder / 'user'}"]
    run(
        "chromium", *options, "--window-size={},{}".format(*size), f"--screenshot={picture}", source.as_uri() + fragment
    )


def shoot_guide(guide: str, folder: Path) -> None:
    """The first system of the guide, without what stands above it."""
    shoot(guide.replace("</head>", HIDDEN, 1), (WIDTH, GUIDE_HEIGHT), PICTURES / "guide.png", folder)


def shoot_wiring(guide: str, folder: Path) -> None:
    """The wiring picture of a larger system.

    Raises:
        ValueError: The guide has no such system.
    """
    found = re.search(
        rf'id="build-\d+-{TIER.lower()}-.*?(<svg.*?viewBox="0 0 ([\d.]+) ([\d.]+)".*?</svg>)', guide, re.DOTALL
    )
    if not found:
        raise ValueError(f"the guide shows no wiring of the tier {TIER}")
    svg, width, height = found.groups()
    page = f'<!DOCTYPE html><meta charset="utf-8"><style>body {{ margin: 10px; color: #1d2329 }}</style>{svg}'
    shoot(page, (round(float(width)) + 20, round(float(height)) + 20), PICTURES / "wiring.png", folder)


def shoot_counter(folder: Path) -> None:
    """The counter page at a budget between two tiers."""
    page = (folder / "counter.html").read_text("utf-8")
    shoot(page, (WIDTH, COUNTER_HEIGHT), PICTURES / "counter.png", folder, "#budget=1450")


def shoot_comparison(folder: Path) -> None:
    """A page of the comparison as it prints."""
    profile = (folder / "profile").as_uri()
    run("soffice", f"-env:UserInstallation={profile}", "--headless", "--convert-to", "pdf", "--outdir", folder,
        folder / "tiers.xlsx")  # fmt: skip
    page = ("-f", str(SHEET_PAGE), "-l", str(SHEET_PAGE), "-singlefile", "-r", str(SHEET_DOTS))
    area = ("-x", str(SHEET_LEFT), "-y", str(SHEET_TOP), "-W", str(SHEET_WIDTH), "-H", str(SHEET_HEIGHT))
    run("pdftoppm", "-png", *page, *area, folder / "tiers.pdf", PICTURES / "comparison")


def make() -> None:
    """Make every picture anew.

    Raises:
        RuntimeError: A program failed, or a picture is too large for a README.
    """
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if main(["build", str(ROOT / "sample_catalogue.xlsx"), "--out", name, "--quiet"]):
            raise RuntimeError("the sample could not be built")
        guide = (folder / "guide.html").read_text("utf-8")
        shoot_guide(guide, folder)
        shoot_wiring(guide, folder)
        shoot_counter(folder)
        shoot_comparison(folder)
    for picture in sorted(PICTURES.glob("*.png")):
        if picture.stat().st_size > MOST_BYTES:
            raise RuntimeError(f"{picture.name} has {picture.stat().st_size} bytes, more than {MOST_BYTES}")


if __name__ == "__main__":
    make()
