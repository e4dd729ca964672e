"""Everything that a hostile list gives, held against what a plain one gives: other texts, and nothing else."""

from __future__ import annotations

import io
import json
import re
import subprocess
import tomllib
from collections import Counter
from typing import TYPE_CHECKING

import markdown
import openpyxl
import pyarrow.parquet as pq
import pytest
from markdown_it import MarkdownIt

from budgetbuild.cli import main
from tests.injection.harmless import (
    Page,
    formulas_in,
    missing,
    parts_of,
    texts_in,
    unseen,
    wrong_in_book,
    wrong_in_page,
    wrong_in_picture,
)
from tests.injection.outputs import COLUMNS, Outputs, tame, wild
from tests.injection.payloads import BAD_LINKS, EVIL
from tests.injection.shop import ASKED, plain, workbook
from tests.registry import command

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

RENDERERS: dict[str, Callable[[str], str]] = {
    "Python-Markdown": lambda text: markdown.markdown(text, extensions=["tables"]),
    "markdown-it-py": MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"]).render,
}
"""Both let raw HTML and any link through."""


def named(outputs: Outputs, ending: str) -> dict[str, bytes]:
    """The files of one kind."""
    return {name: content for name, content in outputs.files.items() if name.endswith(ending)}


def twins(ending: str) -> Iterator[tuple[str, bytes, list[bytes]]]:
    """Each file of the hostile list with those that the plain list has in its place: one, or all of a folder's."""
    plain = named(tame(), ending)
    for name, content in named(wild(), ending).items():
        folder = name.rpartition("/")[0]
        same = [plain[name]] if name in plain else [one for other, one in plain.items() if other.startswith(folder)]
        yield name, content, same


def test_every_command_ends_as_with_a_plain_list_and_writes_as_many_files() -> None:
    plain, hostile = tame(), wild()
    assert {name: status for name, status in hostile.status.items() if not name.startswith("broken")} == {
        name: status for name, status in plain.status.items() if not name.startswith("broken")
    }
    assert not {1, 130} & set(plain.status.values()), "a defect"
    assert hostile.status["broken"] == hostile.status["broken-build"] == 2
    assert not [name for name in hostile.files if name.startswith(("never", "no/"))]
    assert len(hostile.files) == len(plain.files) > 40


def test_names_of_files_lead_nowhere_and_are_no_devices() -> None:
    for path in wild().files:
        for name in path.split("/"):
            assert re.fullmatch(r"[\w][\w~-]*(\.[a-z]+)?|~\d*\.\w+", name), path
            assert name.partition(".")[0].casefold() not in {"con", "nul", "aux", "prn"}


def test_pages_have_the_same_elements_attributes_and_tables() -> None:
    for name, content, same in twins(".html"):
        page, others = Page(content.decode()), [Page(one.decode()) for one in same]
        scripts = 2 if "counter" in name or name.startswith("fleet") else 0
        assert wrong_in_page(page, scripts=scripts) == [], name
        assert any(page.tally() == other.tally() and page.rows == other.rows for other in others), name
        assert page.links() == others[0].links(), name


def test_the_guide_shows_every_text_as_it_is() -> None:
    shown = Page(wild().files["build/guide.html"].decode()).text
    letter = Page(wild().files["quote-html/quote.html"].decode()).text
    wanted = ("~The Shop", "~Welcome", "~about the tier", "~about the product", "~Good bye", "~:Loud", "~High",
              "~:SP-2", "~Set", "~:Kestrel Hatch", "~note on SP-2", "~:Autumn", "~today")  # fmt: skip
    assert missing([seen(mark) for mark in wanted], shown) == []
    assert missing([seen(mark) for mark in ("~:1 Quay", "~:Haven", "~:No returns", "~The Shop")], letter) == []


def seen(mark: str) -> str:
    """A free text of the hostile list as a reader sees it, worked out from the payload alone."""
    text = wild().dress(mark)
    text = re.sub(r"[\u2028\u2029\r\n\t\x0b\x1c-\x1f]", " ", text)
    marks_of_direction = "\u200b\u202a-\u202e\u2060\u2066-\u2069\ufeff"
    text = re.sub(f"[\x00-\x1f\x7f-\x9f{marks_of_direction}\U000e0041\U000e007f]", "", text)
    return " ".join(text.split())


@pytest.mark.parametrize("renderer", [*RENDERERS, pytest.param("cmark-gfm", marks=pytest.mark.reference)])
def test_markdown_becomes_the_same_elements_links_and_tables(renderer: str) -> None:
    render = RENDERERS.get(renderer, by_cmark)
    for name, content, (same, *_) in twins(".md"):
        page, other = Page(render(content.decode())), Page(render(same.decode()))
        styles = [f"{cell} style" for cell in ("th", "td")]  # how a renderer aligns a column
        assert [one for one in wrong_in_page(page) if one not in styles] == [], name
        assert page.tally() == other.tally(), name
        assert page.rows == other.rows, name
        assert page.links() - pictures(page) == other.links() - pictures(other), name


def by_cmark(text: str) -> str:
    """As the widest used of them has it, everything let through and every extension on."""
    options = [
        "--unsafe",
        *(word for name in ("table", "strikethrough", "autolink", "tasklist") for word in ("-e", name)),
    ]
    done = subprocess.run([command("cmark-gfm"), *options], input=text, capture_output=True, text=True, check=True)  # noqa: S603
    # It makes a link of every e-mail address, however its sign is written; such a link can only begin a letter.
    return re.sub(r'<a href="mailto:[^"]*">(.*?)</a>', r"\1", done.stdout)


