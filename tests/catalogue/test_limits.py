"""Every limit of what is read: a file at the limit is read, one beyond is refused; and the README says so."""

from __future__ import annotations

import zipfile
from typing import TYPE_CHECKING

import pytest

from budgetbuild.catalogue import package, read, text_table, vast
from budgetbuild.catalogue.look import look
from budgetbuild.catalogue.numbers import LONGEST_NUMBER, take_apart
from budgetbuild.catalogue.package import open_package, read_bytes
from budgetbuild.catalogue.parse import LONGEST_PROSE, LONGEST_TEXT
from budgetbuild.catalogue.price_file import PRICES
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.cli import console
from budgetbuild.cli.console import print_faults
from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.pricelist import mapping_file
from budgetbuild.published import read as results_file
from budgetbuild.report.words import voice
from tests.catalogue.workbooks import Book, faults_of, sound_book, write_book, write_shared
from tests.fuzz.grid import Page, packed, parts_of, unpacked

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def codes_of(act: Callable[[], object]) -> list[str]:
    """Codes of the faults with which something is refused; none where it is read."""
    try:
        act()
    except UserInputError as error:
        return [fault.code for fault in error.faults]
    return []


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A small sound workbook: 11 sheets, 12 rows at most in one of them."""
    return write_book(tmp_path / "prices.xlsx", sound_book())


@pytest.mark.parametrize(("short", "codes"), [(0, []), (1, ["file-too-large"])])
def test_size_of_the_file(book: Path, short: int, codes: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(package, "MOST_FILE_BYTES", book.stat().st_size - short)
    assert codes_of(lambda: read_bytes(book)) == codes


@pytest.mark.parametrize(("short", "codes"), [(0, []), (1, ["unpacks-too-large"])])
def test_size_of_what_is_unpacked(book: Path, short: int, codes: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    with zipfile.ZipFile(book) as archive:
        size = sum(part.file_size for part in archive.infolist())
    monkeypatch.setattr(package, "MOST_UNZIPPED_BYTES", size - short)
    assert codes_of(lambda: open_package(book)) == codes


@pytest.mark.parametrize(("ratio", "codes"), [(200, []), (2, ["unpacks-too-large"])])
def test_how_much_larger_it_is_unpacked(
    book: Path, ratio: int, codes: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(package, "MOST_RATIO", ratio)
    monkeypatch.setattr(package, "RATIO_COUNTS_FROM", 100)
    assert codes_of(lambda: open_package(book)) == codes


@pytest.mark.parametrize(("short", "codes"), [(0, []), (1, ["too-many-parts"])])
def test_number_of_packed_files(book: Path, short: int, codes: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(package, "MOST_PARTS", len(unpacked(book.read_bytes())) - short)
    assert codes_of(lambda: open_package(book)) == codes


@pytest.mark.parametrize(("more", "codes"), [(0, []), (1, ["too-many-sheets"])])
def test_number_of_sheets(tmp_path: Path, more: int, codes: list[str]) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(packed(parts_of([Page(f"Page {at}", [["x"]]) for at in range(package.MOST_SHEETS + more)])))
    assert codes_of(lambda: open_package(path)) == codes


@pytest.mark.parametrize(
    ("titles", "codes"),
    [
        (("x" * package.LONGEST_SHEET_NAME, "A"), []),
        (("x" * package.LONGEST_SHEET_NAME + "x", "A"), ["sheet-names"]),
        (("A", "A"), ["sheet-names"]),
        (("A", " "), ["sheet-names"]),
    ],
)
def test_names_of_sheets(tmp_path: Path, titles: tuple[str, ...], codes: list[str]) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(packed(parts_of([Page(title, [["x"]]) for title in titles])))
    assert codes_of(lambda: open_package(path)) == codes


@pytest.mark.parametrize(
    ("limit", "at", "codes"),
    [
        ("MOST_ROWS", 3, []),
        ("MOST_ROWS", 2, ["too-many-rows"]),
        ("MOST_CELLS", 6, []),
        ("MOST_CELLS", 5, ["too-many-cells"]),
    ],
)
def test_rows_and_cells(tmp_path: Path, limit: str, at: int, codes: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_book(tmp_path / "prices.xlsx", {"A": [{"x": 1, "y": 2}, {"x": 3, "y": 4}]})
    monkeypatch.setattr(read, limit, at)
    assert codes_of(lambda: read_sheets(open_package(path))) == codes


@pytest.mark.parametrize(("short", "codes"), [(0, []), (1, ["too-many-cells"])])
def test_cells_that_are_read_with_care(
    tmp_path: Path, short: int, codes: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_book(tmp_path / "prices.xlsx", {"A": [{"x": 1, "y": 2}]})
    monkeypatch.setattr(read, "MOST_CAREFUL_CELLS", 4 - short)
    assert codes_of(lambda: read_sheets(open_package(path), careful=True)) == codes
    assert codes_of(lambda: read_sheets(open_package(path))) == []


@pytest.mark.parametrize(("wider", "codes"), [(0, set()), (1, {"too-many-columns"})])
@pytest.mark.parametrize("write", [write_book, write_shared])
def test_columns(tmp_path: Path, wider: int, codes: set[str], write: Callable[[Path, Book], Path]) -> None:
    book = sound_book()
    width = len(book["Tiers"][0])
    book["Tiers"][0] |= {f"Own {at}": "x" for at in range(width, read.MOST_COLUMNS + wider)}
    found = [fault for fault in faults_of(write(tmp_path / "prices.xlsx", book)) if fault.code != "unknown-column"]
    assert {(fault.code, str(fault.at), str(fault.severity)) for fault in found} == {
        (code, "Tiers", "warning") for code in codes
    }


@pytest.mark.parametrize(
    ("reference", "codes"), [("A1:B3", []), ("A1:C3", ["too-many-cells"]), ("A:A", ["too-many-cells"])]
)
@pytest.mark.parametrize(
    "more", ['<mergeCells><mergeCell ref="{}"/></mergeCells>', '<hyperlinks><hyperlink ref="{}"/></hyperlinks>']
)
def test_cells_that_ranges_cover(
    tmp_path: Path, reference: str, codes: list[str], more: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(packed(parts_of([Page("A", [["x"]], more=more.format(reference))])))
    monkeypatch.setattr(vast, "MOST_RANGE_CELLS", 6)
    assert codes_of(lambda: read_sheets(open_package(path), careful=True)) == codes


@pytest.mark.parametrize(("short", "codes"), [(0, []), (1, ["too-much-text"])])
@pytest.mark.parametrize("comment", ["", "<!-- so that it is read with care -->"])
def test_text_that_many_cells_share(
    tmp_path: Path, short: int, codes: list[str], comment: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prices.xlsx"
    text, other = "x" * 900, None if comment else 7.0
    path.write_bytes(packed(parts_of([Page("A", [[text] * 5, [text, other]], more=comment)], shared=True)))
    shown = len(f"<t>{text}</t></si></sst>") * 6
    monkeypatch.setattr(vast, "MOST_TEXT_BYTES", shown - short)
    assert codes_of(lambda: read_sheets(open_package(path))) == codes


@pytest.mark.parametrize(
    ("sheet", "header", "most"), [("Speakers", "Model", LONGEST_TEXT), ("Texts", "Text", LONGEST_PROSE)]
)
def test_text_of_a_cell(tmp_path: Path, sheet: str, header: str, most: int) -> None:
    book = sound_book() | {"Texts": [{"Place": "opening", "About": None, "Text": "Welcome."}]}
    for more, codes in ((0, set()), (1, {"too-long"})):
        book[sheet][0][header] = "x" * (most + more)
        assert {fault.code for fault in faults_of(write_book(tmp_path / "prices.xlsx", book))} == codes


def test_text_in_which_a_number_is_looked_for() -> None:
    assert take_apart("7" * LONGEST_NUMBER)
    assert take_apart("7" * (LONGEST_NUMBER + 1)) is None


@pytest.mark.parametrize(("more", "codes"), [(0, []), (1, ["too-long"])])
def test_line_of_a_text_table(more: int, codes: list[str]) -> None:
    line = ";".join(["A", "5", *["7" * 100_000] * 9, ""])
    line += "8" * (text_table.LONGEST_LINE + more - len(line))
    text = f"SKU;Price{';Own' * 10}\r\n{line}\r\n".encode()
    assert codes_of(lambda: text_table.read_text_table("a.csv", text, PRICES)) == codes


@pytest.mark.parametrize(("more", "codes"), [(0, []), (1, ["too-long"])])
def test_cell_of_a_text_table(more: int, codes: list[str]) -> None:
    text = f"SKU;Price;Stock\nA;5;{'7' * (text_table.LONGEST_CELL + more)}\n".encode()
    assert codes_of(lambda: text_table.read_text_table("a.csv", text, PRICES)) == codes


@pytest.mark.parametrize("more", [0, 1])
def test_mapping_sentences_and_results(tmp_path: Path, more: int, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "sentences.toml"
    path.write_text('[guide]\ntitle = "What to buy"\n')
    for module in (mapping_file, voice, results_file):
        monkeypatch.setattr(module, "LARGEST", path.stat().st_size - more)
    beyond = ["file-too-large"] if more else []
    assert codes_of(lambda: voice.own_sentences(path, voice.tool_sentences())) == beyond
    assert ("file-too-large" in codes_of(lambda: mapping_file.read_mapping(path))) == bool(more)
    assert ("file-too-large" in codes_of(lambda: results_file.read_published(path))) == bool(more)


@pytest.mark.parametrize("more", [0, 1])
def test_faults_that_the_terminal_shows(more: int, capsys: pytest.CaptureFixture[str]) -> None:
    faults = [Fault(Cell("A", row), "odd", "7", "8", "write 8") for row in range(1, console.MOST_SHOWN + more + 1)]
    print_faults(faults)
    said = capsys.readouterr().err
    assert said.count("write 8") == console.MOST_SHOWN
    assert ("... and 1 more" in said) == bool(more)


@pytest.mark.parametrize(
    "piece",
    [
        b"<c ",
        b"<row ",
        b"<mergeCell ",
        b"<dimension ",
        b'<c r="A1" t="e" ',
        b'<c r="A1" t="e">',
        b'<c r="A1" s="1" ',
        b'<c r="A1"><f ',
        b'<c r="A1"><f>',
    ],
)
def test_xml_without_ends_takes_no_longer_than_any_other(piece: bytes) -> None:
    """Were the time to grow with the square of the length, each of these would take an hour."""
    assert look(b"<worksheet>" + piece * 300_000, {1: "00000"}).rows >= 0


def test_the_readme_states_every_limit(repository: Path) -> None:
    text = (repository / "README.md").read_text("utf-8")
    section = text[text.index("### How much is read") : text.index("## The trade rules in short")]
    megabyte = 1_000_000
    for limit in (
        f"{package.MOST_FILE_BYTES // megabyte} MB",
        f"{package.MOST_UNZIPPED_BYTES // megabyte} MB",
        f"{package.MOST_RATIO} times",
        f"{package.MOST_PARTS:,} packed files",
        f"{package.MOST_SHEETS} sheets",
        f"{package.LONGEST_SHEET_NAME} characters",
        f"{read.MOST_ROWS:,} rows",
        f"{read.MOST_COLUMNS} columns",
        f"{read.MOST_CELLS:,} cells",
        f"{read.MOST_CAREFUL_CELLS:,} cells",
        f"{vast.MOST_RANGE_CELLS:,} cells",
        f"{vast.MOST_TEXT_BYTES // megabyte:,} MB",
        f"{LONGEST_TEXT} characters",
        f"{LONGEST_PROSE:,} characters",
        f"{LONGEST_NUMBER} characters",
        f"{text_table.LONGEST_CELL:,} characters",
        f"{text_table.LONGEST_LINE:,} characters",
        f"{mapping_file.LARGEST // megabyte} MB",
        f"{results_file.LARGEST // megabyte} MB",
        f"{console.MOST_SHOWN} faults",
    ):
        assert limit in section, limit
    assert mapping_file.LARGEST == voice.LARGEST
