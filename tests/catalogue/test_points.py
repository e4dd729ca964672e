"""Blank ratings are reckoned from the sheet of points, and everything wrong with it is told at its cell."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.catalogue.load import load_catalogue
from tests.catalogue.workbooks import Book, Rows, faults_of, sound_book, told, write_book
from tests.sample.scaled import write_workbook

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.faults import Fault

Told = set[tuple[str, str, str]]
RECKONED = ("Points!A2", "ratings-reckoned", "notice")


def row(sheet: str, column: str, *bounds: object, value: object = None, points: object = 5) -> dict[str, Any]:
    """A row of the sheet: worst and best, or a value."""
    worst, best = bounds or (None, None)
    return {"Sheet": sheet, "Column": column, "Worst": worst, "Best": best, "Value": value, "Points": points}


LOUD = row("Speakers", "Sensitivity dB", 86, 94)
"""90 dB earns 2.5 of 5, 91 dB 3.125."""


def book_with(*points: dict[str, Any], **cells: object) -> Book:
    """The sound catalogue with points, its speakers unrated, and some cells of the first of them exchanged."""
    book = sound_book() | {"Points": list(points)}
    for speaker in book["Speakers"]:
        speaker["Rating"] = None
    book["Speakers"][0] |= {header.replace("_", " "): value for header, value in cells.items()}
    return book


def loaded(tmp_path: Path, book: Book) -> Catalogue:
    return load_catalogue(write_book(tmp_path / "book.xlsx", book))


def faults(tmp_path: Path, book: Book) -> list[Fault]:
    return faults_of(write_book(tmp_path / "book.xlsx", book))


def ratings(catalogue: Catalogue) -> list[float | None]:
    return [speaker.rating for speaker in catalogue.speakers]


def test_blank_ratings_are_reckoned_and_said_to_be(tmp_path: Path) -> None:
    """Points of two columns: 2.5 and 0 of 8 are 3.125, 3.125 and 3 of 8 are 7.65625."""
    catalogue = loaded(tmp_path, book_with(LOUD, row("Speakers", "Type", value="component", points=3)))
    assert ratings(catalogue) == [3.13, 7.66]
    assert [(one.criterion.column, float(one.points)) for one in catalogue.reckoned["SP-2"]] == [
        ("Sensitivity dB", 3.125),
        ("Type", 3),
    ]
    assert told(list(catalogue.warnings)) == {RECKONED}
    assert catalogue.warnings[0].found == "2 of 2 ratings blank on Speakers"


def test_typed_ratings_stay_as_they_are(tmp_path: Path) -> None:
    catalogue = loaded(tmp_path, book_with(LOUD, Rating=0))
    assert ratings(catalogue) == [0, 6.25]
    assert set(catalogue.reckoned) == {"SP-2"}


def test_points_for_a_sheet_that_is_rated_throughout_change_nothing(tmp_path: Path) -> None:
    plain, catalogue = loaded(tmp_path, sound_book()), loaded(tmp_path, sound_book() | {"Points": [LOUD]})
    assert catalogue.speakers == plain.speakers
    assert catalogue.reckoned == {}
    assert "typed ratings stay" in catalogue.warnings[0].mend


@pytest.mark.parametrize(
    ("points", "expected"),
    [
        ([row("speaker", "sensitivity DB:", 86, 94)], [5, 6.25]),
        ([row("Speakers", "RMS power", "20 W", "100W")], [3.75, 6.88]),
        ([row("Speakers", "Depth mm", "80 mm", 40)], [6.25, 5]),
        ([row("Speakers", "Depth mm", 58, 57)], [10, 0]),
        ([row("Speakers", "RMS W", 0, "1.000,0")], [0.5, 0.75]),
        ([row("Speakers", "Type", value="coax")], [10, 0]),
        ([row("Speakers", "Type", value="coaxial", points=4), row("Speakers", "Type", value="component")], [8, 10]),
        ([row("Speakers", "Brand", value="borr")], [0, 10]),
        ([row("Speakers", "RMS W", value="75 W", points=1)], [0, 10]),
    ],
)  # fmt: skip
def test_sheets_columns_numbers_and_words_are_read_as_everywhere(
    points: Rows, expected: list[float], tmp_path: Path
) -> None:
    assert ratings(loaded(tmp_path, book_with(*points))) == expected


def test_columns_of_the_shops_own_earn_points_and_are_no_longer_ignored(tmp_path: Path) -> None:
    points = [
        row("Speakers", "Cone", value="glass fibre", points=2),
        row("Speakers", "Magnet mm", 60, 90, points=4),
        row("Speakers", "Grille", value="yes", points=4),
    ]
    book = book_with(*points, Cone="Glass  Fibre", Magnet_mm="75 mm", Grille="y", Shelf="A")
    book["Speakers"][1] |= {"Cone": "paper", "Magnet mm": 100, "Grille": "no"}
    catalogue = loaded(tmp_path, book)
    assert ratings(catalogue) == [8, 4]
    assert told(list(catalogue.warnings)) == {RECKONED, ("Speakers!P1", "unknown-column", "notice")}


def test_a_cell_of_the_shops_own_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    book = book_with(row("Speakers", "Magnet mm", 60, 90), Magnet_mm="75 W")
    book["Speakers"][1]["Magnet mm"] = 80
    assert ("Speakers!M2", "wrong-unit", "fault") in told(faults(tmp_path, book))
    book = book_with(row("Speakers", "Depth mm", 80, 40), Depth_mm="deep")
    assert ("Speakers!H2", "not-a-number", "fault") in told(faults(tmp_path, book))


def test_a_product_with_a_blank_cell_stays_unrated_is_told_and_never_offered(tmp_path: Path) -> None:
    book = book_with(LOUD, row("Speakers", "Depth mm", 80, 40), Sensitivity_dB=None)
    catalogue = loaded(tmp_path, book)
    assert [(speaker.rating, speaker.active) for speaker in catalogue.speakers] == [(None, False), (5.63, True)]
    (warning,) = [fault for fault in catalogue.warnings if fault.code == "unrated"]
    assert (str(warning.at), warning.severity) == ("Speakers!E2", "warning")
    assert "Sensitivity dB (K2)" in warning.expected
    assert "H2" not in warning.expected


def test_every_product_that_stays_unrated_is_told(tmp_path: Path) -> None:
    book = book_with(LOUD)
    book["Speakers"] += [
        book["Speakers"][0] | {"SKU": f"SP-{number}", "Sensitivity dB": None} for number in range(3, 9)
    ]
    unrated = {str(fault.at) for fault in loaded(tmp_path, book).warnings if fault.code == "unrated"}
    assert unrated == {f"Speakers!E{number}" for number in range(4, 10)}


def test_a_blank_that_stands_for_something_is_known(tmp_path: Path) -> None:
    """A head unit without internal power has 0 W, without a word on digital radio none."""
    book = sound_book() | {"Points": [
        row("Head units", "Internal W", 0, 40, points=1),
        row("Head units", "Digital radio", value="no", points=1),
    ]}  # fmt: skip
    book["Head units"][0] |= {"Rating": None, "Internal W": None, "Digital radio": None}
    assert loaded(tmp_path, book).head_units[0].rating == 5


def test_without_points_a_blank_rating_stops_as_before(tmp_path: Path) -> None:
    other = row("Head units", "Internal W", 0, 40)
    for points in ([], [other]):
        missing = {("Speakers!E2", "missing-value", "fault"), ("Speakers!E3", "missing-value", "fault")}
        assert missing <= told(faults(tmp_path, book_with(*points)))


def test_a_sheet_without_any_rated_product_stops_where_a_brief_needs_it(tmp_path: Path) -> None:
    book = book_with(LOUD, Sensitivity_dB=None)
    book["Speakers"] = book["Speakers"][:1]
    assert ("Speakers", "nothing-rated", "fault") in told(faults(tmp_path, book))
    book["Briefs"][0] |= {"Front": "optional", "Amplifier": "none"}
    assert ("Speakers", "nothing-rated", "fault") not in told(faults(tmp_path, book))


def test_a_brief_that_insists_on_an_unrated_product_is_told(tmp_path: Path) -> None:
    book = book_with(LOUD, Sensitivity_dB=None)
    book["Briefs"][0]["Must include"] = "SP-1"
    (fault,) = [fault for fault in faults(tmp_path, book) if fault.severity == "fault"]
    assert (str(fault.at), fault.code) == ("Briefs!M2", "never-offered")
    assert fault.mend.startswith("rate it")


def test_faults_about_a_sheet_that_no_brief_uses_are_warnings(tmp_path: Path) -> None:
    book = sound_book() | {"Points": [row("Subwoofers", "Price", 500, 50)]}
    book["Subwoofers"] = [{"SKU": "SW-1", "Price": 99, "Rating": None, "Type": "powered", "RMS W": 100}]
    assert ("Points!B2", "not-a-criterion", "warning") in told(list(loaded(tmp_path, book).warnings))


FAULTS: list[tuple[list[dict[str, Any]], Told]] = [
    ([row("Speakrs", "Type", value="component")], {("Points!A2", "unknown-name", "fault")}),
    ([row("Speakers", "Sensitivty dB", 86, 94)], {("Points!B2", "unknown-name", "fault")}),
    ([row("Speakers", "Stock", 0, 9)], {("Points!B2", "not-a-criterion", "fault")}),
    *(
        ([row("Speakers", column, 0, 9)], {("Points!B2", "not-a-criterion", "fault")})
        for column in ("Price", "Cost", "Rating", "SKU", "Model", "Active", "Link", "Note", "Family", "Selling price")
    ),
    ([row("Speakers", "Ohm", 4, "4 ohm")], {("Points!D2", "worst-is-best", "fault")}),
    ([row("Speakers", "Type", 1, 2)], {("Points!C2", "not-a-number-column", "fault")}),
    ([row("Speakers", "Type", value="coaxal")], {("Points!E2", "unknown-choice", "fault")}),
    ([row("Speakers", "RMS W", "loud", 100)], {("Points!C2", "not-a-number", "fault")}),
    ([row("Speakers", "RMS W", 20, "max 100 W")], {("Points!D2", "peak-power", "fault")}),
    ([row("Speakers", "Depth mm", "80 W", 40)], {("Points!C2", "wrong-unit", "fault")}),
    ([row("Speakers", "RMS W", value="some")], {("Points!E2", "not-a-number", "fault")}),
    ([row("Speakers", "RMS W", "1,299", 10)], {("Points!C2", "ambiguous-number", "fault")}),
    ([LOUD, LOUD], {("Points!B3", "duplicate-criterion", "fault")}),
    ([LOUD, row("Speakers", "Sensitivity dB", value=90)], {("Points!B3", "duplicate-criterion", "fault")}),
    (
        [row("Speakers", "Type", value="coax"), row("Speakers", "Type", value="coaxial")],
        {("Points!B3", "duplicate-criterion", "fault")},
    ),
    ([row("Speakers", "Sensitivity dB", 86, 94, value=90)], {("Points!E2", "contradicting-values", "fault")}),
    ([row("Speakers", "Sensitivity dB", 86, None)], {("Points!D2", "missing-value", "fault")}),
    ([row("Speakers", "Sensitivity dB", None, 94)], {("Points!C2", "missing-value", "fault")}),
    ([row("Speakers", "Sensitivity dB")], {("Points!C2", "missing-value", "fault")}),
    ([row("Speakers", "Type")], {("Points!E2", "missing-value", "fault")}),
    ([row("Speakers", "Sensitivity dB", 86, 94, points=0)], {("Points!F2", "no-points", "fault")}),
    ([row("Speakers", "Type", value="coaxial", points=0)], {("Points!F2", "no-points", "fault")}),
    ([row("Speakers", "Sensitivity dB", 86, 94, points=-1)], {("Points!F2", "out-of-range", "fault")}),
    ([row("Speakers", "Sensitivity dB", 86, 94, points=None)], {("Points!F2", "missing-value", "fault")}),
    ([LOUD, row("Boxes", "Litres", 10, 20)], {RECKONED, ("Points!A3", "earns-nothing", "warning")}),
    ([LOUD, row("Converters", "Output pairs", 1, 2)], {RECKONED, ("Points!A3", "unknown-sheet", "warning")}),
    ([row("Speakers", "Brand", value="Bor")], {RECKONED, ("Points!E2", "unmatched-word", "warning")}),
]  # fmt: skip


@pytest.mark.parametrize(("points", "expected"), FAULTS)
def test_what_is_wrong_with_the_sheet_is_told_once_at_its_cell(
    points: list[dict[str, Any]], expected: Told, tmp_path: Path
) -> None:
    """The ratings that cannot be reckoned for it are not told as well."""
    # A row that says nothing wrong, so that the sheet has every header.
    other = row("Amplifiers", "Fuse A", 80, 20)
    notice = (f"Points!A{len(points) + 2}", "ratings-reckoned", "notice")
    assert told(faults(tmp_path, book_with(*points, other))) == expected | {notice}


@pytest.mark.parametrize("header", ["Dealer price", "Cost (new)", "RRP", "Old price"])
def test_money_in_a_column_of_the_shops_own_is_no_criterion_either(header: str, tmp_path: Path) -> None:
    book = book_with(row("Speakers", header, 200, 20), **{header: 50})
    assert ("Points!B2", "not-a-criterion", "fault") in told(faults(tmp_path, book))


def test_a_misspelt_name_is_mended_by_the_nearest(tmp_path: Path) -> None:
    (sheet, *_) = faults(tmp_path, book_with(row("Speakrs", "Type", value="component")))
    assert sheet.mend == "did you mean Speakers?"
    (vehicles,) = faults(tmp_path, sound_book() | {"Points": [row("Vehicles", "Opening", value="double")]})
    assert (str(vehicles.at), vehicles.code, vehicles.mend[:18]) == ("Points!A2", "unknown-name", "known: Head units,")
    (column, *_) = faults(tmp_path, book_with(row("Speakers", "Sensitivty dB", 86, 94)))
    assert column.mend == "did you mean Sensitivity dB?"
    (absent,) = faults(tmp_path, sound_book() | {"Points": [row("Amplifiers", "Sub W at 1 ohm", 100, 400)]})
    assert absent.mend == "add the column to Amplifiers, or take the row out"


def test_a_name_that_stands_over_two_columns_of_the_shops_own_is_told(tmp_path: Path) -> None:
    book = book_with(row("Speakers", "Cone", value="paper"), Cone="paper", **{"CONE ": "paper"})
    assert ("Points!B2", "doubled-header", "fault") in told(faults(tmp_path, book))


def test_the_example_in_the_readme_comes_out_as_it_says(repository: Path, tmp_path: Path) -> None:
    text = (repository / "README.md").read_text("utf-8")
    head, _, *lines = text[text.index("| Sheet | Column | Worst |") :].partition("\n\n")[0].splitlines()
    headers, *rows = ([cell.strip() for cell in line.strip("|").split("|")] for line in (head, *lines))
    points = [{header: cell or None for header, cell in zip(headers, cells, strict=True)} for cells in rows]
    book = book_with(*points, Sensitivity_dB=91, Depth_mm=60, Type="component", Cone="paper")
    book["Speakers"][1]["Cone"] = "glass fibre"
    assert len(points) == 5
    assert f"a {ratings(loaded(tmp_path, book))[0]}." in text


def test_reckoned_ratings_survive_writing_and_reading(tmp_path: Path) -> None:
    """A catalogue written as a workbook leaves them blank, and its points reckon them again."""
    first = loaded(tmp_path, book_with(LOUD, row("Speakers", "Type", value="coaxial"), Rating=4))
    write_workbook(first, tmp_path / "again.xlsx")
    again = load_catalogue(tmp_path / "again.xlsx")
    assert (ratings(again), set(again.reckoned)) == (ratings(first), {"SP-2"})
