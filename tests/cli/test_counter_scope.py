"""Which vehicles `build` puts on the counter page where nobody says: all, but for a job that would take long."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.cli import counter, main
from budgetbuild.counter import pairs_at_the_counter
from tests.sample.scaled import scaled_catalogue, write_workbook

if TYPE_CHECKING:
    from pathlib import Path

BRIEF = "Keep own head unit"
SAYS_SO = "This page answers for the vehicles that its briefs name: 1 of the"


@pytest.fixture(scope="module")
def workbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A hundred products, some vehicles, of which the briefs name the first."""
    path = tmp_path_factory.mktemp("counter") / "list.xlsx"
    write_workbook(scaled_catalogue(100), path)
    return path


def built(workbook: Path, folder: Path, *options: str) -> str:
    """The counter page that `build` writes."""
    arguments = ["build", str(workbook), "--out", str(folder), "--tier", "650", "--brief", BRIEF, *options]
    assert main(arguments) == 0
    return (folder / "counter.html").read_text("utf-8")


def test_a_small_job_has_every_vehicle_and_so_has_a_large_one_that_is_asked_to(
    workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    page = built(workbook, tmp_path / "small")
    assert all(vehicle.name in page for vehicle in load_catalogue(workbook).vehicles)
    monkeypatch.setattr(counter, "MOST_UNASKED", 0)
    assert built(workbook, tmp_path / "large", "--counter", "all") == page
    assert "answers for" not in page
    assert "answers for" not in capsys.readouterr().err


def test_a_large_job_has_the_own_vehicles_only_and_says_so(
    workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    catalogue = load_catalogue(workbook)
    pairs = pairs_at_the_counter(catalogue, [brief for brief in catalogue.briefs if brief.name == BRIEF])
    monkeypatch.setattr(counter, "MOST_UNASKED", len(catalogue.products()) * len(pairs) - 1)
    page = built(workbook, tmp_path / "unasked")
    assert SAYS_SO in page
    assert catalogue.vehicles[0].name in page
    assert catalogue.vehicles[1].name not in page
    told = capsys.readouterr().err
    assert f"the vehicles that the briefs name, 1 of {len(catalogue.vehicles)}" in told
    assert "--counter all" in told
    assert "budgetbuild fleet" in told
    assert built(workbook, tmp_path / "asked", "--counter", "briefs") == page
    assert "--counter all" not in capsys.readouterr().err
    built(workbook, tmp_path / "quiet", "--quiet")
    assert not capsys.readouterr().err


def test_the_sample_is_no_large_job(sample_workbook: Path) -> None:
    catalogue = load_catalogue(sample_workbook)
    assert not counter.takes_long(catalogue, pairs_at_the_counter(catalogue, catalogue.briefs))


def test_a_national_list_is_one() -> None:
    catalogue = scaled_catalogue(20_000)
    assert counter.takes_long(catalogue, pairs_at_the_counter(catalogue, catalogue.briefs[:1]))
