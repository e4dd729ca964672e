"""What the audit judges beside a single system: claims, upgrade paths, bundles, rising prices, kits, changes.

Every `judge` passes what is sound and raises `AuditRefusedError` at what is not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from budgetbuild.audit.kit import passed_in_all
from budgetbuild.audit.ladder import passed_ladder
from budgetbuild.audit.promotion import check_bundle, check_stock
from budgetbuild.audit.repair import recounted
from budgetbuild.audit.robust import passed_protected
from budgetbuild.audit.verdict import passed
from budgetbuild.catalogue.shop import Tier
from budgetbuild.planning.promotion.promotions import Solving, solve_promotions
from budgetbuild.program.solver import Solver
from tests.audit.handmade import INTERNAL

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Audited, Bundle, Covered, Part, Sale
    from budgetbuild.catalogue.promotion import Promotion
    from budgetbuild.catalogue.shop import Brief, Catalogue
    from tests.audit.sound import Sound


def exactly(cap: int) -> Tier:
    """A tier of exactly that cap in cents."""
    return Tier(name="tier", budget=cap, allowance=Fraction(0))


@dataclass(frozen=True, slots=True)
class Claim:
    """A system within its cap, with the score in thousandths and the total in cents that somebody claims."""

    sound: Sound
    score: int | None
    total: int | None

    def judge(self) -> None:
        """As before anything is published."""
        one = self.sound
        tier = exactly(one.cap) if one.cap is not None else None
        passed(one.catalogue, one.brief, one.vehicle, (one.system, self.score, self.total), tier)

    def told(self, sound: Sound) -> Claim:
        """The same claim of something else."""
        return replace(self, sound=sound)


def truly(sound: Sound) -> Claim:
    """What is true of a system."""
    audited = sound.audited()
    return Claim(sound, audited.score, audited.total)


@dataclass(frozen=True, slots=True)
class Protected:
    """A claim that must hold even if some prices rise."""

    claim: Claim
    rising: int

    def judge(self) -> None:
        """Against its cap in the dearest case."""
        one, claimed = self.claim.sound, (self.claim.sound.system, self.claim.score, self.claim.total)
        passed_protected(one.catalogue, one.brief, one.vehicle, claimed, exactly(one.cap or 0), self.rising)


@dataclass(frozen=True, slots=True)
class Climb:
    """An upgrade path: a claim for each step, the caps, and what is said to be spent up to each."""

    steps: tuple[Claim, ...]
    caps: tuple[int, ...]
    spent: tuple[int, ...]
    keep: bool = False

    def judge(self) -> None:
        """Against caps, and against what every piece and all work come to."""
        first = self.steps[0].sound
        proposed = [(step.sound.system, step.score, step.total) for step in self.steps]
        tiers = [exactly(cap) for cap in self.caps]
        passed_ladder(first.catalogue, first.brief, first.vehicle, tiers, proposed, keep=self.keep, spent=self.spent)

    def in_shop(self, catalogue: Catalogue) -> Climb:
        """The same path with the shop's prices of another day."""
        return replace(self, steps=tuple(step.told(replace(step.sound, catalogue=catalogue)) for step in self.steps))


@dataclass(frozen=True, slots=True)
class Sold:
    """A bundle of a promotion with its money, and a shop's stock."""

    catalogue: Catalogue
    promotion: Promotion
    audited: Audited
    sale: Sale

    def judge(self) -> None:
        """Its terms, and whether there are enough pieces."""
        check_bundle(self.catalogue, self.promotion, self.audited, self.sale)

    def asked(self, **terms: Any) -> Sold:  # noqa: ANN401 - fields of the promotion
        """Under other terms."""
        return replace(self, promotion=replace(self.promotion, **terms))

    def with_product(self, sku: str, **changes: Any) -> Sold:  # noqa: ANN401 - fields of the product
        """In a shop in which a pair of speakers is another."""
        speakers = tuple(replace(s, **changes) if s.sku == sku else s for s in self.catalogue.speakers)
        return replace(self, catalogue=replace(self.catalogue, speakers=speakers))


def solved_bundle(catalogue: Catalogue, promotion: Promotion) -> Bundle:
    """The bundle of a promotion."""
    (found,) = solve_promotions(replace(catalogue, promotions=(promotion,)), Solving(Solver())).bundles
    return found


def sold(catalogue: Catalogue, promotion: Promotion) -> Sold:
    """The bundle of a promotion as it is."""
    bundle = solved_bundle(catalogue, promotion)
    assert bundle.audited
    assert bundle.sale
    return Sold(catalogue, promotion, bundle.audited, bundle.sale)


@dataclass(frozen=True, slots=True)
class Shelves:
    """All promotions of a shop, out of one stock."""

    catalogue: Catalogue
    bundles: tuple[Bundle, ...]

    def judge(self) -> None:
        """Enough of every piece for all sets."""
        check_stock(self.catalogue, [(one.promotion, one.audited) for one in self.bundles if one.audited])


@dataclass(frozen=True, slots=True)
class Kit:
    """One system for several vehicles, and the lowest score that somebody claims."""

    brief: Brief
    cap: int
    covered: Covered
    score: int | None

    def judge(self) -> None:
        """The same everywhere, right everywhere, for as many as asked."""
        passed_in_all(self.brief, exactly(self.cap), self.covered, self.score)

    def in_one(self, number: int, **values: Any) -> Kit:  # noqa: ANN401 - fields of what is said of a vehicle
        """With something of one vehicle told otherwise."""
        some = list(self.covered.vehicles)
        some[number] = replace(some[number], **values)
        return replace(self, covered=replace(self.covered, vehicles=tuple(some)))

    def with_system(self, number: int, **changes: Any) -> Kit:  # noqa: ANN401 - fields of the system
        """With another system in one vehicle."""
        audited = self.covered.vehicles[number].audited
        return self.in_one(number, audited=replace(audited, system=replace(audited.system, **changes)))


@dataclass(frozen=True, slots=True)
class Changed:
    """Two lists of parts, and how many parts are said to change."""

    before: Sequence[Part]
    after: Sequence[Part]
    claimed: int

    def judge(self) -> None:
        """Counted again."""
        recounted(self.before, self.after, self.claimed)


RISING = INTERNAL.with_product("SP-S", price_high=8_000).with_product("FK-A", price_high=1_150)
"""Two pairs at 70.00 that may cost 80.00, and an adapter at 11.00 that may cost 11.50: 151.00 in all today."""
