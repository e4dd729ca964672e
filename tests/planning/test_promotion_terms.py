"""Each term of a promotion is needed, whole decisions are whole, and another make of solver says the same."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest

from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.promotion import DiscountCeiling, Promotion
from budgetbuild.faults import SolverError
from budgetbuild.planning.promotion.decide import Desk
from budgetbuild.planning.promotion.terms import terms_of, tracked
from budgetbuild.program import promotion
from budgetbuild.program.goals import _bound
from budgetbuild.program.solver import FINE, Answer, Solution, Solver
from tests.planning import test_promotions as whole
from tests.planning.test_promotions import asked, drawn, key_of, tried

if TYPE_CHECKING:
    from pathlib import Path

NOTICED = {
    "something_in_it": 8,
    "within_cap": 1,
    "no_dearer_than_listed": 2,
    "within_ceilings": 24,
    "discount_without_tax": 2,
    "margin_floor": 12,
    "clear_enough": 0,
    "nothing_left_over": 154,
}
"""A seed whose bundle is another where the term does not hold: one that brute force or the audit calls wrong."""


def test_every_term_has_such_a_seed() -> None:
    assert set(NOTICED) == {term.__name__ for term in promotion.TERMS}


@pytest.mark.parametrize(("name", "seed"), NOTICED.items())
def test_without_a_term_a_wrong_bundle_wins(name: str, seed: int) -> None:
    whole.test_the_bundle_is_that_of_trying_every_one(seed)
    kept = tuple(term for term in promotion.TERMS if term.__name__ != name)
    with patch.object(promotion, "TERMS", kept), pytest.raises((AssertionError, AuditRefusedError, SolverError)):
        whole.test_the_bundle_is_that_of_trying_every_one(seed)


@pytest.mark.parametrize("seed", range(10))
def test_another_make_of_solver_finds_the_same_bundle(seed: int) -> None:
    some = drawn(seed)
    if tried(some):
        found = [Desk(Solver(name, fine=True)).best(asked(some), tracked(some.catalogue)) for name in ("highs", "cbc")]
        assert key_of(found[0]) == key_of(found[1])


@pytest.mark.slow
@pytest.mark.parametrize(
    "wanted",
    [
        Promotion(name="tier", brief="Replace everything", tier="Middle", sets=2, floor_share=Fraction(3, 10)),
        Promotion(name="floor", brief="Keep the factory head unit", price=999_00, sets=3, floor_share=Fraction(1, 4)),
        Promotion(name="ceiling", brief="Replace everything", price=1199_00, sets=2, floor=150_00),
    ],
    ids=lambda wanted: wanted.name,
)
def test_two_makes_of_solver_agree_on_the_sample(wanted: Promotion, sample_workbook: Path) -> None:
    """About 300 products, too many to try: score, margin to the cent, list total and parts."""
    ceilings = (DiscountCeiling(promotions=("ceiling",), about="all", most=Fraction(12, 100)),)
    catalogue = replace(load_catalogue(sample_workbook), promotions=(wanted,), discounts=ceilings)
    terms, stock = terms_of(catalogue, wanted), tracked(catalogue)
    found = [Desk(Solver(name, fine=True)).best(terms, stock) for name in ("highs", "cbc")]
    assert key_of(found[0]) == key_of(found[1])


def test_the_bound_of_what_is_proven_is_its_whole_value() -> None:
    """Decisions a millionth off move a sum by more than a thousandth; a bound that is not proven is never too good."""
    assert _bound(Solution(Answer.PROVEN, -74528.9978, -74528.9978)) == -74529
    assert _bound(Solution(Answer.FEASIBLE, -74000.0, -74528.9978)) == -74529


def test_a_fine_solver_is_told_so() -> None:
    assert Solver(fine=True).make(whole=True, time_limit=None).optionsDict["mip_feasibility_tolerance"] == FINE
    assert "mip_feasibility_tolerance" not in Solver().make(whole=True, time_limit=None).optionsDict
    assert f"integerTolerance {FINE}" in Solver("cbc", fine=True).make(whole=True, time_limit=None).options
