"""Two vehicles that are alike but for what a test says, and a brief for both."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from budgetbuild.planning.kit import question_of, solve_kit
from budgetbuild.program.solver import Solver
from tests.program import small

if TYPE_CHECKING:
    from budgetbuild.build import Build
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

HERE, THERE = "Marl Estate", "Fenn Coupe"


def stock(*products: Product, here: dict[str, Any] | None = None, there: dict[str, Any] | None = None) -> Catalogue:
    """A catalogue of these products for two vehicles, each with some columns of its own."""
    vehicles = (small.car(name=HERE, **(here or {})), small.car(name=THERE, **(there or {})))
    return replace(small.stock(*products), vehicles=vehicles)


def both(share: Fraction = Fraction(1), **columns: Any) -> Brief:  # noqa: ANN401 - any column
    """A brief for both vehicles that asks for nothing in particular; the own unit has 3 pairs."""
    return small.wants(vehicle="", vehicles=(HERE, THERE), share=share, **columns)


def solved(catalogue: Catalogue, brief: Brief, cap: int = small.PLENTY) -> Build:
    """The best system for both, audited in each."""
    return solve_kit(question_of(catalogue, brief), small.tier(cap), Solver(), None)


def bought(build: Build, name: str) -> tuple[str, ...]:
    """SKUs of the system in one of the vehicles, sorted."""
    assert build.covered is not None
    return small.skus(of(build, name).audited.system)


def of(build: Build, name: str) -> Any:  # noqa: ANN401 - InVehicle, or an assertion fails
    """The system in one of the vehicles."""
    assert build.covered is not None
    return next(one for one in build.covered.vehicles if one.vehicle.name == name)


def vehicle(catalogue: Catalogue, name: str) -> Vehicle:
    """One of the two."""
    return catalogue.vehicle(name)
