"""Reading a published file: what `build` wrote comes back as it was, and whatever is wrong with a file is located."""

from __future__ import annotations

import json
import tempfile
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import pytest

from budgetbuild.catalogue.shop import Tier
from budgetbuild.faults import UserInputError
from budgetbuild.pipeline import Run, solve_all
from budgetbuild.published import read as reader
from budgetbuild.published import read_published
from budgetbuild.published.fields import MONEY
from budgetbuild.report.content import report_content
from budgetbuild.report.results import render_results
from tests.oracle.catalogues import random_catalogue
from tests.oracle.knobs import PROFILES
from tests.recheck.shop import list_of, written
from tests.report import fixtures

if TYPE_CHECKING:
    from collections.abc import Callable

    from budgetbuild.build import Build, Published
    from budgetbuild.catalogue.shop import Catalogue


def read(content: bytes, folder: Path) -> Published:
    path = folder / "results.json"
    path.write_bytes(content)
    return read_published(path)


@cache
def plain() -> bytes:
    """What a small shop publishes: one system."""
    with tempfile.TemporaryDirectory() as folder:
        return written(list_of(), Path(folder)).read_bytes()


def as_published(builds: tuple[Build, ...], catalogue: Catalogue, folder: Path) -> Published:
    return read(render_results(report_content(builds, catalogue)), folder)


@pytest.mark.parametrize("profile", PROFILES)
def test_what_build_wrote_gives_back_the_same_systems(profile: str, tmp_path: Path) -> None:
    catalogue, _, _, cap = random_catalogue(3, profile)
    catalogue = replace(catalogue, tiers=(Tier(name="tier", budget=cap, allowance=Fraction(0)),))
    builds = solve_all(catalogue, Run()).builds
    found = as_published(builds, catalogue, tmp_path)
    assert [one.system for one in found.builds] == [b.audited.system if b.audited else None for b in builds]
    assert [(one.score, one.total, one.cap) for one in found.builds] == [(b.score, b.total, cap) for b in builds]
    for one, build in zip(found.builds, builds, strict=True):
        if build.audited:
            assert one.checks == build.audited.checks
            assert one.cautions == build.audited.cautions
            assert one.score_parts == build.audited.score_parts
            assert [(line.role, line.sku, line.line_total) for line in one.lines] == [
                (line.role, line.sku, line.line_total) for line in build.audited.lines
            ]


def test_every_kind_of_build_can_be_read(tmp_path: Path) -> None:
    """With a system, without any, stopped early, and with every figure that a file may hold."""
    builds = fixtures.every_build()
    found = as_published(builds, fixtures.CATALOGUE, tmp_path)
    assert len(found.builds) == len(builds)
    assert {one.system is None for one in found.builds} == {True, False}
    assert found.catalogue == "harbour_prices.xlsx"
    assert found.catalogue_sha256 == "0f" * 32


@pytest.mark.parametrize("name", ["</script>", '"\\\x00', "\ud800", "=1+1", "\u202egpj.exe"])
def test_hostile_names_come_back_as_they_were(name: str, tmp_path: Path) -> None:
    builds, catalogue = fixtures.renamed(name)
    assert name in {one.tier for one in as_published(builds, catalogue, tmp_path).builds}


def test_keys_that_are_not_known_are_ignored(tmp_path: Path) -> None:
    data = json.loads(plain())
    data["of another day"] = [1]
    data["builds"][0]["of another day"] = {"x": None}
    data["builds"][0]["lines"][0]["of another day"] = True
    assert len(read(json.dumps(data).encode(), tmp_path).builds) == 1


