"""Prices that may rise: beside each build, the best one that stays within the cap whichever so many prices do.

Each number of prices that may rise is a question of its own. Where a build that was best for fewer holds for one more,
it is the best for that too, for what it was chosen among has only become less.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NoReturn

from budgetbuild.advice.changes import step
from budgetbuild.advice.versions import version_alerts
from budgetbuild.audit.rises import risen
from budgetbuild.audit.robust import passed_protected
from budgetbuild.build import Certain, Secured, Status
from budgetbuild.faults import SolverError
from budgetbuild.program.rises import price_ranges
from budgetbuild.program.robust import Uncertain, best_protected, least_dearest, uncertain
from budgetbuild.program.solver import Clock

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from budgetbuild.build import Build, Risen, Step
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.program.solver import Solver


def certain_builds(
    catalogue: Catalogue,
    builds: Iterable[Build],
    rising: int,
    solver: Solver,
    time_limit_s: float | None = None,
    progress: Callable[[str], None] = lambda _: None,
) -> tuple[Certain, ...]:
    """What it costs to be certain of the cap, for every build that there is.

    Args:
        catalogue: The checked catalogue.
        builds: The best ones at today's prices; those without a system have nothing to make certain.
        rising: Prices of how many products of a build may rise; 0 = nothing is asked.
        solver: Which solver.
        time_limit_s: Seconds for each question, `None` for no limit.
        progress: Is told the tier and brief in hand.

    Returns:
        Nothing where no price may rise; else one for each build, in their order.

    Raises:
        AuditRefusedError: The audit found fault with a proposed system: a defect.
        SolverError: The solver is missing or failed.
    """
    ranges = price_ranges(catalogue)
    if not rising or not ranges:
        return ()
    questions: dict[str, Uncertain] = {}
    found: list[Certain] = []
    for build in builds:
        if build.audited is None:
            continue
        progress(f"{build.tier.name}, {build.brief.name}, if prices rise")
        if build.brief.name not in questions:
            questions[build.brief.name] = uncertain(catalogue, build.brief, build.vehicle, ranges)
        found.append(_Search(catalogue, questions[build.brief.name], build, solver, time_limit_s).certain(rising))
    return tuple(found)


class _Search:
    """The search for one tier and brief."""

    def __init__(
        self, catalogue: Catalogue, question: Uncertain, today: Build, solver: Solver, time_limit_s: float | None
    ) -> None:
        self.catalogue = catalogue
        self.products = catalogue.by_sku()
        self.question = question
        self.today = today
        self.solver = solver
        self.time_limit_s = time_limit_s

    def certain(self, rising: int) -> Certain:
        """The best build for every number of prices that may rise, until there is none or nothing more can."""
        steps = [self._secured(0, self.today)]
        for count in range(1, rising + 1):
            if steps[-1].all_rise:
                break
            build = self._best(count, steps[-1].build)
            if build.status is Status.INFEASIBLE:
                least = least_dearest(self.question, rising, self.solver, Clock(self.time_limit_s))
                if least is not None and least <= self.today.tier.cap:
                    self._refuse("that none is possible, then finds one")
                return Certain(rising, self.today, tuple(steps), least)
            steps.append(self._secured(count, build))
        return Certain(rising, self.today, tuple(steps), change=self._change(steps[-1].build))

    def _change(self, then: Build) -> Step | None:
        if not self.today.audited or not then.audited or self.today.audited.system == then.audited.system:
            return None
        return step(self.today.audited, then.audited)

    def _best(self, count: int, before: Build) -> Build:
        tier, brief, vehicle = self.today.tier, self.today.brief, self.today.vehicle
        if before.status is Status.OPTIMAL and self._dearest(before, count) <= tier.cap and before.audited:
            proposed = before.audited.system, before.score, before.total
            return replace(before, audited=passed_protected(self.catalogue, brief, vehicle, proposed, tier, count))
        clock = Clock(self.time_limit_s)
        proposal = best_protected(self.question, count, tier.cap, self.solver, clock)
        if self.today.bound is not None and proposal.score is not None and proposal.score > self.today.bound:
            self._refuse("that no system scores as much, then finds one")
        audited = None
        if proposal.system:
            found = proposal.system, proposal.score, proposal.total
            audited = passed_protected(self.catalogue, brief, vehicle, found, tier, count)
        return replace(
            self.today,
            status=proposal.status,
            bound=proposal.bound,
            audited=audited,
            solver=self.solver.version,
            seconds=clock.spent,
            advice=None,
            versions=version_alerts(self.catalogue, brief, vehicle, audited) if audited else (),
        )

    def _refuse(self, what: str) -> NoReturn:
        names = f"{self.today.brief.name}, {self.today.tier.name}, if prices rise"
        raise SolverError(f"{names}: the solver says {what}")

    def _secured(self, count: int, build: Build) -> Secured:
        most = max(len(self._risen(each)) for each in (build, self.today))
        return Secured(
            count,
            build,
            self._risen(build, count),
            self._dearest(self.today, count),
            all_rise=build.status is Status.OPTIMAL and most <= count,
        )

    def _risen(self, build: Build, count: int | None = None) -> tuple[Risen, ...]:
        return risen(self.products, build.audited.system.parts, count) if build.audited else ()

    def _dearest(self, build: Build, count: int) -> int:
        return (build.total or 0) + sum(rise.cents for rise in self._risen(build, count))
