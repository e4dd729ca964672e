"""File names that any system can keep, made from names that people give to vehicles."""

from __future__ import annotations

import unicodedata
from collections import Counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

LONGEST = 100
"""Bytes of a name before its ending; file systems stop at some 255."""

RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}
"""Names that Windows keeps for devices, whatever their ending."""


def file_names(names: Sequence[str], ending: str) -> list[str]:
    """A file name for each name, in order; no two are the same, also where a file system ignores case.

    Letters and digits stay, in any alphabet; whatever stands between them becomes one hyphen. Where several come to the
    same, all but the first are numbered, after a mark that is in no other name.

    >>> file_names(["Marl Estate 1.9", "marl estate (1/9)", "../../etc", "con", "?"], ".html")
    ['Marl-Estate-1-9.html', 'marl-estate-1-9~2.html', 'etc.html', 'con~.html', '~.html']
    """
    met: Counter[str] = Counter()
    found = []
    for name in names:
        plain = _plain(name)
        met[plain.casefold()] += 1
        number = met[plain.casefold()]
        found.append(f"{plain}~{number}{ending}" if number > 1 else f"{plain}{ending}")
    return found


def _plain(name: str) -> str:
    """The letters and digits of a name, with hyphens between them."""
    text = unicodedata.normalize("NFC", name)
    words = "".join(mark if mark.isalnum() else " " for mark in text).split()
    plain = "-".join(words).encode()[:LONGEST].decode(errors="ignore").strip("-")
    return f"{plain}~" if not plain or plain.casefold() in RESERVED else plain
