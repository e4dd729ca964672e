"""One system for several vehicles, from the catalogue to the audited answer, and why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.advice.explain import obstacles_of
from budgetbuild.advice.frontier import least_total, pointless
from budgetbuild.advice.versions import version_alerts
from budgetbuild.audit.kit import passed_in_all
from budgetbuild.audit.verdict import passed
from budgetbuild.build import Alone, Build, Covered, InVehicle, NoBuild, Shortfall, Status
from budgetbuild.faults import SolverError
from budgetbuild.planning.own_parts import in_another
from budgetbuild.planning.same_versions import alerts_in_all
from budgetbuild.program.candidates import candidates
from budgetbuild.program.common import common
from budgetbuild.program.covering import Covering, in_whole_numbers, placed
from budgetbuild.program.covering_best import best_covering, cheapest_covering, greatest_covering
from budgetbuild.program.covering_rows import formulate_covering
from budgetbuild.program.offer import Offer
from budgetbuild.program.solver import Clock
from budgetbuild.trade.figures import exact

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.build import VersionAlert
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier, Vehicle
    from budgetbuild.program.common import Fits
    from budgetbuild.program.goals import Choice
    from budgetbuild.program.solver import Solver


@dataclass(frozen=True, slots=True)
class Question:
    """A brief for several vehicles, whatever the budget.

    Attributes:
        vehicles: In the order of the sheet.
        weights: How much each counts, as the sheet has it.
        asked: What the vehicles covered count together at least, in the program's whole numbers.
        program: The decisions.
    """

    catalogue: Catalogue
    brief: Brief
    vehicles: tuple[Vehicle, ...]
    weights: tuple[Fraction, ...]
    asked: int
    program: Covering


def question_of(catalogue: Catalogue, brief: Brief) -> Question:
    """Write the program of a brief for several vehicles, once for all budgets."""
    vehicles = tuple(catalogue.vehicle(name) for name in brief.vehicles)
    weights = tuple(exact(vehicle.weight) for vehicle in vehicles)
    whole, asked = in_whole_numbers(weights, brief.share)
    return Question(catalogue, brief, vehicles, weights, asked, _program(catalogue, brief, vehicles, whole, asked))


def _program(
    catalogue: Catalogue, brief: Brief, vehicles: Sequence[Vehicle], weights: Sequence[int], asked: int
) -> Covering:
    def enough(fits: Fits) -> bool:
        return sum(weight for weight, one in zip(weights, fits, strict=True) if one) >= asked

    return formulate_covering(common(catalogue, brief, vehicles, enough), weights)


def solve_kit(question: Question, tier: Tier, solver: Solver, time_limit_s: float | None) -> Build:
    """The best system for several vehicles within a tier, audited in each of them.

    Raises:
        AuditRefusedError: The audit found fault with it: a defect.
        SolverError: The solver is missing or failed.
    """
    clock = Clock(time_limit_s)
    choice = best_covering(question.program, question.asked, tier.cap, solver, clock)
    found = _covered(question, tier, choice) if choice.found else None
    bound = None if choice.bound is None else -choice.bound
    lacking = choice.status is Status.INFEASIBLE
    no_build = why_none(question, tier, solver, Clock(time_limit_s)) if lacking else None
    shown = found.dearest if found else None
    return Build(
        tier=tier,
        brief=question.brief,
        vehicle=shown.vehicle if shown else question.vehicles[0],
        status=choice.status,
        bound=bound,
        audited=shown.audited if shown else None,
        no_build=no_build,
        solver=solver.version,
        seconds=clock.spent,
        versions=alerts_in_all(_alerts(question, found)) if found else (),
        covered=found,
    )


def _covered(question: Question, tier: Tier, choice: Choice) -> Covered:
    """The system in every vehicle: in those covered as chosen, in the others with the best parts of their own."""
    catalogue, brief = question.catalogue, question.brief
    inside = {one.vehicle: one for one in placed(question.program, choice.chosen)}
    at_home = next(iter(inside.values()))
    home = question.vehicles[at_home.vehicle], at_home.system
    found = []
    for number, (vehicle, weight) in enumerate(zip(question.vehicles, question.weights, strict=True)):
        one = inside.get(number)
        audited = (
            passed(catalogue, brief.in_vehicle(vehicle.name), vehicle, (one.system, one.score, one.total), tier)
            if one
            else in_another(catalogue, brief, home, vehicle, tier)
        )
        found.append(InVehicle(vehicle, weight, covered=one is not None, audited=audited))
    score = -choice.bound if choice.status is Status.OPTIMAL and choice.bound is not None else None
    return passed_in_all(brief, tier, Covered(brief.share, tuple(found)), score)


def _alerts(question: Question, covered: Covered) -> list[tuple[VersionAlert, ...]]:
    """Version alerts in each vehicle covered."""
    brief = question.brief
    return [
        version_alerts(question.catalogue, brief.in_vehicle(one.vehicle.name), one.vehicle, one.audited)
        for one in covered.inside
    ]


def why_none(question: Question, tier: Tier, solver: Solver, clock: Clock) -> NoBuild:
    """Why no system covers as many vehicles as asked within a tier.

    Raises:
        SolverError: The solver is missing or failed.
    """
    catalogue, brief = pointless(question.catalogue, question.brief)
    weights = question.program.weights
    enough = _program(catalogue, brief, question.vehicles, weights, question.asked)
    least = cheapest_covering(enough, question.asked, solver, clock)
    # What fits too few vehicles for what was asked is left out there; for the most that can be covered it counts.
    any_number = _program(catalogue, brief, question.vehicles, weights, 1)
    most = greatest_covering(any_number, tier.cap, solver, clock)
    covers = _names(question, any_number, most)
    if (least.values and least.values[0] <= tier.cap) or _share(question, covers) >= question.brief.share:
        raise SolverError(f"{brief.name}, {tier.name}: the solver says that no system is possible, then finds one")
    whatever_price = None
    if least.status is Status.INFEASIBLE:
        at_any_price = greatest_covering(any_number, any_number.columns[any_number.highest].most, solver, clock)
        if at_any_price.status is not Status.TIME_LIMIT:
            whatever_price = _share(question, _names(question, any_number, at_any_price))
    return NoBuild(
        least_total=least.values[0] if least.values else None,
        shortfall=Shortfall(
            asked=question.brief.share,
            greatest=_share(question, covers),
            covers=covers,
            lacks=tuple(vehicle.name for vehicle in question.vehicles if vehicle.name not in covers),
            whatever_price=whatever_price,
            alone=tuple(_alone(question, tier, covers)),
            proven=most.status is not Status.TIME_LIMIT,
        ),
    )


def _names(question: Question, program: Covering, choice: Choice) -> tuple[str, ...]:
    """Names of the vehicles that a choice covers."""
    return tuple(
        v.name for v, column in zip(question.vehicles, program.covered, strict=True) if column in choice.chosen
    )


def _share(question: Question, names: Sequence[str]) -> Fraction:
    """How much some vehicles count of all."""
    weights = {vehicle.name: weight for vehicle, weight in zip(question.vehicles, question.weights, strict=True)}
    return sum((weights[name] for name in names), Fraction(0)) / sum(weights.values())


def _alone(question: Question, tier: Tier, covers: Sequence[str]) -> Iterator[Alone]:
    """The vehicles, among those left out, that have no system within the cap even by themselves."""
    for vehicle in question.vehicles:
        offer = Offer(question.catalogue, question.brief.in_vehicle(vehicle.name), vehicle)
        if vehicle.name in covers or least_total(offer, tier.cap) is not None:
            continue
        least = least_total(offer)
        yield Alone(vehicle.name, least, () if least is not None else tuple(obstacles_of(candidates(offer))))
