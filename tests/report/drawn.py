"""Pictures for tests: every kind of build, ordinary and hostile names, and what an SVG text holds."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.build import (
    SUBWOOFER_DEVICE,
    Build,
    DeviceFigures,
    Driver,
    Feed,
    LocationFigures,
    Part,
    Role,
    ScorePart,
)
from budgetbuild.catalogue.kinds import Location
from budgetbuild.report.pictures.bars import render_costs, render_scores
from budgetbuild.report.pictures.curve import BudgetCurve, Step, TierMark, render_curve
from budgetbuild.report.pictures.diagram import render_diagram
from budgetbuild.report.pictures.drawing import ASCENT, LINE_HEIGHT, Run
from budgetbuild.report.pictures.lettering import text_width
from budgetbuild.report.pictures.wiring import Wiring, wiring
from budgetbuild.report.shown import Cost
from budgetbuild.report.words.notation import Notation
from tests.report import fixtures

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

SVG = "{http://www.w3.org/2000/svg}"
EURO = Notation()
KRONA = Notation("SEK", "sv_SE")
HOSTILE = {
    "wide letters": "W" * 300,
    "ideographs": "界 " * 60,
    "long name": "An amplifier whose name goes on and on, as names do on price lists, version 2, 2 x 2 ohm, black",
    "markup": '<script>alert("&")</script> ]]> <b>',
}


def same_amplifier_twice() -> Build:
    """One product as both amplifiers, each on a power kit of its own."""
    parts = (
        Part(Role.FRONT, "SP-F"), Part(Role.BASS, "SW-D2", 2), Part(Role.BOX, "BX-1"), Part(Role.AMPLIFIER, "AM-4", 2),
        Part(Role.POWER_KIT, "PK-1", 2), Part(Role.SIGNAL_LEAD, "SL-2", 2), Part(Role.SPEAKER_CABLE, "SC-25", 21),
    )  # fmt: skip
    device = DeviceFigures("AM-4", 50.0, "own fuse rating", "PK-1", 100.0, shared=False, kit_ampacity_a=136.0)
    feeds = (Feed("PK-1", (0,)), Feed("PK-1", (1,)))
    found = fixtures.audited(parts, (fixtures.front(), fixtures.bass()), (device, device), feeds)
    front, bass = found.system.drives
    system = replace(found.system, drives=(front, replace(bass, amplifier=1)))
    return replace(fixtures.two_amplifiers(), audited=replace(found, system=system))


def amplifier_and_powered_subwoofer() -> Build:
    """A new head unit that drives the rear itself, an amplifier for the front, a powered subwoofer, on one kit."""
    parts = (
        Part(Role.HEAD_UNIT, "HU-1"), Part(Role.AERIAL, "AE-1"), Part(Role.FRONT, "SP-F"), Part(Role.REAR, "SP-R"),
        Part(Role.BASS, "SW-P"), Part(Role.AMPLIFIER, "AM-4"), Part(Role.POWER_KIT, "PK-1"),
        Part(Role.SIGNAL_LEAD, "SL-4"), Part(Role.SPEAKER_CABLE, "SC-25", 14),
    )  # fmt: skip
    rear = LocationFigures(Location.REAR, Driver.HEAD_UNIT, "SP-R", 4.0, 22.0, 40.0, 0.55, 0.5)
    devices = (
        DeviceFigures("AM-4", 50.0, "own fuse rating", "PK-1", 100.0, shared=True, kit_ampacity_a=136.0),
        DeviceFigures("SW-P", 19.8, "from rated output", "PK-1", 100.0, shared=True, kit_ampacity_a=136.0),
    )
    feeds = (Feed("PK-1", (0, SUBWOOFER_DEVICE)),)
    found = fixtures.audited(parts, (fixtures.front(), rear, fixtures.POWERED), devices, feeds)
    return replace(fixtures.replaced(), audited=found)


def nothing_at_all() -> Build:
    """A kept head unit and no part."""
    found = replace(fixtures.audited((), ()), pairs_needed=0, pairs_offered=0)
    return replace(fixtures.speakers_only(), audited=found)


def leads_alone() -> Build:
    """A kept head unit and a signal lead that nothing needs."""
    found = replace(fixtures.audited((Part(Role.SIGNAL_LEAD, "SL-2"),), ()), pairs_needed=0)
    return replace(fixtures.speakers_only(), audited=found)


BUILDS: Mapping[str, Callable[[], Build]] = {
    "head unit replaced": fixtures.replaced,
    "own unit, two amplifiers": fixtures.two_amplifiers,
    "factory unit, powered subwoofer": fixtures.kept_factory,
    "factory unit, speakers only": fixtures.speakers_only,
    "same amplifier twice": same_amplifier_twice,
    "amplifier and powered subwoofer": amplifier_and_powered_subwoofer,
    "nothing at all": nothing_at_all,
    "leads alone": leads_alone,
}


def called(build: Build, name: str) -> Build:
    """The build with every product of that name."""
    assert build.audited
    lines = tuple(replace(line, description=name) for line in build.audited.lines)
    return replace(build, audited=replace(build.audited, lines=lines))


def told(build: Build, notation: Notation = EURO) -> Wiring:
    """The wiring of a build of the fixtures, with an earth lead of 0.6 m."""
    assert build.audited
    products = {product.sku: product for product in fixtures.CATALOGUE.products()}
    return wiring(build, build.audited, products, 0.6, notation)


def drawn(build: Build) -> ET.Element:
    """The wiring picture of a build, parsed."""
    return parsed(render_diagram("w", "Wiring", told(build)))


def parsed(svg: str) -> ET.Element:
    """A picture as a tree."""
    return ET.fromstring(svg)  # noqa: S314 - our own


CURVE = BudgetCurve(
    "New head unit",
    tuple(Step(20_000 + 900 * n, round(90_000 * (1 - 0.99**n)) + n) for n in range(1, 501)),
    (
        TierMark("Starter", 65_000, 35_000, 64_900),
        TierMark("Middle", 130_000, 62_000, 131_000),
        TierMark("Full", 260_000, 83_000, 251_000),
    ),
)
"""Five hundred steps, three tiers."""

CLOSE = replace(
    CURVE,
    tiers=(
        TierMark("None", 10_000, None, None),
        *(TierMark(f"Tier {n}", 100_000 + 500 * n, 50_000 + 10 * n, 100_000) for n in range(12)),
    ),
)
"""Twelve tiers as good as on one spot, and one without a system."""


def wiring_pictures() -> dict[str, str]:
    """Wiring of every kind of build, with its own and with hostile names."""
    found = {name: make() for name, make in BUILDS.items()}
    found |= {f"{name}, {how}": called(build, text) for name, build in found.items() for how, text in HOSTILE.items()}
    return {name: render_diagram(f"w{n}", name, told(build)) for n, (name, build) in enumerate(found.items())}


def bar_pictures() -> dict[str, str]:
    """Costs and scores, ordinary and huge."""
    costs = [Cost("Source", 24900), Cost("Front", 21400), Cost("Deadening", 1), Cost("Labour", 9000)]
    huge = [Cost(part.part, part.cents * 10_000_000) for part in costs]
    parts = [
        ScorePart("source", "", 16000, 20000),
        ScorePart("front", "front", 0, 25000),
        ScorePart("amplification", "bass", 5000, 5000),
        ScorePart("one brand", "amplifier", 1000, 1000),
    ]
    odd = [ScorePart(name, name, 500, 1000) for name in HOSTILE.values()]
    return {
        "costs": render_costs("c1", "Costs", costs, EURO),
        "huge costs": render_costs("c2", "Costs", huge, KRONA),
        "scores": render_scores("s1", "Scores", parts, EURO),
        "odd scores": render_scores("s2", "Scores", odd, KRONA),
    }


def curve_pictures() -> dict[str, str]:
    """Budget curves: long, with tiers close together, with hostile names, huge, and of the tiers alone."""
    odd = replace(CURVE, tiers=tuple(TierMark(name, 50_000, 30_000, 1) for name in HOSTILE.values()))
    huge = BudgetCurve("huge", (Step(10**13, 50_000), Step(2 * 10**13, 103_000)), (TierMark("Top", 10**13, 50_000, 1),))
    shown = {"long": CURVE, "close tiers": CLOSE, "odd tiers": odd, "tiers alone": replace(CURVE, steps=())}
    pictures = {
        name: render_curve(slug, name, each, EURO) for slug, (name, each) in zip("abcd", shown.items(), strict=True)
    }
    return {
        **pictures,
        "huge": render_curve("e", "huge", huge, KRONA),
        "no tiers": render_curve("f", "no tiers", replace(CURVE, tiers=()), EURO),
    }


def every_picture() -> dict[str, str]:
    """All of them by name."""
    return {**wiring_pictures(), **bar_pictures(), **curve_pictures()}


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle: of a box, or of a text as wide as it might run."""

    left: float
    top: float
    right: float
    bottom: float
    text: str = ""

    def meets(self, other: Area) -> bool:
        """Whether they share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def holds(self, other: Area) -> bool:
        """Whether the other lies in it, with a tenth of a unit for rounding."""
        slack = 0.1
        return (
            self.left - slack <= other.left
            and other.right <= self.right + slack
            and self.top - slack <= other.top
            and other.bottom <= self.bottom + slack
        )


def view_box(picture: ET.Element) -> Area:
    """What a picture shows."""
    left, top, width, height = (float(part) for part in picture.attrib["viewBox"].split())
    return Area(left, top, left + width, top + height)


def boxes(picture: ET.Element) -> list[Area]:
    """Every box."""
    found = []
    for shape in picture.iter(f"{SVG}rect"):
        x, y, width, height = (float(shape.attrib[name]) for name in ("x", "y", "width", "height"))
        found.append(Area(x, y, x + width, y + height))
    return found


def texts(picture: ET.Element) -> list[Area]:
    """Every line of text with the room that it may take."""
    return [_text_area(shape) for shape in picture.iter(f"{SVG}text")]


def _text_area(shape: ET.Element) -> Area:
    words, x, y = shape.text or "", float(shape.attrib["x"]), float(shape.attrib["y"])
    width = text_width(words, bold="font-weight" in shape.attrib)
    left = x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[shape.attrib.get("text-anchor", "start")]
    return Area(left, y - ASCENT, left + width, y - ASCENT + LINE_HEIGHT, words)


def segments(picture: ET.Element) -> list[tuple[float, float, float, float]]:
    """Every straight piece of the connections, as the ends of each: left, top, right, bottom."""
    found = []
    for path in picture.iter(f"{SVG}path"):
        if float(path.attrib.get("stroke-width", 0)) not in {run.value.width for run in Run}:
            continue
        points = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.attrib["d"])]
        for (x1, y1), (x2, y2) in itertools.pairwise(points):
            found.append((min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)))
    return found
