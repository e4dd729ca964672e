"""What stands where on a printed page, as poppler's `pdftotext` finds it."""

from __future__ import annotations

import re
import subprocess
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

Word = tuple[float, float, float, float]
"""Left, top, right, bottom of a word, in points from the upper left corner of the page."""

_PAGE = re.compile(r"<page .*?</page>", re.DOTALL)
_WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')


def _told(printed: Path) -> list[str]:
    """Every page with the place of each word."""
    command = ["pdftotext", "-bbox", str(printed), "-"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)  # noqa: S603 - fixed words
    return _PAGE.findall(done.stdout)


def page_with(printed: Path, start: str, word: str) -> int:
    """Number of the first page, from 1, whose first word begins so and that holds another word.

    Raises:
        ValueError: There is none.
    """
    for number, page in enumerate(_told(printed), start=1):
        words = [found[4] for found in _WORD.findall(page)]
        if words and words[0].startswith(start) and word in words:
            return number
    raise ValueError(f"no page starts with {start} and holds {word}")


def words_on(printed: Path, number: int) -> list[Word]:
    """Where the words of a page stand."""
    page = _told(printed)[number - 1]
    found = [tuple(map(float, places)) for *places, _ in _WORD.findall(page)]
    return [(left, top, right, bottom) for left, top, right, bottom in found]
