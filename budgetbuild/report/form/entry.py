"""What a spreadsheet program lets one choose or warns of in a column; the reader of the workbook has the last word."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.columns import SHEETS
from budgetbuild.catalogue.problems import wanted
from budgetbuild.catalogue.schema import Column, Kind
from budgetbuild.faults import column_letters

if TYPE_CHECKING:
    from budgetbuild.report.words.voice import Voice

LEAST = {Kind.MONEY: 0.01, Kind.NUMBER: 0.001, Kind.PERCENT: 0.01, Kind.WHOLE: 1}
"""Least number greater than 0 that a cell of each kind holds."""
NUMBER_ENTRIES = {Kind.MONEY: "decimal", Kind.NUMBER: "decimal", Kind.PERCENT: "decimal", Kind.SHARE: "decimal",
                  Kind.WHOLE: "integer"}  # fmt: skip
LONGEST_TITLE, LONGEST_MESSAGE = 32, 255


def entry(column: Column, voice: Voice) -> dict[str, Any] | None:
    """The data validation of a column, in the writer's words; `None` where anything may stand there.

    It warns and never refuses: `75 W` and `OFC` are read as well, and only the reader knows every spelling.
    """
    rule = _rule(column)
    if rule is None:
        return None
    message = voice.say("starter", "cell-expected", what=wanted(column))
    return {
        **rule,
        "error_type": "warning",
        "error_title": column.header[:LONGEST_TITLE],
        "error_message": message[:LONGEST_MESSAGE],
        # Several names in one cell are no name of the list.
        "show_error": column.kind is not Kind.NAMES,
    }


def _rule(column: Column) -> dict[str, Any] | None:
    words = ["yes", "no"] if column.kind is Kind.YES_NO else [str(choice) for choice in column.choices]
    if words:
        return {"validate": "list", "source": words}
    if column.names_in:
        return {"validate": "list", "source": f"={names_range(column.names_in)}"}
    return _number(column)


def names_range(field: str) -> str:
    """The cells of another sheet that hold its names so far: a formula that grows with them.

    >>> names_range("vehicles")
    "OFFSET('Vehicles'!$A$1,1,0,MAX(1,COUNTA('Vehicles'!$A:$A)-1),1)"
    """
    sheet = next(one for one in SHEETS if one.field == field)
    letters = column_letters(1 + next(at for at, column in enumerate(sheet.columns) if column.field == "name"))
    column = f"'{sheet.name}'!${letters}"
    return f"OFFSET({column}$1,1,0,MAX(1,COUNTA({column}:${letters})-1),1)"


def _number(column: Column) -> dict[str, Any] | None:
    """A number within its range."""
    validate = NUMBER_ENTRIES.get(column.kind)
    low = LEAST.get(column.kind, 0) if column.positive else column.low
    if validate is None or (low is None and column.high is None):
        return None
    if low is not None and column.high is not None:
        return {"validate": validate, "criteria": "between", "minimum": low, "maximum": column.high}
    bound, criteria = (column.high, "<=") if low is None else (low, ">=")
    return {"validate": validate, "criteria": criteria, "value": bound}
