"""A first mapping file for a price list: every guess in it is a comment, until somebody takes its # away."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from budgetbuild.report.assets import template_folders
from budgetbuild.report.words.format import label

if TYPE_CHECKING:
    from budgetbuild.pricelist.suggest import Suggestion

TEMPLATE = "mapping.toml.j2"


def render_mapping(suggestion: Suggestion) -> bytes:
    """The file, in TOML and UTF-8."""
    environment = Environment(  # noqa: S701 - no page: every text of the list goes through a filter of its own
        loader=FileSystemLoader(template_folders(None)),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters |= {"toml": quoted, "label": label}
    return environment.get_template(TEMPLATE).render(list=suggestion).encode()


def quoted(text: str) -> str:
    r"""A text as TOML writes it, on one line whatever is in it.

    >>> print(quoted('6.5" coax\\pair'), quoted("one\ntwo"))
    "6.5\" coax\\pair" "one\ntwo"
    """
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
