"""Fills in templates, which a shop may replace by its own: every value is escaped for its kind of file."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from jinja2 import Environment, FileSystemLoader, StrictUndefined, TemplateError, TemplateSyntaxError
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup, escape

from budgetbuild.faults import Cell, Fault, UserInputError
from budgetbuild.report.assets import template_folders
from budgetbuild.report.pages.aligned import aligned
from budgetbuild.report.pages.escape import css_text, markdown_link, markdown_text, web_link
from budgetbuild.report.pages.policy import paper_policy
from budgetbuild.report.pictures.of_report import plot_picture
from budgetbuild.report.words.cells import text_table
from budgetbuild.report.words.format import capital, label
from budgetbuild.report.words.reasons import driven_by

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from pathlib import Path

    from budgetbuild.report.pictures.of_report import Picture
    from budgetbuild.report.words.notation import Notation


def fill_markdown(
    name: str, values: Mapping[str, object], notation: Notation, templates: Path | None, safety: Iterable[str] = ()
) -> bytes:
    """A Markdown file from its template, UTF-8.

    Args:
        name: The template's name.
        values: What it prints.
        notation: How the shop writes figures.
        templates: A shop's own templates; what it lacks comes from the tool.
        safety: Sentences that the file must hold, whoever wrote the template.

    Raises:
        UserInputError: A shop's own template is wrong, asks for something that does not exist or leaves safety out.
    """
    text = _filled(_environment(notation, templates, markdown=True), name, values, templates)
    _check_safety(text, map(markdown_text, safety), name, templates)
    return _encoded(aligned(re.sub(r"\n{3,}", "\n\n", text)))


def fill_html(
    name: str, values: Mapping[str, object], notation: Notation, templates: Path | None, safety: Iterable[str] = ()
) -> bytes:
    """An HTML page from its template, UTF-8; arguments and what it raises as `fill_markdown`."""
    text = _filled(_environment(notation, templates, markdown=False), name, values, templates)
    _check_safety(text, map(escape, safety), name, templates)
    return _encoded(text)


def _check_safety(text: str, safety: Iterable[str], name: str, own: Path | None) -> None:
    """What keeps people from harm stands in every file; a shop's own template that leaves it out is refused.

    Raises:
        UserInputError: Some of it is missing.
    """
    whole = " ".join(text.split())
    missing = [one for one in dict.fromkeys(safety) if " ".join(one.split()) not in whole]
    if not missing:
        return
    if own is None:
        raise ValueError(f"{name} leaves out {missing[0]}: a defect in the tool")
    mend = f"print the safety sentences where the tool's own {name} does, or leave out --templates"
    expected = "every safety sentence, as the tool says it"
    raise UserInputError([Fault(Cell(str(own / name)), "safety-left-out", f"no “{missing[0]}”", expected, mend)])


def _filled(environment: Environment, name: str, values: Mapping[str, object], templates: Path | None) -> str:
    return filled_in(lambda: environment.get_template(name).render(values), name, templates)


def _environment(notation: Notation, templates: Path | None, *, markdown: bool) -> Environment:
    """A template environment in which a missing value is an error and every value is escaped for its kind of file."""
    environment = ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(template_folders(templates)),
        undefined=StrictUndefined,
        autoescape=not markdown,
        finalize=_finalize if markdown else None,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters |= {
        "money": notation.money,
        "short": notation.short,
        "points": notation.points,
        "number": notation.number,
        "date": notation.date,
        "limit": notation.decimals_in,
        "label": label,
        "capital": capital,
        "css": css_text,
        "policy": paper_policy,
        "driven_by": driven_by,
        "in_words": lambda table: text_table(table, notation),
        "plotted": lambda plot, name: plot_picture(plot, name, notation),
        "drawn": drawn,
        "link": markdown_link if markdown else web_link,
    }
    return environment


def drawn(picture: Picture) -> Markup:
    """A picture as part of a page: every text in it was escaped while it was drawn."""
    return Markup(picture.svg)  # noqa: S704 - escaped while it was drawn


def _finalize(value: object) -> object:
    """Escape every printed value for Markdown, but what is marked as safe."""
    return value if isinstance(value, Markup) else markdown_text(str(value))


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


def _encoded(text: str) -> bytes:
    """UTF-8 with one newline at the end; halves of surrogate pairs cannot be written and never reach here."""
    return (text.rstrip() + "\n").encode()
