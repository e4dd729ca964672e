"""A little more, a little less, and the next best: builds that differ from one in exactly one scored part.

Each question (see `questions`) is answered by its whole budget curve: exact, as every other answer. A curve serves
every cap up to the one that it was drawn for, so swap, drop and runners-up share those of the exchanges.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from typing import TYPE_CHECKING

from budgetbuild.advice.changes import in_role, step
from budgetbuild.advice.frontier import audited_point, best_within, least_total, points_of, skus
from budgetbuild.advice.questions import Questions
from budgetbuild.build import Audited, Part, Role, RunnerUp
from budgetbuild.program.offer import Offer
from budgetbuild.program.useful import trimmed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.advice.questions import Exchange, Question
    from budgetbuild.build import Step
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.curve.whole import CurveBuild

Points = tuple["CurveBuild", ...]
"""The answer to a question: its budget curve, cheapest first."""


@dataclass(frozen=True, slots=True)
class Answered:
    """An exchange with the answers to its questions, one for each, in their order."""

    exchange: Exchange
    others: tuple[Points, ...]
    quantities: tuple[Points, ...]


@dataclass(frozen=True)
class Around:
    """A build and where it stands.

    Attributes:
        reach: Highest cap that will be asked for, in cents; `None` = any. The lower, the sooner done.
    """

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    audited: Audited
    reach: int | None = None

    def swap(self, cap: int) -> Step | None:
        """The build that gains most within a cap (cents) by exchanging exactly one scored part."""
        found = self._best(self._exchanged(cap), cap)
        return found if found and found.gain > 0 else None

    def drop(self, cap: int) -> Step | None:
        """The build that loses least within a cap (cents) by leaving out or exchanging exactly one scored part.

        A location may go together with an amplifier that nothing else needs then: as many of the other locations are
        on external amplifiers as before. A converter goes with the last location that takes a stereo pair. Nothing
        need go where the build itself is within the cap.
        """
        if self.audited.total <= cap:
            return None
        removed = (self._points(question, cap) for question in self._questions.removals())
        return self._best(chain(self._exchanged(cap), removed), cap)

    def runners_up(self, cap: int) -> tuple[RunnerUp, ...]:
        """What would stand in the place of each scored part if its product could not, within a cap (cents)."""
        self._exchanged(cap)
        return tuple(self._runner_up(answered, cap) for answered in self._answers)

    def _runner_up(self, answered: Answered, cap: int) -> RunnerUp:
        part, found = answered.exchange.part, self._best(answered.others, cap)
        least = min((points[0].total for points in answered.others if points), default=None)
        if least is None and self.reach is not None:
            totals = map(self._least, answered.exchange.others)
            least = min((total for total in totals if total is not None), default=None)
        return RunnerUp(part, _other(part, self.audited, found.audited) if found else None, found, least)

    def _best(self, answers: Iterable[Points], cap: int) -> Step | None:
        """The best within a cap of all that is on some curves; of each curve it is its last point within the cap."""
        points = (best_within(points, cap) for points in answers)
        found = min((point for point in points if point), key=_worth, default=None)
        if found is None:
            return None
        return step(self.audited, audited_point(self.catalogue, self.brief, self.vehicle, found))

    def _exchanged(self, cap: int) -> Iterable[Points]:
        """The curves of everything that exchanges exactly one scored part.

        Raises:
            ValueError: The cap is beyond the reach of these curves.
        """
        if self.reach is not None and cap > self.reach:
            raise ValueError(f"a cap of {cap} cents is beyond the reach of {self.reach}")
        return chain.from_iterable((*answered.others, *answered.quantities) for answered in self._answers)

    @cached_property
    def _questions(self) -> Questions:
        return Questions(self.catalogue, self.brief, self.vehicle, self.audited)

    @cached_property
    def _answers(self) -> tuple[Answered, ...]:
        def answer(questions: tuple[Question, ...]) -> tuple[Points, ...]:
            return tuple(self._points(question, self.reach) for question in questions)

        return tuple(
            Answered(exchange, answer(exchange.others), answer(exchange.quantities))
            for exchange in self._questions.exchanges()
        )

    @cached_property
    def _trimmed(self) -> Catalogue:
        return trimmed(Offer(self.catalogue, self.brief, self.vehicle))

    def _points(self, question: Question, cap: int | None) -> Points:
        return points_of(self._trimmed, question.brief, self.vehicle, question.narrowing, cap)

    def _least(self, question: Question) -> int | None:
        return least_total(Offer(self._trimmed, question.brief, self.vehicle, question.narrowing))


def _other(part: Part, now: Audited, then: Audited) -> Part:
    """What stands in the place of a part; of several amplifiers the one that came in."""
    if part.role is not Role.AMPLIFIER:
        return in_role(then, part.role)[0]
    came = Counter(then.system.amplifiers) - Counter(now.system.amplifiers)
    return Part(part.role, next(iter(came)))


def _worth(point: CurveBuild) -> tuple[int, int, list[str]]:
    """Highest score first, then the lowest price, then the first in SKU order."""
    return -point.score, point.total, skus(point)
