"""Price files in every dialect that shops' programs write, made without the package's own reader."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

from openpyxl import Workbook

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.faults import UserInputError
from tests.catalogue.workbooks import sound_book, write_book

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from budgetbuild.catalogue.fresh import Fresh
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.faults import Fault

Grid = list[list[Any]]

ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "cp1252")
SEPARATORS = (",", ";", "\t")


def csv_bytes(grid: Sequence[Sequence[Any]], separator: str = ",", encoding: str = "utf-8", **how: Any) -> bytes:  # noqa: ANN401 - whatever `csv.writer` takes
    """Rows as a text table."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator, **how).writerows(grid)
    return text.getvalue().encode(encoding)


def write_sheets(path: Path, sheets: dict[str, Grid]) -> Path:
    """Rows as sheets of a workbook."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for title, grid in sheets.items():
        sheet = workbook.create_sheet(title)
        for row in grid:
            sheet.append(row)
    workbook.save(path)
    return path


def written(folder: Path, data: bytes | str, name: str = "prices.csv") -> Path:
    """A price file of these bytes, or of this text in UTF-8."""
    path = folder / name
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return path


def overlaid(folder: Path, data: bytes | str | Path) -> Catalogue:
    """The small sound catalogue with a price file laid over it."""
    prices = data if not isinstance(data, bytes | str) else written(folder, data)
    return load_catalogue(write_book(folder / "book.xlsx", sound_book()), prices=prices)


def fresh_of(folder: Path, data: bytes | str | Path) -> Fresh:
    """What a price file changes in the small sound catalogue."""
    fresh = overlaid(folder, data).fresh
    assert fresh is not None
    return fresh


def faults_in(folder: Path, data: bytes | str | Path) -> list[Fault]:
    """Everything that is said where a price file is laid over the small sound catalogue, whether it stops or not."""
    try:
        return list(overlaid(folder, data).warnings)
    except UserInputError as error:
        return error.faults


def placed(faults: list[Fault]) -> list[tuple[str, str, str]]:
    """Where, code and severity of faults, in their order."""
    return [(str(fault.at), fault.code, str(fault.severity)) for fault in faults]
