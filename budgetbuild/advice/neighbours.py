"""A little more, a little less: builds that differ from one in exactly one scored part, everything else following.

Each question is a brief of its own, narrowed to the parts that stay, and answered by its whole budget curve: exact, as
every other answer. Ways of wiring and accessories are free; products and quantities of scored parts are not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.advice.changes import SCORED, in_role, step
from budgetbuild.advice.frontier import audited_point, best_within, points_of, skus
from budgetbuild.build import Audited, Driver, Part, Role, Step
from budgetbuild.catalogue.kinds import Want
from budgetbuild.program.offer import Narrowing, Offer
from budgetbuild.program.speakers import ROLES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.curve.whole import CurveBuild

PLACES = {Role.FRONT: "front", Role.REAR: "rear", Role.BASS: "bass", Role.DEADENING: "deadening"}
"""Roles that a brief can ask for, by the brief's own field."""


@dataclass(frozen=True, slots=True)
class Question:
    """A brief of which one part may change.

    Attributes:
        brief: The brief with what stays required and what is absent left out.
        narrowing: What may fill each role.
    """

    brief: Brief
    narrowing: Narrowing


@dataclass(frozen=True, slots=True)
class Around:
    """A build and where it stands."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    audited: Audited

    def swap(self, cap: int) -> Step | None:
        """The build that gains most within a cap (cents) by exchanging exactly one scored part."""
        found = self._best(self._exchanges(), cap)
        return found if found and found.gain > 0 else None

    def drop(self, cap: int) -> Step | None:
        """The build that loses least within a cap (cents) by leaving out or exchanging exactly one scored part.

        A location may go together with an amplifier that nothing else needs then: as many of the other locations are
        on external amplifiers as before. A converter goes with the last location that takes a stereo pair. Nothing
        need go where the build itself is within the cap.
        """
        if self.audited.total <= cap:
            return None
        return self._best([*self._exchanges(), *self._removals()], cap)

    def _best(self, questions: Iterator[Question] | list[Question], cap: int) -> Step | None:
        answers = (
            best_within(points_of(self.catalogue, one.brief, self.vehicle, one.narrowing, cap), cap)
            for one in questions
        )
        found = min((answer for answer in answers if answer), key=_worth, default=None)
        if found is None:
            return None
        return step(self.audited, audited_point(self.catalogue, self.brief, self.vehicle, found))

    @property
    def _amplifiers(self) -> list[str]:
        return list(self.audited.system.amplifiers)

    def _exchanges(self) -> Iterator[Question]:
        """Another product in one role, or another quantity of it."""
        for role in SCORED:
            held = frozenset(in_role(self.audited, role))
            if role is Role.AMPLIFIER:
                yield from self._other_amplifiers()
            elif held:
                yield self._kept(free=role, never={role: held})

    def _other_amplifiers(self) -> Iterator[Question]:
        """Another product in the place of one amplifier."""
        for sku in sorted(set(self._amplifiers)):
            others = list(self._amplifiers)
            others.remove(sku)
            if sku in others:
                # The product must stay and must not: so each other one is a question of its own.
                offer = Offer(self.catalogue, self.brief, self.vehicle)
                for another in offer.offered(self.catalogue.amplifiers):
                    if another.sku != sku:
                        yield self._kept(amplifiers=[*others, another.sku])
            else:
                never = {Role.AMPLIFIER: frozenset({Part(Role.AMPLIFIER, sku)})}
                yield self._kept(free=Role.AMPLIFIER, insist=others, never=never)

    def _removals(self) -> Iterator[Question]:
        """One scored part less."""
        for role, field in PLACES.items():
            if in_role(self.audited, role) and getattr(self.brief, field) is not Want.REQUIRED:
                yield self._kept(without=role)
                if role is not Role.DEADENING:
                    yield from self._with_an_amplifier(role)
        yield from (self._kept(amplifiers=fewer) for fewer in self._fewer_amplifiers())

    def _with_an_amplifier(self, role: Role) -> Iterator[Question]:
        """A location less, and an amplifier that nothing else needs then."""
        passive = [
            drive
            for drive in self.audited.system.drives
            if ROLES[drive.location] is not role and drive.by is not Driver.SELF
        ]
        external = sum(drive.by is Driver.AMPLIFIER for drive in passive)
        for fewer in self._fewer_amplifiers():
            # One amplifier drives at least one location anyway; where it takes over two, those are all that are left.
            if fewer or not external:
                yield self._kept(without=role, amplifiers=fewer, amplified=bool(external) and external == len(passive))

    def _fewer_amplifiers(self) -> Iterator[list[str]]:
        for sku in sorted(set(self._amplifiers)):
            fewer = list(self._amplifiers)
            fewer.remove(sku)
            yield fewer

    def _kept(
        self,
        *,
        free: Role | None = None,
        without: Role | None = None,
        never: dict[Role, frozenset[Part]] | None = None,
        insist: list[str] | None = None,
        amplifiers: list[str] | None = None,
        amplified: bool = False,
    ) -> Question:
        """Everything as it is but for one role.

        Args:
            free: The role that may be filled by other parts.
            without: The role that stays empty.
            never: Parts that may not be used.
            insist: Amplifiers that stay while another is exchanged.
            amplifiers: The amplifiers that there are, `None` = those of the build, or as many.
            amplified: Whether every passive location is on an external one.
        """
        stay = self._amplifiers if amplifiers is None else amplifiers
        only: dict[Role, frozenset[Part]] = {
            role: frozenset(held)
            for role in SCORED
            if role not in {free, without, Role.AMPLIFIER} and (held := in_role(self.audited, role))
        }
        if free is not Role.AMPLIFIER:
            only[Role.AMPLIFIER] = _parts(stay)

        def wanted(role: Role) -> Want:
            return Want.REQUIRED if role is not without and in_role(self.audited, role) else Want.NONE

        needed = insist if insist is not None else stay if len(set(stay)) > 1 else []
        brief = replace(
            self.brief,
            front=wanted(Role.FRONT),
            rear=wanted(Role.REAR),
            bass=wanted(Role.BASS),
            deadening=wanted(Role.DEADENING),
            amplifier=Want.REQUIRED if amplified else self.brief.amplifier,
            must_include=(*self.brief.must_include, *needed),
        )
        return Question(brief, Narrowing(only, never or {}, len(stay)))


def _parts(skus: list[str]) -> frozenset[Part]:
    return frozenset(Part(Role.AMPLIFIER, sku) for sku in skus)


def _worth(point: CurveBuild) -> tuple[int, int, list[str]]:
    """Highest score first, then the lowest price, then the first in SKU order."""
    return -point.score, point.total, skus(point)
