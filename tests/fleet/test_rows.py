"""The rows of the table, against brute force, the quote at the counter and the counter page."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pandas as pd
import pyarrow.parquet as pq
import pytest

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.shop import Tier
from budgetbuild.cli import main
from budgetbuild.cli.counter import answers
from budgetbuild.counter import curves_for
from budgetbuild.fleet.bench import Bench
from budgetbuild.fleet.fleet import CounterFiles, fleet_of
from budgetbuild.fleet.table import COLUMNS
from budgetbuild.report import counter_page
from tests.cli.quotes import answered as quoted
from tests.cli.sheets import edit
from tests.fleet.asked import HERE, contents, rows_of, small_list, whole
from tests.oracle.enumerate import best, cheapest
from tests.oracle.fleets import random_fleet
from tests.oracle.knobs import PROFILES

if TYPE_CHECKING:
    from pathlib import Path

KEEP = "Keep the factory head unit"


@pytest.mark.parametrize("seed", [1, pytest.param(2, marks=pytest.mark.slow), pytest.param(3, marks=pytest.mark.slow)])
@pytest.mark.parametrize("profile", PROFILES)
def test_every_row_is_what_brute_force_finds_for_that_vehicle(profile: str, seed: int) -> None:
    """Score, total, parts and least price, over several vehicles and caps of small random catalogues."""
    fleet, cap = random_fleet(seed, profile)
    catalogue, brief = fleet.catalogue, fleet.brief
    tiers = tuple(Tier(name=str(budget), budget=budget, allowance=Fraction(0)) for budget in (cap, 2 * cap + 1))
    alone = brief.in_vehicle(catalogue.vehicles[0].name)
    asked = replace(catalogue, briefs=(alone,), tiers=tiers)
    bench = Bench(fleet_of(asked, counter=CounterFiles.NONE))
    answered = bench.answers(range(len(catalogue.vehicles)))
    for answer, vehicle in zip(answered, catalogue.vehicles, strict=True):
        there = alone.in_vehicle(vehicle.name)
        least = cheapest(catalogue, there, vehicle)
        for row, tier in zip(answer.rows, tiers, strict=True):
            expected = best(catalogue, there, vehicle, tier.cap)
            parts = sorted(line["sku"] for line in row["lines"] if line["sku"] for _ in range(line["quantity"]))
            assert row["status"] == expected.status
            assert (row["score_thousandths"], row["total_cents"]) == (expected.score, expected.total)
            assert tuple(parts) == tuple(expected.skus or ())
            assert row["least_total_cents"] == least
            assert bool(row["reason"]) is (expected.status == "infeasible")


def test_the_table_has_every_vehicle_brief_and_tier_in_the_order_of_the_sheets(tmp_path: Path) -> None:
    (tmp_path / "fleet.parquet").write_bytes(whole()["fleet.parquet"])
    catalogue, rows = load_catalogue(small_list()), rows_of(tmp_path)
    assert [(row["vehicle"], row["brief"], row["tier"]) for row in rows] == [
        (vehicle.name, brief.name, tier.name)
        for vehicle in catalogue.vehicles
        for brief in catalogue.briefs
        for tier in catalogue.tiers
    ]
    for row in rows:
        if row["status"] == "optimal":
            assert row["total_cents"] == sum(line["quantity"] * line["unit_price_cents"] for line in row["lines"])
            assert row["least_total_cents"] <= row["total_cents"] <= row["cap_cents"]
            assert row["checks"] > 0
        else:
            assert row["status"] == "infeasible"
            assert row["reason"]
            assert (row["lines"], row["total_cents"]) == ([], None)
    files = {f"counters/{row['counter_file']}" for row in rows}
    assert files | {"fleet.parquet"} == whole().keys()


def test_the_table_says_what_it_is_and_any_reader_of_parquet_has_its_types(tmp_path: Path) -> None:
    path = tmp_path / "fleet.parquet"
    path.write_bytes(whole()["fleet.parquet"])
    schema, catalogue = pq.read_schema(path), load_catalogue(small_list())
    assert schema.metadata[b"budgetbuild.catalogue_sha256"].decode() == catalogue.sha256
    assert schema.metadata[b"budgetbuild.currency"] == b"EUR"
    assert all(schema.field(name).metadata[b"description"] for name in schema.names)
    frame = pd.read_parquet(path)
    assert list(frame.columns) == list(COLUMNS)
    assert frame["budget_cents"].dtype == "int64"
    assert frame.groupby("tier")["total_cents"].max().le(frame.groupby("tier")["cap_cents"].max()).all()


def test_the_readme_names_every_column(repository: Path) -> None:
    text = (repository / "README.md").read_text("utf-8")
    assert [name for name in COLUMNS if f"`{name}`" not in text] == []


def test_a_row_is_the_quote_for_the_same_vehicle_brief_and_budget(sample_workbook: Path, tmp_path: Path) -> None:
    vehicle = "Pondrelka Harlo Saloon"
    words = ["fleet", str(sample_workbook), "--out", str(tmp_path), "--quiet", "--counter", "none", *HERE]
    assert main([*words, "--vehicle", vehicle, "--brief", KEEP, "--tier", "Middle"]) == 0
    (row,) = rows_of(tmp_path)
    status, quote = quoted(sample_workbook, "--vehicle", vehicle, "--brief", KEEP, "--budget", "1300")
    assert status == 0
    assert f"{row['total_cents'] / 100:.2f}" == quote["total"]
    assert row["score_thousandths"] == round(1000 * quote["score"])
    skus = [line["sku"] for line in row["lines"]]
    assert skus == [line["sku"] for line in quote["lines"]]
    assert row["counter_file"] is None
    assert contents(tmp_path).keys() == {"fleet.parquet"}


def test_counter_files_are_the_counter_page_of_that_vehicle_and_what_it_carries() -> None:
    catalogue = load_catalogue(small_list())
    fleet = fleet_of(catalogue, briefs=["Keep own head unit"], vehicles=["Vehicle 003"])
    (brief,), (vehicle,) = fleet.briefs, fleet.vehicles
    page = counter_page(catalogue, answers(catalogue, list(curves_for(catalogue, [(brief, vehicle)]))))
    (shown,) = Bench(fleet).answers([0])
    assert shown.counter == page
    (carried,) = Bench(replace(fleet, counter=CounterFiles.DATA)).answers([0])
    data = json.loads(carried.counter)
    assert data["vehicles"] == ["Vehicle 003"]
    assert json.dumps(data["curves"], separators=(",", ":")).encode() in page


def test_what_cannot_be_asked_stands_in_the_table_with_the_cell_to_mend(sample_workbook: Path, tmp_path: Path) -> None:
    spoilt, blank = "Velundrik Tidde Coupe", "Pondrelka Harlo Saloon"
    cells: dict[tuple[str, str], dict[str, str | int | None]] = {
        ("Vehicles", spoilt): {"Boot width mm": "wide"},
        ("Vehicles", blank): {"Opening": None},
    }
    path = edit(sample_workbook, tmp_path, cells)
    words = ["fleet", str(path), "--out", str(tmp_path), "--quiet", "--tier", "Entry", *HERE]
    words += ["--vehicle", spoilt, "--vehicle", blank, "--brief", "Replace everything", "--brief", "Keep own head unit"]
    assert main(words) == 3
    rows = {(row["vehicle"], row["brief"]): row for row in rows_of(tmp_path)}
    assert {key for key, row in rows.items() if row["status"] == "left out"} == {
        (spoilt, "Replace everything"),
        (spoilt, "Keep own head unit"),
        (blank, "Replace everything"),
    }
    assert "Vehicles!J6: found" in rows[spoilt, "Keep own head unit"]["reason"]
    assert "wide" in rows[spoilt, "Keep own head unit"]["reason"]
    assert "Vehicles!B10" in rows[blank, "Replace everything"]["reason"]
    assert rows[spoilt, "Keep own head unit"]["counter_file"] is None
    assert [path.name for path in (tmp_path / "counters").iterdir()] == ["Pondrelka-Harlo-Saloon.html"]
