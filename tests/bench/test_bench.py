"""The benchmarks themselves: the flat program is flat and has the same optimum, the tables say what was measured."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.catalogue.kinds import Location
from budgetbuild.trade import fit
from tests.bench import flat
from tests.bench.history import README, SECTION, keep, runs, show
from tests.bench.process import run
from tests.bench.solvers import Tally, differ, solve, table
from tests.bench.stages import STAGES, timed
from tests.bench.tables import as_markdown, as_text, exponent, tables
from tests.bench.work import Work, price_list, workbook_of
from tests.readme import section

if TYPE_CHECKING:
    from pathlib import Path

PRODUCTS = 120


def measured(*sizes: int, power: float = 1.0) -> dict[str, Any]:
    """A run in which every stage takes a ten-thousandth of a second for a product, to some power."""
    names = [*STAGES, "total", "flat", "other"]
    found = {str(size): {name: {"seconds": size**power / 1e4} for name in names} for size in sizes}
    for one in found.values():
        one["total"]["megabytes"] = 1234.5
        one["flat"] |= {"stopped": True, "seconds": 120.0}
    machine: dict[str, Any] = {"processors": 2, "processor": "Some", "system": "Any", "python": "3", "budgetbuild": "1"}
    run_of: dict[str, Any] = {"when": "2030-01-02T03:04+00:00", "machine": machine, "runs": 3, "limit": 120.0}
    return run_of | {"counter": "briefs", "sizes": found, "quote": {"seconds": 1.0, "imports": 0.5}, "guard": {}}


def test_the_readme_shows_the_last_run_that_was_kept() -> None:
    """After a run of all sizes: `python -m tests.bench --readme`."""
    assert section(README.read_text("utf-8"), SECTION) == as_markdown(runs()[-1])


def test_a_run_is_kept_as_one_line_and_shown(tmp_path: Path) -> None:
    history, readme = tmp_path / "history.jsonl", tmp_path / "README.md"
    readme.write_text("before\n<!-- bench -->\nstale\n<!-- /bench -->\nafter\n", "utf-8")
    for size in (300, 2_000):
        keep(measured(size), history)
    assert [list(one["sizes"]) for one in runs(history)] == [["300"], ["2000"]]
    show(runs(history)[-1], readme)
    text = readme.read_text("utf-8")
    assert text.startswith("before\n<!-- bench -->\n")
    assert "2,000 products" in text
    assert "stale" not in text


@pytest.mark.parametrize("power", [0.5, 1.0, 1.7])
def test_the_exponent_is_that_of_the_growth_from_2_000_products_on(power: float) -> None:
    """Small sizes, which mostly start things up, do not count."""
    sizes = measured(2_000, 20_000, 100_000, power=power)
    sizes["sizes"]["300"] = {"total": {"seconds": 1000.0}}
    found = exponent(sizes, "total")
    assert found is not None
    assert math.isclose(found, power)
    assert exponent(measured(300, 2_000), "total") is None


def test_what_was_stopped_is_not_told_as_a_time_and_what_is_missing_as_left_out() -> None:
    """A ratio to what was stopped is at least so much."""
    given = measured(20_000)
    del given["sizes"]["20000"]["other"]
    times, ratios = ({name: cell for name, cell in one} for one in tables(given))  # noqa: C416 - rows are lists
    assert times["the same build, flat program, HiGHS (a)"] == ">= 120"
    assert times["the same build, flat program, CP-SAT on all processors (b)"] == "left out"
    assert ratios["flat program (a) / 1 build here"] == ">= 60"
    assert ratios["flat program (b) / 1 build here"] == ""
    assert ratios["reading and checking / merely reading (c)"] == "2"
    assert times["peak memory of the total, all its processes"] == "1,234 MB"
    assert ">= 120" in as_text(given)


def test_the_flat_program_has_every_product_that_scores_and_fits() -> None:
    """Ours has fewer."""
    catalogue = price_list(300)
    brief = catalogue.briefs[0]
    vehicle = catalogue.vehicle(brief.vehicle)
    every, few = flat.flat_program(catalogue, brief), Work(README, catalogue).programs[brief.name]
    found = every.layout.candidates
    bought = {part.sku for some in found.sounders[Location.FRONT] for part in some.parts}
    fitting = {one.sku for one in catalogue.speakers if fit.speaker_fits(one, vehicle, Location.FRONT).allowed}
    driven = {one.sku for one in catalogue.speakers if one.sku in bought}
    assert driven <= fitting
    assert len(driven) > len(fitting) / 2  # the others need an adapter that is not listed, or nothing drives them
    assert {part.sku for use in found.arrangements for part in use.parts} == {one.sku for one in catalogue.amplifiers}
    units = {one.sku for one in catalogue.head_units if fit.opening_takes(vehicle.opening, one.opening)}
    assert {part.sku for source in found.sources for part in source.parts} >= units
    assert len(every.columns) > len(few.columns)


def test_the_flat_program_has_the_same_optimum_by_both_solvers(tmp_path: Path) -> None:
    """Each in a process of its own, as in a run."""
    workbook, file = workbook_of(PRODUCTS, tmp_path), tmp_path / "flat.pickle"
    expected = timed(STAGES["one"], Work(workbook)).result
    ours = json.loads(run("-m", "tests.bench.flat", str(workbook), "60", str(file)).printed)
    other = json.loads(run("-m", "tests.bench.flat_cpsat", "60", str(file)).printed)
    assert not ours["stopped"]
    assert ours["score"] == other["score"] == expected.score  # type: ignore[attr-defined]


def test_memory_is_that_of_a_command_and_all_that_it_started() -> None:
    """A child that holds 200 MB counts."""
    child = "import time; some = bytearray(200_000_000); time.sleep(0.5)"
    ran = run("-c", f"import subprocess, sys; subprocess.run([sys.executable, '-c', {child!r}], check=True)")
    assert 200 < ran.megabytes < 400
    assert ran.seconds > 0.5


def test_a_command_that_fails_is_no_measurement() -> None:
    with pytest.raises(RuntimeError, match="No such stage"):
        run("-c", "raise SystemExit('No such stage')")


def test_a_stage_is_a_process_of_its_own_and_says_what_it_took(tmp_path: Path) -> None:
    done = subprocess.run(  # noqa: S603 - our own code
        [sys.executable, "-m", "tests.bench.stages", "mere", str(workbook_of(PRODUCTS, tmp_path))],
        capture_output=True,
        text=True,
        check=True,
    )
    assert set(json.loads(done.stdout)) == {"seconds", "cpu"}


def test_two_solvers_are_compared_by_status_worth_and_parts() -> None:
    """One build by both, which agree; another budget's answer differs."""
    work = Work(README, price_list(PRODUCTS))
    program, caps = work.programs[work.catalogue.briefs[0].name], [tier.cap for tier in work.catalogue.tiers]
    tallies = {"highs": Tally(), "cbc": Tally()}
    found = [solve(name, program, caps[1], 60.0, tally) for name, tally in tallies.items()]
    assert not differ(found)
    assert differ([found[0], solve("highs", program, caps[0], 60.0, tallies["highs"])])
    solve("cbc", program, caps[0], 60.0, tallies["cbc"])
    lines = table(tallies, 0).splitlines()
    assert [line.split(" | ")[1:3] for line in lines[2:]] == [["2", "2"], ["2", "2"]]
