"""One system for several vehicles as it is published: guide, workbook, data file and terminal say the same."""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest

from budgetbuild.advice.frontier import curve_of
from budgetbuild.build import Difference, Role, Sister, VersionAlert
from budgetbuild.catalogue.kinds import HeadUnitMode, KitFor, Location, Opening, SpeakerType, Want
from budgetbuild.catalogue.shop import Place
from budgetbuild.cli import main
from budgetbuild.planning.same_versions import alerts_in_all
from budgetbuild.quoting import quote
from budgetbuild.report import render_report
from budgetbuild.report.content import report_content
from budgetbuild.report.words.kit import WHY_NOT
from budgetbuild.report.words.voice import tool_sentences
from tests.cli.sheets import edit
from tests.kits.two import HERE, THERE, both, solved, stock
from tests.program import small

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.build import Build
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.shown import Report

OWN_20: dict[str, Any] = {"own_internal_w": 20.0, "rear": Want.NONE, "bass": Want.NONE, "deadening": Want.NONE}
RING = small.fascia(sku="Y", brand="Orvane", price=15_00, fits=KitFor.SPEAKER, location=Location.FRONT, size_mm=165.0)
PLACES: dict[str, Any] = {"front": Place(size_mm=130.0, depth_mm=70.0), "weight": 3.0}


def published(catalogue: Catalogue, *builds: Build) -> Report:
    """What the outputs show of some builds."""
    briefs = tuple({build.brief.name: build.brief for build in builds}.values())
    tiers = tuple({build.tier.name: build.tier for build in builds}.values())
    return report_content(builds, replace(catalogue, briefs=briefs, tiers=tiers))


CATALOGUE = stock(small.front(brand="Tessmar", model="Five"), RING, there=PLACES)
THIRD = replace(CATALOGUE.vehicles[0], name="Heath Van", front=Place(size_mm=165.0, depth_mm=40.0))
CATALOGUE = replace(CATALOGUE, vehicles=(*CATALOGUE.vehicles, THIRD))
BRIEF = replace(both(Fraction(3, 4), **OWN_20), vehicles=(HERE, THERE, "Heath Van"))
BUILD = solved(CATALOGUE, BRIEF, 116_00)
REPORT = published(CATALOGUE, BUILD)
FILES = render_report(REPORT)


@pytest.fixture(scope="module")
def data() -> dict[str, Any]:
    """The one build of the data file."""
    build: dict[str, Any] = json.loads(FILES["results.json"])["builds"][0]
    return build


def test_the_title_says_how_many_vehicles_it_fits_and_the_headline_what_it_costs() -> None:
    (shown,) = REPORT.builds
    assert shown.title == "tier: brief, 2 of 3 vehicles"
    assert shown.headline.startswith("One and the same system fits 2 of the 3 vehicles (80\u00a0% by weight), each of ")
    assert "from €100.00 to €115.00 complete" in shown.headline
    assert shown.vehicle == "2 of 3 vehicles; listed for the Fenn Coupe"


@pytest.mark.parametrize("name", ["guide.md", "guide.html"])
def test_the_guide_tells_each_vehicle_with_its_own_parts_and_each_other_one_with_the_reason(name: str) -> None:
    text = FILES[name].decode()
    plain = " ".join(re.sub(r"<[^>]*>|[|\\]", " ", text).split())
    assert "Marl Estate 1 none 15.76 €100.00" in plain
    assert "Fenn Coupe 3 Orvane (Y) 15.76 €115.00" in plain
    assert "Heath Van 1 The front speakers do not go in: speaker depth 60 mm, front place 40 mm" in plain
    assert plain.index("Running total") < plain.index("Fenn Coupe 3") < plain.index("Why these parts")


