"""Lists of undominated choices: what is merged at once is what is merged one by one, however many there are."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.curve.labels import NONE, Labels, Merger, Scale

if TYPE_CHECKING:
    from collections.abc import Sequence

SCALE = Scale(point_bits=4, class_bits=2)
Choice = tuple[int, int, int]
"""Class, price, points."""


def merger(cap: int | None = None) -> Merger:
    """Of equal choices the one of the lowest column comes first."""
    return Merger(SCALE, lambda columns: -sum(columns), cap)


def labels(choices: Sequence[Choice], start: int, mill: Merger) -> Labels:
    """Choices with columns numbered from a start."""
    codes = [SCALE.class_unit * number + SCALE.price_unit * price - points for number, price, points in choices]
    return mill.leaf(np.array(codes, dtype=np.int64), range(start, start + len(choices)))


def listed(some: Labels) -> list[tuple[int, tuple[int, ...]]]:
    """Codes and columns."""
    return [(code, some.columns(i)) for i, code in enumerate(some.codes.tolist())]


def price(code: int) -> int:
    """Of a label of any class."""
    return -(-(code % SCALE.class_unit) // SCALE.price_unit) % (SCALE.class_unit // SCALE.price_unit)


@given(
    st.lists(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 9), st.integers(0, 5)), max_size=6), max_size=6),
    st.one_of(st.none(), st.integers(0, 9)),
)
def test_every_list_united_with_all_before_it(lists: list[list[Choice]], cap: int | None) -> None:
    mill = merger(cap)
    some = [labels(choices, 10 * number, mill) for number, choices in enumerate(lists)]
    found = mill.accumulated(some)
    assert len(found) == len(some)
    for count, one in enumerate(found, start=1):
        united = listed(mill.united(some[:count]))  # a single one is compared with nothing: nor is its price
        assert listed(one.all) == [label for label in united if cap is None or price(label[0]) <= cap]
        assert listed(one.news) == [label for label in listed(one.all) if label in listed(some[count - 1])]


def test_what_a_label_chooses_is_told_after_thousands_of_lists() -> None:
    """A way from each list to the one before it would be too deep to walk."""
    mill, many = merger(), 3 * sys.getrecursionlimit()
    some = [labels([(0, 1 + number % 2, 1)], number, mill) for number in range(many)]
    *_, last = mill.accumulated(some)
    assert listed(last.all) == [(SCALE.price_unit - 1, (0,))]
    assert [(len(one.all), len(one.news)) for one in mill.accumulated([NONE, *some[:2]])] == [(0, 0), (1, 1), (1, 0)]
