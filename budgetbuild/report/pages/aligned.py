"""Lines up the columns of tables in a Markdown text, so that it reads well as it stands, unrendered."""

from __future__ import annotations

import re
import unicodedata
from itertools import groupby
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

WIDEST = 60
"""Characters that a column is filled up to; a longer cell sticks out instead of widening every row."""
WIDEST_LAST = 40
"""The same for the last column, which is filled up only for its closing bar."""

_CELL = re.compile(r"((?:\\.|[^|\\])*)\|")
_DASHES = re.compile(r"(:?)-+(:?)")
_FENCE = re.compile(r" {0,3}(`{3,}|~{3,})")


def aligned(markdown: str) -> str:
    r"""A Markdown text with the cells of its tables filled up to the width of their columns; renders as before.

    >>> print(aligned("| Part | Each |\n|:--|--:|\n| Front | €65.00 |\n| Box | €9.00 |"))
    | Part  |   Each |
    | :---- | -----: |
    | Front | €65.00 |
    | Box   |  €9.00 |
    """
    lines: list[str] = []
    for in_table, block in groupby(_marked(markdown.split("\n")), lambda line: line[0]):
        texts = [text for _, text in block]
        lines += _table(texts) if in_table else texts
    return "\n".join(lines)


def _marked(lines: Sequence[str]) -> Iterator[tuple[bool, str]]:
    """Each line, and whether it may be a row of a table: it begins with a bar and stands in no block of code."""
    fence = ""
    for line in lines:
        found = _FENCE.match(line)
        if found and not fence:
            fence = found[1]
        elif found and found[1].startswith(fence):
            fence = ""
        yield not fence and line.startswith("|"), line


def _table(lines: list[str]) -> list[str]:
    """The rows of a table in even columns; what is no table, as it is."""
    rows = [[cell.strip(" ") for cell in _CELL.findall(line.rstrip()[1:])] for line in lines]
    if len(rows) < 2 or not all(map(_DASHES.fullmatch, rows[1])) or len({len(row) for row in rows}) > 1:  # noqa: PLR2004
        return lines
    *columns, last = zip(*rows, strict=True)
    even = [*(_column(cells, WIDEST) for cells in columns), _column(last, WIDEST_LAST)]
    return [f"| {' | '.join(row)} |" for row in zip(*even, strict=True)]


def _column(cells: Sequence[str], widest: int) -> list[str]:
    """The cells of a column at one width, the most that it is filled up to: heading, line of dashes, and the rest."""
    left, right = cells[1].startswith(":"), cells[1].endswith(":")
    texts = [cells[0], *cells[2:]]
    width = max(3, *(min(_width(text), widest) for text in texts))
    dashes = ":" * left + "-" * (width - left - right) + ":" * right
    gaps = [" " * (width - _width(text)) for text in texts]
    filled = [gap + text if right and not left else text + gap for text, gap in zip(texts, gaps, strict=True)]
    return [filled[0], dashes, *filled[1:]]


def _width(text: str) -> int:
    r"""How many places a text takes where every letter is as wide as the next; East Asian ones take two, accents none.

    >>> _width("Ampère"), _width("音響"), _width("e\u0301")
    (6, 4, 1)
    """
    return sum(_places(mark) for mark in text)


def _places(mark: str) -> int:
    if unicodedata.category(mark) in {"Mn", "Me", "Cf"}:
        return 0
    return 2 if unicodedata.east_asian_width(mark) in {"W", "F"} else 1
