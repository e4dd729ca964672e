"""Ratings that are reckoned from specifications, as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.catalogue.value import Criterion, Earned

Value = object
"""Anything that JSON can hold."""


def ratings_data(catalogue: Catalogue) -> list[dict[str, Value]]:
    """Every rating that is reckoned, with what each of its columns earned, in the order of the sheets."""
    return [
        {
            "sku": product.sku,
            "rating": product.rating,
            "criteria": [_earned(one) for one in catalogue.reckoned[product.sku]],
        }
        for product in catalogue.products()
        if product.sku in catalogue.reckoned
    ]


def criteria_data(catalogue: Catalogue) -> list[dict[str, Value]]:
    """Everything that the `Points` sheet lists, column by column."""
    return [_criterion(criterion) for criterion in catalogue.points]


def _criterion(criterion: Criterion) -> dict[str, Value]:
    return {
        "sheet": criterion.title,
        "column": criterion.column,
        "worst": None if criterion.worst is None else float(criterion.worst),
        "best": None if criterion.best is None else float(criterion.best),
        "values": [{"value": word.value, "points": float(word.points)} for word in criterion.words],
        "most": float(criterion.most),
    }


def _earned(one: Earned) -> dict[str, Value]:
    return {
        "column": one.criterion.column,
        "value": one.value,
        "earned": float(one.points),
        "most": float(one.criterion.most),
    }
