"""The buying guide, as Markdown and as one HTML page, from templates that a shop may replace.

Catalogue text is foreign text. In HTML the template engine escapes all of it; in Markdown every printed value passes
through `markdown_text`, so that a product name can form no markup, no link and no HTML.
"""

from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING
from urllib.parse import quote, urlsplit

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from budgetbuild.report.assets import filled_in, template_folders
from budgetbuild.report.charts import render_costs
from budgetbuild.report.diagram import render_diagram
from budgetbuild.report.format import capital, label, money, number, points
from budgetbuild.report.reasons import driven_by
from budgetbuild.report.safety import Topic
from budgetbuild.report.wiring import Wiring, wiring
from budgetbuild.report.wording import status_word

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from budgetbuild.report.content import Report, ReportBuild

_BREAKS = re.compile(r"[^\S\u00a0]+")
_MARKDOWN_MARKS = re.compile(r"([\\`*_\[\]|])")
_MARKDOWN_START = re.compile(r"^(#|[-+=](?=[-+=\s]|$)|\d+(?=[.)](?:\s|$)))")


def markdown_text(text: str) -> str:
    r"""Text that reads the same after any Markdown renderer has seen it.

    >>> markdown_text("2 x [amp](x) <b>*loud*</b> | www.x.example")
    '2 x \\[amp\\](x) &lt;b&gt;\\*loud\\*&lt;/b&gt; \\| www&#46;x.example'
    >>> print(markdown_text("1. one"), markdown_text("- 5"), markdown_text("12.5 W"), markdown_text("http://x"))
    1\. one \- 5 12.5 W http&#58;//x
    """
    line = html.escape(_BREAKS.sub(" ", text).strip(" "), quote=False)
    line = _MARKDOWN_MARKS.sub(r"\\\1", line)
    line = line.replace("~", "&#126;").replace("@", "&#64;").replace("://", "&#58;//")
    line = re.sub(r"(?i)\b(www)\.", r"\1&#46;", line)
    return _MARKDOWN_START.sub(lambda found: f"{found[0]}\\" if found[0].isdigit() else f"\\{found[0]}", line)


def web_link(address: str) -> str:
    """A web address that may stand in a link; empty for anything but http and https.

    >>> web_link("https://shop.example/a(b)?q=1"), web_link("javascript:alert(1)"), web_link("https://[")
    ('https://shop.example/a%28b%29?q=1', '', '')
    """
    try:
        parts = urlsplit(address.strip())
    except ValueError:
        return ""
    if parts.scheme not in {"http", "https"} or not parts.netloc:
        return ""
    return quote(address.strip(), safe=":/?#@!$&*+,;=%~-._")


def _markdown_link(address: str) -> Markup:
    """A web address for a Markdown link: its reserved characters are percent-encoded, so nothing is left to escape."""
    return Markup(web_link(address).replace("&", "&amp;"))  # noqa: S704 - only what `web_link` lets through


def render_markdown(report: Report, templates: Path | None = None, page: str = "guide.html") -> bytes:
    """The guide as Markdown, UTF-8.

    Args:
        report: What it shows.
        templates: A shop's own templates; what it lacks comes from the tool.
        page: Name of the page that has the pictures; empty where none is written beside it.

    Raises:
        UserInputError: A shop's own template is wrong or asks for something that does not exist.
    """
    environment = _environment(report, templates, markdown=True)
    text = _rendered(environment, "guide.md.j2", {**_context(report), "page": page}, templates)
    return _encoded(re.sub(r"\n{3,}", "\n\n", text))


def render_html(report: Report, templates: Path | None = None) -> bytes:
    """The guide as one HTML page without any outside part, UTF-8.

    Args:
        report: What it shows.
        templates: A shop's own templates; what it lacks comes from the tool.

    Raises:
        UserInputError: A shop's own template is wrong or asks for something that does not exist.
    """
    environment = _environment(report, templates, markdown=False)
    values = {**_context(report), "diagram": _diagram(report), "costs": _costs(report)}
    return _encoded(_rendered(environment, "guide.html.j2", values, templates))


def _rendered(environment: Environment, name: str, values: Mapping[str, object], templates: Path | None) -> str:
    return filled_in(lambda: environment.get_template(name).render(values), name, templates)


def _environment(report: Report, templates: Path | None, *, markdown: bool) -> Environment:
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
        "money": lambda cents: money(cents, report.currency),
        "points": points,
        "number": number,
        "label": label,
        "capital": capital,
        "driven_by": driven_by,
        "status_word": status_word,
        "link": _markdown_link if markdown else web_link,
    }
    return environment


def _finalize(value: object) -> object:
    """Escape every printed value for Markdown, but what is marked as safe."""
    return value if isinstance(value, Markup) else markdown_text(str(value))


def _context(report: Report) -> dict[str, object]:
    return {"report": report, "wiring": _wiring(report), "topics": Topic}


def _wiring(report: Report) -> Callable[[ReportBuild], Wiring | None]:
    products = {product.sku: product for product in report.catalogue.products()}
    return lambda shown: wiring(shown.build, shown.audited, products) if shown.audited else None


def _diagram(report: Report) -> Callable[[ReportBuild], Markup]:
    """The wiring picture of a build; safe, since the drawing escapes every text."""
    connect = _wiring(report)

    def picture(shown: ReportBuild) -> Markup:
        told = connect(shown)
        svg = render_diagram(f"wiring-{shown.anchor}", f"Wiring of {shown.title}", told) if told else ""
        return Markup(svg)  # noqa: S704 - escaped while it was drawn

    return picture


def _costs(report: Report) -> Callable[[ReportBuild], Markup]:
    """The cost picture of a build; safe, since the drawing escapes every text."""

    def picture(shown: ReportBuild) -> Markup:
        title = f"Cost by part of {shown.title}"
        return Markup(render_costs(f"cost-{shown.anchor}", title, shown.costs, report.currency))  # noqa: S704

    return picture


def _encoded(text: str) -> bytes:
    """UTF-8 with one newline at the end; halves of surrogate pairs cannot be written and never reach here."""
    return (text.rstrip() + "\n").encode()
