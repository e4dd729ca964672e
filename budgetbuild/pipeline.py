"""From a catalogue to audited builds: every tier and brief solved, checked, and explained where there is none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.advice.frontier import curve_of
from budgetbuild.audit.verdict import passed
from budgetbuild.build import NOTHING_BESIDE, Beside, Build, Climbing, Ladder
from budgetbuild.catalogue.names import fold
from budgetbuild.parallel import spread
from budgetbuild.planning.certain import certain_builds
from budgetbuild.planning.kit import question_of, solve_kit
from budgetbuild.planning.ladder import ladders
from budgetbuild.planning.promotion.promotions import Solving, solve_promotions
from budgetbuild.planning.two_roads import best_known
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import Program, formulate
from budgetbuild.program.solve import Worth, best
from budgetbuild.program.solver import Clock, Solver
from budgetbuild.quoting import told

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.build import Curve, Promotions
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier

Progress = Callable[[str], None]
Task = tuple["Brief", tuple["Tier", ...]]
"""A brief, and the tiers that ask for it."""
Answer = tuple["Curve | None", list["Build"]]
"""The budget curve of a brief, where it has one, and its build at each tier."""
Solve = Callable[["Tier"], "Build"]
"""Finds the build of a brief at a tier."""

WORTH_SPREADING = 10_000
"""Products times briefs from which on solving takes so long that starting processes hardly counts beside it."""


@dataclass(frozen=True, slots=True)
class Run:
    """How to solve.

    Attributes:
        time_limit_s: Seconds per build, `None` for no limit.
        tiers: Names of the tiers to solve; empty = all. Likewise `briefs`.
        rising: Prices of how many products may rise before a build leaves the cap; 0 = not asked.
        climbing: What may become of parts on the way from tier to tier; `None` = no upgrade path is asked for.
    """

    solver: Solver = field(default_factory=Solver)
    time_limit_s: float | None = None
    tiers: tuple[str, ...] = ()
    briefs: tuple[str, ...] = ()
    rising: int = 0
    climbing: Climbing | None = None


@dataclass(frozen=True, slots=True)
class Solved:
    """What a run found.

    Attributes:
        builds: One for each tier and brief, in the order of the sheets.
        curves: The budget curve of every brief for one vehicle among them, in the order of the sheet.
        beside: What was found beside them.
    """

    builds: tuple[Build, ...]
    curves: tuple[Curve, ...]
    beside: Beside = NOTHING_BESIDE


def pairs_to_solve(catalogue: Catalogue, run: Run) -> Iterator[tuple[Tier, Brief]]:
    """Every tier with each of its briefs, in the order of the sheets."""
    tiers, briefs = {fold(name) for name in run.tiers}, {fold(name) for name in run.briefs}
    for tier in catalogue.tiers:
        of_tier = {fold(name) for name in tier.briefs}
        for brief in catalogue.briefs:
            name = fold(brief.name)
            if (
                (not tiers or fold(tier.name) in tiers)
                and (not briefs or name in briefs)
                and (not of_tier or name in of_tier)
            ):
                yield tier, brief


def solve_all(catalogue: Catalogue, run: Run, progress: Progress = lambda _: None) -> Solved:
    """Solve and audit every tier and brief.

    Raises:
        AuditRefusedError: The audit found fault with a proposed system.
        SolverError: The solver is missing or crashed, or the program and the budget curve disagree.
    """
    asked = list(pairs_to_solve(catalogue, run))
    tiers: dict[str, list[Tier]] = {}
    for tier, brief in asked:
        tiers.setdefault(brief.name, []).append(tier)
    tasks = [(brief, tuple(tiers[brief.name])) for brief in catalogue.briefs if brief.name in tiers]
    answers = list(_answers(catalogue, run, tasks, progress))
    found = {(build.tier.name, build.brief.name): build for _, builds in answers for build in builds}
    builds = [found[tier.name, brief.name] for tier, brief in asked]
    alone = [build for build in builds if not build.brief.is_kit]
    return Solved(
        tuple(builds),
        tuple(curve for curve, _ in answers if curve),
        Beside(
            certain=certain_builds(catalogue, alone, run.rising, run.solver, run.time_limit_s, progress),
            ladders=_ladders(catalogue, builds, run, progress),
            promotions=_promotions(catalogue, run, progress),
        ),
    )


def _answers(catalogue: Catalogue, run: Run, tasks: Sequence[Task], progress: Progress) -> Iterator[Answer]:
    """Every brief at each of its tiers; the briefs of a large catalogue on all processors."""
    if len(tasks) * len(catalogue.products()) < WORTH_SPREADING:
        yield from (_answer((catalogue, run), task, progress) for task in tasks)
        return
    for (brief, tiers), answer in zip(tasks, spread(_answer, (catalogue, run), tasks, few=1), strict=True):
        yield answer
        for tier in tiers:
            progress(f"{tier.name}, {brief.name}")


def _answer(shared: tuple[Catalogue, Run], task: Task, progress: Progress = lambda _: None) -> Answer:
    """A brief at each of its tiers. Its program is written once; only the cap differs between tiers."""
    (catalogue, run), (brief, tiers) = shared, task
    solve, curve = _kit(catalogue, run, brief) if brief.is_kit else _alone(catalogue, run, brief)
    builds = []
    for tier in tiers:
        progress(f"{tier.name}, {brief.name}")
        builds.append(solve(tier))
    return curve, builds


def _alone(catalogue: Catalogue, run: Run, brief: Brief) -> tuple[Solve, Curve]:
    vehicle = catalogue.vehicle(brief.vehicle)
    found = candidates(Offer(catalogue, brief, vehicle))
    program, curve = formulate(found), curve_of(catalogue, brief, vehicle, found)
    return lambda tier: solve_one(program, catalogue, tier, curve, run), curve


def _kit(catalogue: Catalogue, run: Run, brief: Brief) -> tuple[Solve, None]:
    question = question_of(catalogue, brief)
    return lambda tier: solve_kit(question, tier, run.solver, run.time_limit_s), None


def _ladders(catalogue: Catalogue, builds: list[Build], run: Run, progress: Progress) -> tuple[Ladder, ...]:
    if run.climbing is None:
        return ()
    return ladders(catalogue, builds, run.solver, run.time_limit_s, progress, keep=run.climbing is Climbing.KEEP)


def promotes(catalogue: Catalogue, run: Run) -> bool:
    """Whether a run decides the shop's promotions: all of them share one stock, so never for some tiers or briefs."""
    return bool(catalogue.promotions) and not (run.tiers or run.briefs)


