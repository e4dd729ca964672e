"""Small flat lists and mappings, written to files for a test."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING, Any

import xlsxwriter

from budgetbuild.pricelist.flat import read_flat
from budgetbuild.pricelist.mapping_file import read_mapping
from budgetbuild.pricelist.place import place_rows

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from budgetbuild.pricelist.placed import Placed

WITH_TAX = '[list]\nprices = "with tax"\n'
EVERY = '[columns]\nSKU = "Art"\nPrice = "Price"\n'
SPEAKERS = '[[group]]\nsheet = "Speakers"\nwhere = { Kind = "speaker" }\n[group.columns]\n'
"""Parts of a mapping."""


def write_csv(path: Path, rows: Sequence[Sequence[str]]) -> Path:
    """A text table separated by semicolons."""
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=";", lineterminator="\n").writerows(rows)
    return path


def write_xlsx(path: Path, rows: Sequence[Sequence[Any]], title: str = "List") -> Path:
    """A workbook of one sheet; texts stay texts, numbers numbers."""
    with xlsxwriter.Workbook(str(path), {"strings_to_urls": False, "strings_to_formulas": False}) as book:
        page = book.add_worksheet(title)
        for number, row in enumerate(rows):
            page.write_row(number, 0, row)
    return path


def placed(folder: Path, mapping: str, rows: Sequence[Sequence[str]], *, leave_blank: bool = False) -> Placed:
    """A list, as text, sorted as a mapping says."""
    path = folder / "mapping.toml"
    path.write_text(mapping, "utf-8")
    read = read_mapping(path)
    return place_rows(
        read_flat(write_csv(folder / "list.csv", rows), read.names(), read.sheet), read, leave_blank=leave_blank
    )
