"""Sorts the rows of a flat list onto product sheets as a mapping says; what cannot be known stays blank and is told."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.cells import shown
from budgetbuild.catalogue.columns import PRODUCT_SHEETS
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.problems import did_you_mean, wanted
from budgetbuild.catalogue.row_checks import check_row
from budgetbuild.catalogue.rows import Row, problem_fault
from budgetbuild.catalogue.tables import Table
from budgetbuild.catalogue.units import OUT_OF_TEN
from budgetbuild.faults import Cell, Collector, Fault, Severity
from budgetbuild.pricelist.flat import cell_of
from budgetbuild.pricelist.placed import FIRST_ROW, Blank, LeftOver, Placed
from budgetbuild.pricelist.values import Reader

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from budgetbuild.catalogue.cells import RawValue
    from budgetbuild.catalogue.schema import Column, Sheet
    from budgetbuild.pricelist.flat import Flat
    from budgetbuild.pricelist.mapping import Group, Mapping

MISSING = "missing-value"
FOR_THE_SCORE = "your rating, which the score needs; or let the Points sheet reckon it"


def place_rows(flat: Flat, mapping: Mapping, *, leave_blank: bool = False) -> Placed:
    """Sort a list.

    Args:
        flat: The list.
        mapping: Where its rows go and which columns fill which.
        leave_blank: Whether cells that cannot be read are left blank and told, instead of stopping the run.

    Raises:
        UserInputError: The mapping names a column that the list has not (or has twice), or a row of the list has a
            fault; all of them at once.
    """
    notes = Collector(list(flat.notices))
    _check_names(flat, mapping, notes)
    notes.stop_if_needed()
    sorting = _Sorting(flat, mapping)
    for number, cells in flat.rows:
        sorting.sort(number, cells)
    rows = [row for placed in sorting.rows.values() for row in placed]
    found = [fault for row in rows for fault in row.faults] + list(_doubled(rows))
    found.sort(key=lambda fault: (fault.at.row, fault.at.column))
    notes.faults.extend(map(_lessened, found) if leave_blank else found)
    notes.stop_if_needed()
    return Placed(
        products={field: tuple(row.values for row in placed) for field, placed in sorting.rows.items()},
        blanks=tuple(blank for sheet in PRODUCT_SHEETS for blank in sorting.blanks if blank.sheet is sheet),
        left_over=tuple(sorting.left_over),
        left_out=sorting.left_out,
        headers=flat.headers,
        faults=tuple(notes.faults),
    )


def _check_names(flat: Flat, mapping: Mapping, notes: Collector) -> None:
    """Every column that the mapping names stands in the list, and once."""
    for name, at in mapping.names().items():
        columns = flat.columns_named(name)
        if not columns:
            mend = did_you_mean(name, flat.headers.values())
            expected = f"a column of {flat.at(flat.header_row)}"
            notes.add(at, "missing-column", f'"{name}"', expected, mend)
        elif len(columns) > 1:
            mend = "rename one of the two in the list, or delete it"
            expected = f"each column name once; the other is at {flat.at(flat.header_row, columns[0])}"
            notes.add(flat.at(flat.header_row, columns[1]), "doubled-header", f'"{name}"', expected, mend)


def _lessened(fault: Fault) -> Fault:
    """A fault of the list as a warning: what it is about stays blank, or as it stands."""
    if fault.severity is not Severity.FAULT:
        return fault
    return replace(fault, severity=Severity.WARNING, mend=f"{fault.mend}; the workbook is written all the same")


def _doubled(rows: Iterable[Row]) -> Iterator[Fault]:
    """A SKU that stands twice, on whatever sheets."""
    first: dict[str, Row] = {}
    for row in rows:
        sku = row.get("sku")
        before = first.setdefault(fold(sku), row) if sku else row
        if before is not row:
            mend = f"it is also at {before.at('sku')}; delete one of the two rows"
            yield row.fault("sku", "duplicate-sku", "SKU: each only once", mend)


@dataclass(slots=True)
class _Sorting:
    """The list being sorted."""

    flat: Flat
    mapping: Mapping
    rows: dict[str, list[Row]] = field(default_factory=lambda: {sheet.field: [] for sheet in PRODUCT_SHEETS})
    blanks: list[Blank] = field(default_factory=list)
    left_over: list[LeftOver] = field(default_factory=list)
    left_out: int = 0
    tables: dict[str, Table] = field(default_factory=dict)
    readers: dict[tuple[int, str], Reader] = field(default_factory=dict)
    places: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.places = {name: self.flat.columns_named(name)[0] for name in self.mapping.names()}

    def sort(self, number: int, cells: list[RawValue]) -> None:
        """Sort one row of the list."""
        group = self._group(cells)
        if group is None or not group.decided:
            filled = {column: shown(cell).strip('"') for column, cell in enumerate(cells, 1) if cell is not None}
            self.left_over.append(LeftOver(at=self.flat.at(number), texts=filled))
        elif group.sheet is None:
            self.left_out += 1
        else:
            self.rows[group.sheet.field].append(self._row(group, group.sheet, number, cells))

    def _group(self, cells: list[RawValue]) -> Group | None:
        """The first group that takes a row."""
        for group in self.mapping.groups:
            contents = {name: cell_of(cells, self.places[name]) for name in group.conditions()}
            if group.takes(contents):
                return group
        return None

    def _row(self, group: Group, sheet: Sheet, number: int, cells: list[RawValue]) -> Row:
        """A row of a product sheet; what is blank in it and should not be is noted."""
        row = Row(self._table(sheet), FIRST_ROW + len(self.rows[sheet.field]))
        unread = {}
        for name, take in group.columns.items():
            column = sheet.column(name)
            found = self._reader(group, column).read(cells)
            at = self.flat.at(number, self.places[take.column]) if take.column else take.at
            if found.problem is not None:
                fault = problem_fault(found.problem, at, found.raw, column)
                row.spoil(name, at, [fault])
                unread[name] = fault
            elif found.value is not None:
                row.tell(name, found.value, at)
            elif found.raw is not None:
                unread[name] = Fault(at, "", shown(found.raw), wanted(column), "")
        self._note_blanks(row, self.flat.at(number), unread)
        return row

    def _table(self, sheet: Sheet) -> Table:
        """A product sheet of the new workbook."""
        columns = {column.field: number for number, column in enumerate(sheet.columns, start=1)}
        return self.tables.setdefault(sheet.field, Table(sheet, sheet.name, FIRST_ROW - 1, columns, ()))

    def _reader(self, group: Group, column: Column) -> Reader:
        """What fills a column of a group's sheet."""
        known = id(group), column.field
        if known not in self.readers:
            self.readers[known] = Reader(group.columns[column.field], column, self.flat, self.mapping)
        return self.readers[known]

    def _note_blanks(self, row: Row, source: Cell, unread: dict[str, Fault]) -> None:
        """What the product lacks: what the schema requires, what its other cells call for, what cannot be read."""
        why = {column.field: _why(column) for column in row.table.sheet.columns if column.required}
        blank = {name: text for name, text in why.items() if not row.filled(name)}
        told = {name: fault for name, fault in unread.items() if fault.code}
        row.faults = []
        check_row(row)
        for fault in row.faults:
            if fault.code == MISSING and (name := row.table.field_at(fault.at.column)):
                blank.setdefault(name, fault.expected.partition(": ")[2])
        row.faults = [*told.values(), *(fault for fault in row.faults if fault.code != MISSING)]
        for name, fault in told.items():
            blank.setdefault(name, fault.expected.partition(": ")[2])
        for column in row.table.sheet.columns:
            if column.field in blank:
                self.blanks.append(self._blank(row, column, blank[column.field], unread.get(column.field), source))

    def _blank(self, row: Row, column: Column, why: str, unread: Fault | None, source: Cell) -> Blank:
        brand, model = row.get("brand") or "", row.get("model") or ""
        return Blank(
            sheet=row.table.sheet,
            row=row.number,
            column=column,
            sku=row.get("sku") or "",
            name=f"{brand} {model}".strip(),
            why=why,
            source=unread.at if unread else source,
            found=unread.found if unread else "",
        )


def _why(column: Column) -> str:
    """What is wanted in a required cell."""
    return FOR_THE_SCORE if column.unit == OUT_OF_TEN else wanted(column)
