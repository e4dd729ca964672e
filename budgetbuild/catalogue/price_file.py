"""A file of fresh prices and stock: which of its columns and sheets are read, and what is wrong with them.

Its columns are those of the product sheets, read in the same way; a workbook or a text table will do.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.columns import PRODUCT_SHEETS
from budgetbuild.catalogue.package import is_package, package_of, read_bytes
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.catalogue.schema import Column, Sheet, SheetKind
from budgetbuild.catalogue.tables import HEADER_WITHIN, Table, known_names, named_fields, read_table
from budgetbuild.catalogue.text_table import read_text_table
from budgetbuild.faults import Cell, Collector, Fault, Severity, UserInputError
from budgetbuild.given import name_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

    from budgetbuild.catalogue.read import RawSheet

FRESH_FIELDS = ("price", "price_high", "cost", "stock", "active")
"""Fields of a product that a price file may give, where the product sheets have them."""
STAYS = "that the catalogue's value stays"


def _columns() -> tuple[Column, ...]:
    """The SKU, and every column that a price file may give; a blank cell gives nothing."""
    common = {column.field: column for column in PRODUCT_SHEETS[0].columns}
    given = [common[field] for field in FRESH_FIELDS if field in common]
    return (common["sku"], *(replace(column, required=False, blank=STAYS) for column in given))


PRICES = Sheet(
    name="Prices",
    field="prices",
    kind=SheetKind.TABLE,
    help="Fresh prices and stock, keyed by SKU; what is blank here stays as the catalogue has it.",
    columns=_columns(),
)
"""Declaration of a sheet of fresh prices and stock."""
WORDS = ", ".join(column.header for column in PRICES.columns[1:-1]) + f" or {PRICES.columns[-1].header}"
"""The columns beside the SKU, in words."""
WANTED = "a price file: a text table (CSV) or an Excel workbook (.xlsx)"


@dataclass(frozen=True, slots=True)
class PriceFile:
    """A price file that is read.

    Attributes:
        sha256: Hash of the file.
        tables: Its sheets with a SKU and something to go with it; a text table is one without a title.
        faults: What is wrong with the file and its headers, and what of it is not read.
    """

    name: str
    sha256: str = ""
    tables: tuple[Table, ...] = ()
    faults: tuple[Fault, ...] = ()


def read_prices(path: Path) -> PriceFile:
    """Read a price file; what is wrong with it is among its faults."""
    name = name_of(path)
    try:
        data = read_bytes(path, WANTED)
        raw, told = _sheets(name, data)
    except UserInputError as error:
        return PriceFile(name, faults=tuple(_in_file(name, error.faults)))
    tables, found = _tables(raw)
    return PriceFile(
        name,
        hashlib.sha256(data).hexdigest(),
        tuple(replace(table, file=name) for table in tables),
        tuple(_in_file(name, [*told, *found])),
    )


def _in_file(name: str, faults: Iterable[Fault]) -> Iterator[Fault]:
    """Faults placed in a file of this name."""
    return (replace(fault, at=replace(fault.at, file=name)) for fault in faults)


def _sheets(name: str, data: bytes) -> tuple[list[RawSheet], tuple[Fault, ...]]:
    """The raw rows of a file, whatever kind its name says.

    Raises:
        UserInputError: It cannot be read.
    """
    if is_package(data):
        return read_sheets(package_of(name, data)), ()
    table = read_text_table(name, data, PRICES)
    return [table.raw], table.faults


def _tables(raw: list[RawSheet]) -> tuple[list[Table], list[Fault]]:
    """The sheets that are read, and what is wrong with them or not read."""
    read = {one.title: _read(one) for one in raw if one.rows}
    used = [table for table, _ in read.values() if _is_used(table)]
    if not read:
        return [], [_fault(Cell(), "empty-file", "nothing", f"a table with SKU and {WORDS}", "fill it in")]
    if not used:
        return [], [_why_not(one, *read[one.title]) for one in raw if one.rows]
    faults = [fault for table, found in read.values() if _is_used(table) for fault in _gathered(found)]
    if not any(table.body for table in used):
        at = Cell(used[0].title, used[0].header_row)
        faults.append(_fault(at, "no-rows", "column names alone", "a row for each SKU", "fill it in"))
    others = [one for one in raw if one.rows and not _is_used(read[one.title][0])]
    return used, [*faults, *_left_out(others, read)]


def _read(raw: RawSheet) -> tuple[Table, list[Fault]]:
    collector = Collector()
    return read_table(PRICES, raw, collector), collector.faults


def _is_used(table: Table) -> bool:
    """Whether a sheet has a SKU column and something to go with it."""
    return "sku" in table.columns and len(table.columns) > 1


def _fault(at: Cell, code: str, found: str, expected: str, mend: str) -> Fault:
    return Fault(at, code, found, expected, mend)


def _why_not(raw: RawSheet, table: Table, found: list[Fault]) -> Fault:
    """Why no prices or stock can be read from a sheet."""
    missing = next((fault for fault in found if fault.code == "missing-column"), None)
    if missing:
        return missing
    known = known_names(PRICES)
    for number, cells in raw.rows[:HEADER_WITHIN]:
        if named_fields(known, cells) == {"sku"}:
            return _fault(Cell(raw.title, number), "no-price-column", "SKU alone", f"{WORDS} beside it", "add a column")
    mend = "write the column names in one row above the table"
    return _fault(Cell(table.title), "no-header-row", "no such row", f"a row with the names SKU and {WORDS}", mend)


def _left_out(others: list[RawSheet], read: dict[str, tuple[Table, list[Fault]]]) -> Iterator[Fault]:
    """Sheets that are not read; one that lacks nothing but the SKU is worth a warning."""
    plain = []
    for one in others:
        why = _why_not(one, *read[one.title])
        if why.code == "missing-column":
            yield replace(why, severity=Severity.WARNING, mend=f"the sheet is left out; {why.mend}")
        else:
            plain.append(one.title)
    if plain:
        expected = f"a sheet with SKU and {WORDS}"
        yield Fault(Cell(), "unknown-sheet", ", ".join(plain), expected, "ignored", Severity.NOTICE)


def _gathered(faults: list[Fault]) -> Iterator[Fault]:
    """The faults of a sheet's headers; columns that are merely others are one notice, however many there are."""
    others = [one for one in faults if one.code == "unknown-column" and one.severity is Severity.NOTICE]
    yield from (fault for fault in faults if fault not in others)
    if others:
        found = ", ".join(fault.found for fault in others)
        mend = f"ignored; a price file gives {WORDS}"
        yield replace(others[0], at=replace(others[0].at, column=0), found=found, mend=mend)
