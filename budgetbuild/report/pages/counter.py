"""The counter page: one HTML file that answers "what do I get for X?" offline, from whole budget curves.

Nothing on the page comes from outside, and nothing from the catalogue can act in it. The browser is told by a content
security policy to run and style with nothing but the two blocks of this tool, known by their SHA-256; the data is JSON
in which no character can end the element that holds it; the script puts every text in as text.
"""

from __future__ import annotations

import json
import re
from fractions import Fraction
from typing import TYPE_CHECKING

from jinja2 import FileSystemLoader, StrictUndefined, TemplateSyntaxError
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from budgetbuild import __version__
from budgetbuild.catalogue.names import fold
from budgetbuild.report.assets import template_folders
from budgetbuild.report.pages.counter_data import counter_data
from budgetbuild.report.pages.policy import SHUT, source_of
from budgetbuild.report.pages.templating import filled_in
from budgetbuild.report.words.format import label
from budgetbuild.report.words.voice import voice_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from budgetbuild.build import Curve
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.notation import Notation

VISIBLE = 2000
"""Least gain that counts as a visible step, in thousandths of a point."""

ALLOWANCE = Fraction(1, 100)
"""What a build may cost above the budget, as a share of it; what a tier allows where the catalogue says nothing."""

SCRIPTS = ("counter_lookup.js", "counter_show.js", "counter.js")
"""Files of the script, in the order in which they need each other."""

_HARMLESS = {ord(mark): f"\\u{ord(mark):04x}" for mark in "<>&\u2028\u2029"}
"""Characters that a browser might take for markup or a new line, as JSON may write them."""

_ENDS_AN_ELEMENT = re.compile(r"</(?:script|style)|<!--", re.IGNORECASE)


def render_counter(
    curves: Sequence[Curve],
    catalogue: Catalogue,
    *,
    visible: int = VISIBLE,
    allowance: Fraction = ALLOWANCE,
    own_only: bool = False,
    templates: Path | None = None,
) -> bytes:
    """The counter page, UTF-8; the same input gives the same bytes.

    Args:
        curves: At most one for each vehicle and brief, in any order; one without points says that there is no system.
        catalogue: The catalogue that they were solved from.
        visible: Least gain that counts as a visible step, in thousandths of a point.
        allowance: What a build may cost above the budget, as a share of it, 0 or more.
        own_only: Whether vehicles that no brief names are left out, which the page then says.
        templates: A shop's own templates; what it lacks comes from the tool.

    Raises:
        ValueError: A curve is not sound or carries a code that has no words: a defect in the tool.
        UserInputError: A shop's own template is wrong.
    """
    voice = voice_of(catalogue.settings, templates)
    data = counter_data(curves, catalogue, voice, visible=visible, allowance=allowance)
    environment = _environment(templates)
    values = {
        **_words(catalogue, voice.notation, visible, allowance),
        "answered": len({fold(curve.vehicle.name) for curve in curves}),
        "listed": len(catalogue.vehicles) if own_only else 0,
        "data": _json(data),
    }
    text = filled_in(lambda: _filled(environment, values), "counter.html.j2", templates)
    return (text.rstrip() + "\n").encode()


def _environment(templates: Path | None) -> ImmutableSandboxedEnvironment:
    """A template environment in which a missing value is an error and every value is escaped for HTML."""
    return ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(template_folders(templates)),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _words(catalogue: Catalogue, notation: Notation, visible: int, allowance: Fraction) -> dict[str, str]:
    """What the page says of the shop and of how it reckons."""
    settings, fresh = catalogue.settings, catalogue.fresh
    return {
        "shop": label(settings.shop_name),
        "date": notation.date(label(settings.date)),
        "mark": label(notation.symbol),
        "catalogue": label(catalogue.name),
        "sha256": label(catalogue.sha256),
        "prices_file": label(fresh.name) if fresh else "",
        "prices_sha256": label(fresh.sha256) if fresh else "",
        "version": __version__,
        "visible": notation.points(visible),
        "allowance": notation.number(float(100 * allowance)),
    }


def _filled(environment: ImmutableSandboxedEnvironment, values: Mapping[str, object]) -> str:
    """The template with style, script, data, and the policy that lets just those two act."""
    style = _block(environment, "counter.css")
    script = Markup().join(_block(environment, name) for name in SCRIPTS)
    policy = (
        f"{SHUT}; style-src {source_of(style)}; script-src {source_of(script)}; "
        "require-trusted-types-for 'script'; trusted-types 'none'"
    )
    page = environment.get_template("counter.html.j2")
    return page.render({**values, "style": style, "script": script, "policy": policy})


def _block(environment: ImmutableSandboxedEnvironment, name: str) -> Markup:
    """A style or script as it stands in its file; it goes into the page as it is.

    Raises:
        TemplateSyntaxError: Something in it would end its element, or hide the end from the browser.
    """
    loader = FileSystemLoader([]) if environment.loader is None else environment.loader
    text, path, _ = loader.get_source(environment, name)
    found = _ENDS_AN_ELEMENT.search(text)
    if found:
        raise TemplateSyntaxError(f"{found[0]} may not stand here", text.count("\n", 0, found.start()) + 1, name, path)
    return Markup(text.rstrip() + "\n")  # noqa: S704 - our own or the shop's own file, and nothing in it ends the element


def _json(data: object) -> Markup:
    r"""JSON for a data element: no character in it means anything to HTML.

    >>> print(_json({"name": "</script>\u2028<!--&"}))
    {"name":"\u003c/script\u003e\u2028\u003c!--\u0026"}
    """
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return Markup(text.translate(_HARMLESS))  # noqa: S704 - nothing in it can be markup
