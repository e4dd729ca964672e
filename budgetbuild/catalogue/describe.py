"""The catalogue workbook described in Markdown, from the declarations alone; README.md holds the result."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.columns import SETTINGS, SHEETS
from budgetbuild.catalogue.schema import Column, Kind, Sheet, SheetKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

COLUMN_HEAD = ("column", "value", "if blank", "meaning")
NEEDED = "needed, typed or reckoned by `Points`,"
SETTING_HEAD = ("setting", "value", "if blank", "meaning")


def describe_workbook() -> str:
    """Markdown for every sheet, column and setting: the columns that all product sheets share come once."""
    common = common_columns()
    return "\n".join(
        [
            "",
            "**Every product sheet** has these columns beside its own:",
            "",
            *table(COLUMN_HEAD, common),
            "",
            *(line for sheet in SHEETS for line in describe_sheet(sheet, common)),
            "Rows of **`Settings`**:",
            "",
            *table(SETTING_HEAD, SETTINGS),
            "",
            "",
        ]
    )


def common_columns() -> tuple[Column, ...]:
    """Columns that stand in every product sheet, by their header; one that only some require names those."""
    products = [sheet for sheet in SHEETS if sheet.kind is SheetKind.PRODUCT]
    shared = set.intersection(*({column.header for column in sheet.columns} for sheet in products))
    return tuple(shared_column(column, products) for column in products[0].columns if column.header in shared)


def shared_column(column: Column, sheets: Sequence[Sheet]) -> Column:
    """A column of several sheets as one declaration: required where all of them require it."""
    if len({sheet.column(column.field).example for sheet in sheets}) > 1:
        column = replace(column, example=None)
    needing = [sheet.name for sheet in sheets if sheet.column(column.field).required]
    if not needing or len(needing) == len(sheets):
        return column
    return replace(column, required=False, blank=f"{NEEDED} on {', '.join(needing)}; elsewhere it earns nothing")


def describe_sheet(sheet: Sheet, common: Iterable[Column]) -> Iterator[str]:
    """Lines of one sheet: its purpose and the columns of its own."""
    left_out = {column.header for column in common} if sheet.kind is SheetKind.PRODUCT else set()
    yield f"**`{sheet.name}`**: {escaped(sheet.help)}"
    yield ""
    yield from table(COLUMN_HEAD, (column for column in sheet.columns if column.header not in left_out))
    yield ""


def table(head: tuple[str, ...], columns: Iterable[Column]) -> Iterator[str]:
    """A Markdown table with one row per column."""
    yield f"| {' | '.join(head)} |"
    yield f"|{'---|' * len(head)}"
    for column in columns:
        blank = "required" if column.required else column.blank
        cells = (
            f"`{column.header}`",
            describe_value(column),
            escaped(blank),
            escaped(column.help) + describe_example(column) + describe_names(column),
        )
        yield f"| {' | '.join(cells)} |"


def describe_example(column: Column) -> str:
    """What a cell may hold, where that says more than the kind of column; words to choose from stand there anyway.

    >>> describe_example(Column(header="Size mm", field="size_mm", kind=Kind.NUMBER, example=165, help=""))
    ' Such as `165`.'
    """
    tells = column.example is not None and not column.choices and column.kind is not Kind.YES_NO
    return f" Such as `{column.example}`." if tells and "example" not in str(column.example).casefold() else ""


def describe_names(column: Column) -> str:
    """The other names of a column; those of a setting are too many, for the order of their words is free.

    >>> describe_names(Column(header="Ohm", field="ohm", aliases=("Ohms", "Impedance"), help=""))
    ' Also `Ohms`, `Impedance`.'
    """
    if not column.aliases or column in SETTINGS:
        return ""
    return f" Also {', '.join(f'`{name}`' for name in column.aliases)}."


def describe_value(column: Column) -> str:
    """What a cell of the column holds: kind, unit, range or the words to choose from.

    >>> describe_value(Column(header="Depth mm", field="depth", kind=Kind.NUMBER, unit="mm", positive=True, help=""))
    'number, mm, over 0'
    """
    if column.choices:
        return " / ".join(f"`{choice}`" for choice in column.choices)
    return ", ".join(part for part in (str(column.kind), column.unit, describe_range(column)) if part)


def describe_range(column: Column) -> str:
    """The range of a number in words; empty where there is none to speak of.

    >>> describe_range(Column(header="Rating", field="rating", kind=Kind.NUMBER, low=0, high=10, help=""))
    '0 to 10'
    """
    if column.kind is Kind.AWG:
        return ""
    low = "over 0" if column.positive else "" if column.low is None else f"{column.low:g}"
    high = "" if column.high is None else f"{column.high:g}"
    if low and high:
        return f"{low} up to {high}" if column.positive else f"{low} to {high}"
    return low if column.positive or not low else f"{low} or more"


def escaped(text: str) -> str:
    """Text for a cell of a Markdown table."""
    return text.replace("|", "\\|").replace("<", "&lt;")
