"""The additive value function: published figures, and the laws that hold for every such function."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.value import CellValue, Criterion, Earned, Word, known, rating_of, same

POINTS = Fraction(1)


def straight(worst: str, best: str, most: str) -> Criterion:
    """A criterion of numbers."""
    return Criterion(
        sheet="", title="", column="", worst=Fraction(worst), best=Fraction(best), most=Fraction(most),
    )  # fmt: skip


def words(**points: str) -> Criterion:
    """A criterion of words, each with its points; figures are written with an underscore before them."""
    told = tuple(Word(float(w[1:]) if w.startswith("_") else w, Fraction(p)) for w, p in points.items())
    return Criterion(sheet="", title="", column="", words=told, most=max(word.points for word in told))


def rated(*cells: tuple[Criterion, CellValue]) -> Fraction:
    """The rating that some cells earn."""
    return rating_of(Earned(criterion, value, criterion.earns(value)) for criterion, value in cells)


# Choosing how to travel, the example of the UTA methods (Siskos and others, from memory), with the values that the
# tests of the package MCDA for R have for it (applyPiecewiseLinearValueFunctionsOnPerformanceTable.R): price falls
# straight from 0.0875 at 2 to 0 at 16; times and comforts stand at the corners of their functions.
PRICE = straight("16", "2", "0.0875")
TIME = words(_40="0", _30="0", _20="0.025", _10="0.9")
COMFORT = words(_0="0", _1="0", _2="0.0125", _3="0.0125")


@pytest.mark.parametrize(
    ("price", "time", "comfort", "earned"),
    [
        (3, 10, 1, ("0.08125", "0.9", "0")),
        (4, 20, 2, ("0.075", "0.025", "0.0125")),
        (2, 20, 0, ("0.0875", "0.025", "0")),
        (6, 40, 0, ("0.0625", "0", "0")),
        (30, 30, 3, ("0", "0", "0.0125")),
    ],
    ids=["rer", "metro 1", "metro 2", "bus", "taxi"],
)
def test_points_are_those_of_a_published_example(
    price: float, time: float, comfort: float, earned: tuple[str, str, str]
) -> None:
    cells = ((PRICE, price), (TIME, time), (COMFORT, comfort))
    assert tuple(criterion.earns(value) for criterion, value in cells) == tuple(map(Fraction, earned))


def test_ratings_of_the_published_example_are_ten_times_its_values_rounded_half_up() -> None:
    """Its values are 0.98125, 0.1125 (twice), 0.0625 and 0.0125: four of them halfway between two hundredths."""
    table = ((3, 10, 1), (4, 20, 2), (2, 20, 0), (6, 40, 0), (30, 30, 3))
    found = [rated((PRICE, price), (TIME, time), (COMFORT, comfort)) for price, time, comfort in table]
    assert [float(one) for one in found] == [9.81, 1.13, 1.13, 0.63, 0.13]


@pytest.mark.parametrize(("value", "earned"), [(90, "0.5"), (100, "0"), (101, "0"), (120, "0")])
def test_what_lies_beyond_the_worst_is_clipped_as_published(value: float, earned: str) -> None:
    """The example of `smaa.pvf` (package smaa for R, `outOfBounds = "clip"`), its last piece: 0.5 at 90, 0 at 100."""
    assert straight("100", "90", "0.5").earns(value) == Fraction(earned)


def test_a_rating_worked_out_on_paper() -> None:
    """3/4 of 4 points, 1/3 of 3, a word worth 1 of 2, and 0 of 1 for a no: 5 points of 10 are a rating of 5."""
    deep, loud = straight("80", "40", "4"), straight("85", "91", "3")
    kind = words(component="2", coaxial="1")
    answer = Criterion(sheet="", title="", column="", words=(Word(True, POINTS),), most=POINTS)  # noqa: FBT003
    assert rated((deep, 50.0), (loud, 87.0), (kind, "Coaxial"), (answer, False)) == 5


def test_words_numbers_and_answers_are_not_taken_for_one_another() -> None:
    assert same("Glass  fibre", "glass FIBRE")
    assert same(2, 2.0)
    assert not same(1, True)  # noqa: FBT003 - a cell
    assert not same("2", 2)
    with pytest.raises(TypeError):
        known("loud")


decimals = st.decimals(-500, 500, places=2).map(Fraction)
weights = st.integers(1, 400).map(lambda tenths: Fraction(tenths, 10))


@st.composite
def cells(draw: st.DrawFn) -> list[tuple[Criterion, float]]:
    """Criteria of numbers, each with a cell."""
    found = []
    for _ in range(draw(st.integers(1, 5))):
        worst, best = draw(st.tuples(decimals, decimals).filter(lambda pair: pair[0] != pair[1]))
        criterion = replace(straight("0", "1", "1"), worst=worst, best=best, most=draw(weights))
        found.append((criterion, float(draw(decimals))))
    return found


@given(cells())
def test_a_rating_lies_between_0_and_10(held: list[tuple[Criterion, float]]) -> None:
    assert 0 <= rated(*held) <= 10


@given(cells())
def test_the_worst_earns_0_and_the_best_10(held: list[tuple[Criterion, float]]) -> None:
    assert rated(*((one, float(one.worst or 0)) for one, _ in held)) == 0
    assert rated(*((one, float(one.best or 0)) for one, _ in held)) == 10


@given(cells(), st.randoms())
def test_the_order_of_the_rows_does_not_matter(held: list[tuple[Criterion, float]], random: object) -> None:
    mixed = list(held)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    assert rated(*mixed) == rated(*held)


@given(cells(), weights)
def test_all_points_in_another_measure_give_the_same_rating(held: list[tuple[Criterion, float]], by: Fraction) -> None:
    assert rated(*((replace(one, most=one.most * by), value) for one, value in held)) == rated(*held)


@given(cells(), st.data())
def test_a_better_value_never_lowers_the_rating(held: list[tuple[Criterion, float]], data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(held) - 1))
    criterion, value = held[at]
    up = (criterion.best or 0) > (criterion.worst or 0)
    step = float(data.draw(st.integers(0, 900)))
    better = [*held[:at], (criterion, value + step if up else value - step), *held[at + 1 :]]
    assert rated(*better) >= rated(*held)


@given(cells())
def test_a_rating_with_two_decimals_is_the_one_that_can_be_typed(held: list[tuple[Criterion, float]]) -> None:
    found = rated(*held)
    assert Fraction(repr(float(found))) == found
    assert (found * 100).denominator == 1
