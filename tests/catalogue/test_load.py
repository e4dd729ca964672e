"""Whole workbooks: the one that a shop really keeps, and one in which everything is wrong at once."""

from __future__ import annotations

import hashlib
import time
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest
import xlsxwriter
from openpyxl import Workbook

from budgetbuild.catalogue.kinds import (
    AmplifierClass,
    Conductor,
    HeadUnitMode,
    KitFor,
    Location,
    OneBrand,
    Opening,
    SpeakerType,
    Want,
    Work,
)
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.faults import Cell, Severity, UserInputError
from tests.catalogue.workbooks import faults_of, sound_book, told, write_book, write_shared

if TYPE_CHECKING:
    from pathlib import Path

NBSP = "\u00a0"


MESSY: dict[str, list[list[Any]]] = {
    "To do": [["ring the wholesaler"]],
    "HEAD UNITS ": [
        ["Prices of this winter"],
        [],
        [None, "price", f"Pre-out{NBSP}pairs", "sku", "Opening:", "Rating ", "internal w", "Digital Radio", "Shelf"],
        [],
        [None, "€ 1.299,00", "3 pairs", 123, "Double", "8,5", "22 W RMS", "Yes", "B2"],
        [None, f"1{NBSP}299", 2, "00124", "single", 6, None, "n", None],
    ],
    "Speakers": [
        [
            "SKU",
            "Brand",
            "Model",
            "Price",
            "Rating",
            "Type",
            "Size mm",
            "Depth mm",
            "Ohm",
            "RMS W",
            "Sensitivity dB",
            "Stock",
            "Cost",
        ],
        [
            " S-1",
            "Alva",
            200,
            "1.299,50",
            7,
            "Component",
            "165 mm",
            "60,5",
            "4 \N{OHM SIGN}",
            "75W",
            "90 dB",
            "4.0",
            500,
        ],
        ["S-2", f"Alva{NBSP}", "Coax", "1.150", 7, "coaxial", 165, None, 4, 60, None, None, None],
    ],
    "Amplifiers": [
        ["SKU", "Price", "Rating", "Channels", "W at 4 ohm", "Class"],
        ["A-1", 249.99, 7, "4 ch", "70 watts", "a/b"],
    ],
    "Power kits": [
        ["SKU", "Price", "AWG", "Conductor", "Length m", "Fuse A"],
        ["K-1", 49, "1/0 AWG", "Copper-clad aluminium", "5,5 m", "100 A"],
    ],
    "Fitting kits": [
        ["SKU", "Price", "For", "Vehicles", "Location", "Size mm"],
        ["F-1", 35, "Head Unit", f"kestrel{NBSP} hatch; Tern Van", None, None],
        ["F-2", 9, "speaker", "any", "Front", "130mm"],
    ],
    "aerials": [["use", "SKU", "Price"], ["Screen mount", "E-1", 19]],
    "Signal leads": [["SKU", "Price", "Channels", "Length m"], ["L-1", 15, 4, 5.5]],
    "Speaker cable": [["SKU", "Price", "mm2", "Conductor", "Metres per unit"], ["C-1", 2.5, "2,5 mm²", "ofc", 1]],
    "vehicles": [
        ["Vehicle", "Opening", "Front mm", "Front tweeter place", "Door m²", "Boot width mm"],
        [f"Kestrel{NBSP} Hatch", "double", 165, "yes", "1,6 m²", None],
        ["Tern Van", "none", None, None, None, None],
    ],
    "Briefs": [
        [
            "Brief",
            "Vehicle",
            "Head unit",
            "Front",
            "Rear",
            "Bass",
            "Amplifier",
            "Deadening",
            "Fitted",
            "One brand",
            "Leave out",
        ],
        [
            "Everyday",
            "KESTREL HATCH",
            "Replace",
            "Required",
            "none",
            "none",
            "optional",
            "none",
            True,
            "prefer",
            "C-1 ; alva",
        ],
    ],
    "Labour": [["Work", "Hours"], ["Head unit", 1 / 3], ["front", "1,5 h"], ["amplifier", 2]],
    "Tiers": [
        ["Tier", "Budget", "Allowance %"],
        ["Middle", "1.300 EUR", "1,5 %"],
        ["Top", "2.600,00", None],
    ],
    "Settings": [["Setting", "Value"], ["Labour rate", "65,- €"]],
}
"""A sound price list as it grows over years: titles, gaps, units, commas, extra columns, a hidden sheet."""


