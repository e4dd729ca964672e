"""The guide: the same content in both kinds, foreign text harmless, a shop's own templates."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import markdown
import pytest
from jinja2 import UndefinedError
from markdown_it import MarkdownIt

from budgetbuild.faults import UserInputError
from budgetbuild.report import render_all
from budgetbuild.report.assets import template_folders
from budgetbuild.report.content import report_content
from budgetbuild.report.pages.escape import markdown_text, web_link
from budgetbuild.report.pages.guide import render_html, render_markdown
from tests.report import fixtures
from tests.report.papers import ONLY_ITS_STYLE

if TYPE_CHECKING:
    from pathlib import Path

VOID = {"meta", "br", "link", "img", "hr", "input"}
HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "[click](javascript:alert(1))",
    "![x](https://evil.example/x.png)",
    "| a | b |",
    "# heading",
    "{{ 7*7 }}{% raw %}",
    "```\n<b>x</b>",
    "<!-- --> ]]> <![CDATA[",
    "&lt;b&gt; &#60;i>",
    "https://evil.example www.evil.example a@evil.example",
    "---",
    "1. one",
    "*a* _b_ ~~c~~ `d`",
    "back\\slash\\",
]


class Page(HTMLParser):
    """What a page is made of: tags with attributes, text, and whether every tag is closed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag that closes itself."""
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        """Close the tag opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note text."""
        self.words.append(data)

    def named(self, tag: str) -> list[dict[str, str | None]]:
        """Attributes of every tag of that name."""
        return [attributes for name, attributes in self.tags if name == tag]


@pytest.fixture(scope="module")
def page() -> Page:
    """The HTML guide of every fixture build."""
    return Page(render_html(report_content(fixtures.every_build(), fixtures.CATALOGUE)).decode())


@pytest.fixture(scope="module")
def text() -> str:
    """The Markdown guide of every fixture build."""
    return render_markdown(report_content(fixtures.every_build(), fixtures.CATALOGUE)).decode()


def test_the_page_is_well_formed_with_one_heading_and_landmarks(page: Page) -> None:
    assert page.open == []
    assert [len(page.named(tag)) for tag in ("h1", "main", "nav", "header", "footer")] == [1, 1, 1, 1, 1]
    assert page.named("html") == [{"lang": "en"}]
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))


def test_the_page_needs_nothing_from_outside_and_runs_nothing(page: Page) -> None:
    policy = [meta["content"] for meta in page.named("meta") if meta.get("http-equiv")]
    assert [one for one in policy if one and re.fullmatch(ONLY_ITS_STYLE, one)] == policy != []
    assert [tag for tag, attributes in page.tags if "src" in attributes or tag in {"script", "link", "iframe"}] == []


def test_every_table_has_a_caption_and_every_header_a_scope(page: Page) -> None:
    assert len(page.named("caption")) == len(page.named("table"))
    assert [header for header in page.named("th") if header.get("scope") not in {"col", "row"}] == []
    assert len(page.named("title")) - 1 == len(page.named("desc")) == len(page.named("svg"))


def test_links_inside_the_page_lead_somewhere(page: Page, text: str) -> None:
    ids = {attributes.get("id") for _, attributes in page.tags}
    assert [
        link for link in page.named("a") if (link["href"] or "").startswith("#") and (link["href"] or "")[1:] not in ids
    ] == []
    anchors = set(re.findall(r'<a id="([^"]+)">', text))
    assert set(re.findall(r"\]\((?:guide\.html)?#([^)]+)\)", text)) == anchors


@pytest.mark.parametrize(
    "words",
    [
        "€1,252.50", "Proven: every combination", "within 1.50 points", "Order Brandt Low 10, 2 x 2\u00a0ohm",
        "Disconnect the battery", "within 0.45 m (18 in) of the battery", "85 dB(A)", "airbags", "lithium or vented",
        "qualified fitter", "in a crash", "Never load a cable beyond its rating", "costs €912.50", "Marlow C 165",
        "Measure first", "common practice", "What to do next", "Next tier up",
    ],
)  # fmt: skip
def test_both_kinds_say_the_same(words: str, page: Page, text: str) -> None:
    assert words in " ".join("".join(page.words).split(" "))
    assert words in text.replace("\\", "")


def test_the_shops_costs_stay_out_of_the_guide(page: Page, text: str) -> None:
    # 150.00 is what the head unit costs the shop, 148.80 the margin over the lines with a known cost.
    assert not {"150.00", "151.60"} & set(re.findall(r"\d+\.\d\d", "".join(page.words) + text))


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_form_no_markup_in_the_page(name: str) -> None:
    builds, catalogue = fixtures.renamed(name)
    plain = Page(render_html(report_content(*fixtures.renamed("plain"))).decode())
    wild = Page(render_html(report_content(builds, catalogue)).decode())
    # A longer name takes more lines of text in the picture, and nothing else.
    assert [tag for tag, _ in wild.tags if tag != "text"] == [tag for tag, _ in plain.tags if tag != "text"]
    assert " ".join(name.split()) in "".join(wild.words)


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("renderer", ["python-markdown", "commonmark"])
def test_hostile_names_form_no_markup_in_markdown(name: str, renderer: str) -> None:
    def page(called: str) -> Page:
        text = render_markdown(report_content(*fixtures.renamed(called))).decode()
        if renderer == "commonmark":
            return Page(MarkdownIt("commonmark").enable("table").enable("strikethrough").render(text))
        return Page(markdown.markdown(text, extensions=["tables"]))

    plain, wild = page("plain"), page(name)
    assert [tag for tag, _ in wild.tags] == [tag for tag, _ in plain.tags]
    links = {link.get("href") or "#" for link in wild.named("a")}
    assert {link for link in links if not link.startswith(("#", "guide.html#"))} == {"https://shop.example/hu-1"}
    assert " ".join(name.split()) in "".join(wild.words)


@pytest.mark.parametrize("name", HOSTILE)
def test_escaped_text_reads_as_it_was(name: str) -> None:
    cell = f"| a |\n|---|\n| {markdown_text(name)} |\n"
    for rendered in (
        markdown.markdown(cell, extensions=["tables"]),
        MarkdownIt("commonmark").enable("table").render(cell),
    ):
        assert " ".join(name.split()) in "".join(Page(rendered).words)


@pytest.mark.parametrize(
    "address",
    ["javascript:alert(1)", "data:text/html,x", "//evil.example", "ftp://x.example", "mailto:a@b", "", "http:///x"],
)
def test_only_web_addresses_become_links(address: str) -> None:
    assert web_link(address) == ""


def test_the_comparison_names_what_each_system_has(text: str) -> None:
    row = next(line for line in text.splitlines() if line.startswith("| [Full: Keep own]"))
    assert "Brandt" in row or "Marlow" in row
    assert row.count("| none") == 0, row


def test_a_good_link_stands_in_both_kinds(page: Page, text: str) -> None:
    assert "https://shop.example/hu-1" in [link["href"] for link in page.named("a")]
    assert "[Quillon Deck 3](<https://shop.example/hu-1>)" in text


def test_a_shops_own_style_takes_the_place_of_ours(tmp_path: Path) -> None:
    (tmp_path / "guide.css").write_text("body { color: teal }", "utf-8")
    files = render_all((fixtures.replaced(),), fixtures.CATALOGUE, templates=tmp_path)
    assert b"body { color: teal }" in files["guide.html"]
    assert b"How the parts were decided" in files["guide.html"]


@pytest.mark.parametrize(
    ("content", "found"), [("{{ report.nonsense }}", "nonsense"), ("{% if %}", "line 1"), (b"\xff\xfe", "guide.md.j2")]
)
def test_a_shops_own_template_that_is_wrong_is_told_to_the_user(
    content: str | bytes, found: str, tmp_path: Path
) -> None:
    (tmp_path / "guide.md.j2").write_bytes(content.encode() if isinstance(content, str) else content)
    with pytest.raises(UserInputError) as caught:
        render_all((fixtures.replaced(),), fixtures.CATALOGUE, templates=tmp_path)
    assert found in caught.value.faults[0].found


def test_every_output_is_the_same_on_every_run() -> None:
    first = render_all(fixtures.every_build(), fixtures.CATALOGUE)
    assert {"tiers.xlsx", "guide.md", "guide.html", "results.json"} < set(first)
    assert first == render_all(fixtures.every_build()[::-1], fixtures.CATALOGUE)


def test_raw_markdown_is_pleasant(text: str) -> None:
    assert "\n\n\n" not in text
    assert re.search(r"[ \t]$", text, re.MULTILINE) is None
    line = "| Head unit | [Quillon Deck 3](<https://shop.example/hu-1>) | HU-1 | 1 | €249.00 |"
    assert line in re.sub(" +", " ", text)


def test_a_currency_without_a_sign_is_written_by_its_code() -> None:
    settings = replace(fixtures.CATALOGUE.settings, currency="SEK")
    text = render_markdown(report_content((fixtures.replaced(),), replace(fixtures.CATALOGUE, settings=settings)))
    assert "SEK\u00a01,252.50".encode() in text


def test_our_own_template_that_is_wrong_is_a_defect(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "guide.md.j2").write_text("{{ report.nonsense }}", "utf-8")
    monkeypatch.setattr("budgetbuild.report.pages.templating.template_folders", lambda _own: [tmp_path])
    with pytest.raises(UndefinedError):
        render_markdown(report_content((fixtures.replaced(),), fixtures.CATALOGUE))


def test_templates_are_found_and_their_absence_is_a_broken_installation(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert (template_folders()[0] / "guide.md.j2").is_file()
    monkeypatch.setattr("budgetbuild.report.assets.resources.files", lambda _package: tmp_path / "budgetbuild")
    with pytest.raises(FileNotFoundError, match="install budgetbuild again"):
        template_folders()
