"""Which briefs and vehicles the counter page answers, and the command that writes it alone."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from budgetbuild.advice.frontier import curve_of
from budgetbuild.catalogue.kinds import HeadUnitMode, Opening
from budgetbuild.catalogue.listed import names_of
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.shop import Catalogue, Vehicle, usual_allowance
from budgetbuild.cli import main
from budgetbuild.counter import curves_for, left_out, pairs_at_the_counter
from budgetbuild.faults import Cell, Fault, Severity
from tests.cli.quotes import answered
from tests.cli.sheets import edit
from tests.program.small import front, stock, wants

if TYPE_CHECKING:
    from pathlib import Path

CARS = tuple(
    Vehicle(at=Cell("Vehicles", row), name=f"Car {row}", opening=Opening.DOUBLE, front_run_m=2.0) for row in (2, 3, 4)
)


def warned(row: int, code: str, severity: Severity) -> Fault:
    return Fault(Cell("Vehicles", row, 5), code, "?", "a number", "mend it", severity)


def named(catalogue: Catalogue, *briefs_of: HeadUnitMode) -> list[tuple[str, str]]:
    briefs = [wants(name=f"{mode}", head_unit=mode, vehicle="Car 2") for mode in briefs_of]
    return [(brief.name, vehicle.name) for brief, vehicle in pairs_at_the_counter(catalogue, briefs)]


def test_every_brief_is_answered_for_every_vehicle() -> None:
    catalogue = Catalogue(vehicles=CARS)
    found = named(catalogue, HeadUnitMode.REPLACE, HeadUnitMode.KEEP_OWN)
    assert found == [(brief, f"Car {row}") for brief in ("replace", "keep own") for row in (2, 3, 4)]


def test_a_vehicle_with_a_spoilt_cell_takes_no_part_but_where_the_brief_names_it() -> None:
    spoilt = tuple(warned(row, "not-a-number", Severity.WARNING) for row in (2, 3))
    catalogue = Catalogue(vehicles=CARS, warnings=spoilt)
    assert named(catalogue, HeadUnitMode.KEEP_OWN) == [("keep own", "Car 2"), ("keep own", "Car 4")]


def test_vehicles_without_any_brief_are_named() -> None:
    spoilt = tuple(warned(row, "not-a-number", Severity.WARNING) for row in (2, 3))
    catalogue = Catalogue(vehicles=CARS, warnings=spoilt)
    pairs = pairs_at_the_counter(catalogue, [wants(vehicle="Car 2", head_unit=HeadUnitMode.KEEP_OWN)])
    assert [vehicle.name for vehicle in left_out(catalogue, pairs)] == ["Car 3"]


def test_where_no_opening_stands_no_head_unit_is_replaced() -> None:
    catalogue = Catalogue(vehicles=CARS, warnings=(warned(3, "blank-assumed", Severity.NOTICE),))
    found = named(catalogue, HeadUnitMode.REPLACE, HeadUnitMode.KEEP_OWN)
    assert ("replace", "Car 3") not in found
    assert ("keep own", "Car 3") in found


def test_curves_are_those_of_each_vehicle_and_known_ones_are_kept() -> None:
    catalogue, brief = stock(front()), wants(own_internal_w=20.0)
    vehicle = catalogue.vehicles[0]
    known = curve_of(catalogue, brief, vehicle)
    assert next(curves_for(catalogue, [(brief, vehicle)], [known])) is known
    (found,) = curves_for(catalogue, [(brief, vehicle)])
    assert [(point.score, point.total) for point in found.points] == [
        (point.score, point.total) for point in known.points
    ]


@pytest.mark.slow
def test_the_page_of_every_brief_and_vehicle_of_the_sample_is_under_two_megabytes(
    sample_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["counter", str(sample_workbook), "--out", str(tmp_path)]) == 0
    assert capsys.readouterr().out.startswith(f"Wrote counter.html to {tmp_path}: 45 curves")
    page = (tmp_path / "counter.html").read_text("utf-8")
    assert len(page.encode()) < 2_000_000
    assert "Pondrelka Nimbry Camper" in page


def test_a_blank_opening_keeps_a_vehicle_from_briefs_that_replace_the_head_unit(
    sample_workbook: Path, tmp_path: Path
) -> None:
    """No brief names that vehicle, and still the page must not say that nothing fits it."""
    path = edit(sample_workbook, tmp_path, {("Vehicles", "Pondrelka Harlo Saloon"): {"Opening": None}})
    catalogue = load_catalogue(path)
    found = {
        brief.head_unit
        for brief, vehicle in pairs_at_the_counter(catalogue, catalogue.briefs)
        if vehicle.name == "Pondrelka Harlo Saloon"
    }
    assert found == {HeadUnitMode.KEEP_FACTORY, HeadUnitMode.KEEP_OWN}


def test_quote_and_page_allow_what_the_tiers_agree_on(sample_workbook: Path, tmp_path: Path) -> None:
    """5 % in every tier: a quote for 1,300 may cost 1,365."""
    tiers = {("Tiers", name): {"Allowance %": 5} for name in ("Entry", "Middle", "Top")}
    path = edit(sample_workbook, tmp_path, tiers)
    assert names_of(path).allowance == Fraction(5, 100)
    status, build = answered(path, "--budget", "1300", "--brief", "Closed dash, bass wanted")
    assert status == 0
    assert build["cap"] == "1365.00"
    assert usual_allowance(tier.allowance for tier in load_catalogue(path).tiers) == Fraction(5, 100)
