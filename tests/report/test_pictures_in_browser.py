"""The pictures in real Chromium: its own measure of every text, alone and in a page, light and dark."""

from __future__ import annotations

import itertools
import re
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.report.assets import template_folders
from tests.browser import PHONE, scrolls_sideways, violations
from tests.report.drawn import Area, every_picture

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page

pytestmark = pytest.mark.browser

MEASURE = """() => [...document.querySelectorAll('svg')].map(svg => {
  const area = box => [box.x, box.y, box.x + box.width, box.y + box.height];
  const inside = [...svg.querySelectorAll('rect')].map(shape => area(shape.getBBox()));
  const texts = [...svg.querySelectorAll('text')].map(text => [...area(text.getBBox()), text.textContent]);
  const {width, height} = svg.viewBox.baseVal;
  return {name: svg.querySelector('title').textContent, size: [0, 0, width, height], boxes: inside, texts};
})"""
ASCENT_SPARED, DESCENT_SPARED = 2.0, 2.0
"""A text's box reaches from the face's ascent to its descent, further than its letters; lines stand closer."""


def page_of(pictures: dict[str, str], folder: Path, head: str = "") -> str:
    """A page with all pictures, as an address."""
    path = folder / "pictures.html"
    shown = "".join(f'<div class="wide" tabindex="0" role="region" aria-label="{n}">{svg}</div>'
                    for n, svg in enumerate(pictures.values()))  # fmt: skip
    head = f'<meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Pictures</title>{head}'
    path.write_text(
        f'<!DOCTYPE html><html lang="en"><head>{head}</head><body><main><h1>Pictures</h1>{shown}</main>', "utf-8"
    )
    return path.as_uri()


def letters(area: list[Any]) -> Area:
    """Where the letters of a text are."""
    left, top, right, bottom, words = area
    return Area(left, top + ASCENT_SPARED, right, bottom - DESCENT_SPARED, words)


def faults(told: dict[str, Any]) -> list[str]:
    """What is wrong with a picture: texts over each other, over the edge of a box, or out of the picture."""
    found = [letters(text) for text in told["texts"]]
    frame, inside = Area(*told["size"]), [Area(*box) for box in told["boxes"]]
    over = [f"{one.text} / {other.text}" for one, other in itertools.combinations(found, 2) if one.meets(other)]
    out = [text.text for text in found if not frame.holds(text)]
    cut = [text.text for text in found if any(box.meets(text) and not box.holds(text) for box in inside)]
    return [f"{told['name']}: {fault}" for fault in (*over, *out, *cut)]


@pytest.mark.parametrize("face", ["system-ui", "sans-serif", "DejaVu Sans", "Liberation Sans"])
def test_texts_as_chromium_measures_them_keep_apart_and_inside(
    face: str, visit: Callable[..., Page], tmp_path: Path
) -> None:
    pictures = every_picture()
    page = visit(page_of(pictures, tmp_path, f"<style>text {{ font-family: '{face}', sans-serif }}</style>"))
    told = page.evaluate(MEASURE)
    assert len(told) == len(pictures)
    assert all(each["texts"] for each in told)
    assert [fault for each in told for fault in faults(each)] == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pictures_in_a_page_break_no_rule_of_wcag(scheme: str, visit: Callable[..., Page], tmp_path: Path) -> None:
    (folder,) = template_folders()
    colours = " ".join(re.findall(r"^\.(?:fill|stroke)-.*", (folder / "guide.css").read_text("utf-8"), re.MULTILINE))
    style = (
        "<style>:root { --ink: #1d2329; --paper: #fff; color: var(--ink); background: var(--paper) }"
        "@media (prefers-color-scheme: dark) { :root { --ink: #e8ecef; --quiet: #aeb9c2; --paper: #14181c;"
        " --panel: #20272e; --line: #45505a; --bar: #6fa8d6 } } .wide { overflow-x: auto }"
        f" svg {{ color: var(--ink) }} {colours}</style>"
    )
    page = visit(page_of(every_picture(), tmp_path, style), color_scheme=scheme)
    assert violations(page) == []


def test_on_a_phone_a_picture_scrolls_in_its_own_region(visit: Callable[..., Page], tmp_path: Path) -> None:
    page = visit(page_of(every_picture(), tmp_path, "<style>.wide { overflow-x: auto }</style>"), PHONE)
    assert not scrolls_sideways(page)


def test_a_picture_alone_is_black_on_white(visit: Callable[..., Page], tmp_path: Path) -> None:
    path = tmp_path / "alone.svg"
    path.write_text(next(iter(every_picture().values())), "utf-8")
    page = visit(path.as_uri(), color_scheme="dark")
    ink, paper = page.evaluate(
        "[getComputedStyle(document.querySelector('text')).fill, getComputedStyle(document.querySelector('path')).fill]"
    )
    assert (ink, paper) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")
