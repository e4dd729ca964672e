"""Published knapsack-family instances in one form: exactly one option of each class, within the capacities.

Class = role, option = product, value = score, first resource = price with its capacity = the budget; other resources
stand for any limit that adds up. Sources: tests/data/knapsack/README.md.
"""

from __future__ import annotations

import json
import math
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

DATA = Path(__file__).parent.parent / "data" / "knapsack"
STRESS = frozenset({"I04"})
"""Instances that take exact solvers minutes."""


class Option(NamedTuple):
    """One option of a class: whole value, whole use of each resource."""

    value: int
    uses: tuple[int, ...]


class Instance(NamedTuple):
    """One instance, scaled so that every figure is whole.

    Attributes:
        published_optimum: As published, times `scale`.
        scale: What the published values were multiplied by to make them whole.
    """

    name: str
    classes: tuple[tuple[Option, ...], ...]
    capacities: tuple[int, ...]
    published_optimum: int
    scale: int = 1


def read_file(name: str) -> list[dict[str, Any]]:
    """The entries of one file; decimals are exact fractions."""
    entries: list[dict[str, Any]] = json.loads((DATA / f"{name}.json").read_text("utf-8"), parse_float=Fraction)
    return entries


def multiple_choice() -> list[Instance]:
    """The legacy MMKP set without its stress case."""
    return [
        whole(entry["name"], [[(item[0], item[1:]) for item in items] for items in entry["classes"]], entry)
        for entry in read_file("mmkp_legacy_I01_I06")
        if entry["name"] not in STRESS
    ]


def zero_one(file: str) -> list[Instance]:
    """A file of 0/1 multi-dimensional instances: each item is a class of its own, taken or not."""
    return [
        whole(
            entry["name"],
            [
                [(0, [0] * entry["m"]), (profit, column)]
                for profit, column in zip(entry["profits"], zip(*entry["constraints"], strict=True), strict=True)
            ],
            entry,
        )
        for entry in read_file(file)
    ]


def small() -> list[Instance]:
    """The small instances: a class of an item has one option for each number of copies that the capacity admits."""
    return [whole(entry["name"], small_classes(entry), entry) for entry in read_file("kp_small")]


def small_classes(entry: dict[str, Any]) -> list[list[tuple[Any, Any]]]:
    """Classes of one small instance: groups as they are with "none" added, items by their copies."""
    if "groups" in entry:
        return [[(0, [0]), *((value, [weight]) for value, weight in group)] for group in entry["groups"]]
    capacity = capacities_of(entry)
    return [copies(value, uses, limit, capacity) for value, *uses, limit in entry["items"]]


def copies(value: int, uses: list[int], limit: int | None, capacity: list[int]) -> list[tuple[Any, Any]]:
    """One option for each number of copies of an item, up to its limit or to what fits.

    >>> copies(8, [2], None, [5])
    [(0, [0]), (8, [2]), (16, [4])]
    """
    fitting = min(room // use for room, use in zip(capacity, uses, strict=True) if use)
    most = fitting if limit is None else min(limit, fitting)
    return [(value * count, [use * count for use in uses]) for count in range(most + 1)]


def capacities_of(entry: dict[str, Any]) -> list[int]:
    """The capacities as a list, also where the entry has one number."""
    capacity = entry["capacity"]
    return list(capacity) if isinstance(capacity, list) else [capacity]


def whole(name: str, classes: list[list[tuple[Any, Any]]], entry: dict[str, Any]) -> Instance:
    """An instance with whole figures only.

    >>> whole("x", [[(0, [0]), (1, [Fraction(1, 2)])]], {"capacity": 1, "published_optimum": 1}).capacities
    (2,)
    """
    # mknapcb1 prints its best feasible values; exact solvers have since proven these thirteen optimal.
    optimum = entry["published_optimum"] if "published_optimum" in entry else entry["published_best_feasible"]
    scale = common_denominator([optimum, *(value for items in classes for value, _ in items)])
    capacity = capacities_of(entry)
    rows = [
        common_denominator([room, *(uses[row] for items in classes for _, uses in items)])
        for row, room in enumerate(capacity)
    ]
    return Instance(
        name,
        tuple(
            tuple(
                Option(int(value * scale), tuple(int(use * by) for use, by in zip(uses, rows, strict=True)))
                for value, uses in items
            )
            for items in classes
        ),
        tuple(int(room * by) for room, by in zip(capacity, rows, strict=True)),
        int(optimum * scale),
        scale,
    )


def common_denominator(numbers: list[Any]) -> int:
    """The least number that makes all of them whole.

    >>> common_denominator([1, Fraction("2.5"), Fraction("0.2")])
    10
    """
    return math.lcm(*(Fraction(number).denominator for number in numbers))


def instances() -> list[Instance]:
    """Every published instance that exact solvers settle within seconds."""
    return [*multiple_choice(), *zero_one("mkp_mknap1"), *zero_one("mkp_sac94"), *small()]


def larger_instances() -> list[Instance]:
    """Instances for the slow part of the suite: 100 items under 5 constraints."""
    return zero_one("mkp_cb1_13")
