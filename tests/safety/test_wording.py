"""The eight facts in every output that a customer may read, out of the outputs' own text.

The shop here has a file of its own for all sentences that it may change, and the facts stand there all the same.
"""

from __future__ import annotations

import io
import json
import re
from typing import TYPE_CHECKING

import markdown
import openpyxl
import pytest

from budgetbuild.cli import main
from budgetbuild.report.assets import template_folders
from budgetbuild.report.words.voice import tool_sentences
from tests.injection.harmless import Page, texts_in
from tests.injection.outputs import tame
from tests.injection.shop import plain, workbook
from tests.safety.facts import FACTS, untold

if TYPE_CHECKING:
    from pathlib import Path

SYSTEMS = 6
"""Builds of the list that have a system; two have none."""


WORDINGS = {
    "battery": 0, "fuse": 1, "fuse-here": 1, "rating": 2, "rating-here": 2, "boxes": 3, "boxes-here": 3, "looms": 4,
    "vents": 5, "hearing": 6, "hearing-part": 6, "hearing-here": 6, "fitter": 7,
}  # fmt: skip
"""The tool's sentences, and the place of the fact that each tells."""


def page(name: str) -> str:
    """What one reads of a page."""
    return Page(tame().files[name].decode()).text


def paper(name: str) -> str:
    """What one reads of a Markdown file once it is rendered."""
    return Page(markdown.markdown(tame().files[name].decode(), extensions=["tables"])).text


@pytest.mark.parametrize("name", ["build/guide.html", "build/guide.md"])
def test_a_guide_tells_all_of_them_once_for_everybody_and_beside_every_system(name: str) -> None:
    text = page(name) if name.endswith("html") else paper(name)
    # The systems of the tiers, the two steps of each of two upgrade paths, and a promotion.
    assert untold(text, 1 + SYSTEMS + 2 * 2 + 1) == []


def test_facts_with_a_figure_stand_with_it_beside_the_system() -> None:
    text = " ".join(page("build/guide.html").split())
    assert re.search(r"0\.45 m \(18 in\) of the battery[^.]*\(here (?:60|80) A for \w+ Run", text)
    assert re.search(r"rating \(\w+ Run[^:)]*: [\d.]+ A", text)
    assert re.search(r"85 dB\(A\) harms hearing; [^.]*can reach about 1\d\d dB at 1 m", text)
    assert "(Alva Box with Alva Driver included)" in text


def test_a_guide_of_a_brief_without_any_system_tells_them_too(tmp_path: Path) -> None:
    path = workbook(tmp_path / "list.xlsx", plain)
    out = tmp_path / "out"
    asked = ["build", str(path), "--out", str(out), "--tier", "Low", "--brief", "Loud", "--counter", "none"]
    assert main([*asked, "--quiet"]) == 3
    assert untold(Page((out / "guide.html").read_text("utf-8")).text) == []
    assert untold((out / "guide.md").read_text("utf-8")) == []


@pytest.mark.parametrize("name", ["build/pick_list.html", "build/rundown.md"])
def test_what_the_bay_and_the_speaker_read_tells_them_with_every_system(name: str) -> None:
    text = page(name) if name.endswith("html") else paper(name)
    assert untold(text, SYSTEMS) == []


@pytest.mark.parametrize("name", ["quote-html/quote.html", "quote-html/bay.html"])
def test_a_quote_tells_them(name: str) -> None:
    assert untold(page(name)) == []


def test_a_quote_in_markdown_and_at_the_terminal_tells_them() -> None:
    assert untold(paper("quote-md/quote.md")) == []
    assert untold(tame().told["quote-html"]) == []


@pytest.mark.parametrize("name", ["build/tiers.xlsx", "quote-xlsx/quote.xlsx", "build/copy.xlsx"])
def test_every_sheet_of_a_system_tells_them(name: str) -> None:
    book = openpyxl.load_workbook(io.BytesIO(tame().files[name]))
    sheets = {sheet.title: texts_in([sheet]) for sheet in book}
    systems = [texts for texts in sheets.values() if "Safety" in texts]
    assert len(systems) == (1 if name.startswith("quote") else SYSTEMS)
    assert [untold(" ".join(texts)) for texts in systems] == [[]] * len(systems)
    lists = {title: texts for title, texts in sheets.items() if "Running total" in texts}
    assert {title: untold(" ".join(texts)) for title, texts in lists.items()} == {title: [] for title in lists}
    assert len(lists) > len(systems) or name.startswith("quote")


