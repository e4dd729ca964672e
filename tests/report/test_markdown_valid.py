"""Every Markdown file that the tool writes: CommonMark with tables, alike to every renderer, pleasant to read raw."""

from __future__ import annotations

import re
import subprocess
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from typing import TYPE_CHECKING

import cmarkgfm
import markdown
import pytest
from cmarkgfm.cmark import Options
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from budgetbuild.report.pages.aligned import aligned
from budgetbuild.report.pages.escape import markdown_text
from tests.registry import command
from tests.report.written import COUNTER, GROUPS, written_as

if TYPE_CHECKING:
    from pathlib import Path

ANCHOR = re.compile(r'<a id="[a-z0-9-]+">(</a>\n?)?|</a>')
DASHES = re.compile(r"^\|(?: *:?-+:? *\|)+$", re.MULTILINE)
MARK = "\0"
"""What a tag begins with and no word has."""
WIDEST = 60
"""Letters that a cell may have and its column still lines up."""


class Events(HTMLParser):
    """A page as the tags and the words that follow one another, however it is broken into lines."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.seen: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag with where it leads."""
        self.seen.append(f"{MARK}{tag} {dict(attrs).get('href', '')}")

    def handle_endtag(self, tag: str) -> None:
        """Note the end of a tag."""
        self.seen.append(f"{MARK}/{tag}")

    def handle_data(self, data: str) -> None:
        """Note words."""
        self.seen += data.replace(MARK, "").split()

    @property
    def tables(self) -> list[list[int]]:
        """How many cells each row of each table has."""
        found: list[list[int]] = []
        for tag in self.seen:
            if tag == f"{MARK}table ":
                found.append([])
            elif tag == f"{MARK}tr ":
                found[-1].append(0)
            elif tag in {f"{MARK}th ", f"{MARK}td "}:
                found[-1][-1] += 1
        return found

    @property
    def text(self) -> str:
        """All words without spaces."""
        return "".join(word for word in self.seen if not word.startswith(MARK))


@pytest.fixture(params=[group for group in GROUPS if group != COUNTER])
def texts(request: pytest.FixtureRequest) -> list[str]:
    """The Markdown files of a group."""
    return [content.decode() for content in written_as(request.param, ".md").values()]


@cache
def rendered(text: str) -> Events:
    """What the reference implementation makes of a text."""
    return Events(cmarkgfm.markdown_to_html_with_extensions(text, Options.CMARK_OPT_UNSAFE, extensions=["table"]))


def by_command(text: str, *options: str) -> str:
    """What the reference implementation's own command makes of a text."""
    done = subprocess.run(  # noqa: S603 - fixed arguments
        [command("cmark-gfm"), "--unsafe", "-e", "table", *options],
        input=text.encode(),
        capture_output=True,
        check=True,
    )
    return done.stdout.decode()


@pytest.mark.reference
def test_what_the_reference_implementation_writes_back_means_the_same(texts: list[str]) -> None:
    for text in texts:
        written_back = by_command(text, "--to", "commonmark")
        assert by_command(written_back) == by_command(text)
        assert Events(by_command(text)).seen == rendered(text).seen


@pytest.mark.reference
def test_the_files_of_the_sample_mean_the_same_written_back(published: Path) -> None:
    paths = sorted(published.glob("*.md"))
    assert paths
    for path in paths:
        text = path.read_text("utf-8")
        assert by_command(by_command(text, "--to", "commonmark")) == by_command(text)


def test_there_is_one_title_and_no_level_of_heading_is_left_out(texts: list[str]) -> None:
    for text in texts:
        levels = [int(tag[2]) for tag in rendered(text).seen if re.fullmatch(f"{MARK}h[1-6] ", tag)]
        assert levels[0] == 1
        assert levels.count(1) == 1
        assert all(after <= before + 1 for before, after in pairwise(levels))


def test_every_table_is_seen_as_one_with_as_many_cells_in_every_row(texts: list[str]) -> None:
    for text in texts:
        tables = rendered(text).tables
        assert len(tables) == len(DASHES.findall(text))
        assert all(len(set(table)) == 1 and len(table) > 1 for table in tables)
        assert sum(map(len, tables)) == sum(line.startswith("|") for line in text.splitlines()) - len(tables)


