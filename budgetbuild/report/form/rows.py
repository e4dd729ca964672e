"""Which rows stand on a sheet of a new workbook: those that it always lists, or one example."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.schema import EXAMPLE, Kind, is_example, key
from budgetbuild.faults import column_letters

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from budgetbuild.catalogue.schema import Column, Sheet

CellValue = str | float | None
FormRow = dict[str, CellValue]
"""What stands in a row, by header."""


def first_rows(sheet: Sheet, *, examples: bool) -> list[FormRow]:
    """The rows of a sheet that nobody has filled in.

    Args:
        sheet: Its declaration.
        examples: Whether blanks are filled with what the columns and settings name as examples; otherwise a row that
            lacks something required is left out.
    """
    listed = sheet.listed or ((),)
    rows = [_row(sheet, cells, examples=examples) for cells in listed]
    return [row for row in rows if all(row[one.header] is not None for one in sheet.columns if one.required)]


def _row(sheet: Sheet, cells: tuple[CellValue, ...], *, examples: bool) -> FormRow:
    """One row: what is listed, then examples."""
    row: FormRow = {column.header: None for column in sheet.columns}
    row |= {column.header: _plain(cell) for column, cell in zip(sheet.columns, cells, strict=False)}
    if examples:
        for column in sheet.columns:
            if row[column.header] is None:
                row[column.header] = _plain(declared(sheet, column, row).example)
    return row


def _plain(value: CellValue) -> CellValue:
    """A word of a list as the text that it is."""
    return str(value) if isinstance(value, str) else value


def declared(sheet: Sheet, column: Column, row: Mapping[str, CellValue]) -> Column:
    """The declaration of a cell: its column's; where each row is a value of its own, that of the value.

    Which of the columns holds the value is known by its field.
    """
    if not sheet.settings or column.field != "value":
        return column
    name = key(str(row.get(sheet.columns[0].header) or ""))
    return next((setting for setting in sheet.settings if name in setting.keys), column)


def cell_value(column: Column, held: Any) -> CellValue:  # noqa: ANN401 - whatever a column's cells are read as
    """What a cell shows for the value that it is read as.

    >>> from budgetbuild.catalogue.schema import Column
    >>> cell_value(Column(header="AWG", field="awg", kind=Kind.AWG, help=""), 0)
    '1/0'
    >>> cell_value(Column(header="Price", field="price", kind=Kind.MONEY, help=""), 12995)
    129.95
    """
    if held is None or held in ("", ()):
        return None
    if column.kind in _SHOWN:
        return _SHOWN[column.kind](held)
    return held if isinstance(held, int | float) else float(held) if isinstance(held, Decimal) else str(held)


_SHOWN: dict[Kind, Callable[[Any], CellValue]] = {
    Kind.MONEY: lambda cents: cents / 100,
    Kind.YES_NO: lambda yes: "yes" if yes else "no",
    Kind.NAMES: "; ".join,
    Kind.AWG: lambda gauge: str(gauge) if gauge > 0 else f"{1 - gauge}/0",
}


def example_formula(sheet: Sheet) -> str:
    """What holds in row 2 of a sheet if it is an example row; empty where a sheet has none.

    An example says so in the first text that has one; where no text does, every cell that has an example holds it.
    """
    places = {column: f"${column_letters(place)}2" for place, column in enumerate(sheet.columns, start=1)}
    for column in sheet.columns:
        cells = [column, *(sheet.settings if column.field == "value" else ())]
        if any(is_example(cell.example) for cell in cells):
            return f'LEFT({places[column]},{len(EXAMPLE)})="{EXAMPLE}"'
    same = [f"{places[one]}={_quoted(one.example)}" for one in sheet.columns if one.example is not None]
    return f"AND({','.join(same)})" if same and not sheet.listed else ""


def _quoted(value: str | float) -> str:
    return f'"{value}"' if isinstance(value, str) else f"{value:g}"
