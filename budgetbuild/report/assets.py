"""Finds the templates: the shop's own first, then the tool's, in an installed package or in a checkout."""

from __future__ import annotations

from importlib import resources
from pathlib import Path


def template_folders(own: Path | None = None) -> list[Path]:
    """The folders that templates are looked for in, the first one first.

    Args:
        own: A shop's own folder; what it lacks comes from the tool.

    Raises:
        FileNotFoundError: Neither the package nor a checkout around it has the templates: a broken installation.
    """
    package = Path(str(resources.files("budgetbuild")))
    for folder in (package / "templates", package.parent / "templates"):
        if (folder / "guide.html.j2").is_file():
            return [folder] if own is None else [own, folder]
    raise FileNotFoundError("the templates are missing; install budgetbuild again")
