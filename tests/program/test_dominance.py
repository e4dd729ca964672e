"""Dominance: what it drops another makes superfluous, what it keeps nothing does, and no best build is lost."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.build import Part, Role
from budgetbuild.program import accessories, arrangements, candidates, dominance, sources, speakers
from budgetbuild.program.dominance import undominated, undominated_by_row
from budgetbuild.program.offer import Offer
from budgetbuild.program.options import Option
from tests.oracle.catalogues import random_catalogue
from tests.oracle.knobs import PROFILES
from tests.program.small import answer, skus

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from budgetbuild.program.solve import Proposal


@dataclass(frozen=True, slots=True)
class Thing(Option):
    """An option with a class and two figures of which less is better."""

    kind: str = ""
    worse: tuple[int, int] = (0, 0)


@st.composite
def things(draw: st.DrawFn) -> list[Thing]:
    """Up to a dozen options of few classes, prices, points and figures, so that most are comparable."""
    small = st.integers(0, 2)
    count = draw(st.integers(0, 12))
    return [
        Thing(
            parts=(Part(Role.AMPLIFIER, f"S{number:02d}"),),
            price=draw(small),
            points=draw(small),
            tags=frozenset(draw(st.sets(st.integers(0, 1), max_size=1))),
            kind=draw(st.sampled_from("ab")),
            worse=(draw(small), draw(small)),
        )
        for number in draw(st.permutations(range(count)))
    ]


def sku(thing: Thing) -> str:
    """Its only part."""
    return thing.parts[0].sku


def beats(one: Thing, other: Thing) -> bool:
    """Whether `one` makes `other` superfluous, as the docstring has it, written down anew.

    Of the same class, no dearer, no fewer points, no greater figure; and of two that are equal in price and points
    only the first in SKU order may beat the other, unless the later one has the smaller figure somewhere: then neither
    does. (The first beats the later only where it is no greater in any figure.)
    """
    comparable = (one.tags, one.kind) == (other.tags, other.kind)
    no_worse = one.price <= other.price and one.points >= other.points
    no_greater = all(mine <= its for mine, its in zip(one.worse, other.worse, strict=True))
    equal = (one.price, one.points) == (other.price, other.points)
    return comparable and no_worse and no_greater and (not equal or sku(one) < sku(other))


def pruned(options: Iterable[Thing]) -> list[Thing]:
    """By class and figures."""
    return undominated(options, key=lambda thing: thing.kind, worse=lambda thing: thing.worse)


def pruned_by_row(options: Sequence[Thing]) -> list[Thing]:
    """The same by rows of figures of which more is better."""
    rows = -np.array([thing.worse for thing in options]).reshape(len(options), 2)
    return [options[i] for i in undominated_by_row(options, rows, key=lambda thing: thing.kind)]


both = pytest.mark.parametrize("prune", [pruned, pruned_by_row])


@both
@given(options=things())
def test_nothing_kept_is_superfluous(prune: type[list[Thing]], options: list[Thing]) -> None:
    """No two that stay are comparable."""
    kept = prune(options)
    assert not [(one, other) for one in kept for other in kept if beats(one, other)]


@given(options=things(), pairs=st.integers(1, 40))
def test_how_many_are_compared_at_once_does_not_matter(options: list[Thing], pairs: int) -> None:
    """Large classes are compared with a few of their first ones at a time; here all classes are large."""
    with patch.object(dominance, "COMPARED_AT_ONCE", pairs):
        kept = pruned(options)
    assert kept == pruned(options)
    assert not [(one, other) for one in kept for other in kept if beats(one, other)]


@both
@given(options=things())
def test_everything_dropped_is_beaten_by_something_kept(prune: type[list[Thing]], options: list[Thing]) -> None:
    """Not merely by something that was itself dropped."""
    kept = prune(options)
    dropped = [option for option in options if option not in kept]
    assert all(any(beats(one, other) for one in kept) for other in dropped)


@both
@given(options=things(), seed=st.integers(0, 10**6))
def test_order_of_the_input_does_not_matter(prune: type[list[Thing]], options: list[Thing], seed: int) -> None:
    """The same options stay."""
    shuffled = random.Random(seed).sample(options, len(options))  # noqa: S311 - an order, no secret
    assert sorted(map(sku, prune(shuffled))) == sorted(map(sku, prune(options)))


@both
def test_of_equals_the_first_sku_stays(prune: type[list[Thing]]) -> None:
    """Whichever comes first in the input."""
    first, second = (Thing((Part(Role.AMPLIFIER, name),), 5, 5) for name in ("A-1", "A-2"))
    assert prune([second, first]) == prune([first, second]) == [first]


@both
def test_of_equals_the_later_sku_stays_too_where_it_is_less_in_a_figure(prune: type[list[Thing]]) -> None:
    """The first is what a tie asks for, the later may be what a constraint asks for."""
    first = Thing((Part(Role.AMPLIFIER, "A-1"),), 5, 5, worse=(1, 0))
    second = Thing((Part(Role.AMPLIFIER, "A-2"),), 5, 5)
    assert sorted(map(sku, prune([first, second]))) == ["A-1", "A-2"]


def test_more_of_an_early_sku_comes_first() -> None:
    """Two of A, or A and B at the same price: more of the earlier SKU sorts first, as in the order of builds."""
    twice = Option((Part(Role.SIGNAL_LEAD, "A", 2),), 10)
    mixed = Option((Part(Role.SIGNAL_LEAD, "A"), Part(Role.SIGNAL_LEAD, "B")), 10)
    assert undominated([mixed, twice]) == [twice]


@pytest.fixture
def unpruned() -> Iterator[None]:
    """Dominance that keeps everything, in every module that uses it."""
    with (
        patch.object(accessories, "undominated", lambda options, **_: list(options)),
        patch.object(arrangements, "undominated", lambda options, **_: list(options)),
        patch.object(sources, "undominated", lambda options, **_: list(options)),
        patch.object(speakers, "undominated", lambda options, **_: list(options)),
        patch.object(accessories, "useful", Offer.offered),
        patch.object(arrangements, "useful", Offer.offered),
        patch.object(sources, "useful", Offer.offered),
        patch.object(speakers, "useful", Offer.offered),
        patch.object(candidates, "undominated_by_row", lambda options, *_, **__: list(range(len(options)))),
    ):
        yield


def found(profile: str, seed: int) -> tuple[Proposal, tuple[str, ...]]:
    """The program's answer to a random instance, and its SKUs."""
    catalogue, brief, _, cap = random_catalogue(seed, profile)
    proposal = answer(catalogue, brief, cap)
    return proposal, skus(proposal.system)


@pytest.mark.parametrize("profile", PROFILES)
def test_the_best_build_of_all_candidates_is_that_of_the_undominated(
    profile: str, request: pytest.FixtureRequest
) -> None:
    """Same status, score, total and SKUs, on five catalogues of each profile: more than a hundred."""
    seeds = range(500, 505)
    with_pruning = [found(profile, seed) for seed in seeds]
    request.getfixturevalue("unpruned")
    for seed, (expected, bought) in zip(seeds, with_pruning, strict=True):
        proposal, all_bought = found(profile, seed)
        assert (proposal.status, proposal.score, proposal.total) == (expected.status, expected.score, expected.total)
        assert all_bought == bought, f"seed {seed}"
