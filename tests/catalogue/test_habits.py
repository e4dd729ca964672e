"""Other people's habits: names, labels and words that mean the same are read alike, and nothing is guessed."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Any

import pytest
from openpyxl import load_workbook

from budgetbuild.catalogue.columns import SETTINGS, SHEETS
from budgetbuild.catalogue.kinds import Opening, Want, Work
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.setting_aliases import ALIASES
from budgetbuild.catalogue.setting_names import setting_of, words_of_label
from tests.catalogue.workbooks import faults_of, sound_book, told, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue
    from tests.catalogue.workbooks import Book


def load(tmp_path: Path, book: Book) -> Catalogue:
    """The catalogue of a sound book."""
    return load_catalogue(write_book(tmp_path / "book.xlsx", book))


def said(tmp_path: Path, book: Book) -> set[tuple[str, str, str]]:
    """What is told of a book."""
    return told(faults_of(write_book(tmp_path / "book.xlsx", book)))


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("Speaker cable", "speaker cables"),
        ("Power kits", "Power-kit"),
        ("Amplifiers", "Amplifier"),
        ("Head units", "HEAD UNIT"),
        ("Tiers", "Tier"),
        ("Vehicles", "vehicle"),
        ("Settings", "Setting"),
    ],
)
def test_sheet_may_be_named_in_singular_or_plural(tmp_path: Path, name: str, other: str) -> None:
    clean = load(tmp_path, sound_book())
    renamed = {other if title == name else title: rows for title, rows in sound_book().items()}
    assert [product.sku for product in load(tmp_path, renamed).products()] == [p.sku for p in clean.products()]
    assert said(tmp_path, renamed) == set()


def test_sheet_that_bears_the_name_goes_before_one_that_resembles_it(tmp_path: Path) -> None:
    book = sound_book() | {"Speaker": [{"SKU": "SP-9"}]}
    assert said(tmp_path, book) == {("Speaker", "unknown-sheet", "warning")}
    assert [speaker.sku for speaker in load(tmp_path, book).speakers] == ["SP-1", "SP-2"]


def test_two_sheets_that_resemble_one_name_are_a_fault(tmp_path: Path) -> None:
    book = sound_book()
    book["Amps"] = book["Amplifier"] = book.pop("Amplifiers")
    assert ("Amplifier", "doubled-sheet", "fault") in said(tmp_path, book)


def test_no_name_of_a_sheet_means_another_sheet_too() -> None:
    assert [(a.name, b.name) for a, b in combinations(SHEETS, 2) if a.keys & b.keys] == []


@pytest.mark.parametrize(
    ("sheet", "header", "other"),
    [
        ("Amplifiers", "W at 4 ohm", "W @ 4 ohm"),
        ("Amplifiers", "Min ohm", "Min Ω"),
        ("Speakers", "RMS W", "RMS-W"),
        ("Speakers", "Ohm", "Ω"),
        ("Speakers", "Rating", "Rating (0-10)"),
        ("Power kits", "mm2", "mm²"),
        ("Speakers", "SKU", "  sku "),
        ("Speakers", "Price", "PRICE (€)"),
    ],
)
def test_column_may_be_written_in_another_way(tmp_path: Path, sheet: str, header: str, other: str) -> None:
    book = sound_book()
    book[sheet] = [{other if name == header else name: value for name, value in row.items()} for row in book[sheet]]
    assert said(tmp_path, book) == set()


def test_other_name_of_a_column_gives_way_to_its_own(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0] |= {"Article number": "X-77", "Selling price": 1}
    assert said(tmp_path, book) == {
        ("Speakers!M1", "unknown-column", "notice"),
        ("Speakers!N1", "unknown-column", "notice"),
    }
    speaker = load(tmp_path, book).speakers[0]
    assert (speaker.sku, speaker.price) == ("SP-1", 5990)


def test_two_other_names_of_one_column_are_a_fault(tmp_path: Path) -> None:
    book = sound_book()
    for row in book["Speakers"]:
        row["Impedance"] = row["Ohms"] = row.pop("Ohm")
    assert said(tmp_path, book) == {("Speakers!M1", "doubled-header", "fault")}


def test_column_near_a_missing_one_is_warned_of(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0]["Famly"] = "Coax"
    assert said(tmp_path, book) == {("Speakers!M1", "unknown-column", "warning")}


@pytest.mark.parametrize(
    ("label", "field"),
    [
        ("Labour rate per hour", "labour_rate"),
        ("Currency", "currency"),
        ("VAT %", "tax_rate"),
        ("Max. amplifiers", "max_amplifiers"),
        ("Maximum number of amps", "max_amplifiers"),
        ("Drop allowed (V)", "allowed_drop_v"),
        ("Allowed voltage drop", "allowed_drop_v"),
        ("Factory head unit W", "factory_internal_w"),
        ("Boot spare", "boot_spare_mm"),
        ("Copper clad allowed?", "cca_allowed"),
        ("CCA allowed", "cca_allowed"),
        ("Power ratio max (front and rear)", "ratio_max"),
        ("Bass power ratio minimum", "bass_ratio_min"),
        ("Speaker cable spare %", "cable_spare_share"),
        ("Speaker cable max. loss", "cable_loss_share"),
        ("Default signal run m", "signal_run_m"),
        ("Ground lead (m)", "earth_lead_m"),
        ("Door area m²", "door_m2"),
        ("Class D efficiency", "efficiency_d"),
    ],
)
def test_setting_is_known_by_its_words_in_any_order(label: str, field: str) -> None:
    column = setting_of(label)
    assert column is not None
    assert column.field == field


@pytest.mark.parametrize("label", ["Boot spare cm", "Labour rate excl. tax", "Least drop V", "Power ratio", "x"])
def test_setting_that_says_something_else_is_not_guessed_at(label: str) -> None:
    assert setting_of(label) is None


def test_no_name_of_a_setting_means_another_setting_too() -> None:
    for column in SETTINGS:
        for name in (column.header, *ALIASES[column.field]):
            assert setting_of(name) is column
    assert set(ALIASES) == {column.field for column in SETTINGS}
    assert all(words_of_label(column.header) for column in SETTINGS)


def test_blank_wants_are_read_as_none_and_said_so(tmp_path: Path) -> None:
    book = sound_book()
    book["Briefs"][0] |= {"Rear": None, "Deadening": None, "Amplifier": None}
    brief = load(tmp_path, book).briefs[0]
    assert (brief.front, brief.rear, brief.deadening) == (Want.REQUIRED, Want.NONE, Want.NONE)
    assert brief.amplifier is Want.OPTIONAL
    assert said(tmp_path, book) == {(f"Briefs!{cell}2", "blank-assumed", "notice") for cell in ("G", "I", "J")}


def test_column_of_a_want_must_be_there(tmp_path: Path) -> None:
    book = sound_book()
    del book["Briefs"][0]["Rear"]
    assert said(tmp_path, book) == {("Briefs!1:1", "missing-column", "fault")}


def test_brief_that_wants_nothing_is_warned_of(tmp_path: Path) -> None:
    book = sound_book()
    book["Briefs"][0] |= {"Head unit": "keep factory", "Front": "none"}
    assert ("Briefs!F2", "wants-nothing", "warning") in said(tmp_path, book)


@pytest.mark.parametrize("word", ["any", "Any", "ALL", "universal", "All vehicles"])
def test_kit_for_any_vehicle(tmp_path: Path, word: str) -> None:
    book = sound_book()
    book["Fitting kits"][0]["Vehicles"] = word
    kit = load(tmp_path, book).fitting_kits[0]
    assert (kit.any_vehicle, kit.vehicles) == (True, ())
    assert said(tmp_path, book) == set()


def test_tier_of_all_briefs(tmp_path: Path) -> None:
    book = sound_book()
    book["Tiers"][0]["Briefs"] = "All"
    assert load(tmp_path, book).tiers[0].briefs == ()


def test_works_and_parts_in_other_words(tmp_path: Path) -> None:
    book = sound_book()
    works = ["Head unit fitting", "Fit converter", "FRONT", "Rear speakers", "Subwoofer", "amp", "Deadening per m²"]
    book["Labour"] = [{"Work": work, "Hours": 1} for work in works]
    book["Weights"] = [{"Part": "SOURCE", "Points": "20 pts"}]
    shop = load(tmp_path, book)
    assert set(shop.labour_hours) == set(Work)
    assert shop.weights.source == 20


def test_openings_in_other_words(tmp_path: Path) -> None:
    book = sound_book()
    book["Head units"][0]["Opening"] = "Double-DIN"
    assert load(tmp_path, book).head_units[0].opening is Opening.DOUBLE


def with_row(sheet: str, **cells: Any) -> Book:  # noqa: ANN401
    """The sound book with one more row in a sheet."""
    book = sound_book()
    book[sheet].append(cells)
    return book


@pytest.mark.parametrize(
    ("cells", "where"),
    [({"SKU": "Coaxial speakers"}, "A4"), ({"SKU": "Total", "Price": 188.9}, "A4"), ({"Model": "Sets"}, "C4")],
)
def test_heading_total_or_remark_among_the_rows_is_one_fault(tmp_path: Path, cells: dict[str, Any], where: str) -> None:
    assert said(tmp_path, with_row("Speakers", **cells)) == {(f"Speakers!{where}", "not-a-row", "fault")}


def test_column_names_repeated_for_printing_are_passed_over(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"].insert(1, {header: header.upper() for header in book["Speakers"][0]})
    assert said(tmp_path, book) == set()
    assert len(load(tmp_path, book).speakers) == 2


def test_unknown_vehicle_of_many_kits_is_told_once(tmp_path: Path) -> None:
    book = sound_book()
    book["Fitting kits"] += [book["Fitting kits"][0] | {"SKU": f"K{n}", "Vehicles": "Tern Van; any"} for n in range(3)]
    assert said(tmp_path, book) == {("Fitting kits!F3", "unknown-name", "warning")}


def test_cells_that_no_brief_uses_may_hold_anything(tmp_path: Path) -> None:
    book = sound_book()
    book["Briefs"][0] |= {"Own pre-out pairs": "n/a", "Own internal W": "-"}
    book["Fitting kits"][0] |= {"Location": "dash", "Size mm": "-"}
    book["Vehicles"][0] |= {"Rear mm": "?", "Boot width mm": "n/a", "Door m2": "-"}
    assert said(tmp_path, book) == {
        ("Briefs!D2", "not-a-number", "warning"),
        ("Briefs!E2", "not-a-number", "warning"),
        ("Fitting kits!G2", "unknown-choice", "warning"),
        ("Fitting kits!H2", "not-a-number", "warning"),
        ("Vehicles!G2", "not-a-number", "warning"),
        ("Vehicles!H2", "not-a-number", "warning"),
        ("Vehicles!I2", "not-a-number", "warning"),
    }
    vehicle = load(tmp_path, book).vehicles[0]
    assert (vehicle.rear.size_mm, vehicle.boot_width_mm, vehicle.front.size_mm) == (None, None, 165)


def test_cells_that_a_brief_uses_stop(tmp_path: Path) -> None:
    book = sound_book()
    book["Vehicles"][0] |= {"Front mm": "?"}
    book["Briefs"][0] |= {"Head unit": "keep own", "Own pre-out pairs": "n/a", "Own internal W": 20}
    assert said(tmp_path, book) == {
        ("Vehicles!C2", "not-a-number", "fault"),
        ("Briefs!D2", "not-a-number", "fault"),
    }


def test_opening_is_needed_only_where_a_brief_replaces_the_head_unit(tmp_path: Path) -> None:
    book = sound_book()
    book["Vehicles"][0]["Opening"] = None
    assert said(tmp_path, book) == {("Vehicles!B2", "missing-value", "fault")}
    book["Briefs"][0] |= {"Head unit": "keep own", "Own pre-out pairs": 2, "Own internal W": 20}
    assert said(tmp_path, book) == {("Vehicles!B2", "blank-assumed", "notice")}
    assert load(tmp_path, book).vehicles[0].opening is Opening.NONE


def test_vehicle_that_no_brief_names_may_lack_its_opening(tmp_path: Path) -> None:
    """With a notice, since the counter page answers for every vehicle."""
    book = sound_book()
    book["Vehicles"].append({"Vehicle": "Tern Van"})
    assert said(tmp_path, book) == {("Vehicles!B3", "blank-assumed", "notice")}


def test_unreadable_least_load_says_nothing_more_of_the_bridge(tmp_path: Path) -> None:
    book = sound_book()
    book["Amplifiers"][0] |= {"Bridged W at 4 ohm": 200, "Min ohm": "low"}
    assert said(tmp_path, book) == {("Amplifiers!I2", "not-a-number", "fault")}


def test_optional_columns_may_be_absent(tmp_path: Path) -> None:
    book = sound_book()
    kept = {
        "Vehicles": ("Vehicle", "Opening"),
        "Briefs": ("Brief", "Vehicle", "Head unit", "Front", "Rear", "Bass", "Amplifier", "Deadening"),
        "Tiers": ("Tier", "Budget"),
        "Speakers": ("SKU", "Price", "Rating", "Type", "Size mm", "Ohm", "RMS W"),
    }
    for title, headers in kept.items():
        book[title] = [{header: row[header] for header in headers} for row in book[title]]
    assert said(tmp_path, book) == set()


@pytest.mark.parametrize(
    ("cells", "told_of"),
    [
        ({"Bridged W at 4 ohm": 200, "Min ohm": 2}, False),
        ({"Bridged W at 4 ohm": 200, "Min ohm": None}, False),
        ({"Bridged W at 4 ohm": 200, "Min ohm": 4}, True),
        ({"Bridged W at 4 ohm": 200, "Min ohm": None, "W at 2 ohm": None}, True),
        ({"Bridged W at 4 ohm": 200, "Min ohm": 4, "Min bridged ohm": 4}, False),
        ({"Bridged W at 4 ohm": 200, "Min ohm": 2, "Min bridged ohm": 8}, True),
        ({"Bridged W at 4 ohm": None, "Min ohm": 4}, False),
    ],
)
def test_bridged_rating_that_is_never_used_is_noticed(tmp_path: Path, cells: dict[str, Any], told_of: bool) -> None:  # noqa: FBT001
    book = sound_book()
    book["Amplifiers"][0] |= {"Min bridged ohm": None} | cells
    assert {code for _, code, _ in said(tmp_path, book)} == ({"never-bridged"} if told_of else set())


def test_sku_typed_with_an_exponent_is_a_fault_at_its_cell(tmp_path: Path) -> None:
    path = write_book(tmp_path / "book.xlsx", sound_book())
    workbook = load_workbook(path)
    workbook["Speakers"]["A2"] = 100000
    workbook["Speakers"]["A2"].number_format = "0.00E+00"
    workbook.save(path)
    assert told(faults_of(path)) == {("Speakers!A2", "sku-number-format", "fault")}
