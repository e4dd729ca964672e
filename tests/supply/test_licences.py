"""Every library that a user may install is listed with its licence, and every licence is one of a short list."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, files, version
from typing import TYPE_CHECKING

from tests.readme import section
from tests.supply.declared import RUN_TIME, lock
from tests.supply.licences import PAGE, SECTION, is_allowed, licence, table

if TYPE_CHECKING:
    from pathlib import PurePath

ALONE = {"markupsafe", "msgpack", "psutil", "tornado"}
"""Compiled from their own code alone."""


def listed() -> dict[str, list[str]]:
    """The other cells of the page's table, by library."""
    rows = [line.strip("| \n").split(" | ") for line in section(PAGE.read_text("utf-8"), SECTION).splitlines()[2:]]
    return {name: cells for name, *cells in rows}


def test_the_list_is_complete_and_says_what_is_asked_for_and_locked() -> None:
    rows = listed()
    assert set(rows) == set(lock(RUN_TIME))
    assert {name: (cells[0], cells[1], cells[3]) for name, cells in rows.items()} == {
        name: (versions or "as those need", locked, via) for name, (versions, locked, via) in table().items()
    }


def test_every_licence_is_allowed() -> None:
    assert {name: cells[2] for name, cells in listed().items() if not is_allowed(cells[2])} == {}


def test_a_licence_is_what_the_installed_library_says() -> None:
    """Of those that are installed here in the version that is locked; `.ci/run` has them all."""
    rows = listed()
    here = {name for name, cells in rows.items() if cells[1] == installed(name)}
    assert "defusedxml" in here
    assert {name: licence(name) for name in here} == {name: rows[name][2] for name in here}


def test_every_library_that_comes_compiled_is_known_to_carry_others_or_nothing() -> None:
    carried = {
        line.split(" | ")[0].strip("| ") for line in PAGE.read_text("utf-8").partition("| wheel |")[2].splitlines()
    }
    compiled = {name for name in listed() if installed(name) and any(map(is_compiled, files(name) or ()))}
    assert compiled - ALONE <= carried
    assert not carried & ALONE


def is_compiled(path: PurePath) -> bool:
    """Whether a file of a wheel holds machine code."""
    return path.suffix in {".so", ".pyd", ".dylib", ".dll", ".exe"} or ".so." in path.name or path.name == "cbc"


def installed(name: str) -> str:
    """The version that is installed, if any is."""
    try:
        return version(name)
    except PackageNotFoundError:
        return ""
