"""Is the published guide still true: what drifts by each change of a price list, and what is then proposed."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest

from budgetbuild.audit.repair import exchanges, parts_changed, recounted
from budgetbuild.audit.verdict import AuditRefusedError
from budgetbuild.build import Part, Role, Standing, Status, Weight
from budgetbuild.catalogue.kinds import Want
from budgetbuild.catalogue.shop import Settings
from budgetbuild.faults import Cell, Fault, Severity, SolverError, UserInputError
from budgetbuild.planning import recheck as planning
from budgetbuild.planning.recheck import How, recheck
from budgetbuild.program.repair import Mended
from budgetbuild.program.solve import Proposal
from budgetbuild.published import read_published
from tests.program.small import car, front, lead, stereo, wants
from tests.recheck.shop import (
    BRIEF,
    SHEETS_OF_DEADENING,
    TIER,
    codes,
    later,
    list_of,
    only,
    published,
    rechecked,
    written,
)

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.build import Rechecked

OTHER_FRONT = front(sku="F2", brand="Orvane", model="Front 5", rating=5.0, price=90_00)
"""A worse one, and cheaper."""


def drifted(folder: Path, changes: dict[str, dict[str, Any] | None], *more: Any, **columns: Any) -> Rechecked:  # noqa: ANN401 - products
    """The one build of the list, after some changes of products."""
    before = list_of(*more, **columns)
    return only(rechecked(before, later(before, changes), folder))


def test_a_list_that_has_not_changed_keeps_everything_true(tmp_path: Path) -> None:
    found = rechecked(list_of(OTHER_FRONT), list_of(OTHER_FRONT), tmp_path)
    build = only(found)
    assert (found.holds, found.beaten, found.unpublished) == (True, False, ())
    assert (build.standing, build.drifts, build.repair) == (Standing.HOLDS, (), None)
    assert build.total == build.published.total == 310_00
    assert build.best
    assert (build.best.parts_changed, build.best.exchanges) == (0, ())


def test_products_that_nobody_chose_may_change_as_they_like(tmp_path: Path) -> None:
    build = drifted(tmp_path, {"F2": None}, OTHER_FRONT)
    assert (build.standing, build.drifts) == (Standing.HOLDS, ())


def test_another_price_within_the_cap_asks_for_other_figures(tmp_path: Path) -> None:
    build = drifted(tmp_path, {"L": {"price": 35_00}}, OTHER_FRONT)
    (drift,) = build.drifts
    assert (drift.code, drift.subject, drift.before, drift.after, drift.weight) == (
        "price", "L", 30_00, 35_00, Weight.PRINTED,
    )  # fmt: skip
    assert (build.standing, build.total, build.repair) == (Standing.FIGURES, 315_00, None)


def test_a_price_that_leaves_the_cap_is_mended_with_the_fewest_parts(tmp_path: Path) -> None:
    build = drifted(tmp_path, {"L": {"price": 60_00}}, OTHER_FRONT)
    assert codes(build) == ["over-cap", "price"]
    assert (build.standing, build.total) == (Standing.PARTS, 340_00)
    assert build.repair
    assert build.repair.audited
    assert (build.repair.parts_changed, build.repair.fewest, build.repair.status) == (1, 1, Status.OPTIMAL)
    (change,) = build.repair.exchanges
    assert (change.role, change.before, change.after) == (
        Role.FRONT, (Part(Role.FRONT, "F"),), (Part(Role.FRONT, "F2"),),
    )  # fmt: skip
    assert build.repair.audited.total == 330_00
    assert build.repair.audited.score - (build.published.score or 0) == -2_500  # 25 points x (5 - 6) / 10


def test_the_cap_itself_is_within_it_and_a_cent_above_is_not(tmp_path: Path) -> None:
    within = drifted(tmp_path, {"L": {"price": TIER.cap - 280_00}}, OTHER_FRONT)
    above = drifted(tmp_path, {"L": {"price": TIER.cap - 280_00 + 1}}, OTHER_FRONT)
    assert (within.total, within.standing) == (TIER.cap, Standing.FIGURES)
    assert (above.total, above.standing) == (TIER.cap + 1, Standing.PARTS)


@pytest.mark.parametrize(("change", "code"), [(None, "gone"), ({"active": False}, "not-offered")])
def test_a_product_that_is_gone_or_no_longer_offered_is_replaced(
    change: dict[str, Any] | None, code: str, tmp_path: Path
) -> None:
    build = drifted(tmp_path, {"F": change}, OTHER_FRONT)
    assert codes(build)[0] == code
    assert build.standing is Standing.PARTS
    assert (build.audited is None) == (change is None)
    assert build.repair
    assert build.repair.parts_changed == 1


def test_a_sku_that_another_product_took_over_by_name_is_pointed_out(tmp_path: Path) -> None:
    build = drifted(tmp_path, {"F": {"sku": "F-new"}})
    assert [(drift.code, drift.figures) for drift in build.drifts] == [("gone", {"near": "F-new"})]
    assert build.repair
    assert build.repair.parts_changed == 1


def test_a_sku_that_is_now_another_kind_of_product_is_no_longer_that_part(tmp_path: Path) -> None:
    before = list_of(OTHER_FRONT)
    after = later(before, {"F": None})
    after = replace(after, deadening=(replace(SHEETS_OF_DEADENING, sku="F", at=Cell("Deadening", 4)),))
    build = only(rechecked(before, after, tmp_path))
    assert [(drift.code, drift.before, drift.after) for drift in build.drifts] == [("other-kind", "front", "Deadening")]
    assert build.standing is Standing.PARTS


def test_another_name_and_another_rating_are_printed_anew(tmp_path: Path) -> None:
    """The front earns 25 x 6 / 10, and then 7 / 10; 3 points of amplification and 5 of match stay."""
    build = drifted(tmp_path, {"F": {"model": "Front 6 mk II", "rating": 7.0}})
    assert [(drift.code, drift.before, drift.after) for drift in build.drifts] == [
        ("name", "Orvane Front 6", "Orvane Front 6 mk II"), ("rating", 6.0, 7.0), ("score", 23_000, 25_500),
    ]  # fmt: skip
    assert build.standing is Standing.FIGURES


def test_a_shelf_that_ran_short_is_told_and_one_that_was_told_to_be_is_not(tmp_path: Path) -> None:
    build = drifted(tmp_path, {"F": {"stock": 0}})
    (drift,) = build.drifts
    assert (drift.code, drift.subject, drift.after, drift.figures["wanted"]) == ("stock", "F", 0, 1)
    assert (build.standing, build.repair) == (Standing.FIGURES, None)
    short = list_of()
    short = later(short, {"F": {"stock": 0}})
    again = only(rechecked(short, short, tmp_path))
    assert (again.standing, again.drifts) == (Standing.HOLDS, ())
    full = only(rechecked(short, later(short, {"F": {"stock": 5}}), tmp_path))
    assert [(drift.code, drift.weight) for drift in full.drifts] == [("in-stock", Weight.NOTE)]
    assert full.standing is Standing.HOLDS


def test_a_shelf_that_ran_short_is_told_beside_a_product_that_is_gone(tmp_path: Path) -> None:
    build = drifted(tmp_path, {"F": None, "A": {"stock": 0}}, OTHER_FRONT)
    assert codes(build) == ["gone", "stock"]


def test_a_rule_that_is_no_longer_met_breaks_the_system(tmp_path: Path) -> None:
    """The amplifier gives 10 W now, less than a quarter of what the speakers are rated for."""
    build = drifted(tmp_path, {"A": {"w_at_4": 10.0, "bridged_w_at_4": None}}, stereo(sku="A2", price=125_00))
    rule = next(drift for drift in build.drifts if drift.code == "rule")
    assert (rule.weight, rule.subject) == (Weight.BREAKS, "front")
    assert build.standing is Standing.PARTS
    assert build.repair
    assert [change.after for change in build.repair.exchanges] == [(Part(Role.AMPLIFIER, "A2"),)]


def test_a_figure_that_is_printed_otherwise_but_still_met_is_told(tmp_path: Path) -> None:
    build = drifted(tmp_path, {"A": {"w_at_4": 55.0}})
    assert "rule" not in codes(build)
    figure = next(drift for drift in build.drifts if drift.code == "figure")
    assert figure.before != figure.after
    assert build.standing is Standing.FIGURES


def test_a_caution_that_is_due_now_is_told_and_one_that_is_not_any_more_only_noted(tmp_path: Path) -> None:
    """The reel is copper-clad now: nothing forbids it, and the customer must be told."""
    measured, unknown = list_of(), list_of(vehicle=car(signal_run_m=None))
    due = only(rechecked(measured, unknown, tmp_path))
    assert [(d.code, d.after, d.weight) for d in due.drifts if d.code == "caution"] == [
        ("caution", "measure-first", Weight.PRINTED)
    ]
    gone = only(rechecked(unknown, measured, tmp_path))
    assert [(d.code, d.before, d.weight) for d in gone.drifts if d.code == "caution-gone"] == [
        ("caution-gone", "measure-first", Weight.NOTE)
    ]


def test_labour_counts_as_its_lines_do(tmp_path: Path) -> None:
    fitted, rich = replace(BRIEF, fitted=True), replace(TIER, budget=600_00)
    before = list_of(brief=fitted, tier=rich)
    dearer = list_of(brief=fitted, tier=rich, settings=Settings(tax_rate=Fraction(21, 100), labour_rate=66_00))
    build = only(rechecked(before, dearer, tmp_path))
    assert [(d.code, d.subject, d.before, d.after) for d in build.drifts] == [
        ("labour", "Fitting: front", 60_00, 66_00), ("labour", "Fitting: amplifier", 60_00, 66_00),
    ]  # fmt: skip
    assert build.total == (build.published.total or 0) + 12_00
    unfitted = only(rechecked(before, list_of(tier=rich), tmp_path))
    assert [(d.code, d.before, d.after) for d in unfitted.drifts] == [("labour", 60_00, None)] * 2


def test_another_tax_rate_and_another_currency(tmp_path: Path) -> None:
    build = only(rechecked(list_of(), list_of(settings=Settings(tax_rate=Fraction(19, 100))), tmp_path))
    assert [(d.code, d.before, d.after) for d in build.drifts] == [("tax", 0.21, 0.19)]
    with pytest.raises(UserInputError) as caught:
        rechecked(list_of(), list_of(settings=Settings(currency="SEK")), tmp_path)
    assert caught.value.faults[0].code == "other-currency"


def test_another_budget_or_allowance_is_told_and_held_to(tmp_path: Path) -> None:
    richer = only(rechecked(list_of(), list_of(tier=replace(TIER, budget=400_00)), tmp_path))
    assert [(d.code, d.before, d.after) for d in richer.drifts] == [
        ("budget", 330_00, 400_00), ("cap", 333_30, 404_00),
    ]  # fmt: skip
    strict = only(rechecked(list_of(), list_of(tier=replace(TIER, budget=300_00)), tmp_path))
    assert strict.standing is Standing.PARTS
    assert codes(strict)[0] == "over-cap"
    assert strict.tier.cap == 303_00


def test_a_tier_that_is_gone_leaves_the_published_cap(tmp_path: Path) -> None:
    build = only(rechecked(list_of(), list_of(tier=replace(TIER, name="Other")), tmp_path))
    assert codes(build) == ["tier-gone"]
    assert (build.standing, build.tier.cap) == (Standing.FIGURES, TIER.cap)


def test_a_budget_typed_at_the_counter_is_no_tier_of_the_list(tmp_path: Path) -> None:
    quoted = list_of(tier=replace(TIER, name="€330.00"))
    assert only(rechecked(quoted, list_of(), tmp_path)).standing is Standing.HOLDS


def test_what_is_no_longer_asked_for_is_withdrawn(tmp_path: Path) -> None:
    before = list_of()
    no_brief = only(rechecked(before, list_of(brief=replace(BRIEF, name="Other")), tmp_path))
    assert (codes(no_brief), no_brief.standing) == (["brief-gone"], Standing.WITHDRAWN)
    other = replace(BRIEF, name="Other")
    unused = replace(before, briefs=(BRIEF, other), tiers=(replace(TIER, briefs=("Other",)),))
    no_tier = only(rechecked(before, unused, tmp_path))
    assert (codes(no_tier), no_tier.standing) == (["brief-unused"], Standing.WITHDRAWN)
    no_vehicle = only(rechecked(before, replace(before, vehicles=(car(name="Other"),)), tmp_path))
    assert (codes(no_vehicle), no_vehicle.standing) == (["vehicle-gone"], Standing.WITHDRAWN)
    assert (no_vehicle.repair, no_vehicle.best, no_vehicle.audited) == (None, None, None)


def test_a_brief_that_moved_to_another_tier_or_vehicle_is_still_held(tmp_path: Path) -> None:
    before, other = list_of(), replace(BRIEF, name="Other")
    tiers = (replace(TIER, briefs=("Other",)), replace(TIER, name="Next", briefs=(BRIEF.name,)))
    moved = rechecked(before, replace(before, briefs=(BRIEF, other), tiers=tiers), tmp_path)
    assert codes(only(moved)) == ["brief-left-tier"]
    assert moved.unpublished == (("Entry", "Other"), ("Next", "Front only"))
    two_cars = replace(before, vehicles=(*before.vehicles, car(name="Fenn Coupe", at=Cell("Vehicles", 3))))
    driving = replace(two_cars, briefs=(replace(BRIEF, vehicle="Fenn Coupe"),))
    elsewhere = only(rechecked(before, driving, tmp_path))
    assert (codes(elsewhere), elsewhere.standing) == (["other-vehicle"], Standing.FIGURES)
    row = before.vehicles[0].at
    spoilt = Fault(Cell(row.sheet, row.row, 5), "not-a-number", "?", "a number", "mend it", Severity.WARNING)
    unread = only(rechecked(before, replace(driving, warnings=(spoilt,)), tmp_path))
    assert (unread.standing, "vehicle-unread" in codes(unread)) == (Standing.WITHDRAWN, True)


def test_a_brief_that_is_now_for_several_vehicles_is_held_in_the_published_one(tmp_path: Path) -> None:
    before = list_of()
    for_both = replace(BRIEF, vehicle="", vehicles=("Marl Estate", "Fenn Coupe"))
    cars = (*before.vehicles, car(name="Fenn Coupe", at=Cell("Vehicles", 3)))
    found = rechecked(before, replace(before, vehicles=cars, briefs=(for_both,)), tmp_path)
    (drift,) = only(found).drifts
    assert (drift.code, drift.before, drift.after) == ("other-vehicle", "Marl Estate", "Marl Estate, Fenn Coupe")
    assert (only(found).standing, found.unpublished) == (Standing.FIGURES, ())


def test_a_wish_that_changed_is_a_rule_no_longer_met(tmp_path: Path) -> None:
    after = list_of(OTHER_FRONT, brief=replace(BRIEF, leave_out=("F",)))
    build = only(rechecked(list_of(OTHER_FRONT), after, tmp_path))
    assert (build.standing, codes(build)) == (Standing.PARTS, ["rule"])
    assert build.repair
    assert build.repair.parts_changed == 1


def test_a_better_system_is_told_where_the_published_one_may_stay(tmp_path: Path) -> None:
    better = front(sku="F9", price=100_00, rating=9.0)
    found = rechecked(list_of(), list_of(better), tmp_path)
    build = only(found)
    assert (found.holds, found.beaten, build.standing) == (True, True, Standing.HOLDS)
    assert build.best
    assert [change.after for change in build.best.exchanges] == [(Part(Role.FRONT, "F9"),)]
    cheaper = rechecked(list_of(), list_of(front(sku="F0", price=99_00)), tmp_path)
    assert (cheaper.holds, cheaper.beaten) == (True, True)
    level = rechecked(list_of(), list_of(front(sku="A-front")), tmp_path)
    assert (level.holds, level.beaten) == (True, False)


def test_the_fewest_changes_and_the_best_system_may_differ(tmp_path: Path) -> None:
    """Another front alone mends it; with the amplifier that is new on the list it is worth more."""
    now = list_of(OTHER_FRONT, stereo(sku="A9", price=60_00, rating=9.0))
    build = only(rechecked(list_of(), later(now, {"F": {"active": False}}), tmp_path))
    assert build.repair
    assert build.best
    assert (build.repair.parts_changed, build.best.parts_changed) == (1, 2)
    assert build.repair.audited
    assert build.best.audited
    assert build.repair.audited.score < build.best.audited.score


def test_where_nothing_can_mend_it_the_reason_is_told(tmp_path: Path) -> None:
    build = drifted(tmp_path, {"F": {"active": False}})
    assert (build.standing, build.repair) == (Standing.PARTS, None)
    assert build.best
    assert build.best.status is Status.INFEASIBLE
    assert build.no_build
    assert build.no_build.least_total is None
    assert build.no_build.obstacles[0].code == "nothing-for-location"


def test_a_tier_that_had_no_system_and_its_least_price(tmp_path: Path) -> None:
    poor = replace(TIER, budget=200_00)
    still = only(rechecked(list_of(tier=poor), list_of(tier=poor), tmp_path))
    assert (still.standing, still.drifts, still.audited) == (Standing.HOLDS, (), None)
    dearer = later(list_of(tier=poor), {"L": {"price": 40_00}})
    least = only(rechecked(list_of(tier=poor), dearer, tmp_path))
    assert [(d.code, d.before, d.after) for d in least.drifts] == [("least-total", 310_00, 320_00)]
    assert least.standing is Standing.FIGURES
    possible = only(rechecked(list_of(tier=poor), later(list_of(tier=poor), {"A": {"price": 1_00}}), tmp_path))
    assert (codes(possible), possible.standing) == (["possible"], Standing.POSSIBLE)
    assert possible.best
    assert possible.best.audited


def test_a_search_that_is_stopped_proposes_the_best_of_the_curve_alone(tmp_path: Path) -> None:
    before = list_of(OTHER_FRONT)
    found = rechecked(before, later(before, {"F": None}), tmp_path, How(time_limit_s=0.0))
    build = only(found)
    assert build.standing is Standing.PARTS
    assert build.repair
    assert build.best
    assert (build.repair.status, build.repair.audited) == (Status.TIME_LIMIT, None)
    assert (build.best.status, build.no_build) == (Status.TIME_LIMIT, None)
    assert build.best.audited
    solved = only(rechecked(before, later(before, {"F": None}), tmp_path))
    assert solved.best
    assert build.best.audited == solved.best.audited


def test_a_stopped_search_does_not_hide_whether_a_system_is_possible(tmp_path: Path) -> None:
    """The cheapest system is found without the solver: so what was said to be impossible is held against it."""
    poor, stopped = list_of(tier=replace(TIER, budget=200_00)), How(time_limit_s=0.0)
    still = only(rechecked(poor, poor, tmp_path, stopped))
    assert (still.standing, still.drifts) == (Standing.HOLDS, ())
    possible = only(rechecked(poor, later(poor, {"A": {"price": 1_00}}), tmp_path, stopped))
    assert (possible.standing, codes(possible), possible.no_build) == (Standing.POSSIBLE, ["possible"], None)
    none = only(rechecked(list_of(), later(list_of(), {"F": {"active": False}}), tmp_path, stopped))
    assert (none.standing, none.repair) == (Standing.PARTS, None)
    assert none.no_build


def test_a_search_that_was_stopped_then_promised_nothing(tmp_path: Path) -> None:
    path = written(list_of(tier=replace(TIER, budget=200_00)), tmp_path)
    data = json.loads(path.read_bytes())
    data["builds"][0]["status"] = "time limit"
    path.write_text(json.dumps(data), "utf-8")
    found = recheck(list_of(), read_published(path))
    assert (only(found).standing, codes(only(found))) == (Standing.FIGURES, ["budget", "cap"])


def test_a_best_build_without_a_repair_is_a_defect(tmp_path: Path) -> None:
    before = list_of(OTHER_FRONT)
    none = Mended(Proposal(Status.INFEASIBLE))
    with patch.object(planning, "fewest_changes", return_value=none), pytest.raises(SolverError, match="none of the"):
        rechecked(before, later(before, {"F": None}), tmp_path)


def test_programs_are_shared_between_tiers_of_a_brief(tmp_path: Path) -> None:
    """Two tiers with different systems, both kept as candidates, both still true."""
    tiers = (TIER, replace(TIER, name="Lower", budget=305_00))
    before = replace(list_of(OTHER_FRONT, front(sku="F8", price=70_00, rating=4.0)), tiers=tiers)
    found = rechecked(before, before, tmp_path)
    assert [build.standing for build in found.builds] == [Standing.HOLDS] * 2
    assert len({build.published.system for build in found.builds}) == 2


def test_changes_are_counted_again_from_the_lists_alone() -> None:
    before = (Part(Role.AMPLIFIER, "A", 2), Part(Role.SPEAKER_CABLE, "C", 2), Part(Role.FRONT, "F"))
    after = (
        Part(Role.AMPLIFIER, "A"),
        Part(Role.AMPLIFIER, "B"),
        Part(Role.SPEAKER_CABLE, "C", 3),
        Part(Role.REAR, "F"),
    )
    found = recounted(before, after, 4)
    assert [(change.role, len(change.before), len(change.after)) for change in found] == [
        (Role.FRONT, 1, 0), (Role.REAR, 0, 1), (Role.AMPLIFIER, 1, 1), (Role.SPEAKER_CABLE, 1, 1),
    ]  # fmt: skip
    assert parts_changed(exchanges(before, before)) == 0
    with pytest.raises(AuditRefusedError, match="3 parts changed as proposed, 4 by the audit"):
        recounted(before, after, 3)


def test_several_builds_keep_the_order_of_the_guide(tmp_path: Path) -> None:
    two = wants(name="With rear", front=Want.REQUIRED, rear=Want.OPTIONAL, bass=Want.NONE, amplifier=Want.REQUIRED)
    before = replace(list_of(lead(sku="L2")), briefs=(BRIEF, two))
    found = recheck(before, published(before, tmp_path))
    assert [build.published.brief for build in found.builds] == ["Front only", "With rear"]