def test_the_data_file_has_every_vehicle(data: dict[str, Any]) -> None:
    kit = data["kit"]
    assert (kit["asked_share"], kit["share"], kit["price_from"], kit["price_to"]) == (0.75, 0.8, "100.00", "115.00")
    assert [(one["vehicle"], one["weight"], one["covered"], one["total"]) for one in kit["vehicles"]] == [
        (HERE, 1.0, True, "100.00"),
        (THERE, 3.0, True, "115.00"),
        ("Heath Van", 1.0, False, "100.00"),
    ]
    assert [one["own_parts"] for one in kit["vehicles"][:2]] == [
        [],
        [{"role": "front adapter", "sku": "Y", "quantity": 1}],
    ]
    assert [check["rule"] for check in kit["vehicles"][2]["refused"]] == ["Speaker fits its place"]
    assert (data["vehicle"], data["total"], kit["shortfall"]) == (THERE, "115.00", None)


def test_the_points_shown_add_up_to_the_score(data: dict[str, Any]) -> None:
    assert round(sum(part["points"] for part in data["score_parts"]), 3) == data["score"] == 15.758


def test_nothing_is_said_that_is_not_worked_out_for_all_vehicles(data: dict[str, Any]) -> None:
    assert data["advice"] == []
    assert all(line["runner_up"] is None for line in data["lines"])
    assert "A little more, a little less" not in FILES["guide.md"].decode()


def test_the_workbook_has_a_sheet_of_vehicles_and_the_guide_no_such_chapter() -> None:
    book = openpyxl.load_workbook(io.BytesIO(FILES["tiers.xlsx"]))
    cells = [cell.value for row in book["Covered vehicles"].iter_rows() for cell in row if cell.value is not None]
    for text in (HERE, THERE, "Heath Van", 115.0, 100.0, "Orvane (Y)"):
        assert text in cells
    assert not any(chapter.anchor == "covered-vehicles" for chapter in REPORT.open_chapters)


def test_a_brief_for_one_vehicle_says_nothing_of_others() -> None:
    brief = replace(BRIEF.in_vehicle(HERE), name="one")
    build = quote(CATALOGUE, small.tier(116_00), curve_of(CATALOGUE, brief, CATALOGUE.vehicle(HERE)))
    report = published(CATALOGUE, build)
    (shown,) = report.builds
    assert (shown.title, shown.vehicle, shown.prices, shown.vehicles) == ("tier: one", HERE, "", ())
    assert "kit" not in json.loads(render_report(report)["results.json"])["builds"][0]
    assert report.chapters == ()


def test_where_there_is_none_it_says_how_many_one_fits_what_it_costs_and_which_stand_in_the_way() -> None:
    catalogue = stock(
        small.front(sku="F1", price=100_00, depth_mm=60.0),
        small.front(sku="F2", price=150_00, depth_mm=40.0),
        there={"front": Place(size_mm=165.0, depth_mm=50.0)},
    )
    report = published(catalogue, solved(catalogue, both(**OWN_20 | {"front": Want.REQUIRED}), 120_00))
    (shown,) = report.builds
    assert shown.headline == "No one system fits all 2 of the vehicles within the cap of €120.00."
    assert shown.reason == (
        "No one system fits all 2 of the vehicles within €120.00. At most one fits 1 of the 2 vehicles: Marl Estate. "
        "To fit as many as asked, a system costs at least €150.00 in the dearest of them. "
        "For the Fenn Coupe by itself the cheapest system costs €150.00."
    )
    build = json.loads(render_report(report)["results.json"])["builds"][0]
    assert (build["least_budget"], build["kit"]["share"], build["kit"]["vehicles"]) == ("150.00", None, [])
    assert build["kit"]["shortfall"] == {
        "greatest_share": 0.5,
        "proven": True,
        "covers": [HERE],
        "lacks": [THERE],
        "greatest_share_at_any_price": None,
        "alone": [{"vehicle": THERE, "least_budget": "150.00", "obstacles": []}],
    }


def test_where_no_price_helps_it_says_so() -> None:
    unit = small.head_unit(), small.fascia()
    catalogue = stock(*unit, there={"opening": Opening.NONE, "weight": 4.0})
    brief = both(head_unit=HeadUnitMode.REPLACE, **OWN_20 | {"front": Want.NONE})
    (shown,) = published(catalogue, solved(catalogue, brief)).builds
    assert "At most one fits 1 of the 2 vehicles (20\u00a0% by weight): Marl Estate." in shown.reason
    assert "No price changes that: at most 20\u00a0% can be had at all." in shown.reason
    assert "For the Fenn Coupe there is no system at all: no head unit in the list fits the dash" in shown.reason


