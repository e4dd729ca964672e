"""The locks hold what pyproject.toml asks for, hashed, and `.ci/run` installs by them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from tests.supply.declared import EVERYTHING, FOR_USE, ROOT, RUN_TIME, asked, lock, lowest, wanted

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize(("path", "parts"), [(EVERYTHING, ()), (RUN_TIME, FOR_USE)])
def test_a_lock_holds_a_version_that_is_asked_for_of_every_library_and_no_other(
    path: Path, parts: tuple[str, ...]
) -> None:
    pins, named = lock(path), wanted(*parts)
    assert {
        name for name, each in named.items() if name not in pins or pins[name].version not in each.specifier
    } == set()
    ours = {name for name, pin in pins.items() if "budgetbuild" in pin.via}
    assert ours == set(named)
    assert {asking for pin in pins.values() for asking in pin.via} - {"budgetbuild"} <= set(pins)


@pytest.mark.parametrize("path", [EVERYTHING, RUN_TIME])
def test_every_line_of_a_lock_has_hashes(path: Path) -> None:
    pins = lock(path)
    assert len(pins) == len(re.findall(r"^[a-z0-9]", path.read_text("utf-8"), re.MULTILINE))
    assert [name for name, pin in pins.items() if not pin.hashes] == []


def test_both_locks_agree() -> None:
    everything = lock(EVERYTHING)
    assert {name: pin.version for name, pin in lock(RUN_TIME).items()}.items() <= {
        name: pin.version for name, pin in everything.items()
    }.items()


def test_one_version_does_for_every_python() -> None:
    """So that two Pythons of one lock may be held against each other."""
    for path in (EVERYTHING, RUN_TIME):
        names = re.findall(r"^([a-z0-9-]+)==", path.read_text("utf-8"), re.MULTILINE)
        assert len(names) == len(set(names))


def test_ci_installs_by_the_lock_and_holds_each_file_against_its_hash() -> None:
    lines = (ROOT / ".ci" / "run").read_text("utf-8").splitlines()
    assert [line for line in lines if line.endswith("--require-hashes --requirement .ci/requirements.txt")]


def test_the_newest_python_that_is_named_is_the_one_that_ci_gets() -> None:
    named = re.findall(r"Python :: 3\.(\d+)", (ROOT / "pyproject.toml").read_text("utf-8"))
    got = re.search(r"^version=3\.(\d+)$", (ROOT / ".ci" / "newest-python").read_text("utf-8"), re.MULTILINE)
    assert got
    assert int(got[1]) == max(map(int, named))


def test_every_requirement_has_a_least_version() -> None:
    assert all(lowest(each).release for each in wanted().values())


def test_extras_are_those_that_the_locks_know() -> None:
    assert set(asked()) == {*FOR_USE, "test", "dev"}
