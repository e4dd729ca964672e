"""What must hold within rows and across them: each rule broken once, in an otherwise sound catalogue."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.catalogue.load import load_catalogue
from tests.catalogue.workbooks import Book, faults_of, sound_book, told, write_book

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.faults import Fault

SUB = {
    "SKU": "SW-1",
    "Price": 99,
    "Rating": 6,
    "Type": "enclosure",
    "Ohm": 4,
    "Coils": 1,
    "RMS W": 200,
    "Size mm": 250,
    "Box litres min": 10,
    "Box litres max": 20,
}
BOX = {"SKU": "BX-1", "Price": 49, "Cut-out mm": 250, "Drivers": 1, "Litres": 20}


def faults_with(tmp_path: Path, sheet: str, row: int = 0, **cells: Any) -> list[Fault]:  # noqa: ANN401
    """Faults of the sound catalogue with some cells of one row exchanged; `_` stands for a space in a header."""
    book = sound_book()
    book[sheet][row] |= {header.replace("_", " "): value for header, value in cells.items()}
    return faults_of(write_book(tmp_path / "book.xlsx", book))


def faults_of_book(tmp_path: Path, book: Book) -> list[Fault]:
    """Faults of a catalogue."""
    return faults_of(write_book(tmp_path / "book.xlsx", book))


def with_bass(**cells: Any) -> Book:  # noqa: ANN401
    """A catalogue with a bass that a brief wants."""
    book = sound_book()
    book["Subwoofers"] = [SUB | cells]
    book["Boxes"] = [BOX]
    book["Briefs"][0]["Bass"] = "optional"
    return book


def test_sound_catalogue_has_nothing_to_complain_about(tmp_path: Path) -> None:
    assert faults_of_book(tmp_path, sound_book()) == []
    assert faults_of_book(tmp_path, with_bass()) == []


@pytest.mark.parametrize(
    ("cells", "where", "code", "severity"),
    [
        ({"Ohm": None}, "E2", "missing-value", "fault"),
        ({"Type": "driver", "Size mm": None}, "H2", "missing-value", "fault"),
        ({"Type": "driver", "Coils": None}, "F2", "coils-assumed", "notice"),
        ({"Type": "driver", "Box litres min": 30}, "I2", "range-reversed", "fault"),
        ({"Box litres min": 30}, "I2", "range-reversed", "warning"),
        ({"Rating": None}, "C2", "missing-value", "fault"),
    ],
)
def test_subwoofer_row_lacks_what_its_type_calls_for(
    tmp_path: Path, cells: dict[str, Any], where: str, code: str, severity: str
) -> None:
    assert told(faults_of_book(tmp_path, with_bass(**cells))) == {(f"Subwoofers!{where}", code, severity)}


def test_powered_subwoofer_needs_no_load(tmp_path: Path) -> None:
    assert faults_of_book(tmp_path, with_bass(Type="powered", Ohm=None)) == []


@pytest.mark.parametrize(
    ("cells", "codes"),
    [
        ({"Channels": 3}, ["odd-channels"]),
        ({"Channels": 1}, ["odd-channels"]),
        ({"W_at_4_ohm": None, "W_at_2_ohm": None}, ["missing-value"]),
        ({"Channels": 0}, ["missing-value"]),
        ({"Channels": None}, ["missing-value"]),
        ({"Channels": 0, "W_at_4_ohm": None, "W_at_2_ohm": None}, ["missing-value"]),
        ({"Channels": 0, "W_at_4_ohm": None, "W_at_2_ohm": None, "Sub_W_at_4_ohm": 300}, []),
        ({"Sub_W_at_4_ohm": 300}, []),
        ({"Fuse_A": None, "Class": None}, ["missing-value"]),
        ({"Fuse_A": None}, []),
        ({"Class": None}, []),
        ({"W_at_4_ohm": "300 W max"}, ["peak-power"]),
        ({"W_at_4_ohm": "300 W max", "W_at_2_ohm": None}, ["missing-value", "peak-power"]),
        ({"W_at_4_ohm": "lots", "W_at_2_ohm": None}, ["not-a-number"]),
    ],
)
def test_amplifier_row_has_channels_power_and_a_way_to_reckon_its_current(
    tmp_path: Path, cells: dict[str, Any], codes: list[str]
) -> None:
    assert sorted(fault.code for fault in faults_with(tmp_path, "Amplifiers", **cells)) == codes


@pytest.mark.parametrize(
    ("cells", "codes"),
    [
        ({"mm2": None}, []),
        ({"AWG": None}, []),
        ({"mm2": None, "AWG": None}, ["missing-value"]),
        ({"mm2": 25}, ["gauges-disagree"]),
        ({"mm2": 22}, []),
        ({"AWG": "1/0"}, ["gauges-disagree"]),
    ],
)
def test_cable_states_area_or_gauge_and_both_agree(tmp_path: Path, cells: dict[str, Any], codes: list[str]) -> None:
    assert [fault.code for fault in faults_with(tmp_path, "Power kits", **cells)] == codes


def test_where_area_and_gauge_agree_the_area_is_kept(tmp_path: Path) -> None:
    (kit,) = load_catalogue(write_book(tmp_path / "book.xlsx", sound_book())).power_kits
    assert (kit.mm2, kit.awg) == (21.15, None)


def test_speaker_adapter_needs_location_and_size(tmp_path: Path) -> None:
    assert told(faults_with(tmp_path, "Fitting kits", For="speaker")) == {
        ("Fitting kits!G2", "missing-value", "fault"),
        ("Fitting kits!H2", "missing-value", "fault"),
    }


def test_kit_for_an_unknown_vehicle_is_warned_of_with_the_nearest_name(tmp_path: Path) -> None:
    (fault,) = faults_with(tmp_path, "Fitting kits", Vehicles="Kestrel Hach; kestrel  HATCH; any")
    assert (fault.code, str(fault.severity), fault.mend) == ("unknown-name", "warning", "did you mean Kestrel Hatch?")


def test_kept_own_unit_needs_its_pre_outs_and_is_told_of_assumed_power(tmp_path: Path) -> None:
    faults = faults_with(tmp_path, "Briefs", Head_unit="keep own")
    assert told(faults) == {("Briefs!D2", "missing-value", "fault"), ("Briefs!E2", "internal-assumed", "notice")}


def test_duplicate_sku_on_another_sheet_reports_the_later_cell_and_names_the_first(tmp_path: Path) -> None:
    (fault,) = faults_with(tmp_path, "Amplifiers", SKU=" sp-1")
    assert (str(fault.at), fault.code) == ("Amplifiers!A2", "duplicate-sku")
    assert "Speakers!A2" in fault.mend


def test_of_two_rows_with_one_sku_the_inactive_one_gives_way(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0] |= {"SKU": "SP-2", "Active": "no"}
    path = write_book(tmp_path / "book.xlsx", book)
    catalogue = load_catalogue(path)
    assert [speaker.model for speaker in catalogue.speakers] == ["Set"]
    assert told(list(catalogue.warnings)) == {("Speakers!A2", "duplicate-sku", "warning")}


@pytest.mark.parametrize(("sheet", "cell"), [("Vehicles", "A3"), ("Briefs", "A3"), ("Tiers", "A3")])
def test_duplicate_vehicle_brief_or_tier_is_a_fault(tmp_path: Path, sheet: str, cell: str) -> None:
    book = sound_book()
    book[sheet].append(dict(book[sheet][0]))
    assert told(faults_of_book(tmp_path, book)) == {(f"{sheet}!{cell}", "duplicate-name", "fault")}


def test_brief_of_an_unknown_vehicle_and_tier_of_an_unknown_brief_are_faults(tmp_path: Path) -> None:
    book = sound_book()
    book["Briefs"][0]["Vehicle"] = "Kestrel Hach"
    book["Tiers"][0]["Briefs"] = "Everyday, Sunday"
    book["Tiers"].append(book["Tiers"][0] | {"Tier": "Second", "Briefs": None})
    faults = faults_of_book(tmp_path, book)
    assert told(faults) == {
        ("Briefs!B2", "unknown-name", "fault"),
        ("Tiers!D2", "unknown-name", "fault"),
    }
    assert "did you mean Kestrel Hatch?" in faults[0].mend
    assert "separate names by ;" in faults[1].mend


def test_must_include_must_exist_and_leave_out_is_warned_of(tmp_path: Path) -> None:
    faults = faults_with(tmp_path, "Briefs", Must_include="SP-1; borr; Bor", Leave_out="Alvo; cord")
    assert told(faults) == {("Briefs!M2", "unknown-name", "fault"), ("Briefs!N2", "unknown-name", "warning")}
    assert [fault.found for fault in faults] == ['"Bor"', '"Alvo"']


def test_must_include_of_what_is_never_offered_is_a_fault(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0]["Active"] = "no"
    book["Briefs"][0]["Must include"] = "SP-1"
    assert told(faults_of_book(tmp_path, book)) == {("Briefs!M2", "never-offered", "fault")}


def test_brief_that_must_include_what_it_leaves_out_is_a_fault(tmp_path: Path) -> None:
    faults = faults_with(tmp_path, "Briefs", Must_include="SP-1", Leave_out="sp-1")
    assert told(faults) == {("Briefs!M2", "contradicting-terms", "fault")}


def test_fitted_brief_needs_labour_rows_and_a_rate(tmp_path: Path) -> None:
    book = sound_book()
    book["Briefs"][0]["Fitted"] = "yes"
    book["Settings"][1]["Value"] = None
    book["Labour"] = [{"Work": "front", "Hours": 1.5}]
    faults = faults_of_book(tmp_path, book)
    assert told(faults) == {("Briefs!K2", "no-labour", "fault"), ("Briefs!K2", "no-labour-rate", "fault")}
    assert faults[0].expected == "hours in Labour for head unit, amplifier"


def test_fitted_brief_without_a_labour_sheet_is_one_fault(tmp_path: Path) -> None:
    assert told(faults_with(tmp_path, "Briefs", Fitted="yes")) == {("Labour", "missing-sheet", "fault")}


def test_brief_that_replaces_the_head_unit_of_a_closed_dash_is_no_fault(tmp_path: Path) -> None:
    assert faults_with(tmp_path, "Vehicles", Opening="none") == []


@pytest.mark.parametrize(("want", "severity"), [("required", "fault"), ("optional", "warning")])
def test_absent_sheet_stops_only_where_its_role_is_required(tmp_path: Path, want: str, severity: str) -> None:
    assert told(faults_with(tmp_path, "Briefs", Deadening=want)) == {("Deadening", "missing-sheet", severity)}


def test_weights_of_unknown_parts_negative_points_and_other_totals_are_told(tmp_path: Path) -> None:
    book = sound_book()
    book["Weights"] = [{"Part": "front", "Points": 30}]
    assert told(faults_of_book(tmp_path, book)) == {("Weights!B2", "weights-total", "warning")}
    book["Weights"] = [{"Part": "paint", "Points": 5}, {"Part": "front", "Points": -1}]
    assert told(faults_of_book(tmp_path, book)) == {
        ("Weights!A2", "unknown-choice", "fault"),
        ("Weights!B3", "out-of-range", "fault"),
    }


def test_weights_change_the_parts_that_they_name(tmp_path: Path) -> None:
    book = sound_book()
    book["Weights"] = [{"Part": "Front", "Points": 20}, {"Part": "bass", "Points": 25}]
    weights = load_catalogue(write_book(tmp_path / "book.xlsx", book)).weights
    assert (weights.front, weights.bass, weights.source) == (20, 25, 20)


def test_kit_that_lists_nothing_between_its_separators_is_a_fault(tmp_path: Path) -> None:
    faults = faults_with(tmp_path, "Fitting kits", Vehicles=" ; ;")
    assert told(faults) == {("Fitting kits!F2", "missing-value", "fault")}


def test_kept_factory_unit_calls_for_a_converter_and_its_labour(tmp_path: Path) -> None:
    book = with_bass()
    book["Briefs"][0] |= {"Head unit": "keep factory", "Bass": "required", "Fitted": "yes"}
    book["Labour"] = [{"Work": work, "Hours": 1} for work in ("front", "bass", "amplifier")]
    faults = faults_of_book(tmp_path, book)
    assert told(faults) == {("Converters", "missing-sheet", "fault"), ("Briefs!K2", "no-labour", "fault")}


def test_required_amplifier_calls_for_what_connects_it(tmp_path: Path) -> None:
    book = sound_book()
    book["Briefs"][0] |= {"Amplifier": "required"}
    for sheet in ("Amplifiers", "Power kits", "Signal leads", "Speaker cable"):
        del book[sheet]
    assert {where for where, _, severity in told(faults_of_book(tmp_path, book)) if severity == "fault"} == {
        "Amplifiers",
        "Power kits",
        "Signal leads",
        "Speaker cable",
    }


def test_absent_boxes_and_aerials_are_told_where_a_product_wants_them(tmp_path: Path) -> None:
    book = with_bass(Type="driver")
    del book["Boxes"]
    book["Head units"][0]["Digital radio"] = "yes"
    assert told(faults_of_book(tmp_path, book)) == {
        ("Boxes", "missing-sheet", "warning"),
        ("Aerials", "missing-sheet", "warning"),
    }


def test_row_with_nothing_but_a_peak_power_is_told_and_not_stumbled_over(tmp_path: Path) -> None:
    book = sound_book()
    book["Amplifiers"].append(dict.fromkeys(book["Amplifiers"][0]) | {"W at 4 ohm": "400 W max"})
    faults = [fault for fault in faults_of(write_book(tmp_path / "peak.xlsx", book)) if fault.at.row == 3]
    assert {"peak-power", "missing-value"} <= {fault.code for fault in faults if fault.at.sheet == "Amplifiers"}
