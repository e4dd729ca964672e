"""Labels kept apart by the must-include terms that they satisfy: a build in the end satisfies them all."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.curve.labels import NONE, NOTHING, Labels, Merger

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from budgetbuild.program.options import Tags

Tagged = dict["Tags", Labels]
"""Labels by the terms that they satisfy."""

EMPTY: Tagged = {frozenset(): NOTHING}
"""The empty partial build; satisfies no term."""


@dataclass(frozen=True, slots=True)
class TaggedMerger:
    """Joins and unites labels with their terms."""

    merger: Merger

    def leaf(self, codes: NDArray[np.int64], columns: Sequence[int], tags: Sequence[Tags]) -> Tagged:
        """Labels of single columns."""
        groups: dict[Tags, list[int]] = defaultdict(list)
        for i, some in enumerate(tags):
            groups[some].append(i)
        return {some: self.merger.leaf(codes[at], [columns[i] for i in at]) for some, at in groups.items()}

    def joined(self, *factors: Tagged) -> Tagged:
        """Every choice of the one with every choice of the others."""
        result = EMPTY
        for factor in factors:
            if factor is EMPTY or result is EMPTY:
                result = result if factor is EMPTY else factor
                continue
            parts: dict[Tags, list[Labels]] = defaultdict(list)
            for left_tags, left in result.items():
                for right_tags, right in factor.items():
                    parts[left_tags | right_tags].append(self.merger.joined(left, right))
            result = self._united(parts)
        return result

    def united(self, some: Iterable[Tagged]) -> Tagged:
        """One choice out of all of them."""
        parts: dict[Tags, list[Labels]] = defaultdict(list)
        for one in some:
            for tags, labels in one.items():
                parts[tags].append(labels)
        return self._united(parts)

    def accumulated(self, some: Sequence[Tagged]) -> list[tuple[Tagged, Tagged]]:
        """For each of them one choice out of it and all before it, and those of that which are its own."""
        found: list[tuple[Tagged, Tagged]] = [({}, {}) for _ in some]
        for tags in dict.fromkeys(tags for one in some for tags in one):
            for pair, made in zip(found, self.merger.accumulated([one.get(tags, NONE) for one in some]), strict=True):
                for tagged, labels in zip(pair, made, strict=True):
                    if len(labels):
                        tagged[tags] = labels
        return found

    def of_class(self, tagged: Tagged, number: int) -> Tagged:
        """The labels of one class, as class 0."""
        return {tags: self.merger.of_class(labels, number) for tags, labels in tagged.items()}

    def satisfying(self, tagged: Tagged, terms: Tags) -> Labels:
        """The labels that satisfy all terms."""
        return tagged.get(terms, NONE)

    def _united(self, parts: dict[Tags, list[Labels]]) -> Tagged:
        united = {tags: self.merger.united(some) for tags, some in parts.items()}
        return {tags: labels for tags, labels in united.items() if len(labels)}
