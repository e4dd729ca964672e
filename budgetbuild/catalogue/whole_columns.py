"""A whole column read at once: where nothing in it is unusual, no cell is looked at on its own.

What comes out is what `parse_cell` gives for each cell. A column of plain numbers within its range, or of plain texts,
is asked one question and taken as it stands; any other is read once for every different content.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, cast

from budgetbuild.catalogue.parse import Value, is_plain_text, parse_cell
from budgetbuild.catalogue.parse_numbers import is_in_range
from budgetbuild.catalogue.problems import Problem
from budgetbuild.catalogue.schema import Column, Kind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.catalogue.cells import RawValue
    from budgetbuild.catalogue.parse_numbers import Hints

CENTS = 100
TEXTS = frozenset({Kind.TEXT, Kind.PROSE, Kind.SKU})


@dataclass(frozen=True, slots=True)
class Parsed:
    """A column that is read.

    Attributes:
        values: The value of every cell; `None` where it is blank or cannot be used.
        problems: What is wrong, by the place of the cell in the column, from 0.
    """

    values: Sequence[Value | None]
    problems: dict[int, Problem] = field(default_factory=dict)


def parse_column(cells: Sequence[RawValue], column: Column, hints: Hints) -> Parsed:
    """The values of a column's cells; each is what `parse_cell` says of it."""
    filled = [cell for cell in cells if cell is not None]
    kinds = set(map(type, filled))
    if not filled:
        return Parsed(cast("Sequence[None]", cells))
    if kinds == {str} and column.kind in TEXTS and is_plain_text(cast("list[str]", filled), column):
        return Parsed(cast("Sequence[str]", cells))
    numbers = _numbers(cells, cast("list[float]", filled), column) if kinds == {float} else None
    return Parsed(numbers) if numbers is not None else _one_by_one(cells, column, hints)


def _numbers(cells: Sequence[RawValue], filled: list[float], column: Column) -> Sequence[Value | None] | None:
    """Values of a column of plain numbers; `None` where one of them needs a closer look."""
    if column.kind not in {Kind.NUMBER, Kind.WHOLE, Kind.MONEY} or not math.isfinite(sum(filled)):
        return None
    if not (is_in_range(min(filled), column) and is_in_range(max(filled), column)):
        return None
    if column.kind is Kind.NUMBER:
        return cast("Sequence[float]", cells)
    hundredfold = CENTS if column.kind is Kind.MONEY else 1
    # A number of so few digits that is the nearest to a whole count of cents is written as those cents by `repr`.
    whole = [round(number * hundredfold) for number in filled]
    if [number / hundredfold for number in whole] != filled:
        return None
    if len(filled) == len(cells):
        return whole
    following = iter(whole)
    return [None if cell is None else next(following) for cell in cells]


def _one_by_one(cells: Sequence[RawValue], column: Column, hints: Hints) -> Parsed:
    """Values of a column, each different content read once."""
    contents = list(zip(map(type, cells), cells, strict=True))  # 1 and TRUE are equal, but are not read alike.
    known = {content: parse_cell(content[1], column, hints) for content in dict.fromkeys(contents)}
    results = [known[content] for content in contents]
    if not any(isinstance(result, Problem) for result in known.values()):
        return Parsed(cast("list[Value | None]", results))
    problems = {place: result for place, result in enumerate(results) if isinstance(result, Problem)}
    return Parsed([None if isinstance(result, Problem) else result for result in results], problems)
