"""What the outputs show: chosen and ordered once, never what the audit refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from budgetbuild.build import Check, Feed, Part, PricedLine, Role
from budgetbuild.catalogue.kinds import AerialUse, OneBrand, Want
from budgetbuild.report.content import report_content
from budgetbuild.report.pictures.wiring import wiring
from budgetbuild.report.words import reasons
from budgetbuild.report.words.notation import Notation, gauge
from budgetbuild.report.words.wording import decided
from tests.report import fixtures


def test_builds_stand_tier_by_tier_and_brief_by_brief() -> None:
    report = report_content(fixtures.every_build(), fixtures.CATALOGUE)
    assert [shown.title for shown in report.builds] == [
        "Starter: New head unit", "Starter: Keep factory", "Starter: Keep own", "Middle: New head unit",
        "Middle: Keep factory", "Full: Keep own",
    ]  # fmt: skip
    assert len({shown.anchor for shown in report.builds}) == 6


def test_a_price_stands_once_and_every_line_finds_it() -> None:
    report = report_content(fixtures.every_build(), fixtures.CATALOGUE)
    assert len({(row.sku, row.product) for row in report.prices}) == len(report.prices)
    by_ref = {row.ref: row for row in report.prices}
    for shown in report.builds:
        for told in shown.lines:
            assert (by_ref[told.ref].sku, by_ref[told.ref].unit_price) == (told.line.sku, told.line.unit_price)


def test_labour_of_two_prices_keeps_two_rows() -> None:
    first, second = fixtures.replaced(), replace(fixtures.replaced(), tier=fixtures.TIER_HIGH)
    assert second.audited
    dearer = replace(second.audited.lines[-1], unit_price=9900, line_total=9900)
    changed = replace(second.audited, lines=(*second.audited.lines[:-1], dearer))
    report = report_content((first, replace(second, audited=changed)), fixtures.CATALOGUE)
    assert [row.unit_price for row in report.prices if not row.sku] == [9000, 9900]


def test_a_refused_build_is_never_shown() -> None:
    build = fixtures.replaced()
    assert build.audited
    refused = replace(
        build.audited, checks=(Check("power ratio", "front", 2.0, "at most 1.5", "", ok=False, source=""),)
    )
    with pytest.raises(ValueError, match="refuses Middle / New head unit"):
        report_content((replace(build, audited=refused),), fixtures.CATALOGUE)


def test_costs_by_part_add_up_to_the_total() -> None:
    for shown in report_content(fixtures.every_build(), fixtures.CATALOGUE).builds:
        assert sum(cost.cents for cost in shown.costs) == (shown.build.total or 0)


def test_rules_stand_once_with_the_sources_that_all_uses_share() -> None:
    build = fixtures.replaced()
    assert build.audited
    checks = (
        Check("loop", "front", 0.1, "at most 0.2", "ohm", ok=True, source="IEC 60028; run 5.2 m"),
        Check("loop", "bass", 0.1, "at most 0.1", "ohm", ok=True, source="IEC 60028; run 1.4 m"),
        Check("kits", "", 1, "exactly 1", "", ok=True, source="practice"),
        Check("boxes", "", 1, "exactly 1", "", ok=True, source="a"),
        Check("boxes", "", 1, "exactly 1", "", ok=True, source="b"),
    )
    report = report_content((replace(build, audited=replace(build.audited, checks=checks)),), fixtures.CATALOGUE)
    assert [(row.rule, row.limit, row.source) for row in report.rules] == [
        ("loop", "by the parts and the vehicle", "IEC 60028"), ("kits", "exactly 1", "practice"),
        ("boxes", "exactly 1", "a; b"),
    ]  # fmt: skip


def test_reasons_come_from_the_figures() -> None:
    report = report_content((fixtures.replaced(), fixtures.two_amplifiers()), fixtures.CATALOGUE)
    said = {told.line.sku: told.why for told in report.builds[0].lines}
    assert said["HU-1"] == "3 pre-out pairs, of which this system uses 2. The shop rates it 8 of 10."
    assert said["SP-F"].startswith(
        "75\u00a0W for each speaker from the amplifier (stereo pair), against an RMS rating of "
    )
    assert "70\u00a0W (ratio 1.07)" in said["SP-F"]
    assert "28\u00a0litres for each driver, which asks for 20 to 35" in said["BX-1"]
    assert said["FK-S"] == "Lets 165\u00a0mm speakers go where the vehicle has 130\u00a0mm."
    assert said["PK-1"] == (
        "Its cable is 4\u00a0AWG. "
        "Good for 100\u00a0A over this vehicle's run, and what it feeds draws at most 50\u00a0A."
    )
    assert said["SC-25"].startswith("Front 12.1\u00a0m and bass 1.65\u00a0m, some to spare.")
    both = {told.line.sku: told.why for told in report.builds[1].lines}
    assert "at most 90\u00a0A" in both["PK-1"]
    assert both["DD-1"].startswith("Treats 1\u00a0m², 63\u00a0% of the door area")


def test_a_product_that_the_catalogue_lacks_gets_what_reason_the_build_itself_gives() -> None:
    build = fixtures.replaced()
    for role in Role:
        line = PricedLine(role, "gone", "Something", 1, 100, 100, 100)
        silent = role in {Role.HEAD_UNIT, Role.REAR, Role.POWER_KIT, Role.AMPLIFIER}
        assert bool(reasons.why(line, build, None, fixtures.CATALOGUE, fixtures.VOICE)) is not silent
    with pytest.raises(ValueError, match="without a system"):
        reasons.why(
            PricedLine(Role.BOX, "", "", 1, 1, 1, 1), fixtures.infeasible(), None, fixtures.CATALOGUE, fixtures.VOICE
        )


def test_what_was_left_open_and_left_out_is_explained_only_where_proven() -> None:
    assert decided(fixtures.replaced(), fixtures.VOICE)[1] == (
        "Left out in the end: rear speakers and sound deadening; "
        "no system with any of them scores higher within the cap."
    )
    stopped = fixtures.two_amplifiers()
    open_ = replace(stopped, brief=replace(stopped.brief, rear=Want.REQUIRED, bass=Want.NONE, one_brand=OneBrand.MUST))
    assert open_.audited
    without = replace(open_.audited, lines=open_.audited.lines[:2])
    told = " ".join(decided(replace(open_, audited=without), fixtures.VOICE))
    assert "none was found" in told
    assert "scores higher" not in told
    assert "wants no bass" in told
    assert "must share one brand" in told
    assert "The brief rules out Osprey." in told


def test_each_alert_is_told_and_a_build_without_one_says_nothing() -> None:
    told, silent = report_content((fixtures.replaced(), fixtures.two_amplifiers()), fixtures.CATALOGUE).builds
    assert told.alerts == (
        (
            "Order Brandt Low 10, 2 x 2\u00a0ohm (SW-D2): the 2 x 4\u00a0ohm version (SW-D4) would get 150\u00a0W "
            "instead of 220\u00a0W from the amplifier; it is €5.00 dearer."
        ),
    )
    assert silent.alerts == ()


def test_litres_and_aerial_are_said_as_far_as_they_are_known() -> None:
    build = fixtures.replaced()
    (aerial,), (first, *others) = fixtures.CATALOGUE.aerials, fixtures.CATALOGUE.subwoofers
    adapter = replace(aerial, use=AerialUse.FACTORY_ADAPTER)
    for least, most, words in ((20, None, "at least 20"), (None, 35, "at most 35"), (None, None, "each driver.")):
        driver = replace(first, box_litres_min=least, box_litres_max=most)
        catalogue = replace(fixtures.CATALOGUE, subwoofers=(driver, *others), aerials=(adapter,))
        said = {told.line.sku: told.why for told in report_content((build,), catalogue).builds[0].lines}
        assert words in said["BX-1"]
        assert said["AE-1"] == "Connects the factory digital aerial of the Tern Hatch to the new head unit."


def test_several_products_in_a_role_are_named_with_their_quantities() -> None:
    shown = report_content((fixtures.two_amplifiers(),), fixtures.CATALOGUE).builds[0]
    assert shown.in_role(Role.AMPLIFIER) == "Quillon Mono; Quillon Four"
    assert shown.in_role(Role.SIGNAL_LEAD) == "3 x Harbour Pair 2"
    assert shown.in_role(Role.HEAD_UNIT) == ""
    assert Part(Role.BOX, "BX-1") in fixtures.two_amplifiers().audited.system.parts  # type: ignore[union-attr]


def test_a_feed_without_a_power_kit_is_a_defect() -> None:
    build = fixtures.replaced()
    assert build.audited
    wrong = replace(build.audited, system=replace(build.audited.system, feeds=(Feed("SP-F", (0,)),)))
    products = {product.sku: product for product in fixtures.CATALOGUE.products()}
    with pytest.raises(TypeError, match="SP-F is no power kit"):
        wiring(build, wrong, products, 0.5, Notation())


def test_a_cable_without_a_gauge_is_a_defect() -> None:
    with pytest.raises(ValueError, match="PK-1 states no cross-section"):
        gauge(replace(fixtures.CATALOGUE.power_kits[0], awg=None), Notation())
