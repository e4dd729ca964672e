"""How wide text runs, and where it breaks, without knowing which typeface the reader has."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

FONT_SIZE = 12.0


def _by_letter(groups: Mapping[float, str]) -> dict[str, float]:
    return {letter: width for width, letters in groups.items() for letter in letters}


_REGULAR = _by_letter(
    {
        0.3: "'Iijl",
        0.35: " ,./:;\\f|\u00a0·\u2018\u2019",
        0.4: "!()-[]t²³",
        0.45: "r",
        0.5: '"*J`°',
        0.55: "csz“”",
        0.6: "?L_kvxy\u2013",
        0.65: "$0123456789FTabdeghnopqu{}€£¥",
        0.7: "ABEKPSVXYZ",
        0.75: "CHNRU",
        0.8: "&DGOQΩ",
        0.85: "#+<=>^w~\u00d7±",
        0.9: "M",
        0.95: "%",
        1.0: "Wm—…½",
        1.05: "@",
    }
)
"""Widths of letters, as shares of the type size: the wider of DejaVu Sans and Liberation Sans, rounded up."""

_BOLD = _by_letter(
    {
        0.35: " 'ijl\u00a0",
        0.4: ",./:;I\\|·\u2018\u2019",
        0.45: "-f²³",
        0.5: "!()[]`rt°",
        0.55: '"*',
        0.6: "J_csz\u2013",
        0.65: "?Lvxy",
        0.7: "$0123456789EFTaeko€£¥“”",
        0.75: "CPSYZbdghnpqu{}",
        0.8: "ABKRVX",
        0.85: "#+<=>DGHNOQU^~\u00d7±Ω",
        0.9: "&",
        0.95: "w",
        1.0: "%@M—…",
        1.05: "m½",
        1.1: "W",
    }
)

_LAST_OF_LATIN_GREEK_CYRILLIC = "\u052f"


def text_width(text: str, size: float = FONT_SIZE, *, bold: bool = True) -> float:
    """A width that the text will not exceed in any usual sans-serif face.

    >>> text_width("ii") < text_width("aa") < text_width("MM") < text_width("界界") + 1
    True
    >>> text_width("é") == text_width("e"), text_width("ratio", bold=False) < text_width("ratio")
    (True, True)
    """
    return sum(_letter_width(letter, bold=bold) for letter in text) * size


@lru_cache(maxsize=4096)
def _letter_width(letter: str, *, bold: bool) -> float:
    """Width of one character as a share of the type size; what is not listed counts as wide."""
    widths = _BOLD if bold else _REGULAR
    base = unicodedata.normalize("NFD", letter)[0]
    if base in widths:
        return widths[base]
    if unicodedata.combining(letter):
        return 0.0
    if unicodedata.east_asian_width(letter) in {"W", "F"}:
        return 1.4 if unicodedata.category(letter) == "So" else 1.05
    if letter > _LAST_OF_LATIN_GREEK_CYRILLIC:
        return 1.3
    return 0.9 if letter.islower() and not bold else 1.2


def wrap(text: str, width: float, size: float = FONT_SIZE, *, bold: bool = True) -> list[str]:
    """Break text into lines no wider than `width`; a word that is too long is broken where it must.

    >>> wrap("front speakers", 80)
    ['front', 'speakers']
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(text, width, size, bold=bold):
        longer = f"{line} {word}" if line else word
        if text_width(longer, size, bold=bold) <= width:
            line = longer
        else:
            lines.append(line)
            line = word
    return [*lines, line] if line else lines


def _pieces(text: str, width: float, size: float, *, bold: bool) -> Iterator[str]:
    """Words, long ones cut into pieces that fit."""
    for word in text.split(" "):
        if text_width(word, size, bold=bold) <= width:
            yield word
            continue
        piece = ""
        for letter in word:
            if piece and text_width(piece + letter, size, bold=bold) > width:
                yield piece
                piece = ""
            piece += letter
        yield piece


def shortened(text: str, width: float, lines: int, *, bold: bool = True) -> list[str]:
    """At most so many lines of a text, the last with an ellipsis where some of it is left out.

    >>> shortened("front speakers and more of them", 80, 2)
    ['front', 'speakers…']
    """
    found = wrap(text, width, bold=bold)
    if len(found) <= lines:
        return found
    last = found[lines - 1]
    while last and text_width(f"{last}…", bold=bold) > width:
        last = last[:-1]
    return [*found[: lines - 1], f"{last.rstrip()}…"]


def widest(texts: Iterable[str], *, bold: bool = True) -> float:
    """The width of the widest text, 0 where there is none."""
    return max((text_width(text, bold=bold) for text in texts), default=0.0)
