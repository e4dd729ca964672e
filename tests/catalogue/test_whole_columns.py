"""What is asked of a whole column, or of a whole sheet, at once is what one would see cell by cell."""

from __future__ import annotations

from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from budgetbuild.catalogue import look as looks
from budgetbuild.catalogue.cells import DateValue, ErrorValue, Formatted, NoStoredValue, tidy
from budgetbuild.catalogue.columns import SHEETS
from budgetbuild.catalogue.parse import parse_cell
from budgetbuild.catalogue.parse_numbers import Hints
from budgetbuild.catalogue.problems import Problem
from budgetbuild.catalogue.read import value_of, values_of
from budgetbuild.catalogue.whole_columns import parse_column

if TYPE_CHECKING:
    from budgetbuild.catalogue.cells import RawValue
    from budgetbuild.catalogue.schema import Column

COLUMNS = {repr(column): column for sheet in SHEETS for column in (*sheet.columns, *sheet.settings)}.values()
NUMBERS = st.one_of(
    st.integers(-2, 12).map(float),
    st.integers(-100, 2_000_000_000).map(lambda cents: cents / 100),
    st.integers(1, 100_000).map(lambda thousandths: thousandths / 1000),
    st.floats(),
)
TEXTS = st.one_of(
    st.sampled_from(["Alva", "yes", "no", "copper", "1,299", "12,50 €", "4 ohm", "1E+5", "1.2e5", "n/a", "x" * 501]),
    st.text(min_size=1, max_size=8).map(tidy).filter(bool),
)
UNUSUAL = st.one_of(
    st.booleans(),
    st.sampled_from([ErrorValue("#N/A"), NoStoredValue(), DateValue("2026-05-04"), Formatted(0.05, "0%")]),
)
BLANK = st.none()
CELLS = st.one_of(
    *(st.lists(some, max_size=8) for some in (NUMBERS | BLANK, TEXTS | BLANK, NUMBERS | TEXTS | UNUSUAL | BLANK))
)


def told(result: object) -> tuple[object, str]:
    """A result with its type; its text tells one not-a-number from a number."""
    return type(result), str(result)


@given(st.sampled_from(list(COLUMNS)), CELLS, st.sampled_from([Hints(), Hints(","), Hints(".", "GBP")]))
def test_column_at_once_is_read_as_cell_by_cell(column: Column, cells: list[RawValue], hints: Hints) -> None:
    parsed = parse_column([cell if cell != 0 or cell is False else 0.0 for cell in cells], column, hints)
    assert len(parsed.values) == len(cells)
    for place, cell in enumerate(cells):
        alone = parse_cell(cell if cell != 0 or cell is False else 0.0, column, hints)
        assert told(parsed.problems.get(place)) == told(alone if isinstance(alone, Problem) else None)
        assert told(parsed.values[place]) == told(None if isinstance(alone, Problem) else alone)


@pytest.mark.parametrize("column", COLUMNS, ids=lambda column: column.header)
def test_numbers_at_the_edges_of_every_range_are_read_alike(column: Column) -> None:
    edges = {0.0, 0.005, 0.01, 0.29, 1.0, 10.0, 1e7, 1e7 + 0.01, *filter(None, (column.low, column.high))}
    for edge in sorted(edges):
        for number in (edge - 1, edge - 0.001, float(edge), edge + 0.001, edge + 1):
            alone = parse_cell(number, column, Hints())
            parsed = parse_column([number, None, number], column, Hints())
            problem = alone if isinstance(alone, Problem) else None
            assert [parsed.problems.get(0), parsed.problems.get(2)] == [problem, problem]
            value = None if problem else alone
            assert list(map(told, parsed.values)) == list(map(told, [value, None, value]))


@given(st.lists(st.one_of(st.text(alphabet="ab \u00a0\t\u200b\ufeff", max_size=5), NUMBERS, st.booleans(), BLANK)))
@example(["a ", " b"])
@example(["", "a"])
@example(["a", "\u200b"])
@example([1, "a"])
def test_values_of_a_column_are_those_of_its_cells(cells: list[object]) -> None:
    assert list(map(told, values_of(cells))) == [told(value_of(cell)) for cell in cells]


CELL = st.builds(
    lambda letters, row, kind: f'<c{kind}r="{letters}{row}"><v>1</v></c>'.encode(),
    st.sampled_from(["A", "Z", "AA", "XFD", "a", ""]),
    st.sampled_from([1, 9, 10, 99, 100, 7_000_000, 1_048_576]),
    st.sampled_from([" ", " ", " ", ' s="1" ']),
)


@given(st.lists(st.lists(st.one_of(CELL, st.sampled_from([b"<c/>", b"<c><v>1</v></c>"])), max_size=3), max_size=12))
@example([[b'<c r="A7000000"/>']])
@example([[b'<c r="Z1"/>']])
def test_short_look_sees_what_a_look_at_every_address_sees(rows: list[list[bytes]]) -> None:
    xml = b"<worksheet>" + b"".join(b'<row r="1">' + b"".join(cells) + b"</row>" for cells in rows) + b"</worksheet>"
    short = looks.look(xml, {})
    with patch.object(looks, "_is_small", return_value=False):
        assert short == looks.look(xml, {})
