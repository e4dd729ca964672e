"""A published file held against the very list it was made from, from scratch and without a solver.

Every system in it is audited anew, and each tier's is held against its brief's budget curve: that is another road to
the best system than the program that proposed it. For systems of several vehicles, upgrade paths, rising prices and
promotions there is no such road; they are audited, and that they are the best is not shown again.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from budgetbuild.advice.frontier import curve_of
from budgetbuild.audit import audit
from budgetbuild.audit.case import KINDS
from budgetbuild.audit.kit import passed_in_all
from budgetbuild.audit.ladder import passed_ladder
from budgetbuild.audit.promotion import check_bundle, check_stock
from budgetbuild.audit.rises import risen
from budgetbuild.audit.robust import passed_protected
from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Covered, Finding, InVehicle, PublishedStatus, Verification, Verified
from budgetbuild.catalogue.names import fold
from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.planning.claims import cents, claimed
from budgetbuild.planning.looked_up import as_published, typed_at_the_counter
from budgetbuild.planning.own_parts import in_another
from budgetbuild.planning.promotion.money import sale_of
from budgetbuild.planning.promotion.terms import terms_of
from budgetbuild.trade.figures import exact

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from budgetbuild.build import Audited, Curve, Published, PublishedBuild, PublishedStep, System
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle

SOUND = "passes every rule"


@dataclass(frozen=True, slots=True)
class Asked:
    """What the list has of a published system's tier, brief and vehicle; the tier may be none."""

    brief: Brief
    vehicle: Vehicle
    tier: Tier | None

    @property
    def cap(self) -> int | None:
        """Most that it may cost in cents, `None` for no limit."""
        return self.tier.cap if self.tier else None

    @property
    def allowed_over(self) -> int:
        """How much of the cap is allowance over the budget, in cents."""
        return self.tier.cap - self.tier.budget if self.tier else 0


def verify(
    catalogue: Catalogue, published: Published, progress: Callable[[str], None] = lambda _: None
) -> Verification:
    """Reckon everything published anew from the list it was made from.

    Args:
        catalogue: That list.
        published: What was published.
        progress: Is told the system in hand.

    Raises:
        UserInputError: There are quotes in it with wishes beside their briefs, which the file does not hold.
    """
    faults = list(_with_wishes(catalogue, published))
    if faults:
        raise UserInputError(faults)
    question = _Question(catalogue)
    systems: list[Verified] = []
    for place, build in enumerate(published.builds):
        progress(f"{build.tier}, {build.brief}")
        systems.append(question.of_tier(f"builds[{place}]", build))
    systems += [question.secured(step) for step in published.beside.secured]
    systems += [step for keep, steps in published.beside.paths for step in question.climbed(steps, keep=keep)]
    systems += question.bundles(published.beside.bundles)
    return Verification(tuple(systems), question.all_curves(published.builds))


def is_quote(catalogue: Catalogue, build: PublishedBuild) -> bool:
    """Whether a build is for a budget that was typed at the counter."""
    return fold(build.tier) not in {fold(tier.name) for tier in catalogue.tiers} and typed_at_the_counter(build)


def _with_wishes(catalogue: Catalogue, published: Published) -> Iterator[Fault]:
    briefs = {fold(brief.name) for brief in catalogue.briefs}
    for place, build in enumerate(published.builds):
        if is_quote(catalogue, build) and fold(build.brief) not in briefs:
            at = Cell(f"builds[{place}].brief", file=published.name)
            expected = "a brief of the list: what a customer wished beside it does not stand in the file"
            yield Fault(at, "with-wishes", build.brief, expected, "ask for the same quote again, and compare")


