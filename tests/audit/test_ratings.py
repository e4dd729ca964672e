"""The audit reckons a rating once more that is reckoned from specifications, and refuses one that is another."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.catalogue.value import Criterion, Earned, Word
from tests.audit.handmade import FIVE_CHANNELS

if TYPE_CHECKING:
    from tests.audit.sound import Sound

RULE = "Rating from the Points sheet"
LOUD = Criterion(
    sheet="speakers", title="Speakers", column="Sensitivity dB", field="sensitivity_db",
    worst=Fraction(82), best=Fraction(92), most=Fraction(5),
)  # fmt: skip
KIND = Criterion(
    sheet="speakers", title="Speakers", column="Type", field="type",
    words=(Word("Component", Fraction(2)), Word("coaxial", Fraction(1))), most=Fraction(2),
)  # fmt: skip
CONE = Criterion(
    sheet="speakers", title="Speakers", column="Cone",
    words=(Word("glass fibre", Fraction(3)), Word("paper", Fraction(2))), most=Fraction(3),
)  # fmt: skip
"""A column of the shop's own."""
POINTS = (LOUD, KIND, CONE)
FRONT = "SP-F"
"""90 dB earn 4 of 5, a component set 2 of 2, paper 2 of 3: 8 of 10."""
EARNED = (Earned(LOUD, 90.0, Fraction(4)), Earned(KIND, "component", Fraction(2)), Earned(CONE, "paper", Fraction(2)))


def sound(points: tuple[Criterion, ...] = POINTS, cone: str = "paper", **front: Any) -> Sound:  # noqa: ANN401
    """The five-channel system with its front speakers' rating reckoned; keywords are fields of these speakers."""
    shop = FIVE_CHANNELS.catalogue
    speakers = tuple(replace(speaker, **front) if speaker.sku == FRONT else speaker for speaker in shop.speakers)
    told = (*EARNED[:2], replace(EARNED[2], value=cone))
    return replace(
        FIVE_CHANNELS, catalogue=replace(shop, speakers=speakers, points=points, reckoned={FRONT: told})
    )  # fmt: skip


def test_a_reckoned_rating_is_checked_and_typed_ones_are_not() -> None:
    checks = [check for check in sound().audited().checks if check.rule == RULE]
    assert [(check.subject, check.figure, check.limit, check.ok) for check in checks] == [
        (FRONT, 8, "equal to 8", True)
    ]
    assert "Keeney and Raiffa 1976" in checks[0].source
    assert not [check for check in FIVE_CHANNELS.audited().checks if check.rule == RULE]


def test_what_the_points_say_about_other_products_and_other_kinds_of_word_counts_for_nothing() -> None:
    """A yes is not the number one; what amplifiers earn is not asked of speakers."""
    power = replace(LOUD, sheet="amplifiers", title="Amplifiers", column="W at 4 ohm", field="w_at_4")
    assert not sound(points=(*POINTS, power)).refused()
    passed = replace(CONE, column="Tested", words=(Word("yes", Fraction(1)), Word(1.0, Fraction(2))), most=Fraction(2))
    tested = Earned(passed, True, Fraction(0))  # noqa: FBT003 - a cell that says yes
    told: dict[str, tuple[Earned, ...]] = {FRONT: (*EARNED, tested)}
    case = sound(points=(*POINTS, passed), rating=6.67)
    assert not replace(case, catalogue=replace(case.catalogue, reckoned=told)).refused()


@pytest.mark.parametrize(
    "spoilt",
    [
        sound(rating=8.01),
        sound(rating=None),
        sound(sensitivity_db=90.1),
        sound(sensitivity_db=None),
        sound(cone="glass fibre"),
        sound(points=(replace(LOUD, best=Fraction(93)), KIND, CONE)),
        sound(points=(LOUD, replace(KIND, most=Fraction(3)), CONE)),
        sound(points=(LOUD, KIND)),
        sound(points=()),
    ],
)  # fmt: skip
def test_a_rating_that_is_not_what_the_points_say_is_refused(spoilt: Sound) -> None:
    assert spoilt.refused() == {RULE}
