"""The `Points` sheet: from its rows to criteria, one for each column that earns points; every fault at its cell."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.point_columns import (
    Source,
    find_sheet,
    find_source,
    hints_of,
    nearly_named,
    raw_cell,
    read_bound,
    read_word,
    table_of,
    with_kind,
)
from budgetbuild.catalogue.problems import Problem, did_you_mean
from budgetbuild.catalogue.rows import problem_fault
from budgetbuild.catalogue.schema import NUMERIC, Kind
from budgetbuild.catalogue.value import CellValue, Criterion, Word, known, same
from budgetbuild.faults import Cell, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from fractions import Fraction

    from budgetbuild.catalogue.parse_numbers import Hints
    from budgetbuild.catalogue.rows import Row
    from budgetbuild.catalogue.schema import Column
    from budgetbuild.catalogue.tables import Table

BOUNDS = ("worst", "best")
CRITERION_CELLS = (*BOUNDS, "value")
ONE_WAY = "Worst and Best, or Value"


@dataclass(slots=True)
class Points:
    """What the sheet says.

    Attributes:
        criteria: Criteria of each product sheet with the columns that they read, by the field that the sheet fills.
        spoilt: Sheets some of whose rows cannot be used, so that no rating of theirs can be reckoned.
        headers: Headers of the shop's own columns that earn points, which are therefore not ignored.
    """

    criteria: dict[str, list[tuple[Criterion, Source]]] = field(default_factory=dict)
    spoilt: set[str] = field(default_factory=set)
    headers: set[Cell] = field(default_factory=set)


def read_points(rows: Iterable[Row], tables: Mapping[str, Table], currency: str) -> Points:
    """Read every row; what is wrong with one is noted in it."""
    found = Points()
    groups: dict[tuple[str, int], tuple[Source, list[Row]]] = {}
    for row in rows:
        sheet = find_sheet(row)
        if sheet is None:
            found.spoilt |= nearly_named(row.get("sheet") or "")
            continue
        row.values["of"] = sheet.field
        table = table_of(sheet, tables)
        if table is None or not row.sound or not sheet.column("rating").required:
            _note_absent(row, sheet.field, tables)
            found.spoilt |= {sheet.field} if table else set()
            continue
        source = find_source(row, sheet, table)
        if source is None or row.get("points") is None:
            found.spoilt.add(sheet.field)
            continue
        groups.setdefault((sheet.field, source.number), (source, []))[1].append(row)
    for (of, _), (source, group) in groups.items():
        criterion = _criterion(of, source, group, currency)
        if criterion is None:
            found.spoilt.add(of)
            continue
        found.criteria.setdefault(of, []).append(criterion)
        found.headers |= set() if source.column.field else {source.at(source.table.header_row)}
    return found


def _note_absent(row: Row, of: str, tables: Mapping[str, Table]) -> None:
    """A row about a sheet that the workbook does not have does nothing."""
    if of not in tables and row.sound and not row.faults:
        expected, mend = "Sheet: a sheet of the workbook", "not used; the workbook has no such sheet"
        row.faults.append(row.fault("sheet", "unknown-sheet", expected, mend, Severity.WARNING))


def _criterion(of: str, source: Source, group: list[Row], currency: str) -> tuple[Criterion, Source] | None:
    """The criterion of one column; `None` where one of its rows cannot be used."""
    for row in group:
        _check_ways(row, source)
    by_bounds = [row for row in group if row.filled(*BOUNDS)]
    if by_bounds and len(group) > 1:
        for row in group[1:]:
            _doubled(row, f"it is also at {group[0].at('column')}; one row with Worst and Best, or all with a Value")
    if not all(row.sound for row in group):
        return None
    raw = [raw_cell(row, name) for row in group for name in CRITERION_CELLS if row.filled(name)]
    source = with_kind(source, numbers=bool(by_bounds), words=raw)
    hints = hints_of(source, currency, raw)
    bounds = _bounds(group[0], source, hints) if by_bounds else ()
    words = () if by_bounds else _words(group, source, hints)
    most = max(known(row.get("points")) for row in group)
    if most == 0:
        expected = f"Points: over 0 for {'it' if by_bounds else 'at least one word'}"
        group[-1].faults.append(group[-1].fault("points", "no-points", expected, "give it points, or take it out"))
    if not all(row.sound for row in group):
        return None
    worst, best = bounds or (None, None)
    return Criterion(
        at=group[0].at("column"), sheet=of, title=source.table.title, column=source.header, field=source.column.field,
        unit=source.column.unit, worst=worst, best=best, words=words, most=most,
    ), source  # fmt: skip


def _check_ways(row: Row, source: Source) -> None:
    """A row says either worst and best, of numbers, or one word."""
    filled = [name for name in CRITERION_CELLS if row.filled(name)]
    numbers = not source.column.field or source.column.kind in NUMERIC
    if not filled:
        expected = f"{ONE_WAY}: what in {source.header} earns the points"
        row.faults.append(row.fault("worst" if numbers else "value", "missing-value", expected, "fill it in"))
    elif "value" in filled and len(filled) > 1:
        expected = f"{ONE_WAY}, not both"
        row.faults.append(row.fault("value", "contradicting-values", expected, "clear what does not hold"))
    elif len(filled) == 1 and filled != ["value"]:
        (missing,) = set(BOUNDS) - set(filled)
        expected = f"{missing.capitalize()}: a number, beside {filled[0].capitalize()}"
        row.faults.append(row.fault(missing, "missing-value", expected, "fill it in"))
    elif filled != ["value"] and not numbers:
        expected = f"Value: a word of {source.header}, which holds no numbers"
        row.faults.append(row.fault("worst", "not-a-number-column", expected, "clear Worst and Best, and name a Value"))


def _doubled(row: Row, mend: str) -> None:
    """A criterion that stands twice."""
    row.faults.append(row.fault("column", "duplicate-criterion", "Column: each criterion once", mend))


def _bounds(row: Row, source: Source, hints: Hints) -> tuple[Fraction, Fraction] | tuple[()]:
    """Worst and best of a number."""
    found: list[Fraction] = []
    for name in BOUNDS:
        value = raw_cell(row, name)
        result = read_bound(value, name.capitalize(), source, hints)
        if isinstance(result, Problem):
            row.faults.append(problem_fault(result, row.at(name), value, _named(source, name)))
        elif isinstance(result, float):
            found.append(known(result))
    if len(found) < len(BOUNDS):
        return ()
    worst, best = found
    if worst == best:
        expected = f"Best: another number than Worst, {float(worst):g}"
        row.faults.append(row.fault("best", "worst-is-best", expected, "say from where to where the points rise"))
        return ()
    return worst, best


def _words(group: list[Row], source: Source, hints: Hints) -> tuple[Word, ...]:
    """What each word of a column earns."""
    words: list[tuple[Word, Row]] = []
    for row in group:
        value = raw_cell(row, "value")
        result = read_word(value, source, hints)
        if isinstance(result, Problem):
            row.faults.append(problem_fault(result, row.at("value"), value, _named(source, "value")))
            continue
        word = Word(as_cell(result), known(row.get("points")))
        before = next((other for told, other in words if same(told.value, word.value)), None)
        if before:
            _doubled(row, f"{row.get('value')} is also at {before.at('value')}; delete one of the two")
        words.append((word, row))
    if source.column.kind is Kind.TEXT:
        _note_unmatched(words, source, hints)
    return tuple(word for word, _ in words)


def as_cell(value: object) -> CellValue:
    """A parsed value as a criterion sees it; a whole number is a number."""
    return value if isinstance(value, bool) else float(value) if isinstance(value, int | float) else str(value)


def _named(source: Source, name: str) -> Column:
    """The column as a fault in the `Points` sheet names it."""
    return replace(source.column, header=name.capitalize())


def _note_unmatched(words: list[tuple[Word, Row]], source: Source, hints: Hints) -> None:
    """A word that stands in no cell of its column is a slip, or earns nobody anything."""
    there = {str(value) for cell in source.cells() if isinstance(value := read_word(cell, source, hints), str)}
    for word, row in words:
        if not any(same(word.value, text) for text in there):
            expected = f"Value: a word that stands in {source.table.title}, column {source.header}"
            mend = did_you_mean(str(word.value), sorted(there)) if there else "no product has it"
            row.faults.append(row.fault("value", "unmatched-word", expected, mend, Severity.WARNING))
