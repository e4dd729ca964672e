"""Upgrade paths: for every brief the best way to climb from tier to tier, with parts bought once used again.

The path starts at the lowest tier whose cap buys a system at all. There always is one from there on: whoever buys
nothing more keeps what there is, so keeping every part is never impossible either, only worth less.
"""

from __future__ import annotations

from math import gcd
from typing import TYPE_CHECKING

from budgetbuild.advice.versions import version_alerts
from budgetbuild.audit.ladder import passed_ladder
from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Build, Ladder, LadderStep, NoLadder, Status
from budgetbuild.faults import SolverError
from budgetbuild.program.candidates import candidates
from budgetbuild.program.ladder import Rung, best_path
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solver import Clock
from budgetbuild.program.superfluous import apart

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from budgetbuild.catalogue.shop import Catalogue, Tier
    from budgetbuild.program.ladder import Path
    from budgetbuild.program.solver import Solver

FEWEST = 2
"""Steps of a path."""
THOUSAND = 1000
"""Weights count to three decimals."""


def ladders(
    catalogue: Catalogue,
    builds: Iterable[Build],
    solver: Solver,
    time_limit_s: float | None = None,
    progress: Callable[[str], None] = lambda _: None,
    *,
    keep: bool,
) -> tuple[Ladder, ...]:
    """The best path of every brief over the tiers that were solved.

    Args:
        catalogue: The checked catalogue.
        builds: The tiers' own best builds.
        solver: Which solver.
        time_limit_s: Seconds for each path, `None` for no limit.
        progress: Is told the brief in hand.
        keep: Whether nothing may be put aside; else it may, and its money counts.

    Returns:
        One for each brief among the builds, in the order in which they first stand there.

    Raises:
        AuditRefusedError: The audit found fault with a proposed path: a defect.
        SolverError: The solver is missing, failed, or says that there is no path.
    """
    by_brief: dict[str, list[Build]] = {}
    for build in builds:
        by_brief.setdefault(build.brief.name, []).append(build)
    found: list[Ladder] = []
    for name, some in by_brief.items():
        progress(f"{name}, climbing")
        found.append(_ladder(catalogue, sorted(some, key=lambda one: one.tier.cap), solver, time_limit_s, keep=keep))
    return tuple(found)


def whole_weights(tiers: Sequence[Tier]) -> tuple[int, ...]:
    """How much each step counts, as the smallest whole numbers in the same proportion.

    >>> from budgetbuild.catalogue.shop import Tier
    >>> whole_weights([Tier(name="a", budget=1), Tier(name="b", budget=2, step_weight=1.5)])
    (2, 3)
    """
    found = [round(tier.step_weight * THOUSAND) for tier in tiers]
    common = gcd(*found)
    return tuple(weight // common for weight in found)


def _ladder(
    catalogue: Catalogue, builds: Sequence[Build], solver: Solver, time_limit_s: float | None, *, keep: bool
) -> Ladder:
    brief, first = builds[0].brief, builds[0]
    skipped = tuple(build.tier for build in builds if build.status is Status.INFEASIBLE)
    climbing = [build for build in builds if build.status is not Status.INFEASIBLE]
    why_not = NoLadder.SEVERAL_VEHICLES if brief.is_kit else None
    if why_not is None and len(climbing) < FEWEST:
        why_not = NoLadder.ONE_TIER if climbing else NoLadder.NO_SYSTEM
    vehicle = None if brief.is_kit else first.vehicle
    if why_not or vehicle is None:
        return Ladder(brief, vehicle, keep, Status.INFEASIBLE, skipped=skipped, why_not=why_not)
    tiers = [build.tier for build in climbing]
    weights = whole_weights(tiers)
    program = formulate(candidates(apart(Offer(catalogue, brief, vehicle))))
    rungs = [Rung(tier.cap, weight) for tier, weight in zip(tiers, weights, strict=True)]
    path = best_path(program, rungs, solver, Clock(time_limit_s), keep=keep)
    if path.status is Status.INFEASIBLE:  # buying nothing after the first step is a path
        raise SolverError(f"{brief.name}: the solver says that there is no upgrade path, and there always is one")
    steps = _steps(catalogue, climbing, path, weights, keep=keep)
    return Ladder(
        brief=brief,
        vehicle=vehicle,
        keep=keep,
        status=path.status,
        steps=steps,
        skipped=skipped,
        bound=_bound(path, climbing, weights),
        why_not=None if steps else NoLadder.NO_TIME,
        solver=solver.version,
    )


def _bound(path: Path, own: Sequence[Build], weights: Sequence[int]) -> int | None:
    """No path is worth more: by its own program, and because no step scores more than its tier's own best can."""
    each = [build.bound for build in own]
    known = [path.bound] if path.bound is not None else []
    if all(bound is not None for bound in each):
        known.append(sum(weight * (bound or 0) for weight, bound in zip(weights, each, strict=True)))
    return min(known, default=None)


def _steps(
    catalogue: Catalogue, own: Sequence[Build], path: Path, weights: Sequence[int], *, keep: bool
) -> tuple[LadderStep, ...]:
    """Every step audited, and none better than its tier's own best."""
    proposed = [(one.system, one.score, one.total) for one in path.steps if one.system]
    if not proposed:
        return ()
    brief, vehicle = own[0].brief, own[0].vehicle
    tiers = [build.tier for build in own]
    checked = passed_ladder(catalogue, brief, vehicle, tiers, proposed, keep=keep, spent=path.spent)
    found: list[LadderStep] = []
    for (audited, climbed), best, weight in zip(checked, own, weights, strict=True):
        if best.bound is not None and audited.score > best.bound:
            raise AuditRefusedError(f"{brief.name}, {best.tier.name}: a step of a path scores more than its tier can")
        build = Build(
            tier=best.tier,
            brief=brief,
            vehicle=vehicle,
            status=path.status,
            audited=audited,
            versions=version_alerts(catalogue, brief, vehicle, audited),
        )
        found.append(LadderStep(build, climbed, best, weight))
    return tuple(found)