def test_vehicles_that_cannot_have_the_same_are_told_apart_from_those_that_can_have_none() -> None:
    """Each place takes one of two speakers alone, so each vehicle has its own system and both have none."""
    catalogue = stock(
        small.front(sku="F1", depth_mm=60.0, type=SpeakerType.COAXIAL),
        small.front(sku="F2", depth_mm=40.0, type=SpeakerType.COMPONENT),
        here={"front": Place(size_mm=165.0, depth_mm=70.0, tweeter_place=False)},
        there={"front": Place(size_mm=165.0, depth_mm=50.0, tweeter_place=True)},
    )
    brief = both(**OWN_20 | {"front": Want.REQUIRED})
    (shown,) = published(catalogue, solved(catalogue, brief)).builds
    assert re.search(r"For the (Marl Estate|Fenn Coupe) there are systems, but not the same ones as for", shown.reason)


def test_every_reason_has_its_words() -> None:
    assert {*WHY_NOT.values(), "why-no-opening", "why-score", "why-other"} <= set(tool_sentences()["kit"])


def sister(sku: str, *, forbidden: bool = False, price: int = 0) -> Sister:
    """A version that would be refused, or would cost so much more."""
    return Sister(sku, bool(sku), price, None if forbidden else 0, (Difference("power", "", {}, forbidden),))


def test_a_version_is_told_where_it_is_the_same_in_all_vehicles_or_forbidden_in_any() -> None:
    def alert(*sisters: Sister, role: Role = Role.FRONT) -> VersionAlert:
        return VersionAlert(role, "F", sisters)

    same, dear = sister("F2"), sister("F2", price=500)
    assert alerts_in_all([[alert(same)], [alert(same)]]) == (alert(same),)
    assert alerts_in_all([[alert(same)], [alert(dear)]]) == ()
    assert alerts_in_all([[alert(same)], [alert(sister("F2", forbidden=True))]]) == (
        alert(sister("F2", forbidden=True)),
    )
    assert alerts_in_all([[alert(same)], []]) == ()
    assert alerts_in_all([[alert(same, role=Role.FRONT_ADAPTER)]] * 2) == ()


def test_what_to_watch_in_other_vehicles_is_told_with_their_names() -> None:
    catalogue = stock(small.front(), RING, here={"front": Place(size_mm=165.0)}, there=PLACES)
    (shown,) = published(catalogue, solved(catalogue, both(**OWN_20))).builds
    told = [item for block in shown.vehicles if block.form == "bullets" for item in block.items]  # type: ignore[union-attr]
    assert told == [
        "In the Marl Estate: Measure first (front): depth of the front speaker place. What is not known is not checked."
    ]


def test_the_command_line_shows_the_range_and_the_counter_page_each_vehicle(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    vehicles = "Brovanko Ilvanne 5-door; Osterquin Jupelo"
    brief = "Closed dash, bass wanted"
    path = edit(
        sample_workbook,
        tmp_path,
        {("Briefs", brief): {"Vehicle": vehicles}, ("Tiers", "Entry"): {"Budget": 900, "Briefs": brief}},
        keep_rows={"Tiers": "Entry"},
    )
    assert main(["build", str(path), "--out", str(tmp_path / "out"), "--counter", "briefs"]) == 0
    printed = capsys.readouterr().out
    assert re.search(r"2 of 2 vehicles; listed for the \w+ \w+.* from €\d+\.\d\d to €\d+\.\d\d ", printed)
    build = json.loads((tmp_path / "out" / "results.json").read_text("utf-8"))["builds"][0]
    assert [one["covered"] for one in build["kit"]["vehicles"]] == [True, True]
    page = (tmp_path / "out" / "counter.html").read_text("utf-8")
    assert "Osterquin Jupelo" in page
    assert main(["quote", str(path), "--brief", brief, "--budget", "900"]) == 2
    assert "--vehicle" in capsys.readouterr().err
    assert main(["quote", str(path), "--brief", brief, "--budget", "900", "--vehicle", "Osterquin Jupelo"]) == 0