def faults_of(content: bytes, folder: Path) -> list[tuple[str, str]]:
    """Where and of which code, of everything that is wrong."""
    with pytest.raises(UserInputError) as caught:
        read(content, folder)
    for fault in caught.value.faults:
        assert fault.found
        assert fault.expected
        assert fault.mend
    return [(str(fault.at), fault.code) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("content", "place", "code"),
    [
        (b"", "results.json, line 1", "not-json"),
        (b'{\n "a": 1,\n}', "results.json, line 3", "not-json"),
        (b'{"version": "1", "builds": [', "results.json, line 1", "not-json"),
        (b"\n\xff\xfe", "results.json, line 2", "not-json"),
        (b"[" * 100_000, "results.json", "not-json"),
        (b'{"version": ' + b"9" * 5000 + b"}", "results.json", "not-json"),
        (b'{"version": ' + b"9" * 19 + b"}", "results.json", "not-json"),
        (b'{"version": ' + b"9" * 18 + b', "builds": []}', "results.json: version", "other-version"),
        (b'{"version": 1e999, "builds": []}', "results.json", "not-json"),
        (b'{"version": NaN, "builds": []}', "results.json", "not-json"),
        (b'{"version": "1", "version": "1", "builds": []}', "results.json", "not-json"),
        (b"3", "results.json: the whole file", "not-results"),
        (b"[]", "results.json: the whole file", "not-results"),
        (b'{"orders": []}', "results.json: the whole file", "not-results"),
        (b'{"version": "2", "builds": []}', "results.json: version", "other-version"),
        (b'{"version": 1, "builds": []}', "results.json: version", "other-version"),
    ],
)
def test_a_file_that_is_no_results_file_is_told_with_its_place(
    content: bytes, place: str, code: str, tmp_path: Path
) -> None:
    assert faults_of(content, tmp_path) == [(place, code)]


def test_a_file_that_begins_with_a_mark_of_its_encoding_is_read(tmp_path: Path) -> None:
    assert read(b"\xef\xbb\xbf" + plain(), tmp_path).builds


@pytest.mark.parametrize(("name", "code"), [("nowhere.json", "no-such-file"), (".", "not-a-file")])
def test_a_file_that_cannot_be_read_is_told(name: str, code: str, tmp_path: Path) -> None:
    with pytest.raises(UserInputError) as caught:
        read_published(tmp_path / name)
    assert [(fault.code, bool(fault.at.file)) for fault in caught.value.faults] == [(code, True)]


def test_a_file_too_large_for_any_guide_is_told(tmp_path: Path) -> None:
    with patch.object(reader, "LARGEST", 10):
        assert faults_of(plain(), tmp_path) == [("results.json", "file-too-large")]


def test_a_guide_of_nothing_is_told(tmp_path: Path) -> None:
    data = json.loads(plain())
    assert faults_of(json.dumps({**data, "builds": []}).encode(), tmp_path) == [
        ("results.json: builds", "nothing-published")
    ]


def _set(*path: str | int, to: object) -> Callable[[Any], None]:
    def change(data: Any) -> None:  # noqa: ANN401 - any JSON
        for step in path[:-1]:
            data = data[step]
        data[path[-1]] = to

    return change


def _cut(*path: str | int) -> Callable[[Any], None]:
    def change(data: Any) -> None:  # noqa: ANN401 - any JSON
        for step in path[:-1]:
            data = data[step]
        del data[path[-1]]

    return change


BUILD = "builds", 0
LINE = *BUILD, "lines", 0


