"""What is said of one system for several vehicles is recounted; whatever is not so stops the run."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from budgetbuild.audit.kit import passed_in_all
from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Covered, Part, Role
from budgetbuild.catalogue.kinds import KitFor, Location, Want
from budgetbuild.catalogue.shop import Place
from tests.kits.two import both, of, solved, stock
from tests.program import small

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.build import InVehicle

BRIEF = both(Fraction(2, 3), own_internal_w=20.0, rear=Want.NONE, bass=Want.NONE, deadening=Want.NONE)
RING = small.fascia(sku="Y", price=15_00, fits=KitFor.SPEAKER, location=Location.FRONT, size_mm=165.0)
CATALOGUE = stock(small.front(), RING, there={"front": Place(size_mm=130.0, depth_mm=70.0)})
BUILD = solved(CATALOGUE, BRIEF)
TIER = small.tier(small.PLENTY)
assert BUILD.covered is not None
SOUND: Covered = BUILD.covered


def changed(number: int, **values: object) -> Callable[[Covered], Covered]:
    """The system with something of one vehicle told otherwise."""

    def change(covered: Covered) -> Covered:
        some = list(covered.vehicles)
        some[number] = replace(some[number], **values)  # type: ignore[arg-type]
        return replace(covered, vehicles=tuple(some))

    return change


def other_parts(one: InVehicle) -> InVehicle:
    """The same with a part more."""
    system = one.audited.system
    more = replace(system, parts=(*system.parts, Part(Role.DEADENING, "D")))
    return replace(one, audited=replace(one.audited, system=more))


def test_what_is_so_passes() -> None:
    assert passed_in_all(BRIEF, TIER, SOUND, BUILD.score) is SOUND


WRONG: dict[str, tuple[Callable[[Covered], Covered], str]] = {
    "too few": (changed(0, covered=False), "it covers 1 of 2, asked are 2/3"),
    "another weight": (changed(0, weight=Fraction(7)), "not the weights of the sheet"),
    "a vehicle missing": (lambda covered: replace(covered, vehicles=covered.vehicles[:1]), "not the vehicles"),
    "another system": (
        lambda covered: replace(covered, vehicles=(covered.vehicles[0], other_parts(covered.vehicles[1]))),
        "has another system than",
    ),
}
"""What is told wrongly, and what the audit says."""


@pytest.mark.parametrize("name", WRONG)
def test_what_is_not_so_is_refused(name: str) -> None:
    change, said = WRONG[name]
    with pytest.raises(AuditRefusedError, match=said):
        passed_in_all(BRIEF, TIER, change(SOUND), BUILD.score)


def test_another_score_than_the_lowest_is_refused() -> None:
    with pytest.raises(AuditRefusedError, match="score 15001 as proposed, 15758 by the audit"):
        passed_in_all(BRIEF, TIER, SOUND, 15001)


def test_a_total_above_the_cap_is_refused_in_any_vehicle() -> None:
    with pytest.raises(AuditRefusedError, match="Fenn Coupe: 11500 cents"):
        passed_in_all(BRIEF, small.tier(110_00), SOUND, BUILD.score)


def test_a_vehicle_left_out_for_no_reason_is_refused() -> None:
    brief = replace(BRIEF, share=Fraction(1, 2))
    left_out = changed(1, covered=False)(SOUND)
    with pytest.raises(AuditRefusedError, match="Fenn Coupe is left out, and nothing is wrong with it"):
        passed_in_all(brief, TIER, left_out, BUILD.score)
    assert passed_in_all(brief, TIER, left_out, None) is left_out, "a search that was stopped may have missed it"


def test_a_failed_check_is_refused() -> None:
    one = of(BUILD, "Fenn Coupe").audited
    failed = replace(one, checks=(replace(one.checks[0], ok=False), *one.checks[1:]))
    with pytest.raises(AuditRefusedError, match=one.checks[0].rule):
        passed_in_all(BRIEF, TIER, changed(1, audited=failed)(SOUND), BUILD.score)
