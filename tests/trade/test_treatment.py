"""Sound deadening: area worth treating and whole sheets."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.catalogue.limits import Limits
from budgetbuild.trade.score import coverage
from budgetbuild.trade.treatment import door_m2, most_sheets
from tests.trade.make import deadening, vehicle

LIMITS = Limits()
AREA = st.integers(50, 6000).map(lambda thousandths: thousandths / 1000)


def test_an_unknown_door_area_counts_as_one_point_six_square_metres() -> None:
    assert door_m2(vehicle(), LIMITS) == 1.6
    assert door_m2(vehicle(door_m2=2.1), LIMITS) == 2.1


def test_two_sheets_do_not_cover_the_whole_door() -> None:
    # Common practice: sheets of about half a square metre, and two of them leave a part of the door bare.
    sheet = deadening(0.5)
    assert coverage(2 * sheet.sheet_m2, door_m2(vehicle(), LIMITS)) < 1
    assert most_sheets(sheet, door_m2(vehicle(), LIMITS)) > 2


def test_an_area_of_just_whole_sheets_asks_for_no_more() -> None:
    # 2.1 / 0.7 is a little more than 3 in binary fractions.
    assert most_sheets(deadening(0.7), 2.1) == 3
    assert most_sheets(deadening(0.4), 1.6) == 4


def test_a_sheet_larger_than_the_door_is_enough() -> None:
    assert most_sheets(deadening(3.0), 1.6) == 1


@given(sheet=AREA, door=AREA)
def test_most_sheets_cover_the_door_and_one_less_would_not(sheet: float, door: float) -> None:
    count = most_sheets(deadening(sheet), door)
    assert count * sheet >= door * (1 - 1e-9)
    assert (count - 1) * sheet < door * (1 + 1e-9)