def test_there_is_no_html_in_it_but_our_own_anchors(texts: list[str]) -> None:
    for text in texts:
        tokens = MarkdownIt("commonmark").enable("table").parse(text)
        inside = [child for token in tokens for child in token.children or ()]
        found = [token.content for token in (*tokens, *inside) if token.type in {"html_block", "html_inline"}]
        assert [text for text in found if not ANCHOR.fullmatch(text)] == []


def test_other_renderers_make_the_same_of_it(texts: list[str]) -> None:
    for text in texts:
        reference = rendered(text)
        assert Events(MarkdownIt("commonmark").enable("table").render(text)).seen == reference.seen
        other = Events(markdown.markdown(text, extensions=["tables"]))
        assert other.text == reference.text
        assert other.tables == reference.tables


def test_it_is_pleasant_to_read_raw(texts: list[str]) -> None:
    for text in texts:
        assert text.endswith("\n")
        assert re.search(r"[ \t]$|\t|\r|\n{3}|\n\n\Z|\A\n", text, re.MULTILINE) is None
        lines = text.splitlines()
        for before, line, after in zip(["", *lines], lines, [*lines[1:], ""], strict=False):
            if line.startswith("#"):
                assert (before, after) == ("", ""), f"no space around {line}"


def test_columns_of_tables_line_up(texts: list[str]) -> None:
    for text in texts:
        for table in re.findall(r"(?:^\|.*\n)+", text, re.MULTILINE):
            rows = [cells_of(line) for line in table.splitlines()]
            for row in rows:
                for cell, head in zip(row[:-1], rows[0], strict=False):
                    if len(cell) > WIDEST + 2:
                        break
                    assert len(cell) == len(head), row


def cells_of(line: str) -> list[str]:
    """The cells of a row with the spaces around them."""
    return re.split(r"(?<!\\)\|", line)[1:-1]


words = st.text(st.sampled_from("ab |\\`*_#-.<>&[]()音é\u0301\u00a0:~"), max_size=12).map(markdown_text)
table_rows = st.integers(1, 4).flatmap(
    lambda columns: st.lists(st.lists(words, min_size=columns, max_size=columns), min_size=1, max_size=4)
)


@given(table_rows, st.lists(st.sampled_from(["-", ":--", "--:", ":-:"]), min_size=4, max_size=4))
def test_lining_up_changes_nothing_but_how_it_looks_raw(rows: list[list[str]], dashes: list[str]) -> None:
    head, *rest = rows
    lines = [f"| {' | '.join(row)} |" for row in (head, dashes[: len(head)], *rest)]
    text = "\n".join(["Before", "", *lines, "", "After"])
    even = aligned(text)
    assert rendered(even).seen == rendered(text).seen
    assert rendered(text).tables == [[len(head)] * len(rows)]
    assert aligned(even) == even


@pytest.mark.parametrize(
    "text",
    ["```\n| a | b |\n|---|---|\n| long | c |\n```", "~~~~ text\n| a |\n|--|\n~~~\n| bb |\n~~~~",
     "| a | b |\n|---|\n| c |", "| a |", "a | b\n--|--\n| c | d |", "    | a |\n    |---|"],
)  # fmt: skip
def test_code_and_what_is_no_table_stay_as_they_are(text: str) -> None:
    assert aligned(text) == text


def test_wide_letters_line_up_where_every_letter_is_as_wide_as_the_next() -> None:
    assert aligned("| a | 数 |\n|:-:|--:|\n| 音響 | 1 |\n| abc | 12 |") == (
        "| a    |  数 |\n| :--: | --: |\n| 音響 |   1 |\n| abc  |  12 |"
    )


def test_a_very_long_cell_does_not_widen_the_other_rows() -> None:
    first, last = "x" * 200, "y" * 200
    lines = aligned(f"| a | b |\n|---|---|\n| {first} | {last} |\n| c | d |").splitlines()
    assert lines[2] == f"| {first} | {last} |"
    assert lines[3] == f"| c{' ' * 59} | d{' ' * 39} |"
