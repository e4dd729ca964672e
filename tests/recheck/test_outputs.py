"""The page, the workbook and the data of a recheck: they say what was found, alike, safely, and the same every time."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from openpyxl import load_workbook

from budgetbuild.build import Drift, Recheck, Remedy, Standing, Status, Weight
from budgetbuild.faults import UserInputError
from budgetbuild.planning.recheck import How, recheck
from budgetbuild.published import read_published
from budgetbuild.report.recheck import render_recheck
from budgetbuild.report.words.drifts import ANEW, Speaker, drift_rows
from budgetbuild.report.words.recheck import better_text, told
from budgetbuild.report.words.voice import voice_of
from tests.program.small import front
from tests.recheck.pages import changed_files, eventful
from tests.recheck.shop import TIER, later, list_of, only, rechecked
from tests.report.test_guide import HOSTILE, Page

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue

OTHER_FRONT = front(sku="F2", brand="Orvane", model="Front 5", rating=5.0, price=90_00)
"""A worse one, and cheaper."""
FILES = {"what_changed.md", "what_changed.html", "what_changed.xlsx", "recheck.json"}


@pytest.fixture(scope="module")
def data() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(changed_files()["recheck.json"])
    return found


@pytest.fixture(scope="module")
def text() -> str:
    return changed_files()["what_changed.md"].decode()


@pytest.fixture(scope="module")
def page() -> Page:
    return Page(changed_files()["what_changed.html"].decode())


def files_of(found: Recheck, catalogue: Catalogue) -> dict[str, bytes]:
    return render_recheck(found, catalogue, voice_of(catalogue.settings))


def test_every_standing_is_among_what_is_shown_here() -> None:
    found, _ = eventful()
    assert {build.standing for build in found.builds} == {
        Standing.HOLDS, Standing.PARTS, Standing.POSSIBLE, Standing.WITHDRAWN,
    }  # fmt: skip
    assert set(changed_files()) == FILES


@pytest.mark.parametrize(
    "words",
    [
        "Of 7 published systems 2 still hold as printed, 3 can no longer be sold as printed",
        "no: parts", "no: now possible", "no: not asked for", "yes",
        "change 1 part, as many points; or the best today: change 2 parts, 7.50 points more",
        "take it out: no system is possible today", "put it in: 30.50 points for €229.00",
        "L2 is no longer offered", "Orvane Rear (R) is no longer in the list",
        "the brief “Going” is not in the list any more",
        "0 in stock, 1 needed", "-€80.00", "Fitting: front", "Another figure: Power ratio", "Another name",
        "1 part changes: 23.00 points for €229.00, as many points as printed",
        "take out", "put in", "Without rear speakers, the cheapest system costs €229.00",
        "Disconnect the battery", "qualified fitter", "Order before promising a date",
        "In place of 1 system that may stay a better one is to be had today",
        "held against list.xlsx",
    ],
)  # fmt: skip
def test_both_pages_say_the_same(words: str, text: str, page: Page) -> None:
    plain = re.sub(r"\\(?=[^\w\s])", "", text)
    assert words in plain
    assert words in "".join(page.words)


def test_the_page_is_well_formed_with_one_heading_and_landmarks(page: Page) -> None:
    assert page.open == []
    assert [len(page.named(tag)) for tag in ("h1", "main", "nav", "header", "footer")] == [1, 1, 1, 1, 1]
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    targets = [(link["href"] or "")[1:] for link in page.named("a")]
    assert [target for target in targets if target not in ids] == []
    assert len(page.named("caption")) == len(page.named("table"))


def test_the_workbook_has_numbers_and_a_sheet_for_each_system_to_mend(data: dict[str, Any]) -> None:
    book = load_workbook(BytesIO(changed_files()["what_changed.xlsx"]))
    assert book.sheetnames == [
        "What changed", "Entry Front only", "Entry Going", "Low Front only", "High Front and rear", "High Fitted",
        "Better for systems that may",
    ]  # fmt: skip
    cells = [cell.value for row in book["What changed"].iter_rows() for cell in row]
    for build in data["builds"]:
        if build["published"]["total"]:
            assert float(build["published"]["total"]) in cells
    assert not [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]


def test_the_data_says_what_was_found(data: dict[str, Any]) -> None:
    found, _ = eventful()
    assert (data["holds"], data["beaten"]) == (False, True)
    assert [one["standing"] for one in (*data["builds"], *data["withdrawn"])] == [
        "parts", "holds", "possible", "parts", "parts", "holds", "withdrawn",
    ]  # fmt: skip
    first = data["builds"][0]
    assert first["published"] == {
        "tier": "Entry", "budget": "330.00", "cap": "333.30", "status": "optimal", "score": 23.0, "total": "305.00",
    }  # fmt: skip
    assert first["today"] == {"score": 23.0, "total": "225.00"}
    assert (first["repair"]["parts_changed"], first["repair"]["fewest"], first["repair"]["total"]) == (1, 1, "229.00")
    assert (first["best"]["parts_changed"], first["best"]["score"]) == (2, 30.5)
    assert first["repair"]["exchanges"] == [
        {
            "role": "signal lead",
            "before": [{"role": "signal lead", "sku": "L2", "quantity": 1}],
            "after": [{"role": "signal lead", "sku": "L4", "quantity": 1}],
        }
    ]
    price = next(drift for drift in first["drifts"] if drift["code"] == "price")
    assert (price["before"], price["after"], price["weight"]) == ("120.00", "40.00", "printed")
    assert sum(len(one["drifts"]) for one in (*data["builds"], *data["withdrawn"])) == sum(
        len(build.drifts) for build in found.builds
    )


def test_what_the_data_says_to_print_holds_when_it_is_rechecked(tmp_path: Path) -> None:
    """Every system stays, was mended or is gone: nothing of it has drifted on the same day."""
    _, catalogue = eventful()
    path = tmp_path / "recheck.json"
    path.write_bytes(changed_files()["recheck.json"])
    again = recheck(catalogue, read_published(path))
    assert [build.drifts for build in again.builds] == [()] * 6
    assert again.holds
    assert [build.published.system is None for build in again.builds] == [False, False, False, True, False, True]


def test_the_same_recheck_gives_the_same_bytes() -> None:
    found, catalogue = eventful()
    assert files_of(found, catalogue) == changed_files()


@pytest.mark.parametrize("name", [" ".join(HOSTILE), *(pytest.param(one, marks=pytest.mark.slow) for one in HOSTILE)])
def test_names_that_mean_harm_stay_text(name: str) -> None:
    files = changed_files(name)
    page = Page(files["what_changed.html"].decode())
    assert page.open == []
    assert [tag for tag, _ in page.tags if tag in {"script", "img", "iframe", "link", "b"}] == []
    assert [a for a in page.named("a") if not (a["href"] or "").startswith("#")] == []
    book = load_workbook(BytesIO(files["what_changed.xlsx"]))
    assert not [c for sheet in book for row in sheet.iter_rows() for c in row if c.data_type == "f"]
    assert json.loads(files["recheck.json"])["catalogue"]["name"] == name


def test_a_guide_that_holds_says_so_in_one_line(tmp_path: Path) -> None:
    found, catalogue = rechecked(list_of(), list_of(), tmp_path), list_of()
    text = files_of(found, catalogue)["what_changed.md"].decode()
    assert "**Yes. 1 system was published, and everything printed of it still holds.**" in text
    assert text.count("## ") == 1
    assert "Once the guide is corrected" not in text


def test_a_search_that_was_stopped_is_never_called_best(tmp_path: Path) -> None:
    before = list_of(OTHER_FRONT)
    now = later(before, {"L": {"price": 60_00}})
    found = rechecked(before, now, tmp_path, How(time_limit_s=0.0))
    text = files_of(found, now)["what_changed.md"].decode()
    assert only(found).best
    assert "### The best system found in the time given" in text
    assert "The search was stopped; that nothing scores higher is not proven." in text
    assert "best system today" not in text
    assert "Best today" not in text.replace("Best today against printed", "")
    assert "The search for the fewest changes was stopped before any was found." in text
    assert "Proven" not in text
    assert json.loads(files_of(found, now)["recheck.json"])["builds"][0]["status"] == "time limit"


def test_a_repair_that_is_the_best_today_is_told_once(tmp_path: Path) -> None:
    before = list_of(OTHER_FRONT)
    now = later(before, {"F": {"active": False}})
    found = rechecked(before, now, tmp_path)
    text = files_of(found, now)["what_changed.md"].decode()
    assert "change 1 part, 2.50 points less; that is the best today too" in text
    assert "It is the best system today as well." in text
    assert "### The best system today" not in text
    assert json.loads(files_of(found, now)["recheck.json"])["builds"][0]["status"] == "optimal"


def test_how_far_a_stopped_search_proved_its_answer_is_said() -> None:
    found, catalogue = eventful()
    build = found.builds[0]
    assert build.repair
    assert build.best
    late = replace(build.repair, status=Status.TIME_LIMIT, fewest=1)
    unproven = replace(build.best, status=Status.TIME_LIMIT)
    known = replace(found, builds=(replace(build, repair=late, best=unproven),))
    text = files_of(known, catalogue)["what_changed.md"].decode()
    assert "The search was stopped; at least 1 part must change, that much is proven." in text
    assert "that nothing scores higher is not proven" in text
    unknown = replace(found, builds=(replace(build, repair=replace(late, fewest=None)),))
    assert (
        "before it was proven that no other changes fewer parts"
        in files_of(unknown, catalogue)["what_changed.md"].decode()
    )
    best_alone = replace(found, builds=(replace(build, repair=Remedy(Status.TIME_LIMIT, fewest=1)),))
    text = files_of(best_alone, catalogue)["what_changed.md"].decode()
    assert "The search for the fewest changes was stopped before any was found." in text
    assert "The list to print" in text
    joined = replace(build.repair, parts_changed=0, exchanges=())
    text = files_of(replace(found, builds=(replace(build, repair=joined),)), catalogue)["what_changed.md"].decode()
    assert "No part changes, only how the parts are connected" in text
    assert "Nothing goes and nothing comes" in text
    pointless = replace(build.repair.audited, score_parts=()) if build.repair.audited else None
    nothing = replace(
        build,
        published=replace(build.published, score_parts=()),
        repair=replace(build.repair, audited=pointless),
        best=replace(build.best, audited=pointless),
    )
    text = files_of(replace(found, builds=(nothing,)), catalogue)["what_changed.md"].decode()
    assert "Where the points come from" not in text


def test_a_system_that_is_possible_now_is_told_where_the_search_was_stopped_too(tmp_path: Path) -> None:
    poor = list_of(tier=replace(TIER, budget=200_00))
    now = later(poor, {"A": {"price": 1_00}})
    found = rechecked(poor, now, tmp_path, How(time_limit_s=0.0))
    files = files_of(found, now)
    assert "one is possible now: " in files["what_changed.md"].decode()
    assert "The search was stopped; that nothing scores higher is not proven." in files["what_changed.md"].decode()
    assert json.loads(files["recheck.json"])["builds"][0]["status"] == "time limit"


def test_what_has_no_words_is_a_defect(tmp_path: Path) -> None:
    _, catalogue = eventful()
    speaker = Speaker(voice_of(catalogue.settings), catalogue.by_sku())
    build = only(rechecked(list_of(), list_of(), tmp_path))
    odd = Drift("odd", "", None, None, Weight.BREAKS, {})
    with pytest.raises(ValueError, match="no words for why odd breaks"):
        told(replace(build, drifts=(odd,), standing=Standing.PARTS), speaker)
    with pytest.raises(ValueError, match="nothing better is known"):
        better_text(replace(build, best=None), speaker)
    with pytest.raises(ValueError, match="no system to tell of"):
        better_text(replace(build, best=Remedy(Status.TIME_LIMIT)), speaker)
    nowhere = replace(build, brief=None, standing=Standing.POSSIBLE)
    with pytest.raises(ValueError, match="no brief or no vehicle"):
        files_of(Recheck(eventful()[0].published, (nowhere,)), catalogue)


def test_every_kind_of_drift_has_its_words(tmp_path: Path) -> None:
    """Each code that the recheck knows, with plain sides, is told without a gap."""
    _, catalogue = eventful()
    speaker = Speaker(voice_of(catalogue.settings), catalogue.by_sku())
    build = only(rechecked(list_of(), list_of(), tmp_path))
    sides: dict[str, tuple[Any, Any, dict[str, Any]]] = {
        "budget": (1, 2, {}), "cap": (1, 2, {}), "tier-gone": ("x", None, {}), "brief-left-tier": ("x", None, {}),
        "brief-gone": ("x", None, {}), "brief-unused": ("x", None, {}), "other-vehicle": ("x", "y", {}),
        "vehicle-gone": ("x", None, {}), "vehicle-unread": ("x", None, {}), "tax": (0.21, None, {}),
        "gone": ("x", None, {"near": "y"}), "other-kind": ("front", "Boxes", {}), "not-offered": ("x", None, {}),
        "name": ("x", "y", {}), "rating": (6.0, None, {}), "stock": (None, 0, {"wanted": 2, "stock": 0}),
        "in-stock": ("out-of-stock", None, {}), "over-cap": (1, 2, {}), "score": (None, 1000, {}),
        "rule": (None, 1.5, {"rule": "R", "limit": "at most 1", "unit": "A"}),
        "figure": ("a", "b", {"rule": "R", "limit": "l", "unit": "", "limit_before": "k"}),
        "caution": (None, "heavy-box", {}), "caution-gone": ("heavy-box", None, {}), "least-total": (None, 5, {}),
        "vehicle-total": (1, 2, {}), "fits-no-longer": (1, None, {"rule": "R"}),
    }  # fmt: skip
    drifts = tuple(
        Drift(code, "F", before, after, Weight.PRINTED, figures) for code, (before, after, figures) in sides.items()
    )
    rows = drift_rows(replace(build, drifts=drifts), speaker)
    assert len(rows) == len(sides)
    assert all(what for what, *_ in rows)
    assert set(ANEW) - set(sides) == {"price", "labour"}
    broken = tuple(replace(drift, weight=Weight.BREAKS) for drift in drifts)
    unsold = tuple(drift for drift in broken if drift.code in {"rule", "over-cap", "other-kind"})
    sentence = told(replace(build, drifts=unsold, standing=Standing.PARTS), speaker)
    assert "Orvane Front 6 (F) is now listed on Boxes, it costs €0.02 today" in sentence
    assert told(replace(build, drifts=broken, standing=Standing.WITHDRAWN), speaker).count("“F”") == 4


def test_a_shops_own_words_and_templates_reach_the_page(tmp_path: Path) -> None:
    found, catalogue = eventful()
    (tmp_path / "sentences.toml").write_text('[recheck]\nholds = "fine"\n', "utf-8")
    own = render_recheck(found, catalogue, voice_of(catalogue.settings, tmp_path), tmp_path)
    assert b"| fine " in own["what_changed.md"]
    (tmp_path / "what_changed.html.j2").write_text("{{ page.nothing_of_the_kind }}", "utf-8")
    with pytest.raises(UserInputError):
        render_recheck(found, catalogue, voice_of(catalogue.settings, tmp_path), tmp_path)
