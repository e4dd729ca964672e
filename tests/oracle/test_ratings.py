"""Ratings that the reader reckons are those that the oracle does, and builds do not know typed ones from reckoned."""

from __future__ import annotations

import random
from copy import deepcopy
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.catalogue.shop import Tier
from budgetbuild.faults import Severity, UserInputError
from budgetbuild.pipeline import Run, solve_all
from tests.oracle.catalogues import random_catalogue
from tests.oracle.enumerate import best
from tests.oracle.ratings import RATED, random_points, rating
from tests.sample.sheets import Writer
from tests.sample.tables import tables_of

if TYPE_CHECKING:
    from budgetbuild.build import Build
    from budgetbuild.catalogue.shop import Catalogue

SEEDS = 24
SOLVED = 12
"""Seeds whose builds are compared as well."""
EXPECTED_FAULTS = {"nothing-rated", "never-offered", "missing-sheet"}
"""What may be wrong with a random catalogue whose ratings are blanked."""


@dataclass(frozen=True)
class Case:
    """A random catalogue with blank ratings, what it is read as, and the ratings that the oracle reckons.

    Attributes:
        expected: By SKU, of every product whose rating was blanked; `None` where it stays unrated.
        typed: The same catalogue with those ratings typed, and what stays unrated not on offer.
    """

    loaded: Catalogue
    typed: Catalogue
    expected: dict[str, float | None]


@cache
def case_of(seed: int) -> Case | None:
    """One case; `None` where a sheet that the brief needs has no rows, or is left without any rated product."""
    rng = random.Random(f"ratings/{seed}")  # noqa: S311 - test data, not secrets
    catalogue, brief, vehicle, cap = random_catalogue(seed)
    tier = Tier(name="T", budget=max(cap, 1), allowance=Fraction(0))
    tables: dict[str, list[dict[str, Any]]] = deepcopy(
        tables_of(replace(catalogue, vehicles=(vehicle,), briefs=(brief,), tiers=(tier,)))
    )
    tables["Points"] = random_points(rng, tables)
    typed, expected = deepcopy(tables) | {"Points": []}, {}
    for sheet in RATED:
        points = [row for row in tables["Points"] if row["Sheet"] == sheet]
        for blank, full in zip(tables[sheet], typed[sheet], strict=True):
            if points and rng.random() < 0.7:
                found = expected[blank["SKU"]] = rating(blank, points)
                blank["Rating"] = None
                full.update({"Rating": 0, "Active": "no"} if found is None else {"Rating": found})
    try:
        return Case(loaded(tables), loaded(typed), expected)
    except UserInputError as error:
        if {fault.code for fault in error.faults if fault.severity is Severity.FAULT} <= EXPECTED_FAULTS:
            return None
        raise


def loaded(tables: dict[str, list[dict[str, Any]]]) -> Catalogue:
    """Tables as the reader reads them from a file."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "catalogue.xlsx"
        writer = Writer(path)
        writer.sheets(tables)
        writer.book.close()
        return load_catalogue(path)


def cases(seeds: int) -> list[Case]:
    """The cases of the first seeds."""
    return [case for case in map(case_of, range(seeds)) if case]


def test_reckoned_ratings_are_those_of_the_oracle() -> None:
    counted = 0
    for case in cases(SEEDS):
        products = case.loaded.by_sku()
        assert {sku: products[sku].rating for sku in case.expected} == case.expected
        assert set(case.loaded.reckoned) == {sku for sku, found in case.expected.items() if found is not None}
        counted += len(case.loaded.reckoned)
    assert counted > 200


def test_what_stays_unrated_is_told_and_not_offered() -> None:
    unrated = 0
    for case in cases(SEEDS):
        products = case.loaded.by_sku()
        silent = [sku for sku, found in case.expected.items() if found is None]
        told = {(fault.at.sheet, fault.at.row) for fault in case.loaded.warnings if fault.code == "unrated"}
        assert {(products[sku].at.sheet, products[sku].at.row) for sku in silent} == told
        assert not any(products[sku].active for sku in silent)
        unrated += len(silent)
    assert unrated > 10


def key(build: Build) -> tuple[Any, ...]:
    """What a build is."""
    return build.status, build.score, build.total, build.audited and build.audited.system


def test_builds_are_the_same_whether_ratings_are_typed_or_reckoned() -> None:
    systems = 0
    for case in cases(SOLVED):
        reckoned, typed = (solve_all(catalogue, Run()).builds for catalogue in (case.loaded, case.typed))
        assert [key(build) for build in reckoned] == [key(build) for build in typed]
        systems += sum(build.audited is not None for build in reckoned)
    assert systems > SOLVED / 2


def test_builds_with_reckoned_ratings_are_those_of_brute_force() -> None:
    for case in cases(SOLVED):
        (build,) = solve_all(case.loaded, Run()).builds
        answer = best(case.typed, build.brief, build.vehicle, build.tier.cap)
        assert (build.score, build.total) == (answer.score, answer.total)


def test_the_audit_reckons_the_ratings_once_more() -> None:
    checks = 0
    for case in cases(SOLVED):
        (build,) = solve_all(case.loaded, Run()).builds
        if build.audited:
            held = {line.sku for line in build.audited.lines} & set(case.loaded.reckoned)
            told = [check for check in build.audited.checks if check.rule == "Rating from the Points sheet"]
            assert {check.subject: check.figure for check in told} == {sku: case.expected[sku] for sku in held}
            checks += len(told)
    assert checks > SOLVED
