"""Finds an installed browser of the Chromium family, the kind that prints a page to a PDF file without being seen."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

VARIABLE = "BUDGETBUILD_BROWSER"
"""Environment variable that names the browser to use; nothing else is looked for where it is set."""

COMMANDS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "microsoft-edge",
    "microsoft-edge-stable",
    "chrome",
    "msedge",
)
MAC_APPLICATIONS = ("Chromium", "Google Chrome", "Microsoft Edge")
WINDOWS_ROOTS = ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA")
WINDOWS_PROGRAMS = (
    "Google/Chrome/Application/chrome.exe",
    "Chromium/Application/chrome.exe",
    "Microsoft/Edge/Application/msedge.exe",
)


def find_browser(environment: Mapping[str, str] = os.environ, platform: str = sys.platform) -> Path:
    """The browser that prints: the one that the environment names, else the first one installed.

    Args:
        environment: Variables, by name.
        platform: Kind of system, as `sys.platform` has it.

    Raises:
        UserInputError: The one named cannot be run, or none is found.
    """
    named = environment.get(VARIABLE, "").strip()
    if named:
        path = shutil.which(named, path=environment.get("PATH"))
        if path is None:
            raise _refusal(
                f'{VARIABLE} is "{named}"', "a browser that can be run under that name", f"correct or unset {VARIABLE}"
            )
        return Path(path)
    for command in COMMANDS:
        path = shutil.which(command, path=environment.get("PATH"))
        if path:
            return Path(path)
    for place in _usual_places(environment, platform):
        if os.access(place, os.X_OK):
            return place
    raise _refusal(
        "no browser that can print",
        "Chromium, or another browser built on it, installed on this computer",
        f"install one, or name the one you have in the environment variable {VARIABLE}",
    )


def _usual_places(environment: Mapping[str, str], platform: str) -> Iterator[Path]:
    """Where installers put a browser that no command leads to."""
    if platform == "darwin":
        for folder in (Path("/Applications"), Path(environment.get("HOME", "/"), "Applications")):
            for name in MAC_APPLICATIONS:
                yield folder / f"{name}.app" / "Contents" / "MacOS" / name
    elif platform == "win32":
        for root in filter(None, map(environment.get, WINDOWS_ROOTS)):
            for program in WINDOWS_PROGRAMS:
                yield Path(root, program)


def _refusal(found: str, expected: str, mend: str) -> UserInputError:
    return UserInputError([Fault(Cell("--pdf"), "no-browser", found, expected, f"{mend}, or leave out --pdf")])
