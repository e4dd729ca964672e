"""Every constraint is needed: dropped on its own, a wrong system wins.

Each case is a catalogue of a handful of products; its docstring works out by hand which parts the whole program buys,
and which it would buy without the one constraint. The audit, which knows no program, says that the latter is wrong.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from budgetbuild.audit import audit
from budgetbuild.build import Status
from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, Want
from budgetbuild.program.constraints import CONSTRAINTS
from budgetbuild.program.rises import ByRises
from tests.program.small import (
    PLENTY,
    answer,
    answer_without,
    cable,
    converter,
    enclosure,
    fascia,
    front,
    head_unit,
    lead,
    power_kit,
    powered,
    rear,
    sheet,
    skus,
    stereo,
    stock,
    wants,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.catalogue.shop import Brief, Catalogue
    from budgetbuild.program.solve import Proposal
    from budgetbuild.program.weighing import Weighing

WIRING = (power_kit(), lead(), cable())
"""One product of each that an amplifier cannot do without."""


@dataclass(frozen=True)
class Case:
    """A catalogue and brief, the SKUs of the right system and of the wrong one, cap in cents, what counts of money."""

    catalogue: Catalogue
    brief: Brief
    right: str
    wrong: str
    cap: int = PLENTY
    weighing: Weighing | None = None


def one_source() -> Case:
    """Two head units of 12 and 10 points, nothing else on sale.

    Right: the better one with its kit. Without the rule both, with a kit each: 22 points.
    """
    units = head_unit(sku="H1", rating=6.0), head_unit(sku="H2", price=80_00)
    brief = wants(head_unit=HeadUnitMode.REPLACE)
    return Case(stock(*units, fascia()), brief, right="H1 X", wrong="H1 H2 X X")


def one_source_beside_the_factory_unit() -> Case:
    """Two converters of 6 and 4.8 points; a powered subwoofer and front speakers on an amplifier take a pair each.

    Right: the better converter. Without the rule both, one for each pair taken.
    """
    converters = converter(sku="V1"), converter(sku="V2", rating=4.0, price=30_00)
    brief = wants(head_unit=HeadUnitMode.KEEP_FACTORY)
    products = *converters, powered(), front(), stereo(), *WIRING
    return Case(stock(*products), brief, right="A C F K K L P V1", wrong="A C F K K L P V1 V2")


def fill_places() -> Case:
    """Two pairs of front speakers, 20 and 15 points, of unequal RMS, on the own unit's 20 W.

    Right: the better pair. Without the rule both pairs stand at front.
    """
    speakers = front(sku="F1", rating=8.0), front(sku="F2", rms_w=50.0, price=90_00)
    return Case(stock(*speakers), wants(own_internal_w=20.0), right="F1", wrong="F1 F2")


def fill_places_that_are_required() -> Case:
    """Money for either front speakers (0.25 points and 0.758 for their match) or deadening (5 points), not both.

    Right: the speakers, since front is required. Without the rule the deadening.
    """
    products = front(rating=0.1), sheet(rating=10.0, price=100_00)
    brief = wants(own_internal_w=20.0, front=Want.REQUIRED)
    return Case(stock(*products), brief, right="F", wrong="D", cap=150_00)


def load_driven() -> Case:
    """Front speakers at 80, whose amplifier alone costs 120; 150 to spend, deadening at 50.

    Right: the deadening alone. Without the rule the speakers come too, driven by nothing.
    """
    products = front(price=80_00), stereo(), sheet(), *WIRING
    return Case(stock(*products), wants(), right="D", wrong="D F", cap=150_00)


def supply_used() -> Case:
    """As before: the amplifier is too dear.

    Right: the deadening alone. Without the rule the speakers take power from the amplifier that is not bought, through
    a cable that is: 50 + 80 + 20 = 150.
    """
    return Case(load_driven().catalogue, wants(), right="D", wrong="C D F", cap=150_00)


def supply_used_of_a_head_unit() -> Case:
    """Front required, no amplifier on sale; the better head unit (16 points) has no internal amplifier, the other 20 W.

    Right: the other one. Without the rule the better one, the speakers on the other's internal amplifier.
    """
    units = head_unit(sku="H1", rating=8.0, internal_w=0.0), head_unit(sku="H2")
    brief = wants(head_unit=HeadUnitMode.REPLACE, front=Want.REQUIRED)
    return Case(stock(*units, fascia(), front()), brief, right="F H2 X", wrong="F H1 X")


def powered_fed() -> Case:
    """A powered subwoofer.

    Right: with power kit and lead. Without the rule it is no device, so it takes no pair and no power.
    """
    return Case(stock(powered(), power_kit(), lead()), wants(), right="K L P", wrong="P")


def amplifier_count() -> Case:
    """Two-channel amplifiers only, so each location takes one of its own; two are allowed.

    Rear is worth 4 + 0.5 + 1 points, front and bass more. Right: front and bass. Without the rule three amplifiers,
    with three kits; one lead and one reel serve all.
    """
    products = front(), rear(), enclosure(), stereo(), *WIRING
    return Case(stock(*products), wants(), right="A A B C F K K L", wrong="A A A B C F K K K L R")


def stereo_pairs() -> Case:
    """The own unit has one pair; a four-channel amplifier could drive front and rear.

    Right: front alone. Without the rule rear too, with a second pair that no source gives.
    """
    products = front(), rear(), stereo(channels=4), *WIRING
    return Case(stock(*products), wants(own_preout_pairs=1), right="A C F K L", wrong="A C F K L R")


def converter_where_needed() -> Case:
    """The factory unit stays and drives the front (15 W on 60 W, a ratio of exactly 0.25); no amplifier on sale.

    Right: the speakers alone. Without the rule a converter is bought for its 6 points, connected to nothing.
    """
    brief = wants(head_unit=HeadUnitMode.KEEP_FACTORY)
    return Case(stock(front(), converter()), brief, right="F", wrong="F V")


def enough_leads() -> Case:
    """Front on an amplifier.

    Right: with a lead. Without the rule none is bought.
    """
    return Case(stock(front(), stereo(), *WIRING), wants(), right="A C F K L", wrong="A C F K")


def shared_kit() -> Case:
    """Front and bass, an amplifier each; a kit at 50 feeds two and carries 60 A for their 40 A.

    Right: one such kit (two kits of 40 each would cost 80). Without the rule the amplifiers count as sharing a kit
    that is not there.
    """
    kits = power_kit(), power_kit(sku="K2", price=50_00, amplifiers_fed=2)
    products = front(), enclosure(), stereo(), lead(), cable(), *kits
    return Case(stock(*products), wants(), right="A A B C F K2 L", wrong="A A B C F L")


def own_kits() -> Case:
    """Front on an amplifier, money counted by rises, so that power kits are columns of their own.

    Right: with a power kit. Without the rule none is bought.
    """
    return Case(stock(front(), stereo(), *WIRING), wants(), right="A C F K L", wrong="A C F L", weighing=ByRises({}))


def cable_reaches() -> Case:
    """Front on an amplifier.

    Right: with speaker cable. Without the rule none is bought.
    """
    return Case(stock(front(), stereo(), *WIRING), wants(), right="A C F K L", wrong="A F K L")


def treat_once() -> Case:
    """Two deadening products of 2.5 and 2 points, each one sheet for the whole area.

    Right: the better one. Without the rule both.
    """
    products = sheet(sku="D1"), sheet(sku="D2", rating=4.0, price=40_00)
    return Case(stock(*products), wants(), right="D1", wrong="D1 D2")


def treat_once_where_required() -> Case:
    """Money for deadening (0.5 points) or front speakers (15 points), not both; deadening is required.

    Right: the deadening. Without the rule the speakers.
    """
    brief = wants(own_internal_w=20.0, deadening=Want.REQUIRED)
    return Case(stock(front(), sheet(rating=1.0)), brief, right="D", wrong="F", cap=100_00)


def one_brand() -> Case:
    """One brand is a must; the better rear speakers (8 points to 4) are of another brand than the front's.

    Right: both of the front's brand. Without the rule the better rear.
    """
    speakers = (
        front(brand="Orvane"),
        rear(sku="R1", brand="Orvane"),
        rear(sku="R2", rating=10.0, brand="Quellin"),
    )
    brief = wants(own_internal_w=20.0, one_brand=OneBrand.MUST)
    return Case(stock(*speakers), brief, right="F R1", wrong="F R2")


def brand_bonus() -> Case:
    """One brand is preferred, 1 point for a rear of the front's brand.

    Right: the rear of 4 + 1 points, not that of 4.8. Without the rule the point is earned for nothing, so 4.8 wins.
    """
    speakers = (
        front(brand="Orvane"),
        rear(sku="R1", brand="Orvane"),
        rear(sku="R2", rating=6.0, brand="Quellin"),
    )
    brief = wants(own_internal_w=20.0, one_brand=OneBrand.PREFER)
    return Case(stock(*speakers), brief, right="F R1", wrong="F R2")


def must_include() -> Case:
    """The brief insists on the lesser of two front speakers.

    Right: those. Without the rule the better ones.
    """
    speakers = front(sku="F1", rating=8.0), front(sku="F2")
    brief = wants(own_internal_w=20.0, must_include=("f2",))
    return Case(stock(*speakers), brief, right="F2", wrong="F1")


def budget_cap() -> Case:
    """120 to spend; front speakers at 200 and, of fewer points, at 100.

    Right: those at 100. Without the rule those at 200.
    """
    speakers = front(sku="F1", rating=8.0, price=200_00), front(sku="F2")
    return Case(stock(*speakers), wants(own_internal_w=20.0), right="F2", wrong="F1", cap=120_00)


CASES: dict[str, tuple[Callable[[], Case], ...]] = {
    "one_source": (one_source, one_source_beside_the_factory_unit),
    "fill_places": (fill_places, fill_places_that_are_required),
    "load_driven": (load_driven,),
    "supply_used": (supply_used, supply_used_of_a_head_unit),
    "powered_fed": (powered_fed,),
    "amplifier_count": (amplifier_count,),
    "stereo_pairs": (stereo_pairs,),
    "converter_where_needed": (converter_where_needed,),
    "enough_leads": (enough_leads,),
    "shared_kit": (shared_kit,),
    "own_kits": (own_kits,),
    "cable_reaches": (cable_reaches,),
    "treat_once": (treat_once, treat_once_where_required),
    "one_brand": (one_brand,),
    "brand_bonus": (brand_bonus,),
    "must_include": (must_include,),
    "budget_cap": (budget_cap,),
}
"""Cases by the constraint that they need."""

every_case = pytest.mark.parametrize(
    ("constraint", "make"),
    [pytest.param(name, make, id=make.__name__) for name, makers in CASES.items() for make in makers],
)


def refused(case: Case, proposal: Proposal) -> bool:
    """Whether the audit finds fault with a system, or another score than the program's."""
    assert proposal.system is not None
    vehicle = case.catalogue.vehicle(case.brief.vehicle)
    audited = audit(case.catalogue, case.brief, vehicle, case.cap, proposal.system)
    return bool(audited.refused) or audited.score != proposal.score


