"""The pictures: no text cut or over another, every connection drawn, words for those who do not see them."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from typing import TYPE_CHECKING

import pytest

from budgetbuild.report.charts import render_costs
from budgetbuild.report.content import Cost
from budgetbuild.report.diagram import render_diagram
from budgetbuild.report.drawing import text_width, wrap
from budgetbuild.report.wiring import wiring
from tests.report import fixtures

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.build import Build

SVG = "{http://www.w3.org/2000/svg}"
LONG = ["W" * 300, "界 " * 60]
BUILDS = [fixtures.replaced, fixtures.two_amplifiers, fixtures.kept_factory, fixtures.speakers_only]


def drawn(build: Build) -> ET.Element:
    """The wiring picture of a build, parsed."""
    assert build.audited
    products = {product.sku: product for product in fixtures.CATALOGUE.products()}
    return ET.fromstring(render_diagram("w", "Wiring", wiring(build, build.audited, products)))  # noqa: S314 - our own


def rectangles(picture: ET.Element) -> list[tuple[float, float, float, float]]:
    """Left, top, right, bottom of every box."""
    found = []
    for shape in picture.iter(f"{SVG}rect"):
        x, y, width, height = (float(shape.attrib[name]) for name in ("x", "y", "width", "height"))
        found.append((x, y, x + width, y + height))
    return found


@pytest.mark.parametrize(
    "make", [*BUILDS, lambda: fixtures.renamed("W" * 300)[0][0], lambda: fixtures.renamed("界 " * 60)[0][0]]
)
def test_boxes_keep_apart_and_hold_their_text(make: Callable[[], Build]) -> None:
    picture = drawn(make())
    boxes = rectangles(picture)
    for one, other in itertools.combinations(boxes, 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
    width, height = (float(part) for part in picture.attrib["viewBox"].split()[2:])
    assert max(box[2] for box in boxes) <= width
    assert max(box[3] for box in boxes) <= height
    for text in picture.iter(f"{SVG}text"):
        x, y = float(text.attrib["x"]), float(text.attrib["y"])
        holder = [box for box in boxes if box[0] <= x <= box[2] and box[1] <= y <= box[3]]
        if holder:
            assert x + text_width(text.text or "") <= holder[0][2]


@pytest.mark.parametrize("make", BUILDS)
def test_no_line_crosses_a_text(make: Callable[[], Build]) -> None:
    picture = drawn(make())
    for path in picture.iter(f"{SVG}path"):
        points = [(float(x), float(y)) for x, y in re.findall(r"([\d.]+) ([\d.]+)", path.attrib["d"])]
        for (x1, y1), (x2, y2) in itertools.pairwise(points):
            for left, top, right, bottom in rectangles(picture):
                across = max(min(x1, x2), left + 1) < min(max(x1, x2), right - 1) and top < y1 < bottom
                along = max(min(y1, y2), top + 1) < min(max(y1, y2), bottom - 1) and left < x1 < right
                assert not across
                assert not along


def test_the_description_says_every_connection() -> None:
    told = drawn(fixtures.two_amplifiers()).findtext(f"{SVG}desc") or ""
    for words in ("Own head unit, kept", "3 x Harbour Pair 2", "Quillon Mono drives bass", "Quillon Four drives rear",
                  "main fuse 100\u00a0A", "4\u00a0AWG", "2 devices"):  # fmt: skip
        assert words in told


def test_a_powered_subwoofer_takes_a_lead_and_the_front_stays_on_the_factory_unit() -> None:
    told = drawn(fixtures.kept_factory()).findtext(f"{SVG}desc") or ""
    assert "with converter Osprey Line 4" in told
    assert "It drives front itself: Marlow C 165" in told
    assert "Brandt Seat 8 has its own amplifier" in told


def test_without_an_amplifier_there_is_no_power_run() -> None:
    words = [text.text for text in drawn(fixtures.speakers_only()).iter(f"{SVG}text")]
    assert "Power run" not in words
    assert "Factory speaker cable" in words


def test_bars_are_as_long_as_what_they_stand_for() -> None:
    costs = [Cost("Front", 10000), Cost("Bass", 5000)]
    picture = ET.fromstring(render_costs("c", "Costs", costs, "EUR"))  # noqa: S314 - our own
    front, bass = (float(bar.attrib["width"]) for bar in picture.iter(f"{SVG}rect"))
    assert front == pytest.approx(2 * bass, abs=0.2)
    assert picture.findtext(f"{SVG}desc") == "Front €\u00a0100.00 (67 %); Bass €\u00a050.00 (33 %)"
    assert render_costs("c", "Costs", [], "EUR") == ""


def test_a_word_wider_than_its_box_is_broken_and_nothing_is_lost() -> None:
    lines = wrap("x" * 100 + " end", 100)
    assert "".join(lines).replace(" ", "") == "x" * 100 + "end"
    assert max(text_width(line) for line in lines) <= 100
