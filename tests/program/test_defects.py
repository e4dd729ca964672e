"""What the catalogue checks or the program itself rule out raises where it happens all the same: nothing is guessed."""

from __future__ import annotations

import pytest

from budgetbuild.build import Role
from budgetbuild.catalogue.kinds import Work
from budgetbuild.faults import SolverError
from budgetbuild.program.goals import achieve, lowest_price
from budgetbuild.program.offer import Offer, rating_of
from budgetbuild.program.robust import Place, Slot, Uncertain
from budgetbuild.program.solver import Clock, Solver
from budgetbuild.program.speakers import ohm_of
from tests.program.small import car, front, powered, program_of, stock, wants


def test_fitting_work_without_a_rate_or_hours_is_never_taken_as_free() -> None:
    fitted = Offer(stock(), wants(fitted=True), car())
    with pytest.raises(LookupError, match=r"^no labour rate or hours for front$"):
        fitted.labour(Work.FRONT)
    assert Offer(stock(), wants(), car()).labour(Work.FRONT) == 0


def test_a_part_that_scores_and_has_no_rating_is_never_taken_as_worth_nothing() -> None:
    with pytest.raises(ValueError, match=r"^F has no rating$"):
        rating_of(front(rating=None))
    assert rating_of(front(rating=0.0)) == 0


def test_a_subwoofer_without_a_load_is_never_given_one() -> None:
    with pytest.raises(ValueError, match=r"^P states no load$"):
        ohm_of(powered())


def test_a_question_without_a_goal_has_no_answer() -> None:
    program = program_of(stock(front()), wants())
    with pytest.raises(ValueError, match=r"^no goal to achieve$"):
        achieve(program, (), [], Solver(), Clock())
    assert achieve(program, (), [lowest_price(program)], Solver(), Clock()).values == (0,)


def test_a_case_of_rising_prices_that_was_known_was_broken_by_the_solver() -> None:
    question = Uncertain(program_of(stock(front()), wants()), ())
    case = (Place((Slot(Role.FRONT),)),)
    assert question.learn(case) == case
    with pytest.raises(SolverError, match="breaks a row that holds it to the cap if prices rise"):
        question.learn(case)
