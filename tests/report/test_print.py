"""The guide on paper, printed as the tool prints it: whole rows, headings with what they head, numbered A4 pages."""

from __future__ import annotations

import re
import socket
from collections import Counter
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from pypdf import PdfReader

from budgetbuild.cli import main
from budgetbuild.report import render_all
from budgetbuild.report.pages.browser import find_browser
from budgetbuild.report.pages.pdf import print_pdf
from tests.report import fixtures
from tests.report.printed import HEADINGS, MM, Element, Printed, printed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = pytest.mark.browser

A4 = (210 * MM, 297 * MM)
SIDE_MM, BOTTOM_MM = 15, 17
"""Margins of a page, in millimetres."""
TEXT_PT, NUMBER_PT = 9.5, 8.0
"""Sizes of the letters on a page and in its margins, in points."""
LONG = "Unbreakable" * 14
PAGES = ("sample", "fixtures", "long names")


@cache
def drawn_up(called: str) -> bytes:
    """The HTML guide of the fixtures, whose products may have another name."""
    if called == "fixtures":
        return render_all(fixtures.every_build(), fixtures.CATALOGUE)["guide.html"]
    return render_all(*fixtures.renamed(LONG))["guide.html"]


@cache
def on_paper(page: bytes) -> bytes:
    """A page printed by the browser that the tool finds."""
    return print_pdf(page, find_browser())


@pytest.fixture(params=PAGES)
def page(request: pytest.FixtureRequest, published: Path) -> bytes:
    """An HTML guide."""
    called: str = request.param
    return (published / "guide.html").read_bytes() if called == "sample" else drawn_up(called)


@pytest.fixture
def paper(page: bytes) -> Printed:
    """The same printed."""
    return printed(on_paper(page))


def test_every_page_is_a4_and_says_which_of_how_many_it_is(paper: Printed) -> None:
    assert {size == pytest.approx(A4, abs=1) for size in paper.sizes} == {True}
    count = len(paper.sizes)
    assert [number for number in range(1, count + 1) if f"Page {number} of {count}" not in paper.text(number)] == []


def test_every_page_but_the_first_has_the_title_in_its_margin(page: bytes, paper: Printed) -> None:
    found = re.search(r"<h1>(.*?)</h1>", page.decode())
    assert found
    for number in range(2, len(paper.sizes) + 1):
        text, title = (re.sub("[ \u200b]", "", words) for words in (paper.text(number), found[1]))
        assert text.startswith(title)
        assert len(text) > len(title) + 40, f"page {number} is all but empty"


def test_no_row_of_a_table_is_split_and_its_head_stands_on_each_of_its_pages(paper: Printed) -> None:
    tables = paper.root.named("/Table")
    assert tables
    for table in tables:
        for row in table.named("/TR"):
            assert row.on == table.on if row.is_head else len(row.on) == 1


def test_every_row_of_every_table_is_printed_but_for_what_is_for_the_screen_alone(page: bytes, paper: Printed) -> None:
    shown = re.sub(r'<details class="screen">.*?</details>', "", page.decode(), flags=re.DOTALL)
    assert "<details" not in shown
    assert len(paper.root.named("/TR")) == len(re.findall(r"<tr\b", shown))


def test_headings_stand_on_the_page_of_what_they_head(paper: Printed) -> None:
    read = list(paper.root.walk())
    places = [place for place, element in enumerate(read) if element.tag in HEADINGS]
    assert places
    assert [(read[place].on, after(read, place).on) for place in places
            if read[place].on != after(read, place).on[:1]] == []  # fmt: skip


def after(read: list[Element], place: int) -> Element:
    """What is read next after an element and all that is in it."""
    return next(element for element in read[place + sum(1 for _ in read[place].walk()) :] if element.pages)


def test_a_table_begins_with_its_caption_its_head_and_a_row_on_one_page(paper: Printed) -> None:
    for table in paper.root.named("/Table"):
        (caption,) = table.named("/Caption")
        rows = [row for row in table.named("/TR") if not row.is_head]
        assert caption.on == rows[0].on == table.on[:1]


def test_nothing_is_printed_into_the_margins_but_title_and_number(paper: Printed) -> None:
    width, height = A4
    beyond = [
        word
        for word in paper.words
        if word.left < (SIDE_MM - 1) * MM
        or word.right > width - (SIDE_MM - 1) * MM
        or word.top < 5 * MM
        or word.bottom > height - 5 * MM
    ]
    assert beyond == []
    numbers = [word.text for word in paper.words if word.bottom > height - BOTTOM_MM * MM + 1]
    assert numbers == [
        text for page in range(len(paper.sizes)) for text in ("Page", str(page + 1), "of", str(len(paper.sizes)))
    ]


def test_letters_have_their_size_since_no_page_was_shrunk_to_take_something_too_wide(paper: Printed) -> None:
    # The browser shrinks what stands on the pages, and leaves the margins as they are.
    heights = Counter(round(word.bottom - word.top, 2) for word in paper.words)
    (number, *_) = (word for word in paper.words if word.text == "Page" and word.bottom > A4[1] - BOTTOM_MM * MM)
    (commonest, _), *_ = heights.most_common(1)
    assert commonest / (number.bottom - number.top) == pytest.approx(TEXT_PT / NUMBER_PT, rel=0.01)


def test_links_can_be_read_on_paper_and_followed_on_a_screen() -> None:
    paper = on_paper(drawn_up("fixtures"))
    text = "".join(word.text for word in printed(paper).words)
    assert "QuillonDeck3(https://shop.example/hu-1)" in text
    found = [link for page in PdfReader(BytesIO(paper)).pages for link in page.get("/Annots", [])]
    addresses = {link.get_object().get("/A", {}).get("/URI") for link in found}
    assert addresses - {None} == {"https://shop.example/hu-1"}


def test_the_same_page_gives_the_same_bytes_and_the_headings_as_an_outline() -> None:
    page = drawn_up("fixtures")
    paper = on_paper(page)
    assert paper == print_pdf(page, find_browser())
    titles = [item.title for item in flat(PdfReader(BytesIO(paper)).outline)]
    headings = re.findall(r"<h[1-6][^>]*>(.*?)</h[1-6]>", page.decode())
    assert titles == headings


def flat(outline: list[Any]) -> Iterator[Any]:
    """The entries of an outline, in order."""
    for item in outline:
        if isinstance(item, list):
            yield from flat(item)
        else:
            yield item


def test_a_page_that_asks_for_something_outside_gets_nothing() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        asks = "".join(f'<img src="http://{host}:{port}/x.png" alt="">' for host in ("127.0.0.1", "localhost"))
        assert print_pdf(f"<!DOCTYPE html><title>Guide</title>{asks}<p>Text".encode(), find_browser(), 20)
        server.settimeout(0)
        with pytest.raises(BlockingIOError):
            server.accept()


def test_the_command_writes_the_guide_as_pdf_beside_the_other_files(sample_workbook: Path, tmp_path: Path) -> None:
    words = ["build", str(sample_workbook), "--tier", "Entry", "--counter", "none", "--quiet", "--out", str(tmp_path)]
    assert main([*words, "--pdf"]) == 0
    assert {path.name for path in tmp_path.iterdir()} >= {"guide.html", "guide.pdf", "tiers.xlsx"}
    assert "Entry" in printed((tmp_path / "guide.pdf").read_bytes()).text(1)