def test_every_constraint_has_a_case() -> None:
    """Whoever adds a constraint shows that it is needed."""
    assert set(CASES) == {constraint.__name__ for constraint in CONSTRAINTS} | {"budget_cap"}


@every_case
def test_whole_program_buys_the_right_system(constraint: str, make: Callable[[], Case]) -> None:
    """The parts worked out by hand, and the audit agrees."""
    case = make()
    found = answer(case.catalogue, case.brief, case.cap, case.weighing)
    assert found.status is Status.OPTIMAL, constraint
    assert skus(found.system) == tuple(case.right.split())
    assert not refused(case, found)


@every_case
def test_a_wrong_system_wins_without_the_constraint(constraint: str, make: Callable[[], Case]) -> None:
    """The parts worked out by hand, and the audit refuses them."""
    case = make()
    found = answer_without(constraint, case.catalogue, case.brief, case.cap, case.weighing)
    assert found.status is Status.OPTIMAL
    assert skus(found.system) == tuple(case.wrong.split())
    assert refused(case, found)


def test_dropping_nothing_changes_nothing() -> None:
    """The program written here without a constraint is the whole program but for that constraint."""
    case = shared_kit()
    assert answer_without("none of them", case.catalogue, case.brief) == answer(case.catalogue, case.brief)


def test_one_brand_asks_for_no_brand_where_nothing_with_a_brand_is_bought() -> None:
    """Sound deadening alone: no speakers, bass or amplifier are on sale, and none is required."""
    found = answer(stock(sheet()), wants(one_brand=OneBrand.MUST))
    assert (found.status, found.score, skus(found.system)) == (Status.OPTIMAL, 2500, ("D",))
