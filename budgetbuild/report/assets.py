"""Finds the templates: the shop's own first, then the tool's, in an installed package or in a checkout."""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import TemplateError, TemplateSyntaxError

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.report.format import label

if TYPE_CHECKING:
    from collections.abc import Callable


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


def filled_in(render: Callable[[], str], name: str, own: Path | None) -> str:
    """A template filled in: what is wrong with a shop's own is the shop's to mend, with ours a defect.

    Args:
        render: Fills it in.
        name: The template's name.
        own: The shop's own folder.

    Raises:
        UserInputError: The shop's own template is wrong or asks for something that does not exist.
    """
    try:
        return render()
    except (TemplateError, OSError, UnicodeDecodeError) as error:
        if own is None:
            raise
        place = str(own / name)
        if isinstance(error, TemplateSyntaxError):
            place = f"{error.filename or error.name or name}, line {error.lineno}"
        found = f"{label(str(error))} ({place})"
        mend = "mend the template, or leave out --templates"
        raise UserInputError([Fault(Cell(), "template", found, "a template that can be filled in", mend)]) from error
