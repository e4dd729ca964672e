"""How names are read and compared: what no reader can see is no part of a name."""

from __future__ import annotations

import unicodedata

_JOINERS = frozenset("\u200c\u200d")
"""Marks without a width that scripts and pictographs part or join their letters with."""
_NEITHER = str.maketrans(dict.fromkeys(_JOINERS, ""))
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})


def visible(text: str) -> str:
    r"""Text as one line of what a reader can see, with single spaces between its words.

    Control characters, marks that turn the reading direction, marks without a width, halves of pairs and characters
    that Unicode sets aside are left out wherever text comes in, is compared or is shown, so that no two names differ in
    what nobody sees, and none can rearrange the words beside it or steer a terminal.

    >>> visible("  Front\nset \u202e2000\ufeff "), visible("Kes\u200btrel\x9b\xa0Hatch")
    ('Front set 2000', 'Kestrel Hatch')
    """
    return " ".join(without_unseen(text).split())


def without_unseen(text: str) -> str:
    """Text without what nobody sees; ends of lines and tabs become spaces, other spaces stay as they are."""
    if text.isprintable():
        return text
    return text.translate({ord(mark): " " if mark.isspace() else "" for mark in set(text) if is_unseen(mark)})


def is_unseen(mark: str) -> bool:
    r"""Whether a character has no place in a line: controls, direction and other marks that nobody sees, no characters.

    >>> [is_unseen(mark) for mark in ("\x1b", "\u202e", "\u2028", "\ufffe", "\u00a0", "\u200d", "x")]
    [True, True, True, True, False, False, False]
    """
    nothing = ord(mark) & 0xFFFE == 0xFFFE or 0xFDD0 <= ord(mark) <= 0xFDEF  # noqa: PLR2004 - set aside for ever
    return nothing or (unicodedata.category(mark) in _UNSEEN and mark not in _JOINERS)


def fold(name: str) -> str:
    r"""A name as names are compared: case, surrounding and repeated spaces and what nobody sees ignored.

    >>> fold("  Kes\u200dtrel\u00a0 HATCH\u202e ") == fold("kestrel hatch")
    True
    """
    seen = visible(name)
    return (seen if seen.isprintable() else seen.translate(_NEITHER)).casefold()