@pytest.mark.parametrize(
    ("change", "place", "code"),
    [
        (_cut("currency"), "currency", "missing-key"),
        (_cut("catalogue"), "catalogue", "missing-key"),
        (_set("currency", to=""), "currency", "wrong-type"),
        (_set("tax_rate", to="many"), "tax_rate", "wrong-type"),
        (_set("builds", to={}), "builds", "wrong-type"),
        (_set("builds", 0, to=[]), "builds[0]", "wrong-type"),
        (_cut(*BUILD, "tier"), "builds[0].tier", "missing-key"),
        (_set(*BUILD, "brief", to="  "), "builds[0].brief", "wrong-type"),
        (_set(*BUILD, "budget", to=330), "builds[0].budget", "wrong-type"),
        (_set(*BUILD, "cap", to="-5.00"), "builds[0].cap", "wrong-type"),
        (_set(*BUILD, "status", to="splendid"), "builds[0].status", "wrong-type"),
        (_set(*BUILD, "score", to=None), "builds[0].score", "does-not-add-up"),
        (_set(*BUILD, "score", to=1.23456), "builds[0].score", "wrong-type"),
        (_set(*BUILD, "score", to=True), "builds[0].score", "wrong-type"),
        (_set(*BUILD, "total", to="1.00"), "builds[0].total", "does-not-add-up"),
        (_set(*BUILD, "lines", to="none"), "builds[0].lines", "wrong-type"),
        (_set(*LINE, "sku", to=7), "builds[0].lines[0].sku", "wrong-type"),
        (_set(*LINE, "sku", to=None), "builds[0].lines[0].sku", "wrong-type"),
        (_set(*LINE, "role", to="sofa"), "builds[0].lines[0].role", "wrong-type"),
        (_set(*LINE, "quantity", to=0), "builds[0].lines[0].quantity", "wrong-type"),
        (_set(*LINE, "quantity", to=1.5), "builds[0].lines[0].quantity", "wrong-type"),
        (_set(*LINE, "unit_price", to="99.9"), "builds[0].lines[0].unit_price", "wrong-type"),
        (_set(*LINE, "line_total", to="99.99"), "builds[0].lines[0].line_total", "does-not-add-up"),
        (_set(*BUILD, "drives", 0, "by", to="wind"), "builds[0].drives[0].by", "wrong-type"),
        (_set(*BUILD, "drives", 0, "ohm", to=0), "builds[0].drives[0].ohm", "wrong-type"),
        (_set(*BUILD, "drives", 0, "amplifier", to=1), "builds[0].drives[0].amplifier", "no-such-amplifier"),
        (_set(*BUILD, "feeds", 0, "devices", to=[-2]), "builds[0].feeds[0].devices[0]", "wrong-type"),
        (_set(*BUILD, "amplifiers", to=5), "builds[0].amplifiers", "wrong-type"),
        (_set(*BUILD, "cables", 0, "location", to="roof"), "builds[0].cables[0].location", "wrong-type"),
        (_set(*BUILD, "checks", 0, "ok", to="yes"), "builds[0].checks[0].ok", "wrong-type"),
        (_set(*BUILD, "checks", 0, "figure", to=[]), "builds[0].checks[0].figure", "wrong-type"),
        (_set(*BUILD, "cautions", to=[{"code": "x", "subject": "", "figures": []}]), "builds[0].cautions[0].figures",
         "wrong-type"),
        (_set(*BUILD, "cautions", to=[{"code": "x", "subject": ""}]), "builds[0].cautions[0].figures", "missing-key"),
        (_set(*BUILD, "checks", to=[7]), "builds[0].checks[0]", "wrong-type"),
        (_cut(*BUILD, "score_parts"), "builds[0].score_parts", "missing-key"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_path(
    change: Callable[[Any], None], place: str, code: str, tmp_path: Path
) -> None:
    data = json.loads(plain())
    change(data)
    assert faults_of(json.dumps(data).encode(), tmp_path) == [(f"results.json: {place}", code)]


def test_one_product_twice_in_a_role_is_told(tmp_path: Path) -> None:
    data = json.loads(plain())
    build = data["builds"][0]
    build["lines"].append(build["lines"][0])
    found = faults_of(json.dumps(data).encode(), tmp_path)
    assert (f"results.json: builds[0].lines[{len(build['lines']) - 1}].sku", "duplicate-line") in found


def test_everything_that_is_wrong_is_told_at_once(tmp_path: Path) -> None:
    data = json.loads(plain())
    for change in (_cut("currency"), _set(*LINE, "role", to="sofa"), _set(*BUILD, "cap", to=5)):
        change(data)
    assert len(faults_of(json.dumps(data).encode(), tmp_path)) == 3


def test_amounts_are_read_to_the_cent_however_large() -> None:
    assert MONEY.fullmatch("123456789012.99")
    assert not MONEY.fullmatch("٣.00")
    assert not MONEY.fullmatch("1298.5")
