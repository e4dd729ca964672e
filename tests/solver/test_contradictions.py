"""Where no budget curve stands beside an answer of the solver, other things known contradict a wrong one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from budgetbuild.build import Climbing, NoBundle, Status
from budgetbuild.catalogue.kinds import Want
from budgetbuild.faults import SolverError
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.planning import certain, recheck
from budgetbuild.planning.promotion.decide import Desk
from budgetbuild.planning.promotion.reasons import no_bundle
from budgetbuild.planning.promotion.terms import terms_of, tracked
from budgetbuild.program import ladder
from budgetbuild.program.constraints import Row
from budgetbuild.program.goals import Choice, highest_score, pursue
from budgetbuild.program.solve import Proposal
from budgetbuild.program.solver import Answer, Clock, Solution, Solver
from budgetbuild.report.words.promotions_shop import reasons
from tests.planning.test_certain import speakers
from tests.planning.test_ladder import LARGE, SMALL, SPEAKERS, shop, steps
from tests.planning.test_promotions_by_hand import SPEAKERS as PROMOTED
from tests.planning.test_promotions_by_hand import promoted
from tests.planning.test_promotions_by_hand import shop as promoting
from tests.program.small import PLENTY, front, program_of, stock, tier, wants
from tests.recheck.shop import list_of, rechecked
from tests.report.test_promotions import VOICE, bundle

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def always(answer: object) -> Callable[..., object]:
    """Whatever is asked, the same is answered."""
    return lambda *_, **__: answer


NO_SYSTEM = Proposal(Status.INFEASIBLE)


@pytest.mark.parametrize("lie", [NO_SYSTEM, Proposal(Status.OPTIMAL, None, 0, 0, 0)])
def test_a_recheck_holds_todays_best_against_the_curve(
    lie: Proposal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It tells what scores more today, so a second best must not pass for the best."""
    monkeypatch.setattr(recheck, "best", always(lie))
    with pytest.raises(SolverError, match=r"the integer program says .* the budget curve"):
        rechecked(list_of(), list_of(), tmp_path)


def test_a_recheck_without_contradiction_passes(tmp_path: Path) -> None:
    assert rechecked(list_of(), list_of(), tmp_path).builds[0].best


def test_no_build_that_holds_if_prices_rise_and_a_least_cap_that_is_met_stop_the_run(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    catalogue = speakers(("F", 100_00, 130_00, 6.0), ("G", 105_00, 110_00, 5.0))
    required = replace(catalogue.briefs[0], front=Want.REQUIRED)
    catalogue = replace(catalogue, briefs=(required,), tiers=(tier(115_00),))
    assert solve_all(catalogue, Run(rising=1)).beside.certain[0].met
    monkeypatch.setattr(certain, "best_protected", always(NO_SYSTEM))
    with pytest.raises(SolverError, match="that none is possible, then finds one"):
        solve_all(catalogue, Run(rising=1))


def test_a_build_that_holds_if_prices_rise_and_scores_more_than_any_stops_the_run(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whoever may be certain can choose among fewer."""
    catalogue = replace(speakers(("F", 100_00, 130_00, 6.0)), tiers=(tier(110_00),))
    (best,) = solve_all(catalogue, Run()).builds
    assert best.audited
    too_good = Proposal(Status.OPTIMAL, best.audited.system, best.audited.score + 1, best.total, best.audited.score + 1)
    monkeypatch.setattr(certain, "best_protected", always(too_good))
    with pytest.raises(SolverError, match="that no system scores as much, then finds one"):
        solve_all(catalogue, Run(rising=1))


def test_no_upgrade_path_at_all_is_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever buys nothing after the first step has climbed."""
    catalogue = shop([SMALL, LARGE], SPEAKERS, steps(60_00, 160_00))
    monkeypatch.setattr(ladder, "achieve", always(Choice(Status.INFEASIBLE)))
    with pytest.raises(SolverError, match="there always is one"):
        solve_all(catalogue, Run(climbing=Climbing.ASIDE))


def test_what_is_known_to_be_possible_is_never_called_impossible() -> None:
    """A choice to be beaten, and rows that nothing meets: one of them is wrong."""
    program = program_of(stock(front()), wants(own_internal_w=20.0))
    never = [Row("never", [(0, 1.0)], 2, None)]
    known = Solution(Answer.PROVEN, -1.0, -1.0, (0,))
    assert pursue(program, never, [highest_score(program)], Solver(), Clock()).choice.status is Status.INFEASIBLE
    with pytest.raises(SolverError, match="there is no choice, and one is known"):
        pursue(program, never, [highest_score(program)], Solver(), Clock(), known)


def test_reasons_against_a_promotion_that_were_not_looked_for_to_the_end_are_not_told_as_all() -> None:
    """In no time nothing is found that would help; that is not to say that nothing would."""
    catalogue = replace(promoting(*PROMOTED), promotions=(promoted(price=90_00, floor=PLENTY),))
    terms = terms_of(catalogue, catalogue.promotions[0])
    sought = no_bundle(Desk(Solver(fine=True)), terms, tracked(catalogue))
    assert sought.sought
    assert sought.waivers
    stopped = no_bundle(Desk(Solver(fine=True), 0.0), terms, tracked(catalogue))
    assert (stopped.sought, stopped.waivers, stopped.pairs) == (False, (), ())


@pytest.mark.parametrize(
    ("why", "told"),
    [
        (NoBundle(sought=False), "Time ran out before it was found which of its terms"),
        (NoBundle(pairs=(("floor", "stock"),), sought=False), "Time ran out before all terms were tried alone"),
    ],
)
def test_what_was_not_looked_for_to_the_end_has_its_words(why: NoBundle, told: str) -> None:
    said, _ = reasons(replace(bundle(2), no_bundle=why), {}, VOICE)
    assert told in " ".join(said)
    assert "nor do any two" not in " ".join(said)
