"""The data file: keys and types as documented, money exact, the same bytes every time."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Any

import pytest

from budgetbuild.report.content import report_content
from budgetbuild.report.results import render_results
from tests.report import fixtures

MONEY = re.compile(r"-?\d+\.\d\d")
BUILD = {
    "tier": str, "brief": str, "vehicle": str, "budget": str, "cap": str, "status": str, "lines": list, "checks": list,
    "cautions": list, "reason": str, "solver": str, "drives": list, "feeds": list, "cables": list, "score_parts": list,
    "locations": list, "devices": list,
}  # fmt: skip


@pytest.fixture(scope="module")
def results() -> dict[str, Any]:
    """The data of every fixture build."""
    content: dict[str, Any] = json.loads(render_results(report_content(fixtures.every_build(), fixtures.CATALOGUE)))
    return content


def test_top_level_holds_what_is_documented(results: dict[str, Any]) -> None:
    assert results["version"] == "1"
    assert results["currency"] == "EUR"
    assert results["catalogue"]["name"] == "harbour_prices.xlsx"
    assert results["catalogue"]["sha256"] == "0f" * 32
    assert results["catalogue"]["products"] == 19
    assert results["faults"][0]["cell"] == "D9"
    assert {"sheet", "cell", "found", "expected", "severity"} <= set(results["faults"][0])


def test_every_build_has_every_key_of_its_type(results: dict[str, Any]) -> None:
    for build in results["builds"]:
        assert {key: type(build[key]) for key in BUILD} == BUILD
        assert build["status"] in {"optimal", "infeasible", "time limit"}
        for key in ("budget", "cap", "total", "least_budget"):
            assert build[key] is None or MONEY.fullmatch(build[key])


def test_lines_add_up_and_labour_has_no_sku(results: dict[str, Any]) -> None:
    build = results["builds"][3]
    cents = [int(line["line_total"].replace(".", "")) for line in build["lines"]]
    assert sum(cents) == int(build["total"].replace(".", "")) == 125250
    assert build["lines"][-1]["running_total"] == "1252.50"
    assert (build["lines"][-1]["sku"], build["lines"][-1]["role"]) == (None, "labour")
    assert set(build["lines"][0]) >= {
        "sku", "role", "quantity", "unit_price", "line_total", "running_total", "why",
    }  # fmt: skip


def test_score_is_a_number_of_points(results: dict[str, Any]) -> None:
    build = results["builds"][5]
    assert (build["score"], build["bound"]) == (37.255, 38.755)


def test_a_build_without_a_system_has_a_reason_and_the_least_budget(results: dict[str, Any]) -> None:
    build = results["builds"][0]
    assert (build["status"], build["score"], build["total"], build["lines"]) == ("infeasible", None, None, [])
    assert build["least_budget"] == "912.50"
    assert "912.50" in build["reason"]
    assert build["reliefs"][0] == {
        "code": "bass", "subject": "", "least_budget": "612.00", "within_cap": True,
        "text": "Without bass, the cheapest system costs €612.00, within the cap.",
    }  # fmt: skip


def test_connections_are_whole_enough_to_audit_again(results: dict[str, Any]) -> None:
    build = results["builds"][5]
    assert build["amplifiers"] == ["AM-1", "AM-4"]
    assert build["feeds"] == [{"sku": "PK-1", "devices": [0, 1]}]
    assert [(drive["location"], drive["amplifier"], drive["mode"]) for drive in build["drives"]] == [
        ("front", 1, "stereo pair"), ("rear", 1, "stereo pair"), ("bass", 0, "sub channel"),
    ]  # fmt: skip
    assert build["cables"][0] == {"location": "front", "sku": "SC-25"}
    assert results["builds"][1]["feeds"] == [{"sku": "PK-2", "devices": [-1]}]


def test_cautions_carry_code_figures_and_sentence(results: dict[str, Any]) -> None:
    caution = results["builds"][3]["cautions"][0]
    assert caution["code"] == "measure-first"
    assert caution["figures"]["what"] == "depth of the front speaker place"
    assert caution["text"].startswith("Measure first")


def test_the_shops_costs_stay_out_of_the_file(results: dict[str, Any]) -> None:
    assert "cost" not in json.dumps(results["builds"][3]["lines"])
    assert "150.00" not in json.dumps(results["builds"][3]["lines"])


@pytest.mark.parametrize("name", ["</script>", '"\\\x00', "\ud800", "=1+1", "\u202egnp.exe"])
def test_hostile_names_come_back_as_they_were(name: str) -> None:
    builds, catalogue = fixtures.renamed(name)
    content = json.loads(render_results(report_content(builds, catalogue)))
    assert content["builds"][0]["tier"] in {name, "Starter"}
    assert name in {build["tier"] for build in content["builds"]}


def test_the_same_content_gives_the_same_bytes_and_no_time_is_written() -> None:
    first = report_content(fixtures.every_build(), fixtures.CATALOGUE)
    slower = tuple(replace(build, seconds=9.5) for build in fixtures.every_build()[::-1])
    assert render_results(first) == render_results(report_content(slower, fixtures.CATALOGUE))
