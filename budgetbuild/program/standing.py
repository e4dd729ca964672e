"""Fitting work that an upgrade path pays only once: what stays as it was from one step to the next.

Where a brief is fitted, a step pays for fitting what is newly fitted there. Its system's work is that of any build; of
that, what stands from the step before is not paid again:

- the source, where head unit or converter, fitting kit and aerial are all the same;
- front, rear or bass, where speakers and adapter, or bass and box, are the same and as many;
- every amplifier that was there before, however it is connected now;
- deadening of the same product: for the area that was there before, what its work costs.

A part that was put aside in between is fitted anew when it comes back, and so is what moves to another location.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.catalogue.kinds import Location, Work
from budgetbuild.trade.figures import exact

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from budgetbuild.build import Part
    from budgetbuild.program.layout import Column
    from budgetbuild.program.offer import Offer
    from budgetbuild.program.program import Program, Terms

AT_ONE_PLACE = frozenset({"source", *map(str, Location)})
"""Kinds of columns whose parts are fitted together."""


class Standing(NamedTuple):
    """Something that may stay from one step to the next: where it is, as terms, and what its work costs, cents."""

    name: str
    there: Terms
    cents: int


def labour_of(program: Program) -> list[int]:
    """Work that each column comes with, in cents: what it costs beyond its products."""
    prices = {sku: product.price for sku, product in program.layout.candidates.offer.catalogue.by_sku().items()}

    def work(column: Column) -> int:
        parts = column.option.parts if column.option else ()
        return column.price - sum(prices[part.sku] * part.quantity for part in parts)

    return [work(column) for column in program.columns]


def standing(program: Program, start: int, used: Mapping[str, list[Terms]]) -> Iterator[Standing]:
    """Everything of a step whose work is not paid again where it stays; nothing where the brief is not fitted.

    Args:
        program: Of the step.
        start: Where its columns begin.
        used: For each SKU its first, second ... piece in that step, each as terms that come to 1 where it is used.

    Returns:
        The same for every step of a path but for the terms, in the same order.
    """
    offer = program.layout.candidates.offer
    if not offer.brief.fitted:
        return
    labour = labour_of(program)
    together: dict[tuple[Part, ...], list[int]] = defaultdict(list)
    for i, column in enumerate(program.columns):
        if column.kind in AT_ONE_PLACE and column.option and labour[i]:
            together[column.option.parts].append(i)
    for number, columns in enumerate(together.values()):
        yield Standing(f"at_one_place_{number}", [(start + i, 1.0) for i in columns], labour[columns[0]])
    yield from _pieces(offer, used)


def _pieces(offer: Offer, used: Mapping[str, list[Terms]]) -> Iterator[Standing]:
    for amplifier in offer.catalogue.amplifiers:
        for number, there in enumerate(used.get(amplifier.sku, ())):
            yield Standing(f"amplifier_{amplifier.sku}_{number}", there, offer.labour(Work.AMPLIFIER))
    for product in offer.catalogue.deadening:
        for number, there in enumerate(used.get(product.sku, ())):
            sheet = exact(product.sheet_m2)
            before, after = (offer.labour(Work.DEADENING_PER_M2, count * sheet) for count in (number, number + 1))
            yield Standing(f"deadening_{product.sku}_{number}", there, after - before)
