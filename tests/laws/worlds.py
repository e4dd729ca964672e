"""Small shops for laws, some of them drawn figure by figure, so that a broken law is shown with a plain shop.

Shops drawn so are mostly plain ones, whose best build has no amplifier; most are therefore made from a seed.

`LAWS_EXAMPLES=500 python -m pytest tests/laws` puts every law to more examples, others each time; without it there are
a few, the same on every machine.
"""

from __future__ import annotations

import os
import random
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from budgetbuild.build import Status
from budgetbuild.catalogue.items import FittingKit
from budgetbuild.catalogue.kinds import KitFor
from budgetbuild.catalogue.names import fold
from budgetbuild.curve.whole import curve
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from tests.laws import EXAMPLES
from tests.oracle.catalogues import drawn_by
from tests.oracle.fleets import TINY
from tests.oracle.knobs import PROFILES
from tests.program.small import SHEETS, answer

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from budgetbuild.build import System
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from budgetbuild.curve.whole import CurveBuild
    from budgetbuild.program.solve import Proposal

FEW = 7
NO_SCORE = -1
TRIES = 6
"""Shops drawn until one has a complete system."""

lawful = settings(
    max_examples=int(os.environ.get(EXAMPLES, FEW)),
    derandomize=EXAMPLES not in os.environ,
    deadline=None,
    database=None,
    suppress_health_check=list(HealthCheck),
)
"""How a law is put to the test: a shop takes many draws, and a busy machine must not fail it."""


@dataclass(frozen=True)
class World:
    """A shop with one brief and its vehicle. Whatever is changed, the `with_...` methods return a changed copy."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle

    @cached_property
    def curve(self) -> tuple[CurveBuild, ...]:
        """The best build at every budget, by merging."""
        return curve(candidates(Offer(self.catalogue, self.brief, self.vehicle)))

    def at(self, cap: int) -> CurveBuild | None:
        """The best build within a cap in cents, by the curve."""
        return next((point for point in reversed(self.curve) if point.total <= cap), None)

    def answer(self, cap: int) -> Proposal:
        """The best build within a cap in cents, by the solver."""
        found = answer(self.catalogue, self.brief, cap)
        assert found.status in {Status.OPTIMAL, Status.INFEASIBLE}
        return found

    @property
    def products(self) -> tuple[Product, ...]:
        """Every product, sheet by sheet."""
        return self.catalogue.products()

    @property
    def plain(self) -> list[Product]:
        """All but converter kits: such a row creates the need for a kit, so that one more may well spoil a build."""
        return [row for row in self.products if not (isinstance(row, FittingKit) and row.fits is KitFor.CONVERTER)]

    @property
    def unnamed(self) -> list[Product]:
        """Products that no term of the brief names by their SKU."""
        terms = {fold(term) for term in (*self.brief.must_include, *self.brief.leave_out)}
        return [row for row in self.products if fold(row.sku) not in terms]

    def with_rows(self, change: Callable[[tuple[Any, ...]], Iterable[Any]]) -> World:
        """Every product sheet changed."""
        sheets: dict[str, Any] = {name: tuple(change(getattr(self.catalogue, name))) for name in SHEETS.values()}
        return replace(self, catalogue=replace(self.catalogue, **sheets))

    def with_product(self, sku: str, **changes: Any) -> World:  # noqa: ANN401 - fields of the product
        """One product changed."""
        return self.with_rows(lambda rows: (replace(row, **changes) if row.sku == sku else row for row in rows))

    def with_copy(self, of: Product, sku: str) -> World:
        """A second product that differs in its SKU alone."""
        rows = {type(of): (replace(of, sku=sku),)}
        return self.with_rows(lambda some: (*some, *(rows[type(of)] if of in some else ())))

    def without(self, *skus: str) -> World:
        """Without some products."""
        return self.with_rows(lambda rows: (row for row in rows if row.sku not in skus))

    def with_brief(self, **changes: Any) -> World:  # noqa: ANN401 - fields of the brief
        """Another brief."""
        brief = replace(self.brief, **changes)
        return replace(self, brief=brief, catalogue=replace(self.catalogue, briefs=(brief,)))

    def with_vehicle(self, **changes: Any) -> World:  # noqa: ANN401 - fields of the vehicle
        """Another vehicle."""
        vehicle = replace(self.vehicle, **changes)
        return replace(self, vehicle=vehicle, catalogue=replace(self.catalogue, vehicles=(vehicle,)))

    def with_settings(self, **changes: Any) -> World:  # noqa: ANN401 - fields of the settings
        """A shop with other settings."""
        settings = replace(self.catalogue.settings, **changes)
        return replace(self, catalogue=replace(self.catalogue, settings=settings))

    def with_limits(self, **changes: Any) -> World:  # noqa: ANN401 - fields of the limits
        """A shop with other limits."""
        return self.with_settings(limits=replace(self.catalogue.settings.limits, **changes))


def score(found: CurveBuild | Proposal | None) -> int:
    """Thousandths, below any score where there is no system."""
    return NO_SCORE if found is None or found.score is None else found.score


def bought(system: System | None) -> set[str]:
    """SKUs in a system."""
    return {part.sku for part in system.parts} if system else set()


def assert_no_better(one: World, than: World, cap: int) -> None:
    """At no budget does the one score more than the other: by the curve at all of them, by the solver at this one."""
    for point in one.curve:
        assert point.score <= score(than.at(point.total)), f"{point.total} cents"
    assert score(one.answer(cap)) <= score(than.answer(cap))


def assert_alike(one: World, other: World, cap: int) -> None:
    """At every budget both have the same answer, connections and all; the solver's too."""
    assert one.curve == other.curve
    assert one.answer(cap) == other.answer(cap)


Asked = tuple[World, int]
"""A shop, and a cap in cents."""


@st.composite
def worlds(draw: st.DrawFn, *profiles: str) -> World:
    """A shop of some 35 products, by one of the profiles; nearly always some system is possible."""
    profile = draw(st.sampled_from(profiles or tuple(PROFILES)))
    figures = draw(st.sampled_from((True, False, False, False, False)))
    seeds, shrinking = st.integers(0, 10**9), st.randoms(use_true_random=False, note_method_calls=False)
    rng = draw(shrinking) if figures else random.Random(draw(seeds))  # noqa: S311 - test data, no secrets
    knobs = replace(PROFILES[profile], counts=TINY, inactive=0.0)
    world = World(*drawn_by(rng, profile, knobs))
    for _ in range(TRIES - 1):
        if world.curve:
            break
        world = World(*drawn_by(rng, profile, knobs))
    return world


@st.composite
def asked(draw: st.DrawFn, *profiles: str) -> Asked:
    """A shop with a cap: where the answer changes, a cent beside it, or anywhere between."""
    world = draw(worlds(*profiles))
    totals = [point.total for point in world.curve] or [1_000_00]
    return world, max(0, draw(st.sampled_from(totals)) + draw(st.sampled_from((0, -1, 1, 17_00))))


def one_of(data: st.DataObject, rows: Iterable[Product]) -> Product:
    """One of some products, in SKU order."""
    return data.draw(st.sampled_from(sorted(rows, key=lambda row: row.sku)))
