"""Is the published guide still true: each build held against today's list, and what could stand in its place.

A published system is audited by today's list; what drifted is told. Where it can no longer be sold, the build that
meets the tier again with the fewest parts changed is solved for, and for every build the best one today, so that the
owner can choose between few changes and most points.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from budgetbuild.advice.explain import explain
from budgetbuild.advice.frontier import best_within, least_total, points_of
from budgetbuild.advice.versions import version_alerts
from budgetbuild.audit import audit
from budgetbuild.audit.repair import exchanges, parts_changed, recounted
from budgetbuild.audit.verdict import passed
from budgetbuild.build import Drift, PublishedStatus, Recheck, Rechecked, Remedy, Standing, Status, Weight
from budgetbuild.catalogue.names import fold
from budgetbuild.faults import Cell, Fault, SolverError, UserInputError
from budgetbuild.planning.drift import GONE, drifts_of_lines, drifts_of_system
from budgetbuild.planning.looked_up import LookedUp, look_up
from budgetbuild.planning.own_parts import in_another
from budgetbuild.planning.two_roads import best_known
from budgetbuild.program.offer import Offer
from budgetbuild.program.repair import fewest_changes, program_beside
from budgetbuild.program.solve import Worth, best
from budgetbuild.program.solver import Clock, Solver

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from budgetbuild.build import Audited, NoBuild, Part, Published, PublishedBuild, System
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle
    from budgetbuild.curve.whole import CurveBuild
    from budgetbuild.program.program import Program
    from budgetbuild.program.solve import Proposal

WEIGHTS = list(Weight)
POSSIBLE = "possible"
"""Code of the drift that a system can be had where none was published."""


@dataclass(frozen=True, slots=True)
class How:
    """How to solve.

    Attributes:
        time_limit_s: Seconds for each repair and each best build, `None` for no limit.
    """

    solver: Solver = field(default_factory=Solver)
    time_limit_s: float | None = None


def recheck(
    catalogue: Catalogue, published: Published, how: How | None = None, progress: Callable[[str], None] = lambda _: None
) -> Recheck:
    """Hold everything published against today's list.

    Raises:
        UserInputError: The two are in different currencies.
        AuditRefusedError: The audit found fault with a proposed system, or counts other changes: a defect.
        SolverError: The solver is missing or crashed, or contradicts itself.
    """
    if published.currency != catalogue.settings.currency:
        raise UserInputError([_other_currency(published, catalogue)])
    programs = _Programs(catalogue, published.builds)
    rechecked: list[Rechecked] = []
    for build in published.builds:
        progress(f"{build.tier}, {build.brief}")
        rechecked.append(_Question(catalogue, published, build, how or How(), programs).answer())
    return Recheck(published, tuple(rechecked), tuple(_unpublished(catalogue, published.builds)))


def _drift_there(vehicle: Vehicle, total: int, there: Audited) -> Drift | None:
    """What drifted of a system in one of its vehicles: it is right there no longer, or costs another total."""
    if there.refused:
        return Drift("fits-no-longer", vehicle.name, total, None, Weight.BREAKS, {"rule": there.refused[0].rule})
    if there.total != total:
        return Drift("vehicle-total", vehicle.name, total, there.total, Weight.PRINTED, {})
    return None


def _other_currency(published: Published, catalogue: Catalogue) -> Fault:
    return Fault(
        Cell("currency", file=published.name),
        "other-currency",
        published.currency,
        f"{catalogue.settings.currency}, the currency of {catalogue.name}",
        "compare with the price list that the guide was made from",
    )


def _unpublished(catalogue: Catalogue, builds: Iterable[PublishedBuild]) -> Iterable[tuple[str, str]]:
    """Tier and brief of everything that the list asks for and the guide does not have."""
    there = {(fold(build.tier), fold(build.brief)) for build in builds}
    for tier in catalogue.tiers:
        of_tier = {fold(name) for name in tier.briefs}
        for brief in catalogue.briefs:
            if (not of_tier or fold(brief.name) in of_tier) and (fold(tier.name), fold(brief.name)) not in there:
                yield tier.name, brief.name


@dataclass
class _Programs:
    """One program and one curve for each brief and vehicle: all that was published of it stays a candidate."""

    catalogue: Catalogue
    builds: Sequence[PublishedBuild]
    made: dict[tuple[str, str], Program] = field(default_factory=dict)
    curves: dict[tuple[str, str], tuple[CurveBuild, ...]] = field(default_factory=dict)

    def of(self, brief: Brief, vehicle: Vehicle) -> Program:
        """The program, written once."""
        key = fold(brief.name), fold(vehicle.name)
        if key not in self.made:
            same = (build for build in self.builds if (fold(build.brief), fold(build.vehicle)) == key)
            parts = [part for build in same if build.system for part in build.system.parts]
            self.made[key] = program_beside(self.catalogue, brief, vehicle, parts)
        return self.made[key]

    def curve(self, brief: Brief, vehicle: Vehicle) -> tuple[CurveBuild, ...]:
        """The budget curve, found once; it knows nothing of what was published."""
        key = fold(brief.name), fold(vehicle.name)
        if key not in self.curves:
            self.curves[key] = points_of(self.catalogue, brief, vehicle)
        return self.curves[key]


@dataclass(frozen=True)
class _Question:
    """One published build and what it is held against."""

    catalogue: Catalogue
    published: Published
    build: PublishedBuild
    how: How
    programs: _Programs

    def answer(self) -> Rechecked:
        """What has become of it, and what could stand in its place."""
        found = look_up(self.catalogue, self.build)
        drifts, audited = self._drifts(found)
        if found.brief is None or found.vehicle is None:
            return self._rechecked(found, drifts, Standing.WITHDRAWN, audited)
        if self.build.covered:  # what could stand in its place, fitting as many vehicles, is for another `build`
            drifts = self._of_several(drifts, found.vehicle, found.tier, audited)
            return self._rechecked(found, drifts, self._standing(drifts), audited)
        program = self.programs.of(found.brief, found.vehicle)
        proposal = self._best(program, found.brief, found.vehicle, found.tier)
        remedy = self._remedy(found.brief, found.vehicle, found.tier, proposal)
        no_build = self._why_none(found.brief, found.vehicle, found.tier, remedy)
        if self.build.system is None:
            drifts += self._of_none(remedy, no_build)
        standing = self._standing(drifts)
        repair = None
        if standing is Standing.PARTS and no_build is None:
            repair = self._repair(found.brief, found.vehicle, found.tier, program)
        return self._rechecked(found, drifts, standing, audited, (repair, remedy, no_build))

    def _best(self, program: Program, brief: Brief, vehicle: Vehicle, tier: Tier) -> Proposal:
        """Today's best, by both roads."""
        clock = Clock(self.how.time_limit_s)
        point = best_within(self.programs.curve(brief, vehicle), tier.cap)
        claimed = Worth(point.score, point.total) if point else None
        proposal = best(program, tier.cap, self.how.solver, clock, claimed)
        return best_known(proposal, point, f"{brief.name}, {tier.name}")

    def _rechecked(
        self,
        found: LookedUp,
        drifts: Iterable[Drift],
        standing: Standing,
        audited: Audited | None,
        solved: tuple[Remedy | None, Remedy | None, NoBuild | None] = (None, None, None),
    ) -> Rechecked:
        repair, remedy, no_build = solved
        return Rechecked(
            published=self.build,
            tier=found.tier,
            brief=found.brief,
            vehicle=found.vehicle,
            standing=standing,
            drifts=tuple(sorted(drifts, key=lambda drift: WEIGHTS.index(drift.weight))),
            audited=audited,
            repair=repair,
            best=remedy,
            no_build=no_build,
        )

    def _drifts(self, found: LookedUp) -> tuple[list[Drift], Audited | None]:
        """Everything that drifted, and the system by today's list where all its products are known."""
        drifts = [*found.drifts, *self._of_tax()]
        system, brief, vehicle = self.build.system, found.brief, found.vehicle
        if system is None:
            return drifts, None
        lines = drifts_of_lines(self.catalogue, self.build)
        drifts += lines
        if brief is None or vehicle is None or any(drift.code in GONE for drift in lines):
            return drifts, None
        tier = found.tier
        audited = audit(self.catalogue, brief, vehicle, tier.cap, system, allowed_over=tier.cap - tier.budget)
        return drifts + drifts_of_system(self.build, audited, tier, self.published.version), audited

    def _of_several(self, drifts: Sequence[Drift], home: Vehicle, tier: Tier, audited: Audited | None) -> list[Drift]:
        """What drifted of a system for several vehicles, whose score is the lowest, each with a total of its own."""
        if audited is None or self.build.system is None:
            return list(drifts)
        found = [drift for drift in drifts if drift.code != "score"]
        others = list(self._in_others(home, self.build.system, tier))
        found += [drift for drift, _ in others if drift]
        lowest = min([audited.score, *(there.score for _, there in others if there)])
        if lowest != self.build.score:
            found.append(Drift("score", "", self.build.score, lowest, Weight.PRINTED, {}))
        return found

    def _in_others(self, home: Vehicle, system: System, tier: Tier) -> Iterator[tuple[Drift | None, Audited | None]]:
        """The system today in every vehicle that the printed list is not for, and what drifted there."""
        brief = next(brief for brief in self.catalogue.briefs if fold(brief.name) == fold(self.build.brief))
        vehicles = {fold(vehicle.name): vehicle for vehicle in self.catalogue.vehicles}
        for name, total in self.build.covered:
            vehicle = vehicles.get(fold(name))
            if vehicle is None or not brief.is_kit:
                yield Drift("fits-no-longer", name, total, None, Weight.BREAKS, {}), None
            elif fold(name) != fold(home.name):
                there = in_another(self.catalogue, brief, (home, system), vehicle, tier)
                yield _drift_there(vehicle, total, there), None if there.refused else there

    def _of_tax(self) -> list[Drift]:
        rate = self.catalogue.settings.tax_rate
        today = None if rate is None else float(rate)
        if today == self.published.tax_rate:
            return []
        return [Drift("tax", "", self.published.tax_rate, today, Weight.PRINTED, {})]

    def _of_none(self, remedy: Remedy, no_build: NoBuild | None) -> list[Drift]:
        """What drifted where it was published that no system is possible: that one is, or another least price."""
        if self.build.status is not PublishedStatus.INFEASIBLE:
            return []  # the search was stopped then, so nothing was promised
        if no_build is None:
            return [Drift(POSSIBLE, "", None, remedy.audited.total if remedy.audited else None, Weight.PRINTED, {})]
        if no_build.least_total == self.build.least_total:
            return []
        return [Drift("least-total", "", self.build.least_total, no_build.least_total, Weight.PRINTED, {})]

    @staticmethod
    def _standing(drifts: Sequence[Drift]) -> Standing:
        weights = {drift.weight for drift in drifts}
        if any(drift.code == POSSIBLE for drift in drifts):
            return Standing.POSSIBLE
        if Weight.BREAKS in weights:
            return Standing.PARTS
        return Standing.FIGURES if Weight.PRINTED in weights else Standing.HOLDS

    @property
    def _parts(self) -> tuple[Part, ...]:
        return self.build.system.parts if self.build.system else ()

    def _remedy(self, brief: Brief, vehicle: Vehicle, tier: Tier, proposal: Proposal) -> Remedy:
        """A proposal, audited, with what it changes."""
        if proposal.system is None:
            return Remedy(proposal.status)
        proposed = proposal.system, proposal.score, proposal.total
        audited = passed(self.catalogue, brief, vehicle, proposed, tier)
        changes = exchanges(self._parts, audited.system.parts)
        # A system that changes nothing stands in the guide with its alerts.
        alerts = version_alerts(self.catalogue, brief, vehicle, audited) if changes else ()
        return Remedy(proposal.status, audited, parts_changed(changes), None, changes, alerts)

    def _repair(self, brief: Brief, vehicle: Vehicle, tier: Tier, program: Program) -> Remedy:
        """The build that changes the fewest parts, the number counted again apart from the search."""
        mended = fewest_changes(program, self._parts, tier.cap, self.how.solver, Clock(self.how.time_limit_s))
        remedy = self._remedy(brief, vehicle, tier, mended.proposal)
        if remedy.audited is None:
            if remedy.status is Status.INFEASIBLE:
                raise SolverError(f"{brief.name}, {tier.name}: there is a best build, but none of the fewest changes")
            return replace(remedy, fewest=mended.fewest)
        recounted(self._parts, remedy.audited.system.parts, mended.changes)
        alerts = version_alerts(self.catalogue, brief, vehicle, remedy.audited)
        return replace(remedy, fewest=mended.fewest, versions=alerts)

    def _why_none(self, brief: Brief, vehicle: Vehicle, tier: Tier, remedy: Remedy) -> NoBuild | None:
        """Why no system is possible; `None` where one is, also where the search was stopped before it found any."""
        if remedy.audited:
            return None
        offer = Offer(self.catalogue, brief, vehicle)
        if _none(remedy) or least_total(offer, tier.cap) is None:
            return explain(offer, tier.cap)
        return None


def _none(remedy: Remedy) -> bool:
    """Whether it is proven that there is no build."""
    return remedy.status is Status.INFEASIBLE
