"""From a catalogue to audited builds: every tier and brief solved, checked, and explained where there is none."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.audit import audit
from budgetbuild.build import Audited, Build, Status
from budgetbuild.catalogue.names import fold
from budgetbuild.program.candidates import candidates
from budgetbuild.program.explain import explain
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import Program, formulate
from budgetbuild.program.solve import Proposal, best
from budgetbuild.program.solver import Clock, Solver

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier

Progress = Callable[[str], None]


class AuditRefusedError(RuntimeError):
    """The audit refused what the program proposed: a defect in this tool, so nothing may be published."""


@dataclass(frozen=True, slots=True)
class Run:
    """How to solve.

    Attributes:
        time_limit_s: Seconds per build, `None` for no limit.
        tiers: Names of the tiers to solve; empty = all. Likewise `briefs`.
    """

    solver: Solver = field(default_factory=Solver)
    time_limit_s: float | None = None
    tiers: tuple[str, ...] = ()
    briefs: tuple[str, ...] = ()


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


def solve_all(catalogue: Catalogue, run: Run, progress: Progress = lambda _: None) -> tuple[Build, ...]:
    """Solve and audit every tier and brief. A brief's program is written once; only the cap differs between tiers.

    Raises:
        AuditRefusedError: The audit found fault with a proposed system.
        SolverError: The solver is missing or crashed.
    """
    programs: dict[str, Program] = {}
    builds: list[Build] = []
    for tier, brief in pairs_to_solve(catalogue, run):
        progress(f"{tier.name}, {brief.name}")
        if brief.name not in programs:
            programs[brief.name] = program_of(catalogue, brief)
        builds.append(solve_one(programs[brief.name], catalogue, tier, brief, run))
    return tuple(builds)


def program_of(catalogue: Catalogue, brief: Brief) -> Program:
    """The integer program of a brief."""
    return formulate(candidates(Offer(catalogue, brief, catalogue.vehicle(brief.vehicle))))


def solve_one(program: Program, catalogue: Catalogue, tier: Tier, brief: Brief, run: Run) -> Build:
    """Solve and audit one tier of a brief."""
    clock = Clock(run.time_limit_s)
    proposal = best(program, tier.cap, run.solver, clock)
    audited = audited_proposal(catalogue, tier, brief, proposal)
    no_build = None
    if proposal.status is Status.INFEASIBLE:
        no_build = explain(program, tier.cap, run.solver, Clock(run.time_limit_s))
    return Build(
        tier=tier,
        brief=brief,
        vehicle=catalogue.vehicle(brief.vehicle),
        status=proposal.status,
        bound=proposal.bound,
        audited=audited,
        no_build=no_build,
        solver=run.solver.version,
        seconds=clock.spent,
    )


def audited_proposal(catalogue: Catalogue, tier: Tier, brief: Brief, proposal: Proposal) -> Audited | None:
    """Audit what the program proposes.

    Raises:
        AuditRefusedError: A check fails, or the audit's score or total is not the program's.
    """
    if proposal.system is None:
        return None
    vehicle = catalogue.vehicle(brief.vehicle)
    audited = audit(catalogue, brief, vehicle, tier.cap, proposal.system, allowed_over=tier.cap - tier.budget)
    where = f"{tier.name}, {brief.name}"
    if audited.refused:
        failed = "; ".join(f"{c.rule} {c.subject}: {c.figure}, {c.limit}" for c in audited.refused)
        raise AuditRefusedError(f"{where}: {failed}")
    if (audited.score, audited.total) != (proposal.score, proposal.total):
        raise AuditRefusedError(
            f"{where}: score and total {proposal.score}, {proposal.total} by the program, "
            f"{audited.score}, {audited.total} by the audit"
        )
    return audited