def test_every_list_in_what_changed_tells_them() -> None:
    lists = page("recheck/what_changed.html").count("The whole list as it has to be printed")
    book = openpyxl.load_workbook(io.BytesIO(tame().files["recheck/what_changed.xlsx"]))
    for text in (page("recheck/what_changed.html"), paper("recheck/what_changed.md"), " ".join(texts_in(book))):
        assert untold(text, max(lists, 1)) == []


def test_data_tells_them_with_every_system() -> None:
    data = json.loads(tame().files["build/results.json"])
    assert untold(" ".join(data["guide"]["safety"])) == []
    assert [untold(" ".join(build["safety"])) for build in data["builds"] if build["lines"]] == [[]] * SYSTEMS
    for name in ("quote-json/quote.json", "recheck/recheck.json"):
        builds = json.loads(tame().files[name])["builds"]
        told = [untold(" ".join(build["safety"])) for build in builds if build["lines"]]
        assert told, name
        assert not any(told), name


@pytest.mark.parametrize("vehicle", ["Kestrel-Hatch", "Marl-Estate"])
def test_every_point_of_a_counter_file_tells_them(vehicle: str) -> None:
    data = json.loads(tame().files[f"fleet-data/counters/{vehicle}.json"])
    points = 0
    for curve in data["curves"]:
        for place in curve["safety"]:
            points += 1
            assert untold(" ".join(data["sentences"][number] for number in data["lists"][place])) == []
    assert points > 10


def test_the_tools_own_sentences_tell_each_fact_with_and_without_figures() -> None:
    """Every wording alone: a sentence that is taken apart or emptied is found here first."""
    safety = tool_sentences()["safety"]
    for name, fact in WORDINGS.items():
        for wording in safety[name]:
            assert list(FACTS)[fact] not in " ".join(untold(wording)), name


@pytest.mark.parametrize("text", ['battery = "Battery off."', 'battery = ""', "looms = []", 'vents = " "', ""])
def test_a_shop_cannot_take_a_safety_sentence_away(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = workbook(tmp_path / "list.xlsx", plain)
    (tmp_path / "sentences.toml").write_text(f"[safety]\n{text}\n", "utf-8")
    out = tmp_path / "out"
    assert main(["build", str(path), "--out", str(out), "--templates", str(tmp_path)]) == 2
    told = capsys.readouterr().err
    assert "sentences.toml" in told
    assert "[safety]" in told
    assert not out.exists()


TEMPLATES = {
    "guide.html.j2": "{{ report.title }}",
    "guide.md.j2": "# {{ report.title }}",
    "guide_parts.html.j2": "",
    "pick_list.html.j2": "<p>{{ lists | length }}</p>",
    "rundown.md.j2": "x",
}
"""A shop's own templates that hold no safety sentence."""


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_shops_own_template_that_leaves_them_out_is_refused(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = workbook(tmp_path / "list.xlsx", plain)
    own = tmp_path / "own"
    own.mkdir()
    (tool,) = template_folders()
    text = (tool / name).read_text("utf-8")
    (own / name).write_text(TEMPLATES[name] or text.replace("{{ sentence.text }}", ""), "utf-8")
    out = tmp_path / "out"
    asked = ["build", str(path), "--out", str(out), "--tier", "High", "--brief", "Factory", "--counter", "none"]
    assert main([*asked, "--templates", str(own)]) == 2
    assert "safety" in capsys.readouterr().err
    assert not out.exists()


@pytest.mark.parametrize("ending", ["html", "md"])
def test_a_shops_own_letter_that_leaves_them_out_is_refused(ending: str, tmp_path: Path) -> None:
    path = workbook(tmp_path / "list.xlsx", plain)
    (tmp_path / f"quote.{ending}.j2").write_text("{{ quote.dated }}", "utf-8")
    out = tmp_path / f"quote.{ending}"
    asked = ["quote", str(path), "--budget", "1300", "--brief", "Factory", "--out", str(out), "--quiet"]
    assert main([*asked, "--templates", str(tmp_path)]) == 2
    assert not out.exists()
