"""`budgetbuild why` and `budgetbuild entry-prices` on the sample, held against the integer program."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.advice.entry import changed
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.cli import main
from budgetbuild.program.solve import Proposal, best
from budgetbuild.program.solver import Clock, Solver
from tests.program.small import program_of, skus

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Brief, Catalogue

BRIEF = "Closed dash, bass wanted"
"""The brief that is answered soonest; no tier names it."""
PLACE = ("--tier", "middle", "--brief", BRIEF)


def cents(decimal: str) -> int:
    return int(decimal.replace(".", ""))


def asked(catalogue: Path, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, Any]:
    """Exit status and answer of a command, as data."""
    status = main([words[0], str(catalogue), *words[1:], *PLACE, "--json"])
    return status, json.loads(capsys.readouterr().out)


def of_sample(path: Path) -> tuple[Catalogue, Brief, int]:
    """Catalogue, brief and the cap of the middle tier, 1,300 and 1 %."""
    catalogue = load_catalogue(path)
    (brief,) = [one for one in catalogue.briefs if one.name == BRIEF]
    return catalogue, brief, 1313_00


def by_program(catalogue: Catalogue, brief: Brief, cap: int) -> Proposal:
    return best(program_of(catalogue, brief), cap, Solver(), Clock())


def test_insisting_on_a_product_costs_what_the_program_says(
    sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The best with it, by must include; the points lost are the difference to the best without that wish."""
    catalogue, brief, cap = of_sample(sample_workbook)
    best_of_all = by_program(catalogue, brief, cap)
    wish = replace(brief, must_include=("KV-CORE-4",))
    forced = by_program(catalogue, wish, cap)
    assert "KV-CORE-4" not in skus(best_of_all.system)
    assert best_of_all.score is not None
    assert forced.score is not None
    status, told = asked(sample_workbook, capsys, "why", "kv-core-4")
    assert status == 0
    assert (told["score"], cents(told["total"])) == (forced.score / 1000, forced.total)
    assert told["points_lost"] == pytest.approx((best_of_all.score - forced.score) / 1000)
    assert told["told"][0].startswith("Insisting on Kivandre Core 4 (KV-CORE-4) within Middle loses ")


def test_at_its_entry_price_a_product_is_in_and_at_a_cent_more_it_is_not(
    sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    catalogue, brief, cap = of_sample(sample_workbook)
    product = next(one for one in catalogue.amplifiers if one.sku == "KV-CORE-4")
    _, told = asked(sample_workbook, capsys, "why", "KV-CORE-4")
    entry = cents(told["entry_price"])
    assert 0 < entry < product.price == cents(told["price"])
    assert "KV-CORE-4" in skus(by_program(changed(catalogue, product, price=entry), brief, cap).system)
    assert "KV-CORE-4" not in skus(by_program(changed(catalogue, product, price=entry + 1), brief, cap).system)


@pytest.mark.parametrize(
    ("sku", "said"),
    [
        ("OS-R310D", "The brief has no place for a new head unit."),
        ("TV-D10", "Its row says that it is not offered."),
        ("00714", "The brief has no place for a new head unit."),
    ],
)
def test_what_a_rule_forbids_is_told_with_the_rule(
    sku: str, said: str, sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, told = asked(sample_workbook, capsys, "why", sku)
    assert status == 3
    assert (told["possible"], told["entry_price"], told["least_budget"]) == (False, None, None)
    assert any(sentence.startswith(said) for sentence in told["told"])


def test_a_misspelt_product_or_tier_gets_the_nearest_names(
    sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["why", str(sample_workbook), "KV-CORE4", *PLACE]) == 2
    assert "KV-CORE-4" in capsys.readouterr().err
    assert main(["why", str(sample_workbook), "KV-CORE-4", "--tier", "Midle", "--brief", BRIEF]) == 2
    assert "write Middle" in capsys.readouterr().err


@pytest.mark.parametrize("wrong", ["-1", "101", "near", "1e400"])
def test_a_share_that_is_none_is_refused(wrong: str, sample_workbook: Path) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["entry-prices", str(sample_workbook), *PLACE, f"--within={wrong}"])
    assert ended.value.code == 2


@pytest.mark.slow
def test_entry_prices_list_what_is_in_and_what_just_misses(
    sample_workbook: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """All that the best system holds, and near misses whose price would have to fall by at most 6 %."""
    catalogue, brief, cap = of_sample(sample_workbook)
    status, told = asked(sample_workbook, capsys, "entry-prices", "--within", "6")
    assert status == 0
    inside = {row["sku"] for row in told if row["chosen"]}
    assert inside == set(skus(by_program(catalogue, brief, cap).system))
    near = [row for row in told if not row["chosen"]]
    assert near
    assert all(0 < cents(row["reduction"]) <= cents(row["price"]) * 0.06 for row in near)
    assert all(cents(row["entry_price"]) >= cents(row["price"]) for row in told if row["chosen"])
    assert main(["entry-prices", str(sample_workbook), *PLACE, "--within", "0"]) == 0
    assert "KV-CORE-4" not in capsys.readouterr().out
