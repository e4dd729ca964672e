"""The `Settings` sheet: one value per row, each read as its declaration says."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.cells import Formatted, is_percent, shown
from budgetbuild.catalogue.columns import LIMIT_SETTINGS, SETTINGS
from budgetbuild.catalogue.limits import Limits
from budgetbuild.catalogue.parse import Value, parse_cell
from budgetbuild.catalogue.parse_numbers import Hints
from budgetbuild.catalogue.problems import Problem, did_you_mean, wanted
from budgetbuild.catalogue.rows import problem_fault
from budgetbuild.catalogue.schema import Column, Kind
from budgetbuild.catalogue.setting_names import counts_in_percent, setting_of
from budgetbuild.catalogue.shop import Settings
from budgetbuild.faults import Collector, Severity

if TYPE_CHECKING:
    from budgetbuild.catalogue.cells import RawValue
    from budgetbuild.catalogue.tables import Table
    from budgetbuild.faults import Cell


IN_ORDER = (
    ("ratio_min", "ratio_full_match"),
    ("ratio_full_match", "ratio_full_match_to"),
    ("ratio_full_match", "ratio_max"),
    ("bass_ratio_min", "bass_ratio_max"),
)
"""Limits of which the first is not above the second."""


@dataclass(slots=True)
class SettingRows:
    """What the sheet says: values and their cells by field, and what is wrong."""

    values: dict[str, Any] = field(default_factory=dict)
    cells: dict[str, Cell] = field(default_factory=dict)
    faults: Collector = field(default_factory=Collector)


def read_settings(table: Table | None) -> SettingRows:
    """Read the sheet; without one every setting keeps its default."""
    found = SettingRows()
    if table is None or not {"setting", "value"} <= table.columns.keys():
        return found
    label_at, value_at = table.columns["setting"] - 1, table.columns["value"] - 1
    rows = [(number, _cell(cells, label_at), _cell(cells, value_at)) for number, cells in table.body]
    hints = Hints(currency=_currency(rows))
    for number, label, value in rows:
        if isinstance(label, str):
            _read_one(found, table, (number, label, value), hints)
        elif label is not None or value is not None:
            found.faults.add(
                table.at(number, "setting"),
                "missing-value",
                "nothing",
                "Setting: name of a setting",
                "ignored; name the setting",
                Severity.WARNING,
            )
    _check_ratios(found)
    return found


def _cell(cells: list[RawValue], index: int) -> RawValue:
    """One cell of a row that may be shorter."""
    return cells[index] if index < len(cells) else None


def _currency(rows: list[tuple[int, RawValue, RawValue]]) -> str:
    """The currency code, before amounts are read."""
    for _, label, value in rows:
        column = setting_of(label) if isinstance(label, str) else None
        if column is not None and column.field == "currency":
            code = parse_cell(value, column, Hints())
            if isinstance(code, str):
                return code
    return Settings().currency


def _read_one(found: SettingRows, table: Table, row: tuple[int, str, RawValue], hints: Hints) -> None:
    """Read one row."""
    number, label, value = row
    column = setting_of(label)
    if column is None:
        found.faults.add(
            table.at(number, "setting"),
            "unknown-setting",
            f'"{label}"',
            "the name of a setting",
            f"ignored; {did_you_mean(label, (one.header for one in SETTINGS))}",
            Severity.WARNING,
        )
        return
    at = table.at(number, "value")
    if column.field in found.cells:
        found.faults.add(
            table.at(number, "setting"),
            "doubled-setting",
            f'"{label}"',
            "each setting once",
            f"it is already at {found.cells[column.field]}; delete one of the two",
        )
        return
    result, notice = read_setting(label, value, column, hints)
    if result is None:
        return
    found.cells[column.field] = at
    if notice:
        found.faults.add(
            at, "read-as-percent", shown(value), f"{column.header}: {wanted(column)}", notice, Severity.NOTICE
        )
    if isinstance(result, Problem):
        found.faults.faults.append(problem_fault(result, at, value, column))
    else:
        found.values[column.field] = result


def read_setting(label: str, value: RawValue, column: Column, hints: Hints) -> tuple[Value | Problem | None, str]:
    """The value of a setting, and how it was read where that has to be said.

    A share may stand as a bare number of percent, 21 for 21 %: no share is that large.
    """
    result = parse_cell(value, column, hints)
    if column.kind is not Kind.SHARE or value is None or _has_sign(value):
        return result, ""
    says_percent = counts_in_percent(label)
    if not says_percent and not (isinstance(result, Problem) and result.code == "out-of-range"):
        return result, ""
    percent = parse_cell(value, _in_percent(column), hints)
    if not isinstance(percent, Decimal) or (percent <= 1 and not says_percent):
        return (percent if says_percent else result), ""
    return percent / 100, "" if says_percent else f"read as {percent.normalize():f} %; write it with its sign"


def _has_sign(value: RawValue) -> bool:
    """Whether a cell shows a percent sign."""
    return "%" in value if isinstance(value, str) else isinstance(value, Formatted) and is_percent(value.code)


def _in_percent(column: Column) -> Column:
    """A share as a column that counts in percent; what is under 1 there may be meant as a share."""
    low, high = (None if bound is None else bound * 100 for bound in (column.low, column.high))
    return replace(column, kind=Kind.PERCENT, low=low, high=high, percent_from=1)


def _check_ratios(found: SettingRows) -> None:
    """The power ratios stand in order."""
    limits = build_limits(found.values)
    headers = {column.field: column.header for column in LIMIT_SETTINGS}
    for low, high in IN_ORDER:
        if getattr(limits, low) > getattr(limits, high) and (low in found.cells or high in found.cells):
            at = found.cells.get(low) or found.cells[high]
            found.faults.add(
                at,
                "range-reversed",
                f"{headers[low]} {getattr(limits, low):g}",
                f"at most {headers[high]}, {getattr(limits, high):g}",
                "correct one of the two",
            )


def build_limits(values: dict[str, Any]) -> Limits:
    """The limits, those that the sheet changes and the defaults of the others."""
    names = {one.name for one in fields(Limits)}
    given: dict[str, Any] = {
        name: float(value) if isinstance(value, Decimal) else value for name, value in values.items() if name in names
    }
    return Limits(**given)


def build_settings(found: SettingRows) -> Settings:
    """The shop's settings."""
    names = {one.name for one in fields(Settings)} - {"limits"}
    given: dict[str, Any] = {
        name: Fraction(value) if isinstance(value, Decimal) else value
        for name, value in found.values.items()
        if name in names
    }
    return Settings(**given, limits=build_limits(found.values))
