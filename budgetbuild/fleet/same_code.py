"""Whether two processes run the same tool: results of different versions must never stand in one table."""

from __future__ import annotations

import platform
from hashlib import sha256
from importlib import resources
from pathlib import Path

import numpy as np

from budgetbuild import __version__
from budgetbuild.report.assets import template_folders


def code_version() -> str:
    """Version of the tool, of what it reckons with, and a hash of its own files: the same where the code is."""
    digest = sha256()
    package = Path(str(resources.files("budgetbuild")))
    for folder, pattern in ((package, "*.py"), *((folder, "*.*") for folder in template_folders())):
        for path in sorted(folder.rglob(pattern)):
            content = path.read_bytes()
            digest.update(f"{path.relative_to(folder).as_posix()}\n{len(content)}\n".encode() + content)
    python = ".".join(platform.python_version_tuple()[:2])
    return f"budgetbuild {__version__} ({digest.hexdigest()[:16]}), numpy {np.__version__}, Python {python}"
