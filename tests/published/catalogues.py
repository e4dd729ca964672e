"""Published single-budget instances as catalogues: class = role, option = product, price = weight, rating from value.

Five roles that score can be filled without any part depending on another: source, front, rear, bass, treatment.
An instance of more classes is packed into five, each option of a packed class being one choice from each of its
classes; that changes no optimum. All else that a system needs exists once and costs one cent.
"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.catalogue.items import Deadening, FittingKit, HeadUnit, PowerKit, SignalLead, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import Conductor, HeadUnitMode, KitFor, Opening, SpeakerType, SubwooferType, Want
from budgetbuild.catalogue.shop import Brief, Catalogue, Place, Vehicle, Weights
from tests.published.instances import Option

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.published.instances import Instance

ROLES = 5
FIXED_CENTS = 3
"""Fitting kit, power kit and signal lead, a cent each."""
MOST_W = 20.0
NOTHING = (Option(0, (0,)),)


class Problem(NamedTuple):
    """A brief to solve within a cap in cents; the score in thousandths is the instance's value."""

    catalogue: Catalogue
    brief: Brief
    vehicle: Vehicle
    cap: int


class Priced(NamedTuple):
    """One product to be: its price in cents and its rating."""

    sku: str
    price: int
    rating: float


def packed(classes: Sequence[tuple[Option, ...]]) -> list[tuple[Option, ...]]:
    """The same choice in five classes: the two smallest are merged until five are left.

    >>> half = (Option(0, (0,)), Option(3, (2,)))
    >>> [len(options) for options in packed([half] * 7)]
    [2, 2, 2, 4, 4]
    """
    packs = sorted([*classes, *[NOTHING] * (ROLES - len(classes))], key=len)
    while len(packs) > ROLES:
        first, second, *rest = packs
        merged = tuple(
            Option(one.value + other.value, (one.uses[0] + other.uses[0],)) for one, other in product(first, second)
        )
        packs = sorted([*rest, merged], key=len)
    return packs


def priced(role: str, options: Sequence[Option], best: int) -> list[Priced]:
    """Products of one role; a cent is added to every price, so that "nothing" too has one."""
    return [
        Priced(f"{role}-{number:04}", option.uses[0] + 1, 10 * option.value / best)
        for number, option in enumerate(options)
    ]


def as_problem(instance: Instance) -> Problem:
    """One instance with a single capacity, as a brief to solve."""
    packs = packed(instance.classes)
    best = max(option.value for options in packs for option in options)
    points = best / 1000
    source, front, rear, bass, treatment = (
        priced(role, options, best) for role, options in zip(("SRC", "FRT", "REA", "BAS", "TRE"), packs, strict=True)
    )
    catalogue = Catalogue(
        head_units=tuple(
            HeadUnit(**each._asdict(), preout_pairs=1, internal_w=MOST_W, opening=Opening.DOUBLE) for each in source
        ),
        speakers=tuple(speaker(each, 165) for each in front) + tuple(speaker(each, 130) for each in rear),
        subwoofers=tuple(
            Subwoofer(**each._asdict(), type=SubwooferType.POWERED, rms_w=100, fuse_a=10) for each in bass
        ),
        deadening=tuple(Deadening(**each._asdict(), sheet_m2=1.6) for each in treatment),
        power_kits=(PowerKit(sku="KIT", price=1, awg=4, conductor=Conductor.COPPER, length_m=6, fuse_a=60),),
        signal_leads=(SignalLead(sku="LEAD", price=1, channels=2, length_m=6),),
        fitting_kits=(FittingKit(sku="FIT", price=1, fits=KitFor.HEAD_UNIT, any_vehicle=True),),
        vehicles=(the_vehicle(),),
        weights=Weights(
            source=points, front=points, rear=points, bass=points, treatment=points, amplification=0, match=0
        ),
    )
    cap = instance.capacities[0] + ROLES + FIXED_CENTS
    return Problem(catalogue, the_brief(), the_vehicle(), cap)


def speaker(each: Priced, size_mm: float) -> Speaker:
    """A pair of speakers that the head unit's internal amplifier drives at power ratio 1."""
    return Speaker(**each._asdict(), type=SpeakerType.COAXIAL, size_mm=size_mm, depth_mm=50, ohm=4, rms_w=MOST_W)


def the_brief() -> Brief:
    """Every role required, no external amplifier."""
    return Brief(
        name="published",
        vehicle="Any",
        head_unit=HeadUnitMode.REPLACE,
        front=Want.REQUIRED,
        rear=Want.REQUIRED,
        bass=Want.REQUIRED,
        amplifier=Want.NONE,
        deadening=Want.REQUIRED,
    )


def the_vehicle() -> Vehicle:
    """A vehicle whose front and rear take speakers of different sizes, so that each class keeps its place."""
    return Vehicle(
        name="Any",
        opening=Opening.DOUBLE,
        front=Place(size_mm=165, depth_mm=80, tweeter_place=True),
        rear=Place(size_mm=130, depth_mm=80, tweeter_place=True),
        power_run_m=5,
        signal_run_m=5,
        door_m2=1.6,
    )
