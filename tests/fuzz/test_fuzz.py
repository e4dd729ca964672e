"""Three hundred mutants of every kind, in this process; the long run is `python -m tests.fuzz`."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.cli.main import main
from tests.catalogue.workbooks import sound_book
from tests.fuzz.grid import packed, pages_of, parts_of, unpacked
from tests.fuzz.in_others import LIST, MAPPING, PRICES, SENTENCES, published, reading_as
from tests.fuzz.in_packages import SHEET, STRINGS, sound, whole
from tests.fuzz.in_places import PLACES
from tests.fuzz.kinds import KINDS, kind_of, outcome
from tests.fuzz.mutant import Mutant, chance_of
from tests.fuzz.verdict import KEPT, Ended, prepare, run_here, standing, well_formed, wrong

SEED, MUTANTS, BLOCKS = 7, 300, 20
MOST_MEMORY = 2_000_000_000
"""Bytes that a process of its own may ask for; a build of a tiny workbook takes a quarter of it."""
PATIENCE_S = 90


@pytest.mark.parametrize("block", range(BLOCKS))
def test_no_mutant_ends_in_anything_but_an_answer_or_a_located_fault(block: int, tmp_path: Path) -> None:
    failed = []
    for number in range(block, MUTANTS, BLOCKS):
        folder = tmp_path / str(number)
        folder.mkdir()
        found = outcome(SEED, number, folder)
        failed += [found] if found.wrong else []
    assert not failed


def test_every_kind_has_its_turn() -> None:
    assert {kind_of(number) for number in range(MUTANTS)} == set(KINDS)


@pytest.mark.parametrize("number", range(len(KINDS)))
def test_a_mutant_is_the_same_on_every_run(number: int, tmp_path: Path) -> None:
    made = []
    for name in ("a", "b"):
        folder = tmp_path / name
        folder.mkdir()
        mutant = KINDS[kind_of(number)](chance_of(SEED, number), folder)
        made.append(([word.replace(str(folder), "") for word in mutant.argv], standing(folder)))
    assert made[0] == made[1]


def test_the_sound_workbook_builds_and_checks(tmp_path: Path) -> None:
    (tmp_path / "prices.xlsx").write_bytes(whole())
    before = prepare(tmp_path, kept=True)
    for command in (("check",), ("build", "--quiet", "--out", str(tmp_path / "out"))):
        mutant = Mutant((*command, str(tmp_path / "prices.xlsx")), ("prices.xlsx",))
        ended = run_here(mutant)
        assert ended.status == 0
        assert not [*wrong(mutant, ended, tmp_path, before)]


@pytest.mark.parametrize(
    ("ended", "why"),
    [
        (Ended(1, "Nothing was written."), "exit status"),
        (Ended(2, ""), "not a word"),
        (Ended(2, "ValueError: odd"), "a programmer's word"),
        (Ended(2, "found None"), "a programmer's word"),
        (Ended(2, "x" * 300_000), "characters on the terminal"),
        (Ended(2, "1 fault", (("fault", "", "7", "a word", "write it"),)), "without a place"),
        (Ended(2, "1 fault", (("fault", "Tiers!B2", "7", "", "write it"),)), "without a place or words"),
        (Ended(0, "Wrote it"), "tiers.xlsx is missing"),
    ],
)
def test_the_judge_sees_what_is_wrong(ended: Ended, why: str, tmp_path: Path) -> None:
    mutant = Mutant(("build", "prices.xlsx"), ("prices.xlsx",))
    before = prepare(tmp_path, kept=False)
    assert any(why in one for one in wrong(mutant, ended, tmp_path, before))


def test_the_judge_sees_what_was_written_and_what_is_torn(tmp_path: Path) -> None:
    mutant = Mutant(("build", "prices.xlsx"), ("prices.xlsx",))
    before = prepare(tmp_path, kept=True)
    assert before["out/results.json"] == KEPT
    (tmp_path / "out" / "results.json").write_bytes(b'{"score": NaN}')
    (tmp_path / ".budgetbuild-1").mkdir()
    refused = [*wrong(mutant, Ended(2, "1 fault"), tmp_path, before)]
    assert {"out/results.json is other than before", ".budgetbuild-1 is other than before"} <= set(refused)
    built = " ".join(wrong(mutant, Ended(0, "Wrote it"), tmp_path, before))
    assert "results.json is not whole" in built
    assert ".budgetbuild-1 has no place there" in built
    for name, content in (("a.html", b"<p>"), ("a.svg", b"<svg>"), ("a.xlsx", b"PK"), ("a.md", b"\0")):
        with pytest.raises(Exception):  # noqa: B017, PT011 - whatever its parser says
            well_formed(name, content)


def test_the_grid_writes_what_the_reader_reads(tmp_path: Path) -> None:
    for shared in (False, True):
        data = packed(parts_of(pages_of(sound_book()), shared=shared))
        assert packed(unpacked(data)) == data
        (tmp_path / "prices.xlsx").write_bytes(data)
        assert main(["check", str(tmp_path / "prices.xlsx")]) == 0
        package = open_package(tmp_path / "prices.xlsx")
        assert read_sheets(package) == read_sheets(package, careful=True)


def far_away(spelling: bytes) -> bytes:
    """A cell in the last corner, in a spelling that the quick look might not expect."""
    end = b"</sheetData>"
    return packed(sound() | {SHEET: sound()[SHEET].replace(end, spelling + end)})


FAR = {
    "broken over lines": b'<row r="9"><c\nr="XFD1048576"><v>1</v></c></row>',
    "with a prefix": b'<x:row xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main" r="9">'
    b'<x:c r="XFD1048576"><x:v>1</x:v></x:c></x:row>',
    "merged": b'</sheetData><mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells><!-- x --><sheetData>',
}


def boasting() -> bytes:
    """A count of shared texts for which no computer has the memory, in the spelling that no program uses."""
    return packed(sound() | {STRINGS: sound()[STRINGS].replace(b"<sst ", b"<sst uniqueCount = '4294967295' ")})


def alone(argv: list[str]) -> tuple[int, str]:
    """Run a command in a process of its own with little memory and time; its status and what it said."""
    ended = subprocess.run(  # noqa: S603 - fixed words
        [sys.executable, "-m", "budgetbuild", *argv],
        capture_output=True,
        timeout=PATIENCE_S,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY)),
    )
    return ended.returncode, (ended.stdout + ended.stderr).decode()


@pytest.mark.parametrize("spelling", FAR)
def test_a_cell_far_away_takes_neither_memory_nor_time(spelling: str, tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(far_away(FAR[spelling]))
    status, said = alone(["check", str(path)])
    assert (status, "Traceback" in said) in {(0, False), (2, False)}, said


@pytest.mark.parametrize("what", ["check", "--prices", "results", "list"])
@pytest.mark.parametrize("place", ["pipe", "endless device"])
def test_what_never_ends_is_refused_at_once(what: str, place: str, tmp_path: Path) -> None:
    path = PLACES[place](tmp_path)
    mutant = reading_as(what, path, tmp_path)
    before = prepare(tmp_path, kept=True)
    ended = run_here(mutant)
    assert ended.status == 2
    assert "not a device or a pipe" in ended.printed
    assert not [*wrong(mutant, ended, tmp_path, before)]


def test_a_count_that_boasts_ends_no_process(tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(boasting())
    status, said = alone(["check", str(path)])
    assert (status, "copy the price list into a new workbook" in said) == (2, True), said


def test_a_device_without_end_fills_no_memory() -> None:
    status, said = alone(["check", "/dev/zero"])
    assert (status, "not a device or a pipe" in said) == (2, True)


def test_a_file_that_this_user_may_not_read_is_told_and_nothing_else() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        mutant = reading_as("check", folder / "prices.xlsx", folder)
        (folder / "prices.xlsx").write_bytes(whole())
        run_here(mutant)  # What is imported late is there before the user changes.
        (folder / "prices.xlsx").chmod(0)
        user = os.geteuid()
        if user == 0:
            os.seteuid(65_534)
        try:
            ended = run_here(mutant)
        finally:
            os.seteuid(user)
        assert ended.status == 2
        assert "Permission denied" in ended.printed
        assert not [*wrong(mutant, ended, folder, standing(folder))]


@pytest.mark.parametrize(
    ("what", "text"), [("list", LIST), ("suggest", LIST), ("mapping", MAPPING), ("--prices", PRICES)]
)
def test_the_other_files_are_sound_before_they_are_spoilt(what: str, text: str, tmp_path: Path) -> None:
    path = tmp_path / ("given.toml" if what == "mapping" else "given.csv")
    path.write_text(text, "utf-8")
    mutant = reading_as(what, path, tmp_path)
    before = prepare(tmp_path, kept=False)
    ended = run_here(mutant)
    assert (ended.status, [*wrong(mutant, ended, tmp_path, before)]) == (0, []), ended.printed


def test_sentences_and_results_are_sound_before_they_are_spoilt(tmp_path: Path) -> None:
    (tmp_path / "sentences.toml").write_text(SENTENCES, "utf-8")
    (tmp_path / "results.json").write_text(published(), "utf-8")
    mutant = reading_as("results", tmp_path / "results.json", tmp_path)
    ended = run_here(Mutant((*mutant.argv[:2], "--templates", str(tmp_path), *mutant.argv[2:]), mutant.reads))
    assert ended.status == 0, ended.printed
