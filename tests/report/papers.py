"""What tests of the papers share: pages and rendered Markdown taken apart, and builds that have much to say."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

import markdown
from markdown_it import MarkdownIt

from budgetbuild.build import Build, Caution, Part, PricedLine, Role
from tests.report import fixtures

VOID = frozenset({"meta", "br", "link", "img", "hr", "input"})
RENDERERS = ("Python-Markdown", "markdown-it-py")
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "[press](javascript:alert(1))",
    "a | b || c",
    "# heading",
    "1. one",
    "---",
    "> said",
    "{{ 7*7 }}{% raw %} {0} %s",
    "*a* _b_ ~~c~~ `d`",
    "</td></tr></table><iframe src='//evil.example'>",
    "\u202egnirts\u2069",
)
"""Names that try to be more than names."""
ONLY_ITS_STYLE = r"default-src 'none'; base-uri 'none'; form-action 'none'; style-src 'sha256-[A-Za-z0-9+/]{43}='"
"""The policy of a page without a script; a browser holds the hash against the style (`tests/injection`)."""


class Paper(HTMLParser):
    """A page as tags, texts and tables of cell texts."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.tables: list[list[list[str]]] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag, and begin a table, row or cell."""
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in {"td", "th"}:
            self.tables[-1][-1].append("")

    def handle_endtag(self, tag: str) -> None:
        """Close the tag that was opened last."""
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note text, and add it to the cell that it stands in."""
        self.words.append(data)
        if {"td", "th"} & set(self.open):
            self.tables[-1][-1][-1] += data

    def named(self, tag: str) -> list[dict[str, str | None]]:
        """Attributes of every tag of that name."""
        return [attributes for name, attributes in self.tags if name == tag]

    @property
    def text(self) -> str:
        """Everything that one reads, without the style."""
        style = self.words.index(next(word for word in self.words if "color-scheme" in word)) if self._styled else None
        return " ".join(" ".join(word for place, word in enumerate(self.words) if place != style).split())

    @property
    def _styled(self) -> bool:
        return bool(self.named("style"))


def rendered(renderer: str, text: str) -> Paper:
    """What a Markdown renderer makes of a text."""
    if renderer == "Python-Markdown":
        return Paper(markdown.markdown(text, extensions=["tables"]))
    return Paper(MarkdownIt("commonmark").enable("table").render(text))


def plain_markdown(text: str) -> str:
    """Markdown with its escapes and bars taken away, on one line."""
    return " ".join(text.replace("\\", "").replace("\n>", "\n").split())


CAUTIONS: dict[str, tuple[Caution, str]] = {
    "own size": (Caution("measure-first", "front", {"what": "depth of the front speaker place", "where": "front"}),
                 "Front speakers"),
    "boot": (Caution("measure-first", "bass", {"what": "boot width", "where": "boot"}), "Bass box"),
    "front cable": (Caution("measure-first", "front", {"what": "run to the front, taken as 5.5 m",
                                                       "where": "speaker cable"}), "Speaker cable"),
    "power run": (Caution("measure-first", "power kit", {"what": "power run, taken as 5 m",
                                                         "where": "battery to amplifier"}), "Power kit"),
    "signal run": (Caution("measure-first", "signal lead", {"what": "signal run, taken as 5.5 m",
                                                            "where": "dash to amplifier"}), "Signal lead"),
    "aerial": (Caution("measure-first", "aerial", {"what": "whether the car has a digital-radio aerial",
                                                   "where": "aerial"}), "Aerial"),
    "fuse": (Caution("kit-fuse-above-ampacity", "PK-1", {"fuse_a": 100.0, "ampacity_a": 79.0, "kit": "PK-1"}),
             "Power kit"),
    "alternator": (Caution("alternator", "Tern Hatch", {"average_a": 30.25, "alternator_a": 70.0,
                                                        "share_percent": 43.2, "limit_percent": 40.0}), "Power kit"),
    "alternator not known": (Caution("alternator-unknown", "Tern Hatch", {"average_a": 16.6667}), "Power kit"),
    "factory": (Caution("factory-internal-assumed", "front", {"watt": 15.0, "location": "front"}), "Front speakers"),
    "stock": (Caution("out-of-stock", "AM-4", {"sku": "AM-4", "wanted": 1, "stock": 0}), "Amplifier"),
    "copper-clad kit": (Caution("cca-kit", "PK-1", {"kit": "PK-1", "conductivity_percent": 62.9}), "Power kit"),
    "copper-clad cable": (Caution("cca-speaker-cable", "SC-25", {"cable": "SC-25"}), "Speaker cable"),
    "thin cable": (Caution("thin-speaker-cable", "bass", {"cable": "SC-25", "current_a": 21.5, "ampacity_a": 17.0}),
                   "Speaker cable"),
    "no fuse at the bass": (Caution("powered-fuse-assumed", "SW-D2", {"current_a": 19.76}), "Bass"),
    "no fuse at the amplifier": (Caution("amplifier-current-estimated", "AM-4", {"sku": "AM-4", "current_a": 45.3}),
                                 "Amplifier"),
    "low": (Caution("low-power", "front", {"ratio": 0.31, "location": "front"}), "Front speakers"),
    "high": (Caution("high-power", "bass", {"ratio": 1.42, "location": "bass"}), "Bass"),
    "wiring": (Caution("wiring-net", "bass", {"ohm": 4.0, "wiring": "coils in series"}), "Bass"),
}  # fmt: skip
"""A caution of each kind that is about a line of `fixtures.replaced()`, and the part that it is about."""


def with_cautions(build: Build, *cautions: Caution) -> Build:
    """A build with just these cautions."""
    assert build.audited
    return replace(build, audited=replace(build.audited, cautions=cautions))


def with_lines(build: Build, lines: tuple[PricedLine, ...]) -> Build:
    """A build with other lines."""
    assert build.audited
    return replace(build, audited=replace(build.audited, lines=lines))


def of_parts(*parts: Part, budget: int = 65000) -> Build:
    """A build with just these parts, for a budget."""
    tier = replace(fixtures.TIER_LOW, budget=budget)
    build = replace(fixtures.speakers_only(), tier=tier)
    return with_lines(build, fixtures.priced(parts, fixtures.CATALOGUE))


SPEAKERS = Part(Role.FRONT, "SP-F")
"""Costs 199.00."""
