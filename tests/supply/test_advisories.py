"""No version that is locked, and no least one that pyproject.toml lets in, is named by an advisory kept here."""

from __future__ import annotations

from typing import Any

import pytest
from packaging.version import Version

from tests.supply.advisories import Advisory, kept, told
from tests.supply.declared import EVERYTHING, lock, lowest, wanted


def test_every_locked_library_was_looked_up() -> None:
    looked_up, _ = kept()
    assert set(lock(EVERYTHING)) - looked_up == set(), "look the new ones up: see tests/supply/advisories.py"


def test_no_locked_version_is_affected() -> None:
    pins = lock(EVERYTHING)
    hit = [(each, str(pins[each.name].version)) for each in kept()[1] if each.affects(pins[each.name].version)]
    assert hit == []


def test_no_least_version_is_affected() -> None:
    least = {name: lowest(each) for name, each in wanted().items()}
    hit = [(each, str(least[each.name])) for each in kept()[1] if each.name in least and each.affects(least[each.name])]
    assert hit == []


@pytest.mark.parametrize(
    ("name", "version"),
    [("jinja2", "3.1.5"), ("pyarrow", "18.0.0"), ("pytest", "9.0.2"), ("tornado", "6.5.4"), ("openpyxl", "2.4.1")],
)
def test_versions_that_are_known_to_be_weak_are_found(name: str, version: str) -> None:
    """CVE-2025-27516, CVE-2026-25087, CVE-2025-71176, CVE-2026-31958, CVE-2017-5992 say so of these versions."""
    assert [each.id for each in kept()[1] if each.name == name and each.affects(Version(version))]


BROUGHT = [{"introduced": "0"}, {"introduced": "2"}, {"introduced": "10"}]
ENDED = [{"fixed": "1.2"}, {"last_affected": "2.3"}]


def record(**changes: Any) -> dict[str, Any]:  # noqa: ANN401 - as JSON has it
    """An advisory in the published format (https://ossf.github.io/osv-schema/), invented."""
    affected = {
        "package": {"ecosystem": "PyPI", "name": "Some_Library"},
        "ranges": [{"type": "GIT", "events": []}, {"type": "ECOSYSTEM", "events": ENDED + BROUGHT}],
        "versions": ["dev-of-old", "5.0"],
    }
    return {"id": "PYSEC-0000-1", "affected": [affected | changes.pop("affected", {})], **changes}


@pytest.mark.parametrize(
    ("version", "affected"),
    [
        ("0.1", True), ("1.1.9", True), ("1.2", False), ("1.9", False), ("2.0", True), ("2.3", True), ("2.3.1", False),
        ("9.0", False), ("10.0", True), ("99", True),
    ],
)  # fmt: skip
def test_ranges_are_read_as_they_are_published(version: str, *, affected: bool) -> None:
    found = told([record()], ["some-library"])
    assert any(each.affects(Version(version)) for each in found) == affected
    assert {each.id for each in found} == {"PYSEC-0000-1"}


def test_versions_count_where_there_are_no_ranges() -> None:
    assert told([record(affected={"ranges": []})], ["some-library"]) == [
        Advisory("some-library", "PYSEC-0000-1", "5.0", last="5.0")
    ]


def test_what_is_withdrawn_or_about_another_library_tells_nothing() -> None:
    elsewhere = record(affected={"package": {"ecosystem": "npm", "name": "some-library"}})
    assert told([record(withdrawn="2026-01-01T00:00:00Z"), elsewhere], ["some-library"]) == []
    assert told([record()], ["another-library"]) == []
