"""Among builds of equal score and price the first in SKU order wins, then the simplest way of use; always the same."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest

from budgetbuild.build import Mode, Status
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, Want
from budgetbuild.program import ties
from tests.oracle.catalogues import random_catalogue
from tests.oracle.enumerate import best as best_by_brute_force
from tests.program.small import (
    PLENTY,
    SHEETS,
    answer,
    box,
    cable,
    driver,
    enclosure,
    fascia,
    front,
    head_unit,
    lead,
    power_kit,
    rear,
    sheet,
    skus,
    stereo,
    stock,
    wants,
)

if TYPE_CHECKING:
    from budgetbuild.build import Drive, System
    from budgetbuild.catalogue.shop import Brief, Catalogue

TWINS = range(60)


def bought(catalogue: Catalogue, brief: Brief, cap: int = PLENTY) -> str:
    """SKUs of the answer, in a line."""
    found = answer(catalogue, brief, cap)
    assert found.status is Status.OPTIMAL
    return " ".join(skus(found.system))


def by_brute_force(catalogue: Catalogue, brief: Brief, cap: int = PLENTY) -> str:
    """SKUs of the first of the best builds, by trying all."""
    return " ".join(best_by_brute_force(catalogue, brief, catalogue.vehicle(brief.vehicle), cap).skus or ())


def shuffled(catalogue: Catalogue, seed: int) -> Catalogue:
    """The same rows in another order on every sheet."""
    rng = random.Random(seed)  # noqa: S311 - an order, no secret
    sheets: dict[str, Any] = {name: getattr(catalogue, name) for name in SHEETS.values()}
    mixed: dict[str, Any] = {name: tuple(rng.sample(rows, len(rows))) for name, rows in sheets.items()}
    return replace(catalogue, **mixed)


def drive(system: System | None, location: Location) -> Drive:
    """What drives a location."""
    assert system is not None
    return next(drive for drive in system.drives if drive.location is location)


@pytest.mark.parametrize(
    ("first", "later"), [("F-1", "F-2"), ("F-10", "F-2"), ("F-2", "f-1"), ("F", "F-1"), ("F-1", "F.1")]
)
def test_of_two_equal_products_the_first_by_code_point_wins(first: str, later: str) -> None:
    """Digits are not numbers, capitals come before small letters, the shorter before the longer."""
    catalogue = stock(front(sku=later), front(sku=first))
    assert bought(catalogue, wants(own_internal_w=20.0)) == first


def test_of_two_equal_fitting_kits_and_power_kits_the_first_wins() -> None:
    """Accessories decide a tie as everything else does."""
    products = head_unit(), fascia(sku="X2"), fascia(sku="X1"), front(), stereo(), power_kit(sku="K2"), power_kit()
    catalogue = stock(*products, lead(sku="L2"), lead(), cable(sku="C2"), cable())
    brief = wants(head_unit=HeadUnitMode.REPLACE)
    assert bought(catalogue, brief) == by_brute_force(catalogue, brief) == "A C F H K L X1"


def test_the_lists_of_skus_are_compared_as_a_whole() -> None:
    """Front C and rear A, or front B and rear D: 160 each, 19 points each. (A, C) comes before (B, D).

    C and A: 15 + 4 points; B and D: 13 + 6 points, all with the same match. Whoever settled the front first took B.
    """
    fronts = front(sku="C"), front(sku="B", rating=5.2, price=80_00)
    rears = rear(sku="A", price=60_00), rear(sku="D", rating=7.5)
    catalogue = stock(*fronts, *rears)
    assert bought(catalogue, wants(own_internal_w=20.0), cap=160_00) == "A C"


def test_more_of_the_earlier_sku_comes_first() -> None:
    """Two pairs take two leads of two channels: twice L1 before L1 and L2."""
    leads = lead(sku="L2", channels=2), lead(sku="L1", channels=2)
    catalogue = stock(front(), rear(), stereo(channels=4), power_kit(), cable(), *leads)
    assert bought(catalogue, wants()) == by_brute_force(catalogue, wants()) == "A C F K L1 L1 R"


def test_thirty_equal_amplifiers_and_thirty_equal_speakers() -> None:
    """900 builds of the same score and price, far more than are listed one by one."""
    names = [f"{number:02d}" for number in range(30)]
    speakers = [front(sku=f"F{name}") for name in reversed(names)]
    amplifiers = [stereo(sku=f"A{name}") for name in reversed(names)]
    catalogue, brief = stock(*speakers, *amplifiers, power_kit(), lead(), cable()), wants(rear=Want.NONE)
    assert bought(catalogue, brief) == by_brute_force(catalogue, brief) == "A00 C F00 K L"


def test_ties_that_dominance_cannot_see_are_settled_too() -> None:
    """Every 20 spent, on front, rear or deadening alike, earn 2 points; up to twelve builds share the best score.

    Front: 50 + 20 i for 5 + 2 i points, i = 0 to 5; rear: 50 + 20 j for 2 j points, j = 0 to 3; deadening: 20 k for 2 k
    points, k = 0 to 2. So no product makes another superfluous. Brute force says which build comes first.
    """
    fronts = [front(sku=f"F{i}", rating=round(2 + 0.8 * i, 1), price=50_00 + 20_00 * i) for i in range(6)]
    rears = [rear(sku=f"R{3 - j}", rating=round(2.5 * j, 1), price=50_00 + 20_00 * j) for j in range(4)]
    sheets = [sheet(sku=f"D{k}", rating=4.0 * k, price=20_00 * k) for k in (1, 2)]
    brief = wants(own_internal_w=20.0, rear=Want.REQUIRED)
    for cap in range(100_00, 320_00, 20_00):
        expected = by_brute_force(stock(*fronts, *rears, *sheets), brief, cap)
        assert bought(stock(*fronts, *rears, *sheets), brief, cap) == expected
        with patch.object(ties, "FEW", 0):
            assert bought(stock(*fronts, *rears, *sheets), brief, cap) == expected


def test_of_two_wirings_the_lower_net_wins() -> None:
    """Two 4 ohm coils give 8 ohm (100 W) or 2 ohm (120 W); both are a full match to 120 W, the parts are the same."""
    mono = stereo(channels=0, w_at_4=None, bridged_w_at_4=None, sub_w_at_4=200.0, sub_w_at_2=120.0, min_ohm=None)
    catalogue = stock(driver(coils=2), box(), mono, power_kit(), lead(), cable())
    found = answer(catalogue, wants()).system
    assert drive(found, Location.BASS).ohm == 2.0
    with patch.object(ties, "FEW", 0):
        assert answer(catalogue, wants()).system == found


def test_of_two_ways_of_use_the_one_that_bridges_less_wins() -> None:
    """60 W as a stereo pair or 72 W bridged: a full match to 60 W either way."""
    amplifier = stereo(channels=4, bridged_w_at_4=72.0)
    catalogue, brief = stock(front(), amplifier, power_kit(), lead(), cable()), wants(rear=Want.NONE)
    found = answer(catalogue, brief).system
    assert drive(found, Location.FRONT).mode is Mode.STEREO
    with patch.object(ties, "FEW", 0):
        assert answer(catalogue, brief).system == found


def test_the_own_sub_channel_comes_before_a_bridged_pair() -> None:
    """120 W from either."""
    amplifier = stereo(sub_w_at_4=120.0)
    catalogue = stock(enclosure(), amplifier, power_kit(), lead(), cable())
    assert drive(answer(catalogue, wants()).system, Location.BASS).mode is Mode.SUB


@pytest.mark.parametrize("block", range(6))
def test_listing_and_settling_ties_agree(block: int) -> None:
    """The same system, connections and all, whichever road is taken."""
    for seed in TWINS[10 * block : 10 * block + 10]:
        catalogue, brief, _, cap = random_catalogue(seed, "twins")
        listed = answer(catalogue, brief, cap)
        with patch.object(ties, "FEW", 0):
            assert answer(catalogue, brief, cap) == listed, f"seed {seed}"


def test_order_of_the_rows_does_not_matter() -> None:
    """The same system, connections and all."""
    for seed in TWINS[:30]:
        catalogue, brief, _, cap = random_catalogue(seed, "twins")
        assert answer(shuffled(catalogue, seed), brief, cap) == answer(catalogue, brief, cap), f"seed {seed}"


def test_of_many_steps_an_earlier_one_outweighs_all_later_ones() -> None:
    """Weights of one solve stay small, and each is more than all that follow can reach together."""
    ranking = [([(i, 1.0)], most) for i, most in enumerate((3, 3, 12, 1, 90, 3, 6, 200, 3, 3))]
    for step in ties._steps(iter(ranking)):  # noqa: SLF001 - its weights decide
        reach = [weight * dict(enumerate(m for _, m in ranking))[terms[0][0]] for terms, weight in step]
        weights = [weight for _, weight in step]
        assert all(weight > sum(reach[i + 1 :]) for i, weight in enumerate(weights))
        assert all(earlier > later for earlier, later in pairwise(weights))
        assert sum(reach) < ties.LARGEST_WEIGHT


def test_the_lower_net_wins_though_another_enclosure_has_the_higher_one() -> None:
    """Nobody buys the 8 ohm enclosure at 900; that it is on sale does not change how the driver is wired."""
    mono = stereo(channels=0, w_at_4=None, bridged_w_at_4=None, sub_w_at_4=200.0, sub_w_at_2=120.0, min_ohm=None)
    catalogue = stock(
        driver(coils=2), box(), mono, power_kit(), lead(), cable(), enclosure(sku="B", ohm=8.0, price=900_00)
    )
    found = answer(catalogue, wants()).system
    assert drive(found, Location.BASS).ohm == 2.0
    with patch.object(ties, "FEW", 0):
        assert answer(catalogue, wants()).system == found


@pytest.mark.parametrize("few", [0, ties.FEW])
def test_of_two_equal_amplifiers_the_first_drives_the_front_whatever_else_is_on_sale(few: int) -> None:
    """Twins that are both asked for; a dear third one, which could drive the front only, changes nothing."""
    twins = [stereo(sku=sku, min_ohm=2.0, w_at_2=60.0) for sku in ("A1", "A2")]
    products = front(), rear(ohm=2.0), *twins, power_kit(), lead(), cable()
    brief = wants(front=Want.REQUIRED, rear=Want.REQUIRED, must_include=("A1", "A2"))
    with patch.object(ties, "FEW", few):
        alone = answer(stock(*products), brief).system
        beside = answer(stock(*products, stereo(sku="A0", price=900_00, rating=1.0)), brief).system
    assert alone == beside
    assert alone is not None
    assert alone.amplifiers[drive(alone, Location.FRONT).amplifier or 0] == "A1"
