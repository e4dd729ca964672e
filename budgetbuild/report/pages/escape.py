"""Foreign text made harmless: catalogue text in Markdown and style sheets, web addresses in links.

In HTML the template engine escapes every printed value; in Markdown each passes through `markdown_text`, so that a
product name can form no markup, no link and no HTML.
"""

from __future__ import annotations

import html
import re
from urllib.parse import quote

from markupsafe import Markup

from budgetbuild.catalogue.web import is_web_address

_BREAKS = re.compile(r"[^\S\u00a0\u202f]+")
_LONG_WORD = re.compile(r"\S{40}(?=\S)")
_STYLE_MARKS = re.compile(r"[^\w .,;:()-]")
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
    line = re.sub(r"(?<=\s)(#+)$", r"\\\1", line)  # at the end of a heading they would be its closing marks
    line = line.replace("~", "&#126;").replace("@", "&#64;").replace("://", "&#58;//")
    line = re.sub(r"(?i)\b(www)\.", r"\1&#46;", line)
    return _MARKDOWN_START.sub(lambda found: f"{found[0]}\\" if found[0].isdigit() else f"\\{found[0]}", line)


def css_text(text: str) -> Markup:
    r"""Text that may stand between the quotes of a string in a style sheet, and so in a page's `style` element.

    A very long word gets places to break at, since the margin of a printed page, where such a string stands, has none.

    >>> str(css_text('Ampère & "Son", </style>'))
    'Ampère \\26  \\22 Son\\22 , \\3c \\2f style\\3e '
    """
    line = _LONG_WORD.sub("\\g<0>\u200b", _BREAKS.sub(" ", text).strip(" "))
    return Markup(_STYLE_MARKS.sub(lambda found: f"\\{ord(found[0]):x} ", line))  # noqa: S704 - nothing but words is left


def web_link(address: str) -> str:
    """A web address that may stand in a link; empty for what is none (see `is_web_address`).

    >>> web_link("https://shop.example/a(b)?q=1"), web_link("javascript:alert(1)"), web_link("https://[")
    ('https://shop.example/a%28b%29?q=1', '', '')
    """
    whole = address.strip()
    return quote(whole, safe=":/?#@!$&*+,;=%~-._[]") if is_web_address(whole) else ""


def markdown_link(address: str) -> Markup:
    """A web address for a Markdown link: its reserved characters are percent-encoded, so nothing is left to escape."""
    return Markup(web_link(address).replace("&", "&amp;"))  # noqa: S704 - only what `web_link` lets through
