"""What must hold between the answers to two catalogues, briefs or caps, whatever the right answer is."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.build import Status
from budgetbuild.catalogue.items import FittingKit
from budgetbuild.catalogue.kinds import KitFor
from tests.oracle.catalogues import random_catalogue
from tests.oracle.knobs import PROFILES
from tests.program.small import SHEETS, answer, skus

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue
    from budgetbuild.program.solve import Proposal

every_profile = pytest.mark.parametrize("profile", PROFILES)
NO_SCORE = -1
INSTANCES = 1
"""Random instances for each profile and law."""


def instances(profile: str, law: str) -> Iterator[tuple[Catalogue, Brief, int, random.Random]]:
    """Random instances for a profile, others for each law."""
    for number in range(INSTANCES):
        rng = random.Random(f"{law}/{number}")  # noqa: S311 - test data, no secrets
        catalogue, brief, _, cap = random_catalogue(rng.randrange(10**6), profile)
        yield catalogue, brief, cap, rng


def score(found: Proposal) -> int:
    """Thousandths, below any score where there is no system."""
    assert found.status in {Status.OPTIMAL, Status.INFEASIBLE}
    return NO_SCORE if found.score is None else found.score


def changed(catalogue: Catalogue, change: Callable[[tuple[Product, ...]], tuple[Product, ...]]) -> Catalogue:
    """A catalogue with every product sheet changed."""
    sheets: dict[str, Any] = {name: change(getattr(catalogue, name)) for name in SHEETS.values()}
    return replace(catalogue, **sheets)


def without(catalogue: Catalogue, product: Product) -> Catalogue:
    """A catalogue without one row."""
    return changed(catalogue, lambda rows: tuple(row for row in rows if row.sku != product.sku))


def plain_rows(catalogue: Catalogue) -> list[Product]:
    """All but converter kits: such a row creates the need for a kit, so that one more may well spoil a build."""
    rows = catalogue.products()
    return [row for row in rows if not (isinstance(row, FittingKit) and row.fits is KitFor.CONVERTER)]


@every_profile
def test_a_higher_cap_never_scores_lower(profile: str) -> None:
    """Nor costs less at the same score: what is cheaper would have been within the lower cap."""
    for catalogue, brief, cap, rng in instances(profile, "cap"):
        caps = sorted([cap, *(int(cap * rng.uniform(0.7, 1.6)) for _ in range(3))])
        found = [answer(catalogue, brief, each) for each in caps]
        assert [score(each) for each in found] == sorted(score(each) for each in found)
        for each, limit in zip(found, caps, strict=True):
            assert each.total is None or each.total <= limit


@every_profile
def test_a_cap_at_the_price_of_the_answer_gives_the_same_answer(profile: str) -> None:
    """And one cent less does not."""
    for catalogue, brief, cap, _ in instances(profile, "exact cap"):
        found = answer(catalogue, brief, cap)
        if found.total is not None:
            assert answer(catalogue, brief, found.total) == found
            less = answer(catalogue, brief, found.total - 1)
            assert score(less) < score(found)


@every_profile
def test_one_more_product_never_scores_lower(profile: str) -> None:
    """Three products, each taken away on its own."""
    for catalogue, brief, cap, rng in instances(profile, "more"):
        whole = score(answer(catalogue, brief, cap))
        for product in rng.sample(plain_rows(catalogue), 3):
            assert score(answer(without(catalogue, product), brief, cap)) <= whole, product.sku


@every_profile
def test_a_product_that_was_not_chosen_is_not_missed(profile: str) -> None:
    """Half of what was not bought goes: the same system, connections and all."""
    for catalogue, brief, cap, rng in instances(profile, "unchosen"):
        found = answer(catalogue, brief, cap)
        bought = set(skus(found.system))
        kept = {row.sku for row in catalogue.products() if row.sku in bought or rng.random() < 0.5}
        if found.system is not None:
            fewer = changed(catalogue, lambda rows, kept=kept: tuple(row for row in rows if row.sku in kept))  # type: ignore[misc]
            assert answer(fewer, brief, cap) == found


@every_profile
def test_order_of_the_rows_does_not_matter(profile: str) -> None:
    """The same system, connections and all."""
    for catalogue, brief, cap, rng in instances(profile, "order"):
        shuffled = changed(catalogue, lambda rows, rng=rng: tuple(rng.sample(rows, len(rows))))  # type: ignore[misc]
        assert answer(shuffled, brief, cap) == answer(catalogue, brief, cap)


@every_profile
def test_ten_times_the_prices_and_the_cap_buy_the_same(profile: str) -> None:
    """Where nothing is fitted: labour is not multiplied."""
    for catalogue, fitted, cap, _ in instances(profile, "scale"):
        brief = replace(fitted, fitted=False)
        dear = changed(catalogue, lambda rows: tuple(replace(row, price=10 * row.price) for row in rows))
        found, tenfold = answer(catalogue, brief, cap), answer(dear, brief, 10 * cap)
        assert tenfold.system == found.system
        assert tenfold.score == found.score
        assert tenfold.total == (None if found.total is None else 10 * found.total)


@every_profile
def test_a_must_include_never_scores_higher(profile: str) -> None:
    """Three products, each asked for on its own; what is bought anyway changes nothing."""
    for catalogue, brief, cap, rng in instances(profile, "must"):
        free = answer(catalogue, brief, cap)
        for product in rng.sample(catalogue.products(), 3):
            bound = answer(catalogue, replace(brief, must_include=(*brief.must_include, product.sku)), cap)
            assert score(bound) <= score(free), product.sku
        for sku in skus(free.system)[:1]:
            assert answer(catalogue, replace(brief, must_include=(*brief.must_include, sku)), cap) == free


@every_profile
def test_leaving_out_a_chosen_product_never_scores_higher(profile: str) -> None:
    """Nor finds the same system."""
    for catalogue, brief, cap, rng in instances(profile, "leave out"):
        free = answer(catalogue, brief, cap)
        for sku in rng.sample(skus(free.system), min(2, len(skus(free.system)))):
            barred = answer(catalogue, replace(brief, leave_out=(*brief.leave_out, sku)), cap)
            assert score(barred) <= score(free), sku
            assert sku not in skus(barred.system)
