"""What pyproject.toml asks for, and what the two locks hold."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path
from typing import NamedTuple

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).parent.parent.parent
EVERYTHING = ROOT / ".ci" / "requirements.txt"
"""What the checks are run with."""
RUN_TIME = ROOT / ".ci" / "run-time.txt"
"""What a user may install: the package with both extras that are for use."""
TOOL = "tool"
FOR_USE = (TOOL, "fleet", "cluster")
"""What is for users; the other extras are for developers."""
PIN = re.compile(
    r"^(?P<name>[a-z0-9-]+)==(?P<version>\S+)(?: ; (?P<marker>[^\\\n]+))?"
    r"(?P<hashes>(?: \\\n    --hash=sha256:[0-9a-f]{64})*)\n"
    r"(?P<via>(?:    #.*\n?)*)",
    re.MULTILINE,
)


class Pin(NamedTuple):
    """One line of a lock."""

    version: Version
    marker: str
    hashes: int
    via: tuple[str, ...]
    """What asks for it, the package itself as `budgetbuild`."""


@cache
def lock(path: Path) -> dict[str, Pin]:
    """A lock's pins by normalised name."""
    return {found["name"]: _pin(found) for found in PIN.finditer(path.read_text("utf-8"))}


def _pin(found: re.Match[str]) -> Pin:
    via = [word.removesuffix(" (pyproject.toml)") for word in re.findall(r"#\s+(?:via )?(\S.*)", found["via"])]
    asking = tuple(word for word in via if word != "via" and not word.startswith("-c "))
    return Pin(Version(found["version"]), (found["marker"] or "").strip(), found["hashes"].count("--hash"), asking)


def asked() -> dict[str, dict[str, Requirement]]:
    """What the tool asks for (`tool`), and each of its extras, by normalised name."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    listed = {TOOL: project["dependencies"], **project["optional-dependencies"]}
    return {part: _by_name(lines, project["name"]) for part, lines in listed.items()}


def _by_name(lines: list[str], own: str) -> dict[str, Requirement]:
    return {canonicalize_name(each.name): each for each in map(Requirement, lines) if each.name != own}


def wanted(*parts: str) -> dict[str, Requirement]:
    """What these parts ask for together; all parts where none is named."""
    every = asked()
    return {name: each for part in parts or every for name, each in every[part].items()}


def lowest(requirement: Requirement) -> Version:
    """The least version that a requirement names.

    Raises:
        ValueError: It names none.
    """
    return min(Version(part.version) for part in requirement.specifier if part.operator in {">=", "==", "~="})
