"""Promotions decided together, so that none promises what another does.

What binds promotions together is their stock alone, so each is decided by its own program, and where their best bundles
take more of a product than is there, at least one of them must do with fewer pieces: one question for each of them,
those before it keeping theirs, so that no two questions overlap. Whatever is left open is no better than the best
bundles under the bounds so far. So taking the most promising question first, the first answer in which nothing is
promised twice is the best of all: highest score over all sets, then highest margin, then lowest list total, then first
in SKU order. Nothing of this stops short of the proof but time.
"""

from __future__ import annotations

import heapq
from collections import Counter
from dataclasses import dataclass, field
from itertools import count
from typing import TYPE_CHECKING

from budgetbuild.build import Status
from budgetbuild.program.solver import Clock

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from budgetbuild.planning.promotion.decide import Decided, Desk
    from budgetbuild.planning.promotion.terms import Terms
    from budgetbuild.program.promotion import Bounds

Key = tuple[int, int, int, tuple[str, ...]]
"""Of bundles together, smallest best: minus thousandths, minus margin, list total, SKUs; cents, over all sets."""

LAST = "\U0010ffff"
"""Sorts after every SKU, so that of two lists that begin alike the longer comes first."""


@dataclass(frozen=True, slots=True)
class Shared:
    """What promotions come to together.

    Attributes:
        answers: One for each; empty where they are not possible together, or where time ran out.
        bound: Score over all sets that none exceeds, proven; `None` where nothing is known.
        contested: Products over which they collided.
        stopped: Whether time ran out.
    """

    answers: tuple[Decided, ...] = ()
    bound: int | None = None
    contested: frozenset[str] = frozenset()
    stopped: bool = False


@dataclass(frozen=True, slots=True)
class Search:
    """Promotions out of one stock; every question about one of them is asked once.

    Attributes:
        stock: Pieces of each product whose stock is tracked.
        clock: Time for all questions together.
    """

    desk: Desk
    stock: Mapping[str, int]
    clock: Clock = field(default_factory=Clock)
    known: dict[str, list[tuple[Bounds, Decided]]] = field(default_factory=dict)

    def ask(self, one: Terms, bounds: Bounds = ()) -> Decided:
        """The best bundle of one promotion under bounds: one that is known, where it was the best under looser ones."""
        known = self.known.setdefault(one.promotion.name, [])
        for looser, answer in known:
            if _within(bounds, looser) and (answer.audited is None or _keeps(answer, bounds)):
                return answer
        answer = self.desk.best(one, self.stock, bounds)
        known.append((bounds, answer))
        return answer

    def share(self, terms: Sequence[Terms]) -> Shared:
        """The best bundles of promotions together."""
        order = count()
        answers = [self.ask(one) for one in terms]
        if any(answer.status is not Status.OPTIMAL for answer in answers):
            stopped = any(answer.status is Status.TIME_LIMIT for answer in answers)
            return Shared(bound=_bound(terms, answers), stopped=stopped)
        bounds: list[Bounds] = [() for _ in terms]
        waiting = [(_key(terms, answers), next(order), bounds, answers)]
        contested: set[str] = set()
        while waiting:
            key, _, bounds, answers = heapq.heappop(waiting)
            sku = self._contested(terms, answers)
            if sku is None:
                return Shared(tuple(answers), -key[0], frozenset(contested))
            contested.add(sku)
            if self.clock.left == 0.0:
                return Shared(bound=-key[0], contested=frozenset(contested), stopped=True)
            for narrower, number in _narrower(bounds, answers, sku):
                answer = self.ask(terms[number], narrower[number])
                if answer.status is Status.TIME_LIMIT:
                    return Shared(bound=-key[0], contested=frozenset(contested), stopped=True)
                if answer.audited:
                    others = [*answers[:number], answer, *answers[number + 1 :]]
                    heapq.heappush(waiting, (_key(terms, others), next(order), narrower, others))
        return Shared(contested=frozenset(contested))

    def _contested(self, terms: Sequence[Terms], answers: Sequence[Decided]) -> str | None:
        """The product of which most is missing; `None` where none is."""
        taken = taken_by(terms, answers)
        over = [(there - taken[sku], sku) for sku, there in self.stock.items() if taken[sku] > there]
        return min(over)[1] if over else None


def taken_by(terms: Sequence[Terms], answers: Sequence[Decided]) -> Counter[str]:
    """Pieces of each product that all sets take."""
    taken: Counter[str] = Counter()
    for one, answer in zip(terms, answers, strict=True):
        for sku, pieces in answer.pieces.items():
            taken[sku] += one.promotion.sets * pieces
    return taken


def _key(terms: Sequence[Terms], answers: Sequence[Decided]) -> Key:
    """How good bundles are together."""
    score = margin = listed = 0
    skus: list[str] = []
    for one, answer in zip(terms, answers, strict=True):
        if answer.audited and answer.sale:
            score += one.promotion.sets * answer.audited.score
            margin += one.promotion.sets * (answer.sale.margin or 0)
            listed += one.promotion.sets * answer.sale.list_total
        skus += answer.pieces.elements()
    return -score, -margin, listed, (*sorted(skus), LAST)


def _narrower(bounds: Sequence[Bounds], answers: Sequence[Decided], sku: str) -> Iterator[tuple[list[Bounds], int]]:
    """Each promotion in turn takes a piece less of a product, those before it at least as many as they do."""
    kept = list(bounds)
    for number, answer in enumerate(answers):
        pieces = answer.pieces[sku]
        if pieces:
            fewer = list(kept)
            fewer[number] = _bounded(kept[number], sku, 0, pieces - 1)
            yield fewer, number
            kept[number] = _bounded(kept[number], sku, pieces, None)


def _bounded(bounds: Bounds, sku: str, least: int, most: int | None) -> Bounds:
    found = {name: (low, high) for name, low, high in bounds}
    low, high = found.get(sku, (0, None))
    ceilings = [one for one in (high, most) if one is not None]
    found[sku] = max(low, least), min(ceilings) if ceilings else None
    return tuple((name, *found[name]) for name in sorted(found))


def _within(bounds: Bounds, looser: Bounds) -> bool:
    """Whether whatever keeps to the one keeps to the other."""
    found = {sku: (least, most) for sku, least, most in bounds}

    def holds(sku: str, least: int, most: int | None) -> bool:
        low, high = found.get(sku, (0, None))
        return low >= least and (most is None or (high is not None and high <= most))

    return all(holds(*one) for one in looser)


def _keeps(answer: Decided, bounds: Bounds) -> bool:
    """Whether a bundle keeps to bounds."""
    pieces = answer.pieces
    return all(pieces[sku] >= least and (most is None or pieces[sku] <= most) for sku, least, most in bounds)


def _bound(terms: Sequence[Terms], answers: Sequence[Decided]) -> int | None:
    bounds = [answer.bound for answer in answers]
    if any(bound is None for bound in bounds):
        return None
    return sum(one.promotion.sets * (bound or 0) for one, bound in zip(terms, bounds, strict=True))
