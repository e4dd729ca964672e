"""Loads against published series and parallel examples, and the wirings of the trade."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budgetbuild.trade.loads import nets, parallel, series
from tests.trade.published import value

if TYPE_CHECKING:
    from collections.abc import Callable

OHMS = st.sampled_from([0.7, 1.0, 1.5, 2.0, 3.0, 3.6, 4.0, 6.0, 8.0])
COUNTS = st.integers(1, 8)

PUBLISHED: dict[str, Callable[[], float]] = {
    "L0001": lambda: parallel(144, 144, 144, 144),
    "L0002": lambda: series(parallel(30, 30), 30),
    "L0003": lambda: 64 / parallel(20, 80),
    "L0004": lambda: series(parallel(150, 150, 150), 100, 100),
    "L0006": lambda: parallel(20, 30),
    "L0008": lambda: parallel(4, 4),
    "L0009": lambda: series(4, 4),
    "L0010": lambda: parallel(series(4, 4), series(4, 4)),
    "L0011": lambda: parallel(2, 2),
    "L0012": lambda: series(2, 2),
    "L0013": lambda: parallel(parallel(4, 4), parallel(4, 4)),
}


@pytest.mark.parametrize("identifier", PUBLISHED)
def test_series_and_parallel_give_the_published_total_exactly(identifier: str) -> None:
    assert PUBLISHED[identifier]() == pytest.approx(value("loads", identifier), rel=1e-12)


def test_totals_printed_with_few_figures_agree_within_their_last_figure() -> None:
    assert parallel(20, 30, 40) == pytest.approx(value("loads", "L0005"), abs=0.005)
    assert parallel(10, 20, 50, 100) == pytest.approx(value("loads", "L0007"), abs=0.00005)


def test_a_dual_two_ohm_coil_gives_one_or_four_ohm_and_says_how() -> None:
    assert [(net.ohm, net.wiring) for net in nets(2, 2, 1)] == [(1, "coils in parallel"), (4, "coils in series")]


def test_a_single_coil_in_a_single_driver_leaves_nothing_to_wire() -> None:
    assert [(net.ohm, net.wiring) for net in nets(4, 1, 1)] == [(4, "")]


def test_four_equal_drivers_give_a_quarter_one_or_four_times_the_load() -> None:
    found = {net.ohm: net.wiring for net in nets(4, 1, 4)}
    assert found == {
        1: "drivers in parallel",
        4: "drivers in 2 parallel strings of 2 in series",
        16: "drivers in series",
    }


def test_two_dual_coil_drivers_name_both_halves_of_the_wiring() -> None:
    found = {net.ohm: net.wiring for net in nets(4, 2, 2)}
    assert set(found) == {1, 4, 16}
    assert found[1] == "coils in parallel, drivers in parallel"
    assert found[16] == "coils in series, drivers in series"


def test_among_wirings_of_one_net_the_drivers_stay_in_parallel() -> None:
    assert {net.ohm: net.wiring for net in nets(4, 2, 2)}[4] == "coils in series, drivers in parallel"


def test_wirings_of_one_net_have_as_many_coils_in_series_on_every_way_and_the_drivers_in_parallel_win() -> None:
    # Common practice. Two coils each in eight drivers of 4 ohm: 4 ohm by four drivers in series with their coils in
    # parallel, or by two drivers in series with their coils in series; either way four coils stand in a row.
    assert {net.ohm: net.wiring for net in nets(4, 2, 8)}[4] == (
        "coils in series, drivers in 4 parallel strings of 2 in series"
    )


def test_a_series_parallel_wiring_of_four_coils_is_kept_apart_from_the_drivers() -> None:
    wiring = {net.ohm: net.wiring for net in nets(2, 4, 1)}[2]
    assert wiring == "coils in 2 parallel strings of 2 in series"


@pytest.mark.parametrize(("ohm", "coils", "drivers"), [(0, 1, 1), (-4, 1, 1), (4, 0, 1), (4, 1, 0)])
def test_no_load_is_a_defect_that_raises(ohm: float, coils: int, drivers: int) -> None:
    with pytest.raises(ValueError, match="no load"):
        nets(ohm, coils, drivers)


@given(ohm=OHMS, coils=COUNTS, drivers=COUNTS)
def test_every_net_lies_between_all_parallel_and_all_series(ohm: float, coils: int, drivers: int) -> None:
    elements = coils * drivers
    found = [net.ohm for net in nets(ohm, coils, drivers)]
    assert math.isclose(found[0], ohm / elements, rel_tol=1e-12)
    assert math.isclose(found[-1], ohm * elements, rel_tol=1e-12)
    assert all(ohm / elements * (1 - 1e-12) <= net <= ohm * elements * (1 + 1e-12) for net in found)


@given(ohm=OHMS, coils=COUNTS, drivers=COUNTS)
def test_nets_rise_and_none_stands_twice(ohm: float, coils: int, drivers: int) -> None:
    found = [net.ohm for net in nets(ohm, coils, drivers)]
    assert all(high > low * (1 + 1e-9) for low, high in itertools.pairwise(found))


@given(ohm=OHMS, coils=COUNTS, drivers=COUNTS)
def test_nets_are_the_factorisations_of_coils_times_those_of_drivers(ohm: float, coils: int, drivers: int) -> None:
    expected = {
        round(ohm * a * c / (coils / a) / (drivers / c), 9)
        for a in range(1, coils + 1)
        if coils % a == 0
        for c in range(1, drivers + 1)
        if drivers % c == 0
    }
    assert {round(net.ohm, 9) for net in nets(ohm, coils, drivers)} == expected
