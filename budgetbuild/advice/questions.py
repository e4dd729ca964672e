"""What to ask about the builds around one: briefs narrowed to all of its scored parts but one.

Ways of wiring and accessories are free; products and quantities of scored parts are not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.advice.changes import SCORED, in_role
from budgetbuild.build import Audited, Driver, Part, Role
from budgetbuild.catalogue.kinds import Want
from budgetbuild.program.offer import Narrowing, Offer
from budgetbuild.program.speakers import ROLES
from budgetbuild.trade import treatment

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

PLACES = {Role.FRONT: "front", Role.REAR: "rear", Role.BASS: "bass", Role.DEADENING: "deadening"}
"""Roles that a brief can ask for, by the brief's own field."""

Parts = frozenset[Part]


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
class Exchange:
    """Everything that could stand in the place of one scored part.

    Attributes:
        part: What is exchanged, with its quantity; of several equal amplifiers one.
        others: Questions about other products in its place, in any quantity.
        quantities: Questions about another quantity of the same product.
    """

    part: Part
    others: tuple[Question, ...]
    quantities: tuple[Question, ...] = ()


@dataclass(frozen=True, slots=True)
class Questions:
    """What to ask about the builds around one."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    audited: Audited

    def exchanges(self) -> Iterator[Exchange]:
        """Every scored part that could be exchanged, in the order of the scored roles, amplifiers by SKU."""
        for role in SCORED:
            if role is Role.AMPLIFIER:
                yield from map(self._other_amplifier, sorted(set(self._amplifiers)))
            else:
                yield from map(self._other_part, in_role(self.audited, role))

    def removals(self) -> Iterator[Question]:
        """One scored part less, or a location together with an amplifier that nothing else needs then."""
        for role, field in PLACES.items():
            if in_role(self.audited, role) and getattr(self.brief, field) is not Want.REQUIRED:
                yield self._kept(self._staying(role), without=role)
                if role is not Role.DEADENING:
                    yield from self._with_an_amplifier(role)
        yield from (self._kept(self._staying(), stay=fewer) for fewer in self._fewer_amplifiers())

    @property
    def _amplifiers(self) -> list[str]:
        return list(self.audited.system.amplifiers)

    def _other_part(self, part: Part) -> Exchange:
        """Another product, or another quantity, in any role but the amplifiers'."""
        same = frozenset(Part(part.role, part.sku, quantity) for quantity in self._quantities(part))
        staying, more = self._staying(part.role), same - {part}
        others = self._kept(staying, never={part.role: same})
        return Exchange(part, (others,), (self._kept({**staying, part.role: more}),) if more else ())

    def _quantities(self, part: Part) -> set[int]:
        """Every quantity in which a product could fill its role: drivers as boxes have cut-outs, whole sheets."""
        if in_role(self.audited, Role.BOX) and part.role is Role.BASS:
            return {part.quantity, *(box.drivers for box in self.catalogue.boxes)}
        sheets = [sheet for sheet in self.catalogue.deadening if sheet.sku == part.sku]
        if part.role is Role.DEADENING and sheets:
            area = treatment.door_m2(self.vehicle, self.catalogue.settings.limits)
            return {part.quantity, *range(1, treatment.most_sheets(sheets[0], area) + 1)}
        return {part.quantity}

    def _other_amplifier(self, sku: str) -> Exchange:
        """Another product in the place of one amplifier."""
        part = Part(Role.AMPLIFIER, sku)
        staying = list(self._amplifiers)
        staying.remove(sku)
        if sku not in staying:
            others = self._kept(self._staying(Role.AMPLIFIER), insist=staying, never={Role.AMPLIFIER: _parts(sku)})
            return Exchange(part, (others,))
        # The product must stay and must not: so each other one is a question of its own.
        offer = Offer(self.catalogue, self.brief, self.vehicle)
        news = (other.sku for other in offer.offered(self.catalogue.amplifiers) if other.sku != sku)
        return Exchange(part, tuple(self._kept(self._staying(), stay=[*staying, new]) for new in news))

    def _with_an_amplifier(self, role: Role) -> Iterator[Question]:
        """A location less, and an amplifier that nothing else needs then."""
        drives = self.audited.system.drives
        passive = [drive for drive in drives if ROLES[drive.location] is not role and drive.by is not Driver.SELF]
        external = sum(drive.by is Driver.AMPLIFIER for drive in passive)
        for fewer in self._fewer_amplifiers():
            # One amplifier drives at least one location anyway; where it takes over two, those are all that are left.
            if fewer or not external:
                amplified = bool(external) and external == len(passive)
                yield self._kept(self._staying(role), without=role, stay=fewer, amplified=amplified)

    def _fewer_amplifiers(self) -> Iterator[list[str]]:
        for sku in sorted(set(self._amplifiers)):
            fewer = list(self._amplifiers)
            fewer.remove(sku)
            yield fewer

    def _staying(self, free: Role | None = None) -> dict[Role, Parts]:
        """The scored parts that stay, by role: all that are there but those of one role."""
        held = {role: frozenset(in_role(self.audited, role)) for role in SCORED}
        held[Role.AMPLIFIER] = _parts(*self._amplifiers)
        return {role: some for role, some in held.items() if role is not free and (some or role is Role.AMPLIFIER)}

    def _kept(
        self,
        only: dict[Role, Parts],
        *,
        without: Role | None = None,
        never: dict[Role, Parts] | None = None,
        insist: list[str] | None = None,
        stay: list[str] | None = None,
        amplified: bool = False,
    ) -> Question:
        """Everything as it is but for one part.

        Args:
            only: The parts that alone may fill their roles.
            without: The role that stays empty.
            never: Parts that may not be used.
            insist: Amplifiers that stay while another is exchanged.
            stay: The amplifiers that there are, `None` = those of the build, or as many.
            amplified: Whether every passive location is on an external one.
        """
        amplifiers = self._amplifiers if stay is None else stay
        if stay is not None:
            only = {**only, Role.AMPLIFIER: _parts(*stay)}
        if insist is None:
            insist = amplifiers if len(set(amplifiers)) > 1 else []
        brief = replace(
            self._wanting(without),
            amplifier=Want.REQUIRED if amplified else self.brief.amplifier,
            must_include=(*self.brief.must_include, *insist),
        )
        return Question(brief, Narrowing(only, never or {}, len(amplifiers)))

    def _wanting(self, without: Role | None) -> Brief:
        """The brief that requires the locations and deadening that are there, but for one, and no others."""

        def wanted(role: Role) -> Want:
            return Want.REQUIRED if role is not without and in_role(self.audited, role) else Want.NONE

        return replace(
            self.brief,
            front=wanted(Role.FRONT),
            rear=wanted(Role.REAR),
            bass=wanted(Role.BASS),
            deadening=wanted(Role.DEADENING),
        )


def _parts(*skus: str) -> Parts:
    return frozenset(Part(Role.AMPLIFIER, sku) for sku in skus)
