"""Data as JSON text that may stand anywhere: also on a terminal, also where it is read by eye."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import is_unseen

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


def json_text(content: Mapping[str, object] | Sequence[object], *, indent: int = 2) -> str:
    r"""Data as JSON with a newline at its end; what nobody sees is written as an escape, and so reads back as it was.

    Raises:
        ValueError: A number is none that JSON has: a defect in the tool.

    >>> print(json_text({"name": "é \x9b \u202e \ud800 \U000e0041"}, indent=0).replace("\n", ""))
    {"name": "é \u009b \u202e \ud800 \udb40\udc41"}
    """
    text = json.dumps(content, ensure_ascii=False, indent=indent, allow_nan=False)
    return text.translate({ord(mark): _escape(mark) for mark in set(text) if mark != "\n" and is_unseen(mark)}) + "\n"


def _escape(mark: str) -> str:
    """A character as JSON may write it: four digits, or twice four where its number is larger."""
    units = mark.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[at : at + 4]}" for at in range(0, len(units), 4))
