"""On what the times were taken."""

from __future__ import annotations

import os
import platform
from importlib.metadata import version
from pathlib import Path

from budgetbuild import __version__

LIBRARIES = ("highspy", "pulp", "numpy", "python-calamine", "ortools")


def machine() -> dict[str, str | int]:
    """Processors, their make, Python, and the versions of what the times depend on."""
    return {
        "processors": os.cpu_count() or 1,
        "processor": _processor(),
        "system": f"{platform.system()} {platform.machine()}",
        "python": platform.python_version(),
        "budgetbuild": __version__,
        **{library: version(library) for library in LIBRARIES},
    }


def in_words(found: dict[str, str | int]) -> str:
    """The same as one sentence."""
    libraries = ", ".join(f"{library} {found[library]}" for library in LIBRARIES if library in found)
    return (
        f"{found['processors']} x {found['processor']}, {found['system']}, Python {found['python']}, "
        f"budgetbuild {found['budgetbuild']} ({libraries})"
    )


def _processor() -> str:
    """What the processor calls itself, on Linux; elsewhere what Python knows of it."""
    try:
        lines = Path("/proc/cpuinfo").read_text("utf-8").splitlines()
    except OSError:
        lines = []
    names = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(names, platform.processor() or "unknown processor")
