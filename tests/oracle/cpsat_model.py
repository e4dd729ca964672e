"""The same question as one flat constraint model: own variables for everything, no coverings listed, no dominance.

Score and total only; the first SKU list among equals is left to the brute force.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from budgetbuild.catalogue.kinds import Location, OneBrand
from tests.oracle import rules
from tests.oracle.choices import Shop
from tests.oracle.enumerate import Answer
from tests.oracle.flat import Expr, Flat, total
from tests.oracle.wiring import Wiring

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle


def _flat(catalogue: Catalogue, brief: Brief, vehicle: Vehicle) -> Flat:
    flat = Flat(Shop(catalogue, brief, vehicle))
    _one_brand(flat, Wiring(flat).brands())
    for bit in range(len(brief.must_include)):
        flat.model.add(total(flat.meets[bit]) >= 1)
    return flat


def _one_brand(flat: Flat, amplifiers: dict[str, list[Expr]]) -> None:
    if flat.shop.brief.one_brand is OneBrand.MUST:
        _must_share(flat, [*flat.brands.values(), amplifiers])
    elif flat.shop.brief.one_brand is OneBrand.PREFER:
        _may_share(flat, flat.brands[Location.REAR])
        _may_share(flat, flat.brands[Location.BASS])
        for brand, shared in _may_share(flat, amplifiers):
            others = (v for other, some in amplifiers.items() for v in some if other != brand)
            flat.model.add(total(others) <= 2 * (1 - shared))


def _must_share(flat: Flat, places: list[dict[str, list[Expr]]]) -> None:
    """One brand at most, and nothing of another."""
    the_one = {brand: flat.model.new_bool_var("") for place in places for brand in place}
    flat.model.add(total(the_one.values()) <= 1)
    for place in places:
        for brand, variables in place.items():
            for variable in variables:
                flat.model.add_implication(variable, the_one[brand])


def _may_share(flat: Flat, place: dict[str, list[Expr]]) -> list[tuple[str, Expr]]:
    """A third of the points where a place has the front's brand."""
    third = rules.thousandths(rules.exact(flat.limits.one_brand_points) / 3)
    found = []
    for brand, variables in place.items():
        shared = flat.model.new_bool_var("")
        flat.model.add(shared <= total(flat.brands[Location.FRONT].get(brand, [])))
        flat.model.add(shared <= total(variables))
        flat.points.append(third * shared)
        found.append((brand, shared))
    return found


def _solved(model: cp_model.CpModel, seconds: float) -> cp_model.CpSolver | None:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status != cp_model.OPTIMAL:
        raise TimeoutError(solver.status_name(status))
    return solver


def best(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int | None, seconds: float) -> Answer:
    """Highest score within the cap, then least total.

    Raises:
        TimeoutError: A step was not proven within the seconds.
    """
    flat = _flat(catalogue, brief, vehicle)
    cost, points = total(flat.cost), total(flat.points)
    if cap is not None:
        flat.model.add(cost <= cap)
    flat.model.maximize(points)
    solver = _solved(flat.model, seconds)
    if solver is None:
        return Answer("infeasible")
    score = round(solver.objective_value)
    for index in range(len(flat.model.proto.variables)):
        flat.model.add_hint(flat.model.get_int_var_from_proto_index(index), solver.response_proto.solution[index])
    flat.model.add(points == score)
    flat.model.minimize(cost)
    solver = _solved(flat.model, seconds)
    assert solver is not None
    return Answer("optimal", score, round(solver.objective_value))


def cheapest(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, seconds: float) -> int | None:
    """Cents of the cheapest complete system, `None` where none exists at any price."""
    flat = _flat(catalogue, brief, vehicle)
    flat.model.minimize(total(flat.cost))
    solver = _solved(flat.model, seconds)
    return None if solver is None else round(solver.objective_value)
