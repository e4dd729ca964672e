"""A small sound catalogue as plain values, and the ways to write it to a file."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING, Any

import xlsxwriter
from openpyxl import Workbook

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.faults import UserInputError

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.faults import Fault

Rows = list[dict[str, Any]]
Book = dict[str, Rows]
"""Rows of each sheet, by header; a sheet's headers are those of its first row."""

_SOUND: Book = {
    "Head units": [
        {
            "SKU": "HU-1",
            "Brand": "Alva",
            "Model": "One",
            "Price": 199,
            "Rating": 6,
            "Pre-out pairs": 3,
            "Internal W": 22,
            "Opening": "double",
            "Digital radio": "no",
            "Active": "yes",
        },
    ],
    "Speakers": [
        {
            "SKU": "SP-1",
            "Brand": "Alva",
            "Model": "Coax",
            "Price": 59.9,
            "Rating": 5,
            "Type": "coaxial",
            "Size mm": 165,
            "Depth mm": 55,
            "Ohm": 4,
            "RMS W": 50,
            "Sensitivity dB": 90,
            "Active": "yes",
        },
        {
            "SKU": "SP-2",
            "Brand": "Borr",
            "Model": "Set",
            "Price": 129,
            "Rating": 7.5,
            "Type": "component",
            "Size mm": 165,
            "Depth mm": 60,
            "Ohm": 4,
            "RMS W": 75,
            "Sensitivity dB": 91,
            "Active": "yes",
        },
    ],
    "Amplifiers": [
        {
            "SKU": "AM-4",
            "Brand": "Borr",
            "Model": "Four",
            "Price": 249,
            "Rating": 7,
            "Channels": 4,
            "W at 4 ohm": 70,
            "W at 2 ohm": 100,
            "Min ohm": 2,
            "Sub W at 4 ohm": None,
            "Fuse A": 40,
            "Class": "AB",
            "Active": "yes",
        },
    ],
    "Power kits": [
        {
            "SKU": "PK-1",
            "Brand": "Cord",
            "Model": "Kit 16",
            "Price": 49,
            "mm2": 21.15,
            "AWG": "4",
            "Conductor": "copper",
            "Length m": 5,
            "Fuse A": 60,
        },
    ],
    "Signal leads": [{"SKU": "SL-1", "Brand": "Cord", "Model": "L5", "Price": 15, "Channels": 4, "Length m": 5.5}],
    "Speaker cable": [
        {
            "SKU": "SC-1",
            "Brand": "Cord",
            "Model": "S2",
            "Price": 2.5,
            "mm2": 2.5,
            "Conductor": "CCA",
            "Metres per unit": 1,
        },
    ],
    "Fitting kits": [
        {
            "SKU": "FK-1",
            "Brand": "Fitt",
            "Model": "Dash",
            "Price": 35,
            "For": "head unit",
            "Vehicles": "Kestrel Hatch",
            "Location": None,
            "Size mm": None,
        },
    ],
    "Vehicles": [
        {
            "Vehicle": "Kestrel Hatch",
            "Opening": "double",
            "Front mm": 165,
            "Front depth mm": 62,
            "Front tweeter place": "yes",
            "Power run m": 5,
        },
    ],
    "Briefs": [
        {
            "Brief": "Everyday",
            "Vehicle": "Kestrel Hatch",
            "Head unit": "replace",
            "Own pre-out pairs": None,
            "Own internal W": None,
            "Front": "required",
            "Rear": "none",
            "Bass": "none",
            "Amplifier": "optional",
            "Deadening": "none",
            "Fitted": "no",
            "One brand": "no",
            "Must include": None,
            "Leave out": None,
        },
    ],
    "Tiers": [{"Tier": "First", "Budget": 650, "Allowance %": 1, "Briefs": None}],
    "Settings": [{"Setting": "Currency code", "Value": "EUR"}, {"Setting": "Labour rate", "Value": 60}],
}


def sound_book() -> Book:
    """A catalogue with nothing to complain about, not even a notice; to be changed by a test."""
    return deepcopy(_SOUND)


def write_book(path: Path, book: Book) -> Path:
    """Write a catalogue with openpyxl, as text and numbers stand."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for title, rows in book.items():
        sheet = workbook.create_sheet(title)
        for row in _grid(rows):
            sheet.append(row)
    workbook.save(path)
    return path


def write_shared(path: Path, book: Book) -> Path:
    """Write a catalogue with XlsxWriter: texts in the shared table, dates and formulas as they are."""
    with xlsxwriter.Workbook(str(path)) as workbook:
        for title, rows in book.items():
            sheet = workbook.add_worksheet(title)
            for number, row in enumerate(_grid(rows)):
                sheet.write_row(number, 0, row)
    return path


def _grid(rows: Rows) -> list[list[Any]]:
    """Header row and rows."""
    headers = list(dict.fromkeys(header for row in rows for header in row))
    return [headers, *([row.get(header) for header in headers] for row in rows)]


def faults_of(path: Path) -> list[Fault]:
    """Everything that loading a workbook says, whether it stops or not."""
    try:
        return list(load_catalogue(path).warnings)
    except UserInputError as error:
        return error.faults


def told(faults: list[Fault]) -> set[tuple[str, str, str]]:
    """Where, code and severity of faults."""
    return {(str(fault.at), fault.code, str(fault.severity)) for fault in faults}