@dataclass
class _Question:
    """The list, and the budget curves that were drawn of it."""

    catalogue: Catalogue
    curves: dict[tuple[str, str], Curve] = field(default_factory=dict)

    def of_tier(self, at: str, build: PublishedBuild) -> Verified:
        """A tier's build, or that there is none."""
        name = f"{build.tier}: {build.brief}"
        at_counter = is_quote(self.catalogue, build)
        asked = self._asked(at, build.brief, build.vehicle, "" if at_counter else build.tier)
        if isinstance(asked, Finding):
            return Verified(at, name, findings=(asked,))
        tier = asked.tier or as_published(build)
        asked = replace(asked, tier=tier)
        if asked.brief.is_kit and not at_counter:
            return self._kit(at, name, build, asked, tier)
        if fold(asked.brief.vehicle) != fold(build.vehicle) and not at_counter:
            return Verified(at, name, findings=(Finding(f"{at}.vehicle", build.vehicle, asked.brief.vehicle),))
        audited, findings = self._audited(at, asked, build.system)
        curve = self._curve(asked)
        best = curve.at(tier.cap)
        shown, better = claimed(at, build, best)
        least = curve.points[0].total if curve.points else None
        return Verified(at, name, audited, shown, (*findings, *better), tier, best, least)

    def secured(self, step: PublishedStep) -> Verified:
        """A system that stays within the cap even if prices rise."""
        name = f"{step.tier}: {step.brief}, if {step.rising} prices rise"
        asked = self._asked(step.at, step.brief, step.vehicle, step.tier)
        if isinstance(asked, Finding):
            return Verified(step.at, name, findings=(asked,))
        audited, findings = self._audited(step.at, asked, step.system)
        if audited and asked.tier and step.rising and not findings:
            proposed = step.system, audited.score, audited.total
            try:
                audited = passed_protected(
                    self.catalogue, asked.brief, asked.vehicle, proposed, asked.tier, step.rising
                )
            except AuditRefusedError as refused:
                findings = (_broken(step.at, refused),)
        if asked.tier and step.cap != asked.tier.cap:
            findings = (*findings, Finding(step.at, f"cap {cents(step.cap)}", f"cap {cents(asked.tier.cap)}"))
        rises = risen(self.catalogue.by_sku(), step.system.parts, step.rising)
        return Verified(step.at, name, audited, findings=findings, tier=asked.tier, risen=rises)

    def climbed(self, steps: Sequence[PublishedStep], *, keep: bool) -> Iterator[Verified]:
        """Every step of an upgrade path."""
        sound: list[tuple[PublishedStep, Asked, Audited]] = []
        for step in steps:
            asked = self._asked(step.at, step.brief, step.vehicle, step.tier)
            audited, findings = (None, (asked,)) if isinstance(asked, Finding) else self._step(step, asked)
            if findings or audited is None or isinstance(asked, Finding):
                yield Verified(step.at, _climbing(step), audited, findings=findings)
            else:
                sound.append((step, asked, audited))
        if len(sound) == len(steps):
            yield from self._path(sound, keep=keep)
        else:
            yield from (Verified(step.at, _climbing(step), audited) for step, _, audited in sound)

    def _step(self, step: PublishedStep, asked: Asked) -> tuple[Audited | None, tuple[Finding, ...]]:
        """A step's system by itself: what is spent up to it is held against the cap, not what it would cost at once."""
        return self._audited(step.at, Asked(asked.brief, asked.vehicle, None), step.system)

    def _path(self, sound: Sequence[tuple[PublishedStep, Asked, Audited]], *, keep: bool) -> Iterator[Verified]:
        """A path whose steps are all sound by themselves."""
        if not sound:
            return
        asked = sound[0][1]
        tiers = [one.tier for _, one, _ in sound if one.tier]
        proposed = [(step.system, audited.score, audited.total) for step, _, audited in sound]
        try:
            found = passed_ladder(self.catalogue, asked.brief, asked.vehicle, tiers, proposed, keep=keep)
        except AuditRefusedError as refused:
            at = sound[0][0].at
            yield Verified(at, _climbing(sound[0][0]), findings=(_broken(at, refused),))
            return
        for (step, one, _), (audited, climbed) in zip(sound, found, strict=True):
            yield Verified(step.at, _climbing(step), audited, tier=one.tier, climbed=climbed)

    def bundles(self, steps: Sequence[PublishedStep]) -> list[Verified]:
        """The bundle of every promotion, and all of them together by one stock."""
        found = [self._bundle(step) for step in steps]
        sound = [(one.promotion, one.audited) for one in found if one.promotion and one.audited and not one.findings]
        try:
            check_stock(self.catalogue, sound)
        except AuditRefusedError as refused:
            found[0] = replace(found[0], findings=(_broken("promotions.bundles", refused),))
        return found

    def _bundle(self, step: PublishedStep) -> Verified:
        """The bundle of a promotion."""
        promotions = {fold(promotion.name): promotion for promotion in self.catalogue.promotions}
        promotion = promotions.get(fold(step.promotion))
        if promotion is None:
            return Verified(step.at, step.promotion, findings=(_unknown(step.at, "promotion", step.promotion),))
        asked = self._asked(step.at, promotion.brief, step.vehicle, promotion.tier or "")
        if isinstance(asked, Finding):
            return Verified(step.at, promotion.name, findings=(asked,))
        audited, findings = self._audited(step.at, asked, step.system)
        if audited and not findings:
            try:
                check_bundle(
                    self.catalogue, promotion, audited, sale_of(audited, terms_of(self.catalogue, promotion).deal)
                )
            except AuditRefusedError as refused:
                findings = (_broken(step.at, refused),)
        return Verified(step.at, promotion.name, audited, findings=findings, tier=asked.tier, promotion=promotion)

    def all_curves(self, builds: Sequence[PublishedBuild]) -> tuple[Curve, ...] | None:
        """The budget curves of the briefs published, in the order of the list."""
        asked = {(fold(build.brief), fold(build.vehicle)) for build in builds if not build.covered}
        if not asked <= self.curves.keys():
            return None
        order = [fold(brief.name) for brief in self.catalogue.briefs]
        return tuple(self.curves[key] for key in sorted(asked, key=lambda key: order.index(key[0])))

    def _asked(self, at: str, brief: str, vehicle: str, tier: str) -> Asked | Finding:
        """What the list has of these names; a finding where it lacks one."""
        catalogue = self.catalogue
        briefs = {fold(one.name): one for one in catalogue.briefs}
        vehicles = {fold(one.name): one for one in catalogue.vehicles}
        tiers = {fold(one.name): one for one in catalogue.tiers}
        for names, kind, name in ((briefs, "brief", brief), (vehicles, "vehicle", vehicle), (tiers, "tier", tier)):
            if name and fold(name) not in names:
                return _unknown(at, kind, name)
        return Asked(briefs[fold(brief)], vehicles[fold(vehicle)], tiers[fold(tier)] if tier else None)

    def _audited(self, at: str, asked: Asked, system: System | None) -> tuple[Audited | None, tuple[Finding, ...]]:
        """The audit of a system, and each rule that it breaks."""
        if system is None:
            return None, ()
        products = self.catalogue.by_sku()
        gone = [part.sku for part in system.parts if not isinstance(products.get(part.sku), KINDS[part.role])]
        if gone:
            return None, (Finding(f"{at}.lines", ", ".join(gone), "no such product in that role in the list"),)
        audited = audit(self.catalogue, asked.brief, asked.vehicle, asked.cap, system, asked.allowed_over)
        return audited, tuple(
            Finding(at, SOUND, f"{check.rule}{check.subject and f', {check.subject}'}: {check.figure}, {check.limit}")
            for check in audited.refused
        )

    def _curve(self, asked: Asked) -> Curve:
        """The budget curve of a brief, every point of it audited."""
        key = fold(asked.brief.name), fold(asked.vehicle.name)
        if key not in self.curves:
            self.curves[key] = curve_of(self.catalogue, asked.brief, asked.vehicle)
        return self.curves[key]

    def _kit(self, at: str, name: str, build: PublishedBuild, asked: Asked, tier: Tier) -> Verified:
        """A system for several vehicles, audited in each of them."""
        brief = asked.brief
        if build.system is None:
            return Verified(at, name, tier=tier)
        home = Asked(brief.in_vehicle(asked.vehicle.name), asked.vehicle, tier)
        audited, findings = self._audited(at, home, build.system)
        if audited is None or findings:
            return Verified(at, name, audited, findings=findings, tier=tier)
        inside = {fold(vehicle) for vehicle, _ in build.covered}
        vehicles: list[InVehicle] = []
        for vehicle in map(self.catalogue.vehicle, brief.vehicles):
            here = fold(vehicle.name) == fold(asked.vehicle.name)
            there = audited if here else self._there(brief, home, build.system, vehicle, tier)
            vehicles.append(InVehicle(vehicle, exact(vehicle.weight), fold(vehicle.name) in inside, there))
        covered = Covered(brief.share, tuple(vehicles))
        proven = build.score if build.status is PublishedStatus.OPTIMAL else None
        try:
            passed_in_all(brief, tier, covered, proven)
        except AuditRefusedError as refused:
            return Verified(at, name, audited, findings=(_broken(at, refused),), tier=tier)
        return Verified(at, name, audited, tier=tier, covered=covered)

    def _there(self, brief: Brief, home: Asked, system: System, vehicle: Vehicle, tier: Tier) -> Audited:
        return in_another(self.catalogue, brief, (home.vehicle, system), vehicle, tier)


def _broken(at: str, refused: AuditRefusedError) -> Finding:
    return Finding(at, SOUND, str(refused))


def _climbing(step: PublishedStep) -> str:
    return f"{step.tier}: {step.brief}, upgrade path"


def _unknown(at: str, kind: str, name: str) -> Finding:
    return Finding(f"{at}.{kind}", name, f"no {kind} of that name in the list")