def pictures(page: Page) -> set[str]:
    """Files of the tool's own that a page shows or leads to."""
    return {address for address in page.links() if address.startswith(("pictures/", "guide.html"))}


def test_pictures_are_xml_without_scripts_links_or_styles() -> None:
    files = named(wild(), ".svg")
    pages = b"".join(named(wild(), ".html").values())
    inside = [svg for svg in re.findall(rb"<svg\b.*?</svg>", pages, re.DOTALL) if b"xmlns=" in svg]
    assert len(files) > 6
    assert len(inside) > 20
    for content in (*files.values(), *inside):
        assert wrong_in_picture(content) == []


def test_workbooks_have_the_formulas_of_the_plain_ones_and_no_link_out() -> None:
    for name, content, (same, *_) in twins(".xlsx"):
        assert wrong_in_book(content) == [], name
        found, wanted = formulas_in(content), formulas_in(same)
        # A tier whose name looks like an address is named in a chart by the cell that its name stands in.
        assert set(found - wanted) <= {"S!A0"}, (name, found - wanted)
        assert wanted - found == Counter(), name


def test_texts_stand_in_workbooks_as_texts() -> None:
    book = openpyxl.load_workbook(io.BytesIO(wild().files["build/tiers.xlsx"]))
    texts = [text for text in texts_in(book) if not text.startswith("=") or EVIL in text]
    told = " ".join(" ".join(texts).replace("_x005F_", "_").split())
    wanted = ("~The Shop", "~SP-1", "~Set", "~:Loud", "~High", "~:SP-2", "~:Kestrel Hatch", "~:Autumn", "~Alva")
    assert missing([seen(mark) for mark in wanted], told) == []
    values = {cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "s"}
    assert [value for value in values if isinstance(value, str) and unseen(value.replace("\t", " "))] == []


def test_the_copy_keeps_the_shops_own_sheets_as_they_were() -> None:
    before = openpyxl.load_workbook(io.BytesIO(wild().listed.read_bytes()))
    after = openpyxl.load_workbook(io.BytesIO(wild().files["build/copy.xlsx"]))
    for sheet in before:
        assert [[(cell.value, cell.data_type) for cell in row] for row in sheet.iter_rows()] == [
            [(cell.value, cell.data_type) for cell in row] for row in after[sheet.title].iter_rows()
        ]


def test_a_text_that_looks_like_a_spreadsheets_own_escape_stays_that_text(tmp_path: Path) -> None:
    """`_x000D_` is how such a file writes a carriage return; the letters themselves are written with an escape."""
    path = workbook(tmp_path / "list.xlsx", lambda mark: "_x000D_Set _x0041_" if mark == "~Set" else plain(mark))
    out = tmp_path / "quote.xlsx"
    assert main(["quote", str(path), "--budget", "1300", "--brief", "Everyday", "--out", str(out), "--quiet"]) == 0
    (shared,) = (root for part, root in parts_of(out.read_bytes()) if part == "xl/sharedStrings.xml")
    assert any("_x005F_x000D_Set _x005F_x0041_" in (one.text or "") for one in shared.iter())


def test_data_reads_back_and_shows_nothing_unseen_where_it_is_printed() -> None:
    for name, content in named(wild(), ".json").items():
        assert json.loads(content), name
        assert unseen(content.decode()) == [], name
    for name in ("check-json", "build-json", "quote-stdout-json", "why-AM-1-json", "recheck-json", "broken-json"):
        told = wild().told[name]
        assert json.loads(told[told.index("{") : told.rindex("}") + 1]), name
        assert unseen(told) == [], name
    data = json.loads(wild().files["build/results.json"])
    assert {build["brief"] for build in data["builds"]} == {seen(row["Brief"]) for row in ASKED["Briefs"]}


def test_data_in_a_page_can_end_no_element() -> None:
    for name, content in named(wild(), ".html").items():
        for block in re.findall(r'<script type="application/json"[^>]*>(.*?)</script>', content.decode(), re.DOTALL):
            assert not set("<>&\u2028\u2029") & set(block), name
            assert json.loads(block), name


def test_nothing_steers_a_terminal() -> None:
    for name, told in wild().told.items():
        assert unseen(told) == [], name
    assert "[bold red]" in "".join(wild().told.values())


def test_a_table_of_a_fleet_holds_texts_as_a_reader_sees_them() -> None:
    rows = pq.read_table(io.BytesIO(wild().files["fleet-pages/fleet.parquet"])).to_pylist()
    texts = {value for row in rows for value in row.values() if isinstance(value, str)}
    assert {seen("~:Loud"), seen("~High"), seen("~:Marl Estate")} <= texts
    assert [text for text in texts if unseen(text)] == []


def test_a_suggested_mapping_names_the_lists_columns_and_is_harmless_in_an_editor() -> None:
    text = wild().files["suggest/mapping.toml"].decode()
    assert {name for group in tomllib.loads(text)["group"] for name in group["where"]} == {seen(COLUMNS[3])}
    assert unseen(text) == []


def test_what_is_no_address_is_told_with_its_cell() -> None:
    faults = json.loads(wild().told["check-json"])["faults"]
    told = [fault for fault in faults if fault["code"] == "no-web-address"]
    assert len(told) >= len(BAD_LINKS) - 2
    assert {fault["severity"] for fault in told} == {"warning"}
    assert all(fault["cell"] for fault in told)
