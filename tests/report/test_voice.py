"""A shop's own sentences: they take the place of the tool's everywhere, and what is wrong with them is told at once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from budgetbuild.faults import UserInputError
from budgetbuild.report import render_all
from budgetbuild.report.content import report_content
from budgetbuild.report.words.voice import FILE, tool_sentences, voice_of
from tests.report import fixtures

if TYPE_CHECKING:
    from pathlib import Path

SETTINGS = fixtures.CATALOGUE.settings


def own(folder: Path, text: str) -> Path:
    """A folder of templates with such a file of sentences."""
    (folder / FILE).write_text(text, "utf-8")
    return folder


def test_a_shops_own_sentence_stands_in_every_output(tmp_path: Path) -> None:
    folder = own(tmp_path, '[cautions]\nmeasure-first = "Tape measure out: {what}."\n')
    files = render_all((fixtures.replaced(),), fixtures.CATALOGUE, templates=folder)
    for name in ("guide.md", "guide.html"):
        assert b"Tape measure out: " in files[name]
        assert b"Measure first (" not in files[name]


def test_what_a_shop_does_not_change_stays(tmp_path: Path) -> None:
    voice = voice_of(SETTINGS, own(tmp_path, '[decided]\nmust = "On request: {terms}."\n'))
    assert voice.say("decided", "must", terms="x") == "On request: x."
    assert voice.say("safety", "looms") == fixtures.VOICE.say("safety", "looms")
    (tmp_path / FILE).rename(tmp_path / "guide.css")
    assert voice_of(SETTINGS, tmp_path).sentences == tool_sentences()


def test_a_folder_of_templates_that_does_not_exist_is_told(tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        voice_of(SETTINGS, tmp_path / "nowhere")
    assert caught.value.faults[0].code == "no-such-folder"


def test_a_folder_without_any_template_of_ours_is_told_since_a_name_in_it_may_be_a_slip(tmp_path: Path) -> None:
    (tmp_path / "guid.md.j2").write_text("x", "utf-8")
    with pytest.raises(UserInputError) as caught:
        voice_of(SETTINGS, tmp_path)
    (fault,) = caught.value.faults
    assert fault.code == "no-template"
    assert "guide.md.j2" in fault.expected


def test_each_system_takes_the_next_wording() -> None:
    builds = (fixtures.replaced(),) * 2
    first, second = (report_content(builds, fixtures.CATALOGUE).builds[turn].headline for turn in (0, 1))
    assert first != second
    for headline in (first, second):
        assert "€1,252.50" in headline
        assert "a bass box with one driver" in headline


def test_one_wording_of_a_shop_serves_every_system(tmp_path: Path) -> None:
    voice = voice_of(SETTINGS, own(tmp_path, '[headline]\nsold = "{total}."\n'))
    builds = report_content((fixtures.replaced(),) * 2, fixtures.CATALOGUE, voice=voice).builds
    assert [shown.headline for shown in builds] == ["€1,252.50."] * 2


@pytest.mark.parametrize(
    ("text", "found", "expected"),
    [
        ("[cautions]\nnonsense = 'x'", "[cautions] nonsense", "one of the names"),
        ("[nowhere]\nx = 'x'", "[nowhere]", "one of the topics"),
        ("quote = 'x'", "[quote]", "one of the topics"),
        ("[cautions]\nover-budget = '{total}'", "[cautions] over-budget = {total}", "only {allowance}, {over}"),
        ("[cautions]\nover-budget = '{over'", "[cautions] over-budget = {over", "only {allowance}, {over}"),
        ("[cautions]\nover-budget = '{over.x}'", "over-budget", "only"),
        ("[cautions]\nover-budget = '{over!r}'", "over-budget", "only"),
        ("[cautions]\nover-budget = '{over:>99999999}'", "over-budget", "only"),
        ("[guide]\nprices = '{0}'", "[guide] prices", "nothing in braces"),
        ("[guide]\nprices = 3", "[guide] prices", "a sentence in quotation marks"),
        ("[guide]\nprices = []", "[guide] prices", "a sentence in quotation marks"),
        ("[guide]\nprices = ['a', 3]", "[guide] prices", "a sentence in quotation marks"),
        ("[guide\n", "line 1", "as TOML"),
    ],
)
def test_a_sentence_that_cannot_be_used_is_told(text: str, found: str, expected: str, tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        voice_of(SETTINGS, own(tmp_path, text))
    (fault,) = caught.value.faults
    assert found in fault.found
    assert fault.at.sheet == FILE
    assert expected in fault.expected


def test_every_wrong_sentence_is_told_at_once(tmp_path: Path) -> None:
    text = "[guide]\nprices = '{x}'\ncomplete = 4\n[cautions]\nheavy-box = 'ok'\nnone = 'x'\n"
    with pytest.raises(UserInputError) as caught:
        voice_of(SETTINGS, own(tmp_path, text))
    assert len(caught.value.faults) == 3


def test_a_file_that_is_no_text_is_told(tmp_path: Path) -> None:
    (tmp_path / FILE).write_bytes(b"\xff\xfe")
    with pytest.raises(UserInputError) as caught:
        voice_of(SETTINGS, tmp_path)
    assert "no UTF-8 text" in caught.value.faults[0].found


def test_braces_in_figures_are_only_text() -> None:
    assert fixtures.VOICE.say("decided", "must", terms="{terms}{0}") == "The brief insists on {terms}{0}."


def test_a_sentence_that_does_not_exist_or_lacks_a_figure_is_a_defect() -> None:
    with pytest.raises(ValueError, match="no words for safety 'unheard'"):
        fixtures.VOICE.say("safety", "unheard")
    with pytest.raises(ValueError, match="lacks its figure 'terms'"):
        fixtures.VOICE.say("decided", "must")


@pytest.mark.parametrize(
    ("locale", "money", "ratio", "date"),
    [
        ("en_GB", "€1,252.50", "ratio 1.07", "2 November 2026"),
        ("de_DE", "1.252,50\u00a0€", "ratio 1,07", "2. November 2026"),
        ("nl_NL", "€\u00a01.252,50", "ratio 1,07", "2 november 2026"),
        ("fr_FR", "1\u202f252,50\u00a0€", "ratio 1,07", "2 novembre 2026"),
        ("es_MX", "EUR\u00a01,252.50", "ratio 1.07", "2 de noviembre de 2026"),
    ],
)
def test_money_figures_and_dates_follow_the_locale(locale: str, money: str, ratio: str, date: str) -> None:
    settings = replace(SETTINGS, locale=locale, date="2026-11-02")
    files = render_all((fixtures.replaced(),), replace(fixtures.CATALOGUE, settings=settings))
    for name in ("guide.md", "guide.html"):
        text = files[name].decode()
        assert money in text
        assert ratio in text
        assert date in text
    assert '"total": "1252.50"' in files["results.json"].decode()


@pytest.mark.parametrize(
    ("name", "code"), [("x" * 300, "unreadable-folder"), ("nowhere", "no-such-folder"), (".", "no-template")]
)
def test_a_folder_of_templates_that_is_none_is_told(name: str, code: str, tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        voice_of(SETTINGS, tmp_path / name)
    assert [(str(fault.at), fault.code) for fault in caught.value.faults] == [("--templates", code)]


@pytest.mark.parametrize(
    ("text", "found"),
    [(f"a = {'[' * 20_000}", "lists in lists without end"), (f"a = {'9' * 5000}", "a number with far too many digits")],
)
def test_sentences_that_no_reader_gets_through_are_told(text: str, found: str, tmp_path: Path) -> None:
    (tmp_path / FILE).write_text(text, "utf-8")
    with pytest.raises(UserInputError) as caught:
        voice_of(SETTINGS, tmp_path)
    assert [fault.found for fault in caught.value.faults] == [found]