def messy_shop(path: Path) -> Path:
    """Write the messy price list."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for title, rows in MESSY.items():
        sheet = workbook.create_sheet(title)
        for row in rows:
            sheet.append(row)
    workbook["HEAD UNITS "]["D5"].number_format = "00000"
    workbook["Labour"].sheet_state = "hidden"
    workbook.save(path)
    return path


def test_messy_price_list_of_a_shop_is_read_to_the_cent(tmp_path: Path) -> None:
    path = messy_shop(tmp_path / "messy.xlsx")
    shop = load_catalogue(path)
    dear, plain = shop.head_units
    assert (dear.sku, dear.price, dear.rating, dear.preout_pairs, dear.internal_w) == ("00123", 129900, 8.5, 3, 22)
    assert (dear.opening, dear.digital_radio, dear.at) == (Opening.DOUBLE, True, Cell("HEAD UNITS ", 5))
    assert (plain.sku, plain.price, plain.internal_w, plain.digital_radio) == ("00124", 129900, 0, False)
    component, coaxial = shop.speakers
    assert (component.sku, component.model, component.price, component.cost) == ("S-1", "200", 129950, 50000)
    assert component.type is SpeakerType.COMPONENT
    assert (component.depth_mm, component.ohm, component.stock) == (60.5, 4, 4)
    assert (coaxial.brand, coaxial.price, coaxial.sensitivity_db) == ("Alva", 115000, None)
    (amplifier,) = shop.amplifiers
    assert (amplifier.price, amplifier.channels, amplifier.amplifier_class) == (24999, 4, AmplifierClass.AB)
    (power_kit,) = shop.power_kits
    assert (power_kit.awg, power_kit.mm2, power_kit.conductor, power_kit.length_m) == (0, None, Conductor.CCA, 5.5)
    (cable,) = shop.speaker_cables
    assert (cable.mm2, cable.conductor) == (2.5, Conductor.COPPER)


def test_messy_price_list_says_what_to_solve(tmp_path: Path) -> None:
    shop = load_catalogue(messy_shop(tmp_path / "messy.xlsx"))
    dash, ring = shop.fitting_kits
    assert (dash.fits, dash.vehicles, dash.any_vehicle) == (KitFor.HEAD_UNIT, ("kestrel hatch", "tern van"), False)
    assert (ring.any_vehicle, ring.location, ring.size_mm) == (True, Location.FRONT, 130)
    hatch, van = shop.vehicles
    assert (hatch.name, hatch.door_m2) == ("Kestrel Hatch", 1.6)
    assert (hatch.front.size_mm, hatch.front.tweeter_place) == (165, True)
    assert (van.opening, van.front.size_mm, van.front.tweeter_place) == (Opening.NONE, None, None)
    (brief,) = shop.briefs
    assert (brief.head_unit, brief.front, brief.rear) == (HeadUnitMode.REPLACE, Want.REQUIRED, Want.NONE)
    assert (brief.fitted, brief.one_brand, brief.leave_out) == (True, OneBrand.PREFER, ("C-1", "alva"))
    hours = {Work.HEAD_UNIT: Fraction(1, 3), Work.FRONT: Fraction(3, 2), Work.AMPLIFIER: Fraction(2)}
    assert shop.labour_hours == hours
    assert [tier.budget for tier in shop.tiers] == [130000, 260000]
    assert [tier.allowance for tier in shop.tiers] == [Fraction(3, 200), Fraction(1, 100)]
    assert shop.settings.labour_rate == 6500


def test_messy_price_list_is_told_what_was_ignored_in_workbook_order(tmp_path: Path) -> None:
    path = messy_shop(tmp_path / "messy.xlsx")
    shop = load_catalogue(path)
    assert [(str(fault.at), fault.code) for fault in shop.warnings] == [
        ("To do", "unknown-sheet"),
        ("HEAD UNITS !I3", "unknown-column"),
        ("Labour", "hidden-sheet"),
    ]
    assert all(fault.severity is Severity.NOTICE for fault in shop.warnings)
    assert (shop.name, shop.sha256) == ("messy.xlsx", hashlib.sha256(path.read_bytes()).hexdigest())


def test_all_faults_are_told_at_once_each_at_its_cell(tmp_path: Path) -> None:
    book = sound_book()
    book["Head units"][0] |= {"Price": "1,299", "Opening": "tripple"}
    book["Speakers"][0] |= {"Price": 0, "Ohm": "2 kohm", "Stock": 1.5}
    book["Speakers"][1] |= {"SKU": "SP-1", "Rating": 12}
    book["Amplifiers"][0] |= {"Channels": 3, "Fuse A": None, "Class": None}
    book["Vehicles"][0] |= {"Front mm": "wide"}
    book["Briefs"][0] |= {"Must include": "nothing", "Own internal W": -1}
    book["Tiers"][0] |= {"Budget": None}
    book["Settings"].append({"Setting": "Tax rate", "Value": 2100})
    with pytest.raises(UserInputError) as stopped:
        load_catalogue(write_book(tmp_path / "book.xlsx", book))
    assert [(str(fault.at), fault.code) for fault in stopped.value.faults] == [
        ("Head units!D2", "ambiguous-number"),
        ("Head units!H2", "unknown-choice"),
        ("Speakers!D2", "out-of-range"),
        ("Speakers!I2", "wrong-unit"),
        ("Speakers!M2", "not-whole"),
        ("Speakers!A3", "duplicate-sku"),
        ("Speakers!E3", "out-of-range"),
        ("Amplifiers!F2", "odd-channels"),
        ("Amplifiers!L2", "missing-value"),
        ("Vehicles!C2", "not-a-number"),
        ("Briefs!E2", "out-of-range"),
        ("Briefs!M2", "unknown-name"),
        ("Tiers!B2", "missing-value"),
        ("Settings!B4", "out-of-range"),
    ]
    assert "Price: an amount of money, greater than 0; this may be 1299 or 1.299" in stopped.value.faults[0].expected


def test_shared_and_inline_texts_give_the_same_catalogue(tmp_path: Path) -> None:
    shared = load_catalogue(write_shared(tmp_path / "a.xlsx", sound_book()))
    own = load_catalogue(write_book(tmp_path / "b.xlsx", sound_book()))
    assert shared.products() == own.products()
    assert shared.briefs == own.briefs
    with xlsxwriter.Workbook(str(tmp_path / "c.xlsx"), {"constant_memory": True}) as workbook:
        for title, rows in sound_book().items():
            sheet = workbook.add_worksheet(title)
            headers = list(rows[0])
            for number, row in enumerate([headers, *([row[header] for header in headers] for row in rows)]):
                sheet.write_row(number, 0, row)
    assert load_catalogue(tmp_path / "c.xlsx").products() == own.products()


def test_error_cells_and_formulas_without_value_are_told_where_they_matter_only(tmp_path: Path) -> None:
    book = sound_book()
    book["Speakers"][0] |= {"Price": "=50+9", "Shelf": "=A1"}
    faults = faults_of(write_book(tmp_path / "book.xlsx", book))
    assert told(faults) == {
        ("Speakers!D2", "formula-without-value", "fault"),
        ("Speakers!M1", "unknown-column", "notice"),
    }
    assert faults[-1].mend == "open and save it once in your spreadsheet program"


def test_formula_with_a_stored_value_is_its_value(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    book = sound_book()
    with xlsxwriter.Workbook(str(path)) as workbook:
        for title, rows in book.items():
            sheet = workbook.add_worksheet(title)
            sheet.write_row(0, 0, list(rows[0]))
            for number, row in enumerate(rows, start=1):
                sheet.write_row(number, 0, list(row.values()))
            if title == "Speakers":
                sheet.write_formula("D2", "=1000*1.299", None, 1298.9999999999998)
    assert load_catalogue(path).speakers[0].price == 129900


def test_sample_catalogue_loads_in_well_under_half_a_second(sample_workbook: Path) -> None:
    catalogue, fastest = load_catalogue(sample_workbook), 60.0
    for _ in range(3):
        started = time.perf_counter()
        load_catalogue(sample_workbook)
        fastest = min(fastest, time.perf_counter() - started)
    assert fastest < 0.5
    assert len(catalogue.products()) > 250
    assert all(fault.severity is Severity.NOTICE for fault in catalogue.warnings)
