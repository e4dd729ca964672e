"""How many pieces of each product a choice takes: as terms over the columns, and counted out in further columns."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from budgetbuild.program.constraints import Row
from budgetbuild.program.layout import Column

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from budgetbuild.build import Part
    from budgetbuild.program.program import Terms


def pieces(columns: Iterable[Column]) -> dict[str, Terms]:
    """Pieces of each product by SKU: sum of quantity x column."""
    found: dict[str, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    for i, part in _bought(columns):
        found[part.sku][i] += part.quantity
    return {sku: list(terms.items()) for sku, terms in sorted(found.items())}


def _bought(columns: Iterable[Column]) -> Iterable[tuple[int, Part]]:
    for i, column in enumerate(columns):
        for part in column.option.parts if column.option else ():
            yield i, part


def counted(name: str, terms: Terms, most: int, first: int) -> tuple[list[Column], list[Row]]:
    """Columns that count pieces out: the k-th is 1 exactly where there are at least k.

    sum over k of count_k = pieces; count_k >= count_(k+1)

    Args:
        name: What is counted.
        terms: Pieces, as `pieces` gives them.
        most: No choice takes more than so many.
        first: Position that the first of these columns will have.
    """
    columns = [Column("count", None) for _ in range(most)]
    counts = [(first + k, -1.0) for k in range(most)]
    rows = [Row(f"counted_{name}", [*terms, *counts], 0, 0)]
    rows += [Row(f"counted_{name}_{k}", [(first + k, 1.0), (first + k + 1, -1.0)], 0) for k in range(most - 1)]
    return columns, rows


def counted_out(
    quantities: Mapping[str, Terms], most: Mapping[str, int], first: int
) -> tuple[dict[str, Sequence[int]], list[Column], list[Row]]:
    """Columns that count the pieces of several products out.

    Args:
        quantities: Pieces of each.
        most: No choice takes more than so many of each; products that are not in it are not counted.
        first: Position that the first of all these columns will have.

    Returns:
        Positions of the counting columns by SKU; the columns; their rows.
    """
    places: dict[str, Sequence[int]] = {}
    columns: list[Column] = []
    rows: list[Row] = []
    for sku, count in most.items():
        start = first + len(columns)
        more, bound = counted(sku, quantities[sku], count, start)
        places[sku] = range(start, start + count)
        columns += more
        rows += bound
    return places, columns, rows