def _promotions(catalogue: Catalogue, run: Run, progress: Progress) -> Promotions | None:
    if not promotes(catalogue, run):
        return None
    return solve_promotions(catalogue, Solving(run.solver, run.time_limit_s), progress)


def solve_one(program: Program, catalogue: Catalogue, tier: Tier, curve: Curve, run: Run) -> Build:
    """Solve and audit one tier of a brief by the integer program, and hold the answer against its budget curve.

    Where the program is stopped, the curve's system is published if it is the better one; how far that may be from the
    best remains what the program has proven.

    Raises:
        SolverError: The two disagree.
    """
    clock = Clock(run.time_limit_s)
    point = curve.at(tier.cap)
    claimed = Worth(point.score, point.total) if point else None
    proposal = best(program, tier.cap, run.solver, clock, claimed=claimed)
    proposal = best_known(proposal, point, f"{curve.brief.name}, {tier.name}")
    audited = None
    if proposal.system:
        found = proposal.system, proposal.score, proposal.total
        audited = passed(catalogue, curve.brief, curve.vehicle, found, tier)
    return Build(
        tier=tier,
        brief=curve.brief,
        vehicle=curve.vehicle,
        status=proposal.status,
        bound=proposal.bound,
        solver=run.solver.version,
        seconds=clock.spent,
        **told(catalogue, tier, curve, audited, proposal.status),
    )
