"""The order of builds that are equal in score and price, as a number that adds up over the parts of a build.

The order is that of `program.ties`: by the sorted list of SKUs, each repeated by its quantity, then fewest locations
bridged, then lowest loads, then the first columns. Comparing such lists means comparing how many there are of the first
SKU, then of the second, and so on, more coming first: digits of one long number, which adds up column by column.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from budgetbuild.program.ranks import bridged, load_rank

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.program.layout import Layout

COUNT_BITS = 24
"""Room for how many of one SKU a build can hold."""

BRIDGED_BITS = 8
"""Room for how many locations a build serves bridged."""


class Order:
    """Ranks builds by their columns; the greatest rank comes first."""

    def __init__(self, layout: Layout) -> None:
        self._columns = layout.columns
        self._known: dict[int, int] = {}

    def __call__(self, columns: Sequence[int]) -> int:
        """Rank of a build, or of a part of one."""
        return sum(map(self._of_column, columns))

    @cached_property
    def _last_first(self) -> dict[int, int]:
        """Place of every column that is a candidate, the last in order at 0."""
        ranked = sorted((load_rank(column.option, i) for i, column in enumerate(self._columns) if column.option))
        return {i: place for place, (_, i) in enumerate(reversed(ranked))}

    @cached_property
    def _shifts(self) -> dict[str, int]:
        """Where the count of each SKU begins, the first SKU highest."""
        skus = {part.sku for column in self._columns if column.option for part in column.option.parts}
        base = len(self._last_first) + BRIDGED_BITS
        return {sku: base + place * COUNT_BITS for place, sku in enumerate(sorted(skus, reverse=True))}

    def _of_column(self, i: int) -> int:
        if i not in self._known:
            option = self._columns[i].option
            if option is None:
                raise ValueError(f"column {i} is no candidate")
            rank = (1 << self._last_first[i]) - (bridged(option) << len(self._last_first))
            self._known[i] = rank + sum(part.quantity << self._shifts[part.sku] for part in option.parts)
        return self._known[i]
